"""What a reply says of a give or take."""

from __future__ import annotations

import re
from collections.abc import Mapping

from calc.declare import Calculator, Note, Rows, words
from calc.uncertainty import Carried
from calc.units import COUNT, SHARE

CARRIED = Note(
    "give-or-take",
    "info",
    words(
        "Where your figures lie within their give or take 19 times in 20, so does the answer. "
        "For “{result}” most of it comes from “{source}”: {share}.",
        share=SHARE,
    ),
)
CARRIED_FROM_ROW = Note(
    "give-or-take",
    "info",
    words(
        "Where your figures lie within their give or take 19 times in 20, so does the answer. "
        "For “{result}” most of it comes from “{source}” of {each} {number}: {share}.",
        number=COUNT,
        share=SHARE,
    ),
)
LOST = Note(
    "give-or-take-lost",
    "check",
    words("Within what was given or taken, “{result}” may not be there at all. Measure more closely."),
)
UNSURE = Note(
    "give-or-take-unsure",
    "check",
    words("Within what was given or taken, “{result}” may come out otherwise. Measure more closely."),
)

Parts = Mapping[str, float | str]


def give_or_take_notes(calculator: Calculator, carried: Carried) -> list[tuple[Note, Parts]]:
    """The notes, and the parts of each."""
    notes: list[tuple[Note, Parts]] = []
    outputs = sorted((o for o in calculator.outputs if o.name in carried.parts), key=lambda o: not o.main)
    for one in outputs:
        if largest := carried.largest(one.name):
            notes.append(_from(calculator, one.title, *largest))
            break
    notes += [(LOST, {"result": o.title}) for o in outputs if carried.parts[o.name] is None]
    notes += [(UNSURE, {"result": o.title}) for o in calculator.outputs if o.name in carried.unsure]
    return notes


def _from(calculator: Calculator, result: str, place: str, share: float) -> tuple[Note, Parts]:
    """Where most of it comes from: a field, or a column of a numbered row."""
    name, number, column = re.fullmatch(r"(\w+)(?:\[(\d+)\]\.(\w+))?", place).groups()  # type: ignore[union-attr]
    one = calculator.input(name)
    if not isinstance(one, Rows):
        return CARRIED, {"result": result, "source": one.title, "share": share}
    source = next(c.title for c in one.columns if c.name == column)
    whose = {"result": result, "source": source, "each": one.each.lower()}
    return CARRIED_FROM_ROW, {**whose, "number": int(number), "share": share}
