"""Every case of every declaration: printed figures to their printed digits, pinned values exactly."""

from __future__ import annotations

import pytest

from calc.agreement import agreements, look_up
from calc.declare import Calculator, Case, Say, catalogue
from calc.number import settle
from calc.quantity import Units
from calc.reading import read_given
from calc.reply import compact, respond

CASES = [
    pytest.param(calculator, case, id=f"{calculator.id}: {case.title}")
    for calculator in catalogue().values()
    for case in calculator.cases
]


@pytest.mark.parametrize(("calculator", "case"), CASES)
def test_case_agrees_with_its_source(calculator: Calculator, case: Case) -> None:
    found = calculator.function(**read_given(calculator, case.given, Units()))
    for one in agreements(calculator, case):
        assert one.holds, (one.key, one.printed, one.ours)
    for key, pinned in case.pinned.items():
        value, _, _ = look_up(calculator, found, key)
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
