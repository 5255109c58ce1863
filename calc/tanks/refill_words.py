"""What a refill plan comes to, in words."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Note, Say, say, words
from calc.errors import listed
from calc.number import settle
from calc.tanks.refill_sums import Passes, Plan, fills_ending_away
from calc.units import AREA, COUNT, DISTANCE, MASS

IN_HAND = 0.02  # less than this share of a fill left at a stop is little: a calibration is no closer

VERDICTS = {
    "area-only": words(
        "One fill goes {area}. First to end: {tanks}. Give the pass length to see where to stop.", area=AREA
    ),
    "whole-field": words(
        "One fill does the whole field. Going on, {tanks} would end {distance} into pass {number}.",
        distance=DISTANCE,
        number=COUNT,
    ),
    "every-pass": words(
        "Stop to fill after every pass. Without a stop, {tanks} would end {distance} into pass {number}.",
        distance=DISTANCE,
        number=COUNT,
    ),
    "passes": words(
        "Stop to fill after every {passes} passes. "
        "Without a stop, {tanks} would end {distance} into pass {number}.",
        passes=COUNT,
        distance=DISTANCE,
        number=COUNT,
    ),
    "pairs": words(
        "Stop to fill after every {passes} passes, back at the truck. "
        "Without a stop, {tanks} would end {distance} into pass {number}.",
        passes=COUNT,
        distance=DISTANCE,
        number=COUNT,
    ),
    "no-pass": words(
        "Not one whole pass: {tanks} would end {distance} into the first. Fill more, or refill on the way.",
        distance=DISTANCE,
    ),
    "no-pair": words(
        "Not once there and back: {tanks} would end {distance} into pass {number}. "
        "Fill more, or put a truck at each end.",
        distance=DISTANCE,
        number=COUNT,
    ),
}

ENDS = {"in-pass": words("{distance} into pass {number}", distance=DISTANCE, number=COUNT)}

NOTES = [
    Note(
        "give-pass-length",
        "info",
        words("Give the pass length to see in which pass a tank ends, and after which one to stop."),
    ),
    Note(
        "give-field-area",
        "info",
        words("Give the field's area to see how many fills it takes, and how much of each product."),
    ),
    Note(
        "one-pass",
        "stop",
        words("{tank} must hold {mass} for one pass, with its reserve.", mass=MASS),
    ),
    Note(
        "one-pair",
        "stop",
        words("{tank} must hold {mass} to go there and back once, with its reserve.", mass=MASS),
    ),
    Note(
        "thin",
        "check",
        words(
            "At the stop, {tanks} would be less than 2 % of a fill from the end. "
            "A meter that gives a little more ends it sooner. To be sure, stop earlier."
        ),
    ),
    Note(
        "no-reserve",
        "check",
        words("No reserve is kept. The last of a hopper may not flow evenly: keep some back."),
    ),
    Note(
        "other-end",
        "info",
        words("Passes on a fill with a truck at each end: {passes}.", passes=COUNT),
    ),
    Note(
        "end-away",
        "info",
        words(
            "The last fill need not come back. Fills if you end the field away from the truck: {fills}.",
            fills=COUNT,
        ),
    ),
    Note(
        "match",
        "info",
        words("Fill each tank only to its matched fill, and all of them end together."),
    ),
    Note("last-fill", "info", words("Fill each tank only to its last fill: the field takes no more.")),
    Note("together", "info", words("All tanks end together: their fills match.")),
    Note(
        "small-field",
        "check",
        words("The field is less than one pass. Check the pass length, the width and the field's area."),
    ),
]


def verdict_of(tanks: Sequence[str], area: float, lasting: Passes | None, fills: int | None) -> Say:
    """What to do, by what is known of passes and field."""
    names = listed(tanks, "and")
    if lasting is None:
        return say("area-only", tanks=names, area=area)
    parts: dict[str, float | str] = {
        "tanks": names,
        "distance": lasting.into,
        "number": lasting.last,
        "passes": lasting.to_stop,
    }
    if not lasting.to_stop:
        return say("no-pair" if lasting.done else "no-pass", **parts)
    if fills == 1:
        return say("whole-field", **parts)
    if lasting.back:
        return say("pairs", **parts)
    return say("every-pass" if lasting.to_stop == 1 else "passes", **parts)


def notes_of(plan: Plan) -> list[Say]:
    """What to do about it, what is missing, and what to look at again."""
    notes: list[Say] = []
    if plan.lasting is None:
        notes.append(say("give-pass-length"))
    else:
        notes += _short_tanks(plan, plan.lasting) + _stop_notes(plan, plan.lasting)
    if plan.ground.field is None:
        notes.append(say("give-field-area"))
    if not plan.reserve.value:
        notes.append(say("no-reserve"))
    if plan.fills == 1:
        notes.append(say("last-fill"))
    elif len(plan.tanks) > 1:
        notes.append(say("together" if len(plan.first) == len(plan.tanks) else "match"))
    return notes


def _short_tanks(plan: Plan, lasting: Passes) -> list[Say]:
    """What each tank must hold that does not last one pass, or one pair."""
    if lasting.to_stop or plan.ground.pass_area is None:
        return []
    area = plan.ground.pass_area * (2 if lasting.back else 1)
    code = "one-pair" if lasting.back else "one-pass"
    return [
        say(code, tank=tank.name, mass=tank.needs(area, plan.reserve))
        for tank in plan.tanks
        if settle(tank.area(plan.reserve) / area) < 1
    ]


def _stop_notes(plan: Plan, lasting: Passes) -> list[Say]:
    """What else there is to know of the stops."""
    notes: list[Say] = []
    passes = plan.ground.passes
    stops = passes is None or passes > lasting.to_stop
    if lasting.to_stop and stops and settle(lasting.lasts * (1 - IN_HAND)) < lasting.to_stop:
        notes.append(say("thin", tanks=listed(plan.first, "and")))
    if lasting.done > lasting.to_stop and stops:
        notes.append(say("other-end", passes=lasting.done))
    if passes is not None and (fewer := fills_ending_away(passes, lasting)):
        notes.append(say("end-away", fills=fewer))
    if plan.ground.less_than_a_pass:
        notes.append(say("small-field"))
    return notes
