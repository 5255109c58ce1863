"""How far what a calculator finds agrees with what its sources print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from calc.declare import Calculator, Case, Found
from calc.number import MINUS, split_number, to_places
from calc.quantity import Units, exact_number, in_unit
from calc.reading import read_given
from calc.units import SPELLINGS, Kind, plain


@dataclass(frozen=True)
class Agreement:
    """One printed figure beside ours: in the same unit, to the same places and to two more."""

    key: str
    title: str
    printed: str
    ours: str
    finer: str

    @property
    def holds(self) -> bool:
        """Whether ours has every printed digit."""
        return _without_spaces(self.printed) == _without_spaces(self.ours)


def agreements(calculator: Calculator, case: Case) -> Iterator[Agreement]:
    """Each printed figure of a case, beside what is found from what the case gives."""
    found = calculator.function(**read_given(calculator, case.given, Units()))
    for key, printed in case.printed.items():
        value, kind, title = look_up(calculator, found, key)
        if kind is None:
            raise TypeError(f"{calculator.id}: {key} is a sentence, which is pinned by its code")
        _, spelling = split_number(printed, printed)
        unit = None if kind.bare else SPELLINGS[kind.dimension][plain(spelling)]
        size = in_unit(value, unit) if unit else exact_number(value)
        places = len(printed.removesuffix(spelling).strip().partition(".")[2])
        ours, finer = (f"{to_places(size, more)} {spelling}".strip() for more in (places, places + 2))
        yield Agreement(key, title, printed, ours, finer)


def _without_spaces(text: str) -> str:
    """Without what a source may print in another way: the sign, and spaces between thousands."""
    return "".join(text.replace(MINUS, "-").split())


def look_up(calculator: Calculator, found: Found, key: str) -> tuple[Any, Kind | None, str]:
    """A result, or `table[row].column` with rows from 1: its value, its kind and its title."""
    place = re.fullmatch(r"(\w+)\[(\d+)\]\.(\w+)", key)
    if not place:
        output = next(o for o in calculator.outputs if o.name == key)
        return found.values[key], output.kind, output.title
    table = next(t for t in calculator.tables if t.id == place[1])
    column = [c.id for c in table.columns].index(place[3])
    value = found.rows(table.id, Units())[int(place[2]) - 1][column]
    return value, table.columns[column].kind, f"{table.columns[column].title}, row {place[2]}"
