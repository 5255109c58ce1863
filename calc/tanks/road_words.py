"""What a load comes to on the road, in words."""

from __future__ import annotations

import math

from calc.declare import Note, Say, say, words
from calc.errors import listed
from calc.number import settle
from calc.tanks.road_sums import Load
from calc.units import MASS

DOUBT = 0.05  # by how much of itself a mass of product may be off that was not weighed: common practice

VERDICTS = {
    "within": words(
        "Within by sum: {mass} against {allowed}. Spare: {spare}.", mass=MASS, allowed=MASS, spare=MASS
    ),
    "over": words(
        "Over by {over}. Empty first: {tanks}. Then it is {after}, and {allowed} is allowed.",
        over=MASS,
        after=MASS,
        allowed=MASS,
    ),
    "over-empty": words(
        "Over by {over}, and over with every tank empty. It may not go on the road like this.", over=MASS
    ),
}

EMPTY_FIRST = {
    "nothing": words("nothing"),
    "tanks": words("{tanks}"),
    "not-enough": words("every tank, and that is not enough"),
}

SET_BY = {
    "limit": words("the limit for the whole machine"),
    "tires": words("what the tires carry"),
    "both": words("both alike"),
}

NOTES = [
    Note("stay-off", "stop", words("Do not take it on the road like this.")),
    Note(
        "too-heavy-empty",
        "stop",
        words("Ask the road authority and the dealer: another way to move it, other tires, or a permit."),
    ),
    Note(
        "fewest",
        "info",
        words(
            "Named is the way with the fewest tanks, and of those the one with the least product to take "
            "off. By sum it is enough to take {over} off, from whichever tanks.",
            over=MASS,
        ),
    ),
    Note(
        "close",
        "check",
        words(
            "The spare is less than 5 % of the product on board. "
            "Masses from a dip or a density can be off by as much. Weigh it, or carry less."
        ),
    ),
    Note(
        "weigh",
        "check",
        words("This is a sum. Weigh the loaded machine, axle by axle and at the hitch."),
    ),
    Note(
        "give-tires",
        "info",
        words("Give what the tires carry together to see whether they allow less than the limit."),
    ),
]


def set_by(load: Load) -> Say:
    """Which of the limits allows the least."""
    if load.tyre_limit is not None and settle(load.tyre_limit / load.limit) == 1:
        return say("both")
    return say("tires" if load.by_tyres else "limit")


def empty_first(to_empty: list[str] | None) -> Say:
    """What to empty first."""
    if to_empty is None:
        return say("not-enough")
    return say("tanks", tanks=listed(to_empty, "and")) if to_empty else say("nothing")


def verdict_of(load: Load, to_empty: list[str] | None) -> Say:
    """Whether it is within, and what brings it there."""
    if to_empty is None:
        return say("over-empty", over=-load.spare)
    if not to_empty:
        return say("within", mass=load.mass, allowed=load.allowed, spare=load.spare)
    return say(
        "over",
        over=-load.spare,
        tanks=listed(to_empty, "and"),
        after=load.mass_without(to_empty),
        allowed=load.allowed,
    )


def notes_of(load: Load, to_empty: list[str] | None) -> list[Say]:
    """What to do about it, and what else to look at."""
    notes: list[Say] = []
    product = math.fsum(tank.mass for tank in load.tanks)
    if to_empty is None:
        notes += [say("stay-off"), say("too-heavy-empty")]
    elif to_empty:
        notes += [say("stay-off"), say("fewest", over=-load.spare)]
    elif load.spare < DOUBT * product:
        notes.append(say("close"))
    notes.append(say("weigh"))
    if load.tyre_limit is None:
        notes.append(say("give-tires"))
    return notes
