"""Rules on figures in prose: each with its unit, and each in the reader's own."""

from __future__ import annotations

import re
from functools import cache

from calc.errors import InputError
from calc.units import SPELLINGS
from handbook.checking.passages import Page
from handbook.checking.rule import declare, rule
from handbook.checking.sentences import QUANTITY_SPACE
from handbook.checking.words import Words
from handbook.problems import Finding, Found
from handbook.quantities import by_systems

NUMBER = r"(?<![\w.,/−-])[−-]?\d[\d\u2009]*(?:[.,]\d+)?"
QUANTITIES = (
    "rate|ground speed|meter speed|fan speed|speed|pressure|width|spacing|depth|distance|temperature|"
    "mass per turn|density|flow"
)
UNITLESS = re.compile(
    rf"\b(?P<what>{QUANTITIES})\s+(?:of|is|at|to|was|be)\s+(?P<figure>{NUMBER})(?P<next>\s*\S*)", re.I
)
USUAL_UNITS = {  # by what stands in a quantity's name, the first that fits
    "mass": "lb/rev",
    "rate": "lb/ac",
    "meter": "rpm",
    "fan": "rpm",
    "speed": "mph",
    "pressure": "psi",
    "temperature": "°F",
    "density": "lb/ft3",
    "flow": "gpm",
    "spacing": "in",
    "depth": "in",
}
# A word behind a figure says what it counts: 4 tanks. These do not.
NO_UNIT = re.compile(
    r"\s*(?:$|[.,;:)?!]|(?:and|or|to|for|in|on|at|when|if|with|is|gives|the|so|then)\b)", re.I
)
# Letters that are units and everyday words or marks as well.
WORDS_TOO = {"in", "a", "s", "h", "g", "m", "L", "t", "min", "deg", "W", "C", "F"}


@cache
def _unit_finder() -> re.Pattern[str]:
    names = {name for spellings in SPELLINGS.values() for name in spellings} | {
        unit.name for spellings in SPELLINGS.values() for unit in spellings.values()
    }
    known = sorted((one for one in names - WORDS_TOO if one and one != "%"), key=len, reverse=True)
    return re.compile(rf"(?P<figure>{NUMBER})\s?(?P<unit>{'|'.join(map(re.escape, known))})(?![\w/²³])")


declare(
    __name__,
    id="quantity",
    asks="A quantity that is marked with `{.q}` can be read: a number and a unit that the book knows.",
    why="What cannot be read cannot be shown in the reader's own units.",
    source="This book: a quantity is written once and shown in every system of units",
    stops=True,
    wrong="Drive at `5 mhp`{.q}.",
    right="Drive at `5 mph`{.q}.",
)


@rule(
    id="bare-quantity",
    asks="A quantity in prose is marked, so that each reader sees it in their own units.",
    why="A figure in the other system is worked out in the head, in a cab, and wrong by a factor.",
    source="This book: a quantity is written once and shown in every system of units",
    wrong="Drive at 5 mph.",
    right="Drive at `5 mph`{.q}.",
)
def bare_quantity(page: Page, words: Words) -> Found:
    """Figures with a unit that differs from one system to the other; minutes and turns are everyone's."""
    for passage in page.passages:
        if passage.kind in ("hazard", "heading"):
            continue  # they are read as plain text
        for found in _unit_finder().finditer(passage.text):
            if passage.in_code(found.start()):
                continue
            written = f"{found['figure']} {found['unit']}"
            try:
                differs = len(by_systems(written)) > 1
            except InputError:
                continue
            if differs:
                yield Finding(
                    passage.line_of(found.start()),
                    "bare-quantity",
                    f"“{found[0]}” is shown to everyone alike; write `{written}`{{.q}}",
                )


@rule(
    id="missing-unit",
    asks="A figure of a rate, a speed, a pressure or a length carries its unit.",
    why="“Set the pressure to 30” has been read as psi, as bar and as the wrong gauge.",
    source="NIST Special Publication 811, section 7; 29 CFR and machine plates give figures with units",
    wrong="Set the pressure to 30.",
    right="Set the pressure to `30 psi`{.q}.",
)
def missing_unit(page: Page, words: Words) -> Found:
    """A number right behind the name of a quantity, with neither a unit nor a counted thing behind it."""
    for passage in page.passages:
        for found in UNITLESS.finditer(passage.text.replace(QUANTITY_SPACE, " ")):
            in_code = passage.in_code(found.start("figure"))  # then the block of code has the unit, or none
            if not in_code and (NO_UNIT.fullmatch(found["next"]) or NO_UNIT.match(found["next"] + " ")):
                yield Finding(
                    passage.line_of(found.start("figure")),
                    "missing-unit",
                    f"{found['what'].lower()} {found['figure']} has no unit; write it, such as "
                    f"`{found['figure']} {_example(found['what'].lower())}`{{.q}}",
                )


def _example(what: str) -> str:
    return next((unit for name, unit in USUAL_UNITS.items() if name in what), "ft")
