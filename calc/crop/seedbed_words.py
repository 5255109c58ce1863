"""What a limit of fertilizer with the seed comes to, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.crop.seedbed_sums import LB_AC, LEAST_SPREAD, MOST_SPACING, UREA, Cell, beyond, too_narrow
from calc.declare import Note, Say, say, words
from calc.number import settle
from calc.units import MASS_PER_AREA, SHORT_LENGTH

CANOLA = 10 * LB_AC  # about; Canola Council of Canada
MORE_ON_MEDIUM = 10 * LB_AC  # what other advisers print on top for medium soil
DISC_SPREAD = 2 * LEAST_SPREAD  # wider than double discs lay seed, by common practice

VERDICTS = {
    "limit": words(
        "At most {limit} of N as urea may go with the seed: {product} of urea.",
        limit=MASS_PER_AREA,
        product=MASS_PER_AREA,
    ),
    "none": words("No urea may go with the seed."),
    "within": words(
        "Within the limit: {nitrogen} of N, where at most {limit} may go with the seed.",
        nitrogen=MASS_PER_AREA,
        limit=MASS_PER_AREA,
    ),
    "too-much": words(
        "Too much by {excess} of N: at most {limit} may go with the seed.",
        excess=MASS_PER_AREA,
        limit=MASS_PER_AREA,
    ),
    "too-much-none": words("Too much by {excess} of N: no urea may go with the seed.", excess=MASS_PER_AREA),
    "no-limit-crop": words("No published limit: the table is for cereals only."),
    "no-limit-narrow": words(
        "No published limit: the table begins at a spread of {least}.", least=SHORT_LENGTH
    ),
    "no-limit-wide": words("No published limit: the table ends at a spacing of {most}.", most=SHORT_LENGTH),
}

NOTES = [
    Note(
        "ask-local",
        "stop",
        words("Put no fertilizer with this seed before local advice has said how much."),
    ),
    Note(
        "canola",
        "info",
        words(
            "Canola stands about {rate} of N with the seed (Canola Council of Canada). Local advice decides.",
            rate=MASS_PER_AREA,
        ),
    ),
    Note(
        "take-out",
        "stop",
        words(
            "Take {excess} of N, or {product} of urea, away from the seed. "
            "Put it in a band beside and below the row, or on the field at another time.",
            excess=MASS_PER_AREA,
            product=MASS_PER_AREA,
        ),
    ),
    Note(
        "safe-side",
        "info",
        words(
            "The limit is the one for {spread} on {spacing}, the next of the table on the safe side.",
            spread=SHORT_LENGTH,
            spacing=SHORT_LENGTH,
        ),
    ),
    Note(
        "beyond",
        "check",
        words(
            "Yours is beyond the table. The limit is the one for {spread} on {spacing}, on the safe side.",
            spread=SHORT_LENGTH,
            spacing=SHORT_LENGTH,
        ),
    ),
    Note("dry", "check", words("The soil is dry, so the limit is half of the published one.")),
    Note(
        "double-disc-light",
        "check",
        words("Double discs on light soil: the source allows no urea with the seed."),
    ),
    Note(
        "disc-spread",
        "check",
        words(
            "{spread} is wide for double discs. Dig up a row and measure how far the seed spreads.",
            spread=SHORT_LENGTH,
        ),
    ),
    Note(
        "medium",
        "info",
        words(
            "Other advisers print up to {more} more for medium soil. This is the lower figure.",
            more=MASS_PER_AREA,
        ),
    ),
    Note(
        "give-nitrogen",
        "info",
        words("Give the nitrogen you mean to put with the seed to see whether it is too much."),
    ),
]


def verdict_of(given: Mapping[str, Any], cell: Cell | None) -> Say:
    """What the limit comes to, and whether the nitrogen given is within it."""
    nitrogen = given["nitrogen_rate"]
    if given["crop"] != "cereal":
        return say("no-limit-crop")
    if cell is None:
        if too_narrow(given["spread"]):
            return say("no-limit-narrow", least=LEAST_SPREAD)
        return say("no-limit-wide", most=MOST_SPACING)
    if nitrogen is None:
        return say("limit", limit=cell.limit, product=cell.limit / UREA) if cell.limit else say("none")
    if settle(nitrogen) <= settle(cell.limit):
        return say("within", nitrogen=nitrogen, limit=cell.limit)
    excess = nitrogen - cell.limit
    return say("too-much" if cell.limit else "too-much-none", excess=excess, limit=cell.limit)


def notes_of(given: Mapping[str, Any], cell: Cell | None) -> list[Say]:
    """What to do, how the table was read, and what else to look at."""
    spread, nitrogen, crop = given["spread"], given["nitrogen_rate"], given["crop"]
    notes: list[Say] = []
    if cell is None:
        notes.append(say("ask-local"))
        if crop == "canola":
            notes.append(say("canola", rate=CANOLA))
    else:
        notes += _reading(given, cell)
        if nitrogen is None:
            notes.append(say("give-nitrogen"))
        elif settle(nitrogen) > settle(cell.limit):
            excess = nitrogen - cell.limit
            notes.insert(0, say("take-out", excess=excess, product=excess / UREA))
    if given["opener"] == "double-disc" and settle(spread) > settle(DISC_SPREAD):
        notes.append(say("disc-spread", spread=spread))
    return notes


def where_read(cell: Cell) -> dict[str, float | str]:
    """The spread and spacing of a cell, as parts of a sentence."""
    return {"spread": cell.spread, "spacing": cell.spacing}


def _reading(given: Mapping[str, Any], cell: Cell) -> list[Say]:
    """Which cell was read, and what was made of it."""
    notes: list[Say] = []
    spread, spacing = given["spread"], given["spacing"]
    if beyond(spread, spacing):
        notes.append(say("beyond", **where_read(cell)))
    elif settle(spread) != settle(cell.spread) or settle(spacing) != settle(cell.spacing):
        notes.append(say("safe-side", **where_read(cell)))
    if given["opener"] == "double-disc" and given["soil"] == "light":
        notes.append(say("double-disc-light"))
    elif given["moisture"] == "dry":
        notes.append(say("dry"))
    if given["soil"] == "medium":
        notes.append(say("medium", more=MORE_ON_MEDIUM))
    return notes
