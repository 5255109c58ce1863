"""What an air speed comes to beside the models' range, in words, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence

from calc.air.saltation import Model, Stream
from calc.declare import Note, Say, say, words
from calc.number import settle
from calc.units import AIR_SPEED, RATIO, SHARE

LIGHT, HEAVY = 1.0, 15.0  # loadings between which thin streams are mostly tested: from memory
CLOSE = 1.1  # times the highest model: the margin of fan speed that is common practice, at its upper end

_ENDS = {"air_speed": AIR_SPEED, "low": AIR_SPEED, "high": AIR_SPEED, "times": RATIO, "lift_speed": AIR_SPEED}

VERDICTS = {
    "below": words(
        "Too slow: {air_speed} is below the range, which begins at {low}. "
        "Product settles in a level hose and plugs it.",
        **_ENDS,
    ),
    "within": words(
        "Too slow to trust: {air_speed} is within the range, {low} to {high}. "
        "By some models product settles in a level hose and plugs it.",
        **_ENDS,
    ),
    "above": words(
        "Above the range: {air_speed} is {times} times its upper end, {high}. "
        "That proves nothing yet: see what leaves the openers.",
        **_ENDS,
    ),
    "below-no-lift": words(
        "Too slow: {air_speed} is below the range, which begins at {low}, and no faster than the lift speed, "
        "{lift_speed}. Product settles in level hoses, falls back in upright ones, and plugs them.",
        **_ENDS,
    ),
    "within-no-lift": words(
        "Too slow: {air_speed} is within the range, {low} to {high}, but no faster than the lift speed, "
        "{lift_speed}. Product falls back in upright hoses and plugs them.",
        **_ENDS,
    ),
    "above-no-lift": words(
        "Too slow to lift: {air_speed} is above the range for level hoses, which ends at {high}, but no "
        "faster than the lift speed, {lift_speed}. Product falls back in upright hoses and plugs them.",
        **_ENDS,
    ),
}

NOTES = [
    Note(
        "more-air",
        "stop",
        words(
            "Do not seed like this. Raise the fan speed, but never above its rated one, or give the air less "
            "to carry: less rate or less ground speed. Then work it out again."
        ),
    ),
    Note(
        "prove-it",
        "check",
        words(
            "Prove it on the machine: all tanks that share the air, highest rates, highest ground speed, "
            "hot oil, farthest and highest run. Find the lowest fan speed that carries, then add 5 to 10 %, "
            "which is common practice."
        ),
    ),
    Note(
        "close",
        "check",
        words(
            "That is less than 10 % above the highest model, and the models differ from each other by more. "
            "Count it as within the range until the machine has shown you otherwise."
        ),
    ),
    Note("lift-in-hand", "info", words("The air speed is {times} times the lift speed.", times=RATIO)),
    Note(
        "spread",
        "info",
        words("The highest model is {spread} above the lowest. Plan by the highest.", spread=SHARE),
    ),
    Note(
        "give-density",
        "check",
        words(
            "Four models need the particle density and are left out: Schade and the three of Matsumoto. "
            "Give it to see the whole range."
        ),
    ),
    Note(
        "give-lift",
        "check",
        words(
            "Weber's model needs a lift speed, or a particle density to work one out, and is left out. "
            "So this is one model alone and no range."
        ),
    ),
    Note(
        "ball",
        "info",
        words(
            "No lift speed is given. The models take {lift_speed}, that of a smooth ball of this size and "
            "density. A measured one is better, and the verdict then looks at upright hoses too.",
            lift_speed=AIR_SPEED,
        ),
    ),
    Note(
        "ball-falls-back",
        "stop",
        words(
            "No lift speed is given, and a smooth ball of this size and density takes {lift_speed} to lift. "
            "Your air is no faster, so product may fall back in upright hoses and plug them. "
            "Measure the lift speed.",
            lift_speed=AIR_SPEED,
        ),
    ),
    Note(
        "too-large-for-rizk",
        "check",
        words("Rizk's model goes beyond its tests here: they end at about 3 mm, an eighth of an inch."),
    ),
    Note(
        "too-small-for-matsumoto",
        "check",
        words(
            "Matsumoto's models of 1974 and 1975 go beyond their tests here: they begin at about 0.3 mm, "
            "a hundredth of an inch."
        ),
    ),
    Note(
        "light",
        "check",
        words(
            "Light load: the product weighs {loading} times the air. As far as we remember, the models were "
            "mostly tested on heavier loads, so all of them go beyond their tests here.",
            loading=RATIO,
        ),
    ),
    Note(
        "heavy",
        "check",
        words(
            "Heavy load: the product weighs {loading} times the air. As far as we remember, the models were "
            "tested on lighter loads, so trust none of them here.",
            loading=RATIO,
        ),
    ),
]


def verdict_of(air_speed: float, speeds: Sequence[float], lift_speed: float | None) -> Say:
    """Where the air speed lies beside the models' range, and whether it is above a measured lift speed."""
    low, high = min(speeds), max(speeds)
    code = "below" if _less(air_speed, low) else "above" if _less(high, air_speed) else "within"
    parts = {"air_speed": air_speed, "low": low, "high": high, "times": air_speed / high}
    if lift_speed is not None and not _less(lift_speed, air_speed):
        return say(f"{code}-no-lift", **parts, lift_speed=lift_speed)
    return say(code, **parts)


def notes_of(
    verdict: Say, stream: Stream, air_speed: float, models: Sequence[tuple[Model, float]], measured: bool
) -> list[Say]:
    """What to do, what is missing, and which models go beyond their tests.

    `measured` says whether the lift speed was given.
    """
    loading = stream.loaded_speed / air_speed
    speeds = [speed for _, speed in models]
    notes = [say("prove-it" if verdict.code == "above" else "more-air")]
    if verdict.code == "above" and settle(air_speed / max(speeds)) < CLOSE:
        notes.append(say("close"))
    if measured and not verdict.code.endswith("no-lift"):
        notes.append(say("lift-in-hand", times=air_speed / stream.fall_speed))
    if len(speeds) > 1:
        notes.append(say("spread", spread=max(speeds) / min(speeds) - 1))
    if stream.particle_density is None:
        notes.append(say("give-density"))
        if not measured:
            notes.append(say("give-lift"))
    elif not measured:
        lifts = _less(stream.fall_speed, air_speed)
        notes.append(say("ball" if lifts else "ball-falls-back", lift_speed=stream.fall_speed))
    beyond = {model.name for model, _ in models if model.standing(stream) == "beyond"}
    if "Rizk 1973" in beyond:
        notes.append(say("too-large-for-rizk"))
    if "Matsumoto 1974" in beyond:
        notes.append(say("too-small-for-matsumoto"))
    if settle(loading) < LIGHT:
        notes.append(say("light", loading=loading))
    elif settle(loading) > HEAVY:
        notes.append(say("heavy", loading=loading))
    return notes


def _less(one: float, other: float) -> bool:
    """Whether `one` is the lesser of two positive figures by more than rounding can make it."""
    return settle(one / other) < 1
