"""Requests drawn by chance from the declarations: whole ones, and ones with something broken in them."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from typing import Any

from calc.declare import Calculator, Choice, Field, Input, Name, Rows, row_optional
from calc.quantity import exact
from calc.units import COUNT, TURNS, Kind

LETTERS = "Abc é§-ß漢 9"
BROKEN = [
    *("", " ", "nan", "inf", "-", "1_000 kg", "1,234 lb", "½ in", "12", "12 furlongs", "-5 mph", "1e99 m"),
    *("0 m", "٣ m", "12 ± 3", "5 kg ± 1 kg", "= 1", "<b>", "x" * 200, "7.5 7.5 in", "100 % ± 200 %"),
    *("\u0000", "0", "1e-99", "999999999"),
]
NOT_TEXT: list[Any] = [None, 5, 2.5, True, [], {}, [[]], [{}], {"a": "1"}, ["1"]]


def requests(calculator: Calculator, seed: int, count: int) -> Iterator[dict[str, Any]]:
    """So many requests of one calculator, every third of them broken; the same for the same seed."""
    chance = random.Random(f"{calculator.id} {seed}")
    for number in range(count):
        given = whole(calculator, chance)
        if number % 3 == 2:
            _break(given, chance)
        units = chance.choice(["metric", "us", "imperial", "us,speed=metric"])
        yield {"calculator": calculator.id, "given": given, "units": units}


def whole(calculator: Calculator, chance: random.Random) -> dict[str, Any]:
    """What a person might give: each figure within its bounds, in any of its units."""
    left_out = {chance.choice(calculator.all_but_one)} if calculator.all_but_one else set()
    if calculator.one_of:
        left_out |= {*calculator.one_of} - {chance.choice(calculator.one_of)}
    grouped = {*calculator.all_but_one, *calculator.one_of}
    given: dict[str, Any] = {}
    for one in calculator.inputs:
        if one.name in left_out:
            continue
        free = one.name in calculator.optional and one.name not in grouped
        if not (free or one.default) or chance.random() < 0.7:
            given[one.name] = _rows(one, chance) if isinstance(one, Rows) else _text(one, chance)
    _in_order(calculator.inputs, given, chance)
    # What has no place with the choices made is not given, mostly: it would only be refused.
    for one in calculator.inputs:
        for choice, fitting in getattr(one, "only_with", {}).items():
            chosen = given.get(choice, calculator.input(choice).default)
            if chosen not in fitting and chance.random() < 0.95:
                given.pop(one.name, None)
            elif chosen in fitting and one.name not in given and getattr(one, "needed", False):
                given[one.name] = _text(one, chance)  # type: ignore[arg-type]
    return given


def _rows(rows: Rows, chance: random.Random) -> list[dict[str, str]]:
    optional = row_optional(rows)
    count = min(rows.most, max(rows.least, round(math.exp(chance.uniform(0, 3.5)))))
    return [_row(rows, number, optional, chance) for number in range(count)]


def _row(rows: Rows, number: int, optional: frozenset[str], chance: random.Random) -> dict[str, str]:
    row = {}
    for column in rows.columns:
        if not (column.name in optional or column.default) or chance.random() < 0.7:
            text = _text(column, chance)
            row[column.name] = f"{text[:40]} {number}" if isinstance(column, Name) else text
    _in_order(rows.columns, row, chance)
    return row


def _in_order(fields: Sequence[Field | Rows], given: dict[str, Any], chance: random.Random) -> None:
    """Mostly the lower end of a range is given below its upper end."""
    kinds = {one.name: one.kind for one in fields if isinstance(one, Input)}
    for low in [name for name in given if name.endswith("_low")]:
        high = f"{low.removesuffix('_low')}_high"
        if high in given and chance.random() < 0.95:
            ends = (given[low], given[high])
            given[low], given[high] = sorted(ends, key=lambda end: exact(end.partition("±")[0], kinds[low]))


def _text(one: Field, chance: random.Random) -> str:
    if isinstance(one, Choice):
        return chance.choice(list(one.options))
    if isinstance(one, Name):
        return "N" + "".join(chance.choices(LETTERS, k=chance.randint(0, 9)))
    if one.also and chance.random() < 0.5:
        return _figure(one.also.kind, one.also.low, one.also.high, chance)
    text = _figure(one.kind, one.low, one.high, chance)
    give = f" ± {chance.choice(['0.1', '1', '3'])} %" if one.measured and chance.random() < 0.1 else ""
    return text + give


def _figure(kind: Kind, low: str, high: str, chance: random.Random) -> str:
    """A figure within its bounds: often one of them, else anywhere by its size."""
    if chance.random() < 0.1:
        return chance.choice([low, high])
    least, most = float(exact(low, kind)), float(exact(high, kind))
    floor = max(least, most * 1e-6)
    size = chance.uniform(least, most)
    if floor > 0:
        size = math.exp(chance.uniform(math.log(floor), math.log(most)))
    if kind is COUNT or kind is TURNS:
        return str(min(max(round(size), math.ceil(least)), math.floor(most)))
    if kind.bare:
        return f"{size:.5g}"
    unit = chance.choice(kind.units)
    number = (size - float(unit.zero)) / float(unit.factor)
    spelling = unit.also[0] if unit.also and chance.random() < 0.2 else unit.name
    return f"{number:.{chance.randint(3, 7)}g} {spelling}"


def _break(given: dict[str, Any], chance: random.Random) -> None:
    """Spoil one to three things."""
    for _ in range(chance.randint(1, 3)):
        place: Any = given
        name = chance.choice([*given, "no_such_field"]) if given else "no_such_field"
        if isinstance(given.get(name), list) and given[name] and chance.random() < 0.8:
            place = chance.choice(given[name])
            if not isinstance(place, dict):
                continue
            name = chance.choice([*place, "no_such_column"]) if place else "no_such_column"
        what = chance.random()
        if what < 0.2:
            place.pop(name, None)
        else:
            # A copy: the next thing spoilt may lie within it.
            place[name] = deepcopy(chance.choice(BROKEN if what < 0.8 else NOT_TEXT))


def fields_of(calculator: Calculator) -> Mapping[str, frozenset[str]]:
    """The fields an error may name, each with the columns of its rows."""
    return {
        one.name: frozenset(c.name for c in one.columns) if isinstance(one, Rows) else frozenset()
        for one in calculator.inputs
    }
