"""What the oil comes to, in words: whether the tractor gives enough, and whether the hose is wide enough."""

from __future__ import annotations

from calc.declare import Note, Say, say, words
from calc.number import settle
from calc.oil.oil_sums import PRESSURE, RETURN, spare_of
from calc.units import LIQUID_FLOW, OIL_SPEED, POWER, SHARE, SHORT_LENGTH

IN_HAND = 0.10  # the least share of the tractor's flow to keep in hand: common practice has 10 to 15 %

_FLOWS = {"taken": LIQUID_FLOW, "tractor": LIQUID_FLOW, "spare": LIQUID_FLOW, "share": SHARE}

VERDICTS = {
    "enough": words(
        "Enough: fan and meters take {taken}, the tractor gives {tractor}, and {share} of that is in hand.",
        **_FLOWS,
    ),
    "tight": words(
        "Tight: fan and meters take {taken}, the tractor gives {tractor}, and {share} of that is in hand.",
        **_FLOWS,
    ),
    "short": words(
        "Short by {spare}: fan and meters take {taken}, and the tractor gives only {tractor}.", **_FLOWS
    ),
    "fan-enough": words(
        "Enough for the fan: it takes {taken}, the tractor gives {tractor}, and {share} of that is in hand.",
        **_FLOWS,
    ),
    "fan-tight": words(
        "Tight for the fan: it takes {taken}, the tractor gives {tractor}, and {share} of that is in hand.",
        **_FLOWS,
    ),
    "fan-short": words(
        "Short by {spare}: the fan takes {taken}, and the tractor gives only {tractor}.", **_FLOWS
    ),
    "not-known": words(
        "Fan and meters take {taken}. Give the tractor's flow to see whether it is enough.", **_FLOWS
    ),
    "fan-not-known": words(
        "The fan takes {taken}. Give the tractor's flow to see whether it is enough.", **_FLOWS
    ),
}

NOTES = [
    Note(
        "do-not-run-short",
        "stop",
        words(
            "Short of oil, the fan slows as the oil warms, and product settles. Try a lower fan speed that "
            "still carries, more engine speed within the tractor's papers, or fewer things on the same oil."
        ),
    ),
    Note(
        "keep-in-hand",
        "check",
        words(
            "Keep 10 to 15 % in hand, which is common practice. Look at the fan speed once more when the oil "
            "is hot: thin oil leaks more."
        ),
    ),
    Note(
        "look-hot", "info", words("Look at the fan speed once more when the oil is hot: thin oil leaks more.")
    ),
    Note(
        "no-meters",
        "check",
        words("No oil is counted for the meters. If oil turns them too, give its flow."),
    ),
    Note("give-bore", "info", words("Give the bore of the fan's hose to see how fast the oil runs in it.")),
    Note(
        "hose-too-small",
        "check",
        words(
            "At {speed} the oil runs faster than is usual in any line. That heats it and holds it back. "
            "Take a bore of at least {pressure_bore} for pressure, and {return_bore} for the return.",
            speed=OIL_SPEED,
            pressure_bore=SHORT_LENGTH,
            return_bore=SHORT_LENGTH,
        ),
    ),
    Note(
        "small-for-return",
        "check",
        words(
            "At {speed} this bore suits the pressure line only. Take at least {return_bore} for the return.",
            speed=OIL_SPEED,
            return_bore=SHORT_LENGTH,
        ),
    ),
    Note(
        "hose-wide-enough",
        "info",
        words("At {speed} this bore is wide enough for pressure and for the return.", speed=OIL_SPEED),
    ),
    Note(
        "give-heat-share",
        "info",
        words("Give the share of the power that is lost to see how much heat goes into the oil."),
    ),
    Note(
        "heat",
        "check",
        words(
            "The oil has to shed {heat} for as long as the fan runs. Watch its temperature against the "
            "tractor's papers.",
            heat=POWER,
        ),
    ),
]


def verdict_of(fan: float, meters: float | None, tractor: float | None) -> Say:
    """Whether the tractor gives enough; its own sentences where no oil is counted for meters."""
    taken = fan + (meters or 0.0)
    whose = "" if meters is not None else "fan-"
    if tractor is None:
        return say(f"{whose}not-known", taken=taken)
    spare = spare_of(tractor, taken)
    share = settle(spare / tractor)
    code = "short" if share < 0 else "tight" if share < IN_HAND else "enough"
    return say(f"{whose}{code}", taken=taken, tractor=tractor, spare=abs(spare), share=max(share, 0.0))


def hose_note(speed: float, pressure_bore: float, return_bore: float) -> Say:
    """What the oil's speed (m/s) in the fan's hose asks for; the bores (m) are the least that are usual."""
    if PRESSURE.standing(speed) == "faster":
        return say("hose-too-small", speed=speed, pressure_bore=pressure_bore, return_bore=return_bore)
    if RETURN.standing(speed) == "faster":
        return say("small-for-return", speed=speed, return_bore=return_bore)
    return say("hose-wide-enough", speed=speed)
