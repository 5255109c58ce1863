"""Every case of every declaration: printed figures to their printed digits, pinned values exactly."""

from __future__ import annotations

import re
from typing import Any

import pytest

from calc.declare import Calculator, Case, Found, Say, catalogue
from calc.number import settle, split_number, to_places
from calc.quantity import Units, in_unit
from calc.reading import read_given
from calc.reply import compact, respond
from calc.units import SPELLINGS, Kind, plain

CASES = [
    pytest.param(calculator, case, id=f"{calculator.id}: {case.title}")
    for calculator in catalogue().values()
    for case in calculator.cases
]


def look_up(calculator: Calculator, found: Found, key: str) -> tuple[Any, Kind | None]:
    """A result, or `table[row].column` with rows from 1, and its kind."""
    place = re.fullmatch(r"(\w+)\[(\d+)\]\.(\w+)", key)
    if not place:
        return found.values[key], next(o.kind for o in calculator.outputs if o.name == key)
    table = next(t for t in calculator.tables if t.id == place[1])
    column = [c.id for c in table.columns].index(place[3])
    return found.rows(table.id, Units())[int(place[2]) - 1][column], table.columns[column].kind


@pytest.mark.parametrize(("calculator", "case"), CASES)
def test_case_agrees_with_its_source(calculator: Calculator, case: Case) -> None:
    found = calculator.function(**read_given(calculator, case.given, Units()))
    for key, printed in case.printed.items():
        value, kind = look_up(calculator, found, key)
        assert kind is not None, f"{key} is a sentence: pin its code"
        _, spelling = split_number(printed, printed)
        number = printed.removesuffix(spelling).strip()
        places = len(number.partition(".")[2])
        if kind.bare:
            assert f"{value:.{places}f}" == number, key
        else:
            unit = SPELLINGS[kind.dimension][plain(spelling)]
            assert to_places(in_unit(value, unit), places) == number, key
    for key, pinned in case.pinned.items():
        value, _ = look_up(calculator, found, key)
        if isinstance(value, Say):
            assert value.code == pinned, key
        elif isinstance(value, float):
            assert isinstance(pinned, float) and settle(value) == settle(pinned), key
        else:
            assert value == pinned, key
    if case.notes is not None:
        assert [note.code for note in found.notes] == list(case.notes)


@pytest.mark.parametrize("units", ["metric", "us", "imperial", "us,speed=metric"])
@pytest.mark.parametrize(("calculator", "case"), CASES)
def test_case_makes_a_whole_reply(calculator: Calculator, case: Case, units: str) -> None:
    made = respond(compact({"calculator": calculator.id, "given": case.given, "units": units}))
    ambiguous = {e["code"] for e in made.get("errors", [])} == {"which-gallon"} and units == "imperial"
    assert made["ok"] or ambiguous, made
    assert "NaN" not in compact(made)
