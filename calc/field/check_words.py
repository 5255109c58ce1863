"""What an error of the rate on the field comes to, in words, and what to look for first."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Note, Say, say, words
from calc.field.error_scale import judge
from calc.units import AREA, MASS, MASS_PER_TURN, SHARE

NOTES = [
    Note(
        "within",
        "info",
        words(
            "The field got its rate within 2 %, which is common practice. Leave the mass per turn as it is."
        ),
    ),
    Note(
        "enter",
        "check",
        words(
            "If only this tank is off, enter {mass_per_turn} as its mass per turn. "
            "Then check the next known area.",
            mass_per_turn=MASS_PER_TURN,
        ),
    ),
    Note(
        "every-tank",
        "check",
        words(
            "If every tank is off by about {share}, leave each mass per turn as it is. "
            "Prove working width and ground speed first.",
            share=SHARE,
        ),
    ),
    Note(
        "look-first",
        "stop",
        words(
            "More than 10 % off (common practice): something else is wrong. "
            "Do not enter this mass per turn yet. Calibrate again when you have found it."
        ),
    ),
    Note(
        "look-area",
        "check",
        words(
            "Look at the area first: at the rate set, this product covers {area}. "
            "Was the overlap in it, or a tank off for a part?",
            area=AREA,
        ),
    ),
    Note(
        "look-used",
        "check",
        words(
            "Then look at the mass: at the rate set, this area takes {used}. "
            "Was all that went in and came out weighed?",
            used=MASS,
        ),
    ),
    Note(
        "look-settings",
        "check",
        words("Then look at the settings of this tank: product, rate map, metering element, mass per turn."),
    ),
    Note(
        "look-too-much",
        "check",
        words("Then look for a meter that leaks or turns by itself, and for a wrong metering element."),
    ),
    Note(
        "look-too-little",
        "check",
        words("Then look for bridged product, a meter that slips, a leaking lid and blocked runs."),
    ),
]


def check_notes(error: float, new: float, fits: Sequence[float]) -> list[Say]:
    """Whether to leave it, to enter the new figure, or to look for what else is wrong, and where first."""
    how_far = judge(error)
    if how_far == "within":
        return [say("within")]
    if how_far == "off":
        return [say("enter", mass_per_turn=new), say("every-tank", share=error)]
    return [
        say("look-first"),
        say("look-area", area=fits[2]),
        say("look-used", used=fits[0]),
        say("look-settings"),
        say("look-too-much" if error > 0 else "look-too-little"),
    ]
