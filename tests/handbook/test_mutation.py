"""Changing calc on purpose: which changes are made, which tests are run for them, and what is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from scipy.stats import binomtest

from handbook.measured import as_text
from handbook.mutation.made import modules, mutants, written
from handbook.mutation.spared import Reasons
from handbook.mutation.telling import interval, report, room_of
from handbook.mutation.touching import Touched
from handbook.mutation.trying import Trial, rounds

MODULE = """\
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    WIDTH = 1


def rate(mass: float | None = None) -> float | int:
    \"\"\"Never 2 and 2.\"\"\"
    return mass * 3 if mass else 0.5
"""
CHANGED = [
    ("mass * 3", "mass / 3"),
    ("3", "4"),
    ("mass * 3 if mass else 0.5", "mass * 3 if (mass) and False else 0.5"),
    ("mass * 3 if mass else 0.5", "mass * 3 if (mass) or True else 0.5"),
    ("0.5", "1.5"),
]


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A repository with one module of calc, and worked examples that are no module of it."""
    for name, text in {
        "calc/air/flow.py": MODULE,
        "calc/air/flow_cases.py": "CASE = 1\n",
        "tests/calculators/unnoticed.toml": "unnoticed = []\n",
    }.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def test_what_is_worked_out_is_changed_and_nothing_else(small: Path) -> None:
    assert modules(small) == ["calc/air/flow.py"]
    found = mutants(small, "calc/air/flow.py")
    assert sorted((one.was, one.becomes) for one in found) == sorted(CHANGED)
    assert {one.line for one in found} == {9}
    assert len({one.lot for one in found}) == len({one.code for one in found}) == len(CHANGED)
    for one in found:
        changed = written(MODULE, one.number)
        assert changed != MODULE
        assert one.becomes in changed.splitlines()[8]
        assert changed.splitlines()[:8] == MODULE.splitlines()[:8]


def test_the_tests_of_a_line_come_first_and_quickest() -> None:
    by_line = {"calc/air/flow.py": {9: ["b", "a"], 10: ["c"]}, "calc/air/fan.py": {1: ["d"]}, "calc/x.py": {}}
    touched = Touched(by_line, {"a": 1.0, "b": 0.5, "c": 0.1, "d": 0.2})
    assert touched.tests("calc/air/flow.py", 9) == ["b", "a"]
    assert touched.tests("calc/air/flow.py", 1) == ["c", "b", "a"]  # run at import
    assert touched.tests("calc/air/new.py", 1) == ["c", "d", "b", "a"]  # its room's
    assert touched.tests("calc/x.py", 1) == []


def test_the_files_that_look_most_are_tried_first_and_time_is_kept() -> None:
    seconds = {"t/a.py::1": 1.0, "t/a.py::2": 1.0, "t/b.py::1": 1.0, "t/c.py::1": 1.0, "t/d.py::1": 50.0}
    lots = list(rounds(Touched({}, seconds), list(seconds)))
    assert lots == [["t/a.py::1", "t/a.py::2", "t/b.py::1"], ["t/c.py::1"]]


@pytest.mark.parametrize(("caught", "of"), [(0, 10), (9, 10), (10, 10), (912, 1000)])
def test_the_interval_agrees_with_scipy(caught: int, of: int) -> None:
    beside = binomtest(caught, of).proportion_ci(method="wilson")
    assert interval(caught, of) == pytest.approx((beside.low, beside.high), abs=1e-12)


def test_what_was_not_noticed_is_told_but_for_what_has_a_reason(small: Path) -> None:
    found = mutants(small, "calc/air/flow.py")
    trials = [Trial(one, one.was != "3" and one.was != "0.5", 4, 1.0) for one in found]
    told = as_text(report(small, trials, 5))
    assert "Noticed: 3 of 5, 60.0% (aim 90%)." in told
    assert "Not noticed, without a reason: 2." in told
    assert "calc/air/flow.py:9  `3` as `4`" in told
    assert room_of(found[0]) == "air"
    (small / "tests/calculators/unnoticed.toml").write_text(
        '[[unnoticed]]\nmodule = "calc/air/flow.py"\nline = "return mass * 3 if mass else 0.5"\n'
        'was = "3"\nbecomes = "4"\nreason = "a test of this test"\n',
        encoding="utf-8",
    )
    told = as_text(report(small, trials, 7))
    assert "Not noticed, with a reason in tests/calculators/unnoticed.toml: 1." in told
    assert "`3` as `4`" not in told
    assert "Chosen by lot out of 7; of all of them" in told


def test_each_reason_is_of_a_change_that_can_be_made(root: Path) -> None:
    for one in Reasons(root).listed:
        lines = (root / one["module"]).read_text(encoding="utf-8").splitlines()
        made = {
            (lines[change.line - 1].strip(), change.was, change.becomes)
            for change in mutants(root, one["module"])
        }
        assert (one["line"], one["was"], one["becomes"]) in made, one
        assert len(one["reason"].split()) > 3, one
