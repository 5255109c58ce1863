"""What the pressures of a liquid come to, in words, and the habits they are held against."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.declare import Note, Say, say, words
from calc.number import settle
from calc.units import GAUGE_PRESSURE, LIQUID_VOLUME, PSI, RATIO, VOLUME_PER_AREA

WIDEST = 4.0  # times the pressure, from the lowest rate to the highest: common practice
LEAST = 10 * float(PSI)  # Pa at the outlets: common practice

NOTES = [
    Note(
        "timed-catch",
        "info",
        words(
            "In one minute one outlet gives {liquid} of this liquid. "
            "Water at the same pressure makes a catch of {water}.",
            liquid=LIQUID_VOLUME,
            water=LIQUID_VOLUME,
        ),
    ),
    Note(
        "give-known",
        "info",
        words("Give the flow and the pressure of one outlet with water, from its chart, to see pressures."),
    ),
    Note(
        "give-rates",
        "info",
        words("Give the lowest and the highest rate to see what they ask of the outlet."),
    ),
    Note(
        "rate-outside",
        "check",
        words("The rate lies outside the lowest and the highest you gave. Check all three."),
    ),
    Note(
        "compare-papers",
        "check",
        words(
            "Compare {pressure} with what the papers of outlets, hoses and pump allow.",
            pressure=GAUGE_PRESSURE,
        ),
    ),
    Note(
        "far-from-known",
        "check",
        words(
            "{pressure} is far from {known}, where the flow of this outlet is known. "
            "Look for a nearer line in its chart, or for another outlet.",
            pressure=GAUGE_PRESSURE,
            known=GAUGE_PRESSURE,
        ),
    ),
    Note(
        "low-pressure",
        "check",
        words(
            "At {pressure} the outlets may not share evenly, and check valves may close. "
            "At least {least} is common practice: fit smaller outlets.",
            pressure=GAUGE_PRESSURE,
            least=GAUGE_PRESSURE,
        ),
    ),
    Note(
        "wide-range",
        "check",
        words(
            "At {high} the pressure is {times} times that at {low}. "
            "For one outlet up to 4 times is common practice. "
            "Narrow the rates, or fit outlets made for a wide range.",
            low=VOLUME_PER_AREA,
            high=VOLUME_PER_AREA,
            times=RATIO,
        ),
    ),
    Note(
        "range",
        "info",
        words(
            "At {high} the pressure is {times} times that at {low}: it goes with the square of the flow.",
            low=VOLUME_PER_AREA,
            high=VOLUME_PER_AREA,
            times=RATIO,
        ),
    ),
    Note(
        "speed-too",
        "info",
        words("Ground speed counts as rate does: at half the speed all these pressures fall to a quarter."),
    ),
]


def outside(rate: float, rate_low: float | None, rate_high: float | None) -> bool:
    """Whether the rate is not within what it is said to range over."""
    return (rate_low is not None and settle(rate) < settle(rate_low)) or (
        rate_high is not None and settle(rate) > settle(rate_high)
    )


def pressure_notes(given: Mapping[str, Any], pressures: Mapping[str, float | None]) -> list[Say]:
    """What to make of the pressures; those at rates that were not given are None."""
    working, low, high = (pressures[name] for name in ("pressure", "pressure_low", "pressure_high"))
    known = given["known_pressure"]
    if working is None:
        return [say("give-known")]
    notes = [say("compare-papers", pressure=max(working, high or 0.0))]
    if not 1 / WIDEST <= settle(working / known) <= WIDEST:
        notes.append(say("far-from-known", pressure=working, known=known))
    least = min(working, low or working)
    if settle(least / LEAST) < 1:
        notes.append(say("low-pressure", pressure=least, least=LEAST))
    if low is None or high is None:
        notes.append(say("give-rates"))
    elif settle(high / low) > 1:
        code = "wide-range" if settle(high / low) > WIDEST else "range"
        notes.append(say(code, low=given["rate_low"], high=given["rate_high"], times=high / low))
    return [*notes, say("speed-too")]
