"""`evenness` against numpy, scipy and pint, with its verdicts, its picture and what is wrong in it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from calc.declare import Found, Say
from calc.metering.even_cases import ROWS, caught
from calc.metering.evenness import evenness
from calc.metering.run_sums import RunCatch, by_head, by_run, scatter_of_repeats, share_of_heads
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

UNITS = pint.UnitRegistry()
SPELT = {"g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound"}
MANY = settings(max_examples=examples(120))


def ask(units: str = "metric", **given_: Any) -> dict[str, Any]:
    return respond(compact({"calculator": "evenness", "given": given_, "units": units}))


def wrong(**given_: Any) -> list[tuple[str, str]]:
    made = ask(**given_)
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def of(
    masses: Sequence[float],
    heads: Sequence[int | None] = (),
    good: float = 0.1,
    usable: float = 0.15,
    band: float = 0.05,
) -> Found:
    """Runs counted from 1, one catch each."""
    known = list(heads) or [None] * len(masses)
    rows = [RunCatch(n, mass, head) for n, (mass, head) in enumerate(zip(masses, known, strict=True), 1)]
    return evenness(rows, good, usable, band)


def code(value: Any) -> str:
    assert isinstance(value, Say)
    return value.code


def codes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


# --- independent libraries

CATCH = st.tuples(
    st.integers(1, 30), st.integers(1, 4000).map(lambda n: n / 10), st.sampled_from(sorted(SPELT))
)


@MANY
@given(st.lists(CATCH, min_size=1, max_size=60))
def test_mean_and_cv_agree_with_numpy_and_pint(catches: list[tuple[int, float, str]]) -> None:
    """pint carries the units, numpy averages the repeats of a run first and then works out the CV."""
    rows = [
        {"run": str(run), "mass": f"{mass if unit in ('g', 'oz') else mass / 100:g} {unit}"}
        for run, mass, unit in catches
    ]
    made = ask(catches=rows)
    assert made["ok"], made
    grams: dict[int, list[float]] = {}
    for row in rows:
        number, unit = row["mass"].split()
        figure = UNITS.Quantity(float(number), SPELT[unit]).to("kilogram").magnitude
        grams.setdefault(int(row["run"]), []).append(figure)
    runs = np.array([np.mean(masses) for masses in grams.values()])
    results = made["results"]
    assert results["mean"]["si"] == pytest.approx(runs.mean(), rel=1e-9)
    if len(runs) == 1:
        assert results["cv"] is None
    else:
        assert results["cv"]["si"] == pytest.approx(stats.variation(runs, ddof=1), rel=1e-6, abs=1e-9)


SOME_HEADS = st.lists(
    st.lists(st.integers(500, 900), min_size=1, max_size=8), min_size=2, max_size=8
)  # what the runs of each head gave


def spread_out(heads: list[list[int]]) -> list[RunCatch]:
    rows = [(head, mass) for head, masses in enumerate(heads, 1) for mass in masses]
    return [RunCatch(number, mass / 1e4, head) for number, (head, mass) in enumerate(rows, 1)]


@MANY
@given(SOME_HEADS)
def test_scatter_between_heads_agrees_with_the_f_of_scipy(heads: list[list[int]]) -> None:
    """F of a one-way analysis by scipy, turned into 1 − (mean square within) / (mean square of all)."""
    runs, count = sum(map(len, heads)), len(heads)
    share = share_of_heads(by_head(by_run(spread_out(heads))))
    values = [mass for masses in heads for mass in masses]
    if runs - count < count or len(set(values)) == 1:
        assert share is None
        return
    assert share is not None
    if all(len(set(masses)) == 1 for masses in heads):
        assert share == pytest.approx(1)  # F is without bounds
        return
    f = stats.f_oneway(*heads).statistic
    expected = 1 - (runs - 1) / ((count - 1) * f + runs - count)
    assert share == pytest.approx(max(0.0, expected), abs=1e-9)


@MANY
@given(SOME_HEADS)
def test_rows_of_heads_agree_with_numpy(heads: list[list[int]]) -> None:
    found = evenness(spread_out(heads), 0.1, 0.15, 0.05)
    whole = np.mean([mass for masses in heads for mass in masses])
    for masses, row in zip(heads, found.tables["heads"], strict=True):  # type: ignore[arg-type]
        assert row[1] == len(masses)
        assert row[2] == pytest.approx(np.mean(masses) / 1e4, rel=1e-9)
        assert row[3] == pytest.approx(np.mean(masses) / whole - 1, abs=1e-9)
        if len(masses) == 1:
            assert row[4] is None
        else:
            assert row[4] == pytest.approx(np.std(masses, ddof=1) / np.mean(masses), abs=1e-9)
        outside = abs(np.mean(masses) / whole - 1) > 0.05 + 1e-9
        assert (code(row[5]) != "inside") == outside


@MANY
@given(st.lists(st.lists(st.integers(400, 600), min_size=2, max_size=4), min_size=2, max_size=12))
def test_scatter_of_repeats_agrees_with_numpy(repeats: list[list[int]]) -> None:
    """The pooled variance of the repeats, and its part of the variance of the runs' means."""
    runs = by_run([RunCatch(n, mass / 1e4, None) for n, row in enumerate(repeats, 1) for mass in row])
    found = scatter_of_repeats(runs)
    means = [np.mean(row) for row in repeats]
    if np.std(means) < 1e-9:
        assert found is None
        return
    pooled = sum(np.var(row) * len(row) for row in repeats) / sum(len(row) - 1 for row in repeats)
    part = pooled * np.mean([1 / len(row) for row in repeats]) / np.var(means, ddof=1)
    assert found is not None
    assert found[0] == pytest.approx(math.sqrt(pooled) / 1e4, abs=1e-12)
    assert found[1] == pytest.approx(min(1.0, part), rel=1e-6, abs=1e-9)


def test_the_rows_of_field_and_long() -> None:
    """Field and Long, SI drill problem: total 270.9 g, mean 22.575 g; no CV is printed."""
    made = ask(catches=caught(*ROWS))
    assert f"{12e3 * made['results']['mean']['si']:.1f}" == "270.9"
    assert f"{1e3 * made['results']['mean']['si']:.3f}" == "22.575"
    assert made["results"]["cv"]["si"] == pytest.approx(
        stats.variation([float(row) for row in ROWS], ddof=1), rel=1e-9
    )


# --- what must hold

MASSES = st.lists(st.integers(0, 900).map(lambda n: n / 1e4), min_size=2, max_size=30)


@MANY
@given(MASSES, st.floats(0.01, 50), st.randoms(use_true_random=False))
def test_neither_the_unit_nor_the_order_of_rows_matters(
    masses: list[float], by: float, shuffler: Any
) -> None:
    rows = [RunCatch(number, mass, None) for number, mass in enumerate(masses, 1)]
    larger = [RunCatch(row.run, by * row.mass, None) for row in rows]
    shuffler.shuffle(larger)
    one, two = evenness(rows, 0.1, 0.15, 0.05), evenness(larger, 0.1, 0.15, 0.05)
    assert two.values["mean"] == pytest.approx(by * one.values["mean"], rel=1e-9)  # type: ignore[operator]
    assert (one.values["cv"] is None) == (two.values["cv"] is None)
    if one.values["cv"] is not None:
        assert two.values["cv"] == pytest.approx(one.values["cv"], rel=1e-6, abs=1e-9)


@MANY
@given(MASSES, st.integers(2, 3))
def test_a_run_counts_once_however_often_it_was_caught(masses: list[float], times: int) -> None:
    once = of(masses)
    rows = [RunCatch(number, mass, None) for number, mass in enumerate(masses, 1)]
    again = evenness([*rows, *rows[:1] * (times - 1)], 0.1, 0.15, 0.05)
    assert again.values["mean"] == pytest.approx(once.values["mean"], rel=1e-9)
    assert again.values["cv"] == (pytest.approx(once.values["cv"], rel=1e-9) if any(masses) else None)


@MANY
@given(MASSES)
def test_lowest_and_highest_are_those(masses: list[float]) -> None:
    found = of(masses)
    for name, extreme in (("lowest", min(masses)), ("highest", max(masses))):
        said = found.values[name]
        assert isinstance(said, Say)
        if len(set(masses)) == 1:
            assert said.code == "alike"
            continue
        assert said.parts["mass"] == pytest.approx(extreme, rel=1e-9)
        where = [number for number, mass in enumerate(masses, 1) if mass == extreme]
        assert said.code == ("run" if len(where) == 1 else "runs" if len(where) <= 6 else "many")
        first = re.search(r"\d+", str(said.parts.get("run") or said.parts.get("runs")))
        assert first and int(first[0]) == where[0]


@MANY
@given(st.lists(st.tuples(st.integers(1, 500), st.integers(0, 50), st.integers(1, 100) | st.none())))
def test_whatever_is_within_bounds_is_answered_or_refused_on_its_field(
    catches: list[tuple[int, int, int | None]],
) -> None:
    rows = [
        {"run": str(run), "mass": f"{mass} g"} | ({"head": str(head)} if head else {})
        for run, mass, head in catches[:240]
    ]
    made = ask(catches=rows)
    if made["ok"]:
        assert all(chart["svg"].startswith("<svg") for chart in made["charts"])
    else:
        assert {error["code"] for error in made["errors"]} <= {"other-head", "row-count"}


# --- verdicts, which test decides


@pytest.mark.parametrize(
    ("masses", "verdict"),
    [
        ([1.0], "one-run"),
        ([0.0], "nothing"),
        ([0.0, 0.0], "nothing"),
        ([1.0, 1.0, 1.0, 0.0], "blocked"),
        ([1.0, 1.0, 1.0, 1.0, 0.0, 0.3], "some-blocked"),
        ([0.9, 1.0, 1.1], "good"),  # a CV of 10 % exactly
        ([0.899, 1.0, 1.101], "usable"),
        ([0.85, 1.0, 1.15], "usable"),  # 15 % exactly
        ([0.849, 1.0, 1.151], "uneven"),
        ([1.0, 1.0], "good"),
    ],
)
def test_the_cv_is_graded_and_what_is_worse_goes_first(masses: list[float], verdict: str) -> None:
    """Hand arithmetic: 1 − d, 1 and 1 + d have a CV of d."""
    assert code(of(masses).values["verdict"]) == verdict


def test_half_the_mean_is_not_blocked_but_less_is() -> None:
    """Hand arithmetic: of 0.5, 1.25 and 1.25 the mean is 1."""
    assert code(of([0.5, 1.25, 1.25]).values["verdict"]) == "uneven"
    assert code(of([0.499, 1.25, 1.251]).values["verdict"]) == "blocked"


def test_a_plugged_run_decides_though_the_cv_is_small() -> None:
    """Hand arithmetic: with one empty run of N the mean is (N − 1)/N and s is 1/√N, so the CV √N/(N − 1)."""
    found = of([0.05] * 119 + [0.0])
    assert found.values["cv"] == pytest.approx(math.sqrt(120) / 119, rel=1e-9)
    assert code(found.values["verdict"]) == "blocked" and "blocked-counted" in codes(found)
    [note] = [note for note in found.notes if note.code == "blocked-counted"]
    assert note.parts["cv"] == 0  # the others are alike


@pytest.mark.parametrize(
    ("low", "verdict", "part"), [(0.95, "good", "inside"), (0.949, "heads", "low"), (0.9, "heads", "low")]
)
def test_heads_are_held_against_their_band(low: float, verdict: str, part: str) -> None:
    """Hand arithmetic: heads at 0.95 and 1.05 lie 5 % off the mean exactly, which is inside."""
    found = of([low] * 3 + [2 - low] * 3, [1] * 3 + [2] * 3)
    assert code(found.values["verdict"]) == verdict
    assert code(found.tables["heads"][0][5]) == part  # type: ignore[index]


def test_one_head_outside_is_named_alone() -> None:
    found = of([1.0] * 8 + [0.9] * 2, [1, 1, 2, 2, 3, 3, 4, 4, 5, 5])
    verdict = found.values["verdict"]
    assert isinstance(verdict, Say)
    assert verdict.code == "head" and verdict.parts["head"] == "5"
    assert verdict.parts["difference"] == pytest.approx(0.9 / 0.98 - 1)


@pytest.mark.parametrize(
    ("runs", "part"),
    [
        ([0.9, 0.91, 0.89, 0.9], "low"),
        ([1.02, 1.01, 1.0, 0.55], "few-low"),
        ([0.99, 1.0, 1.0, 1.45], "few-high"),
        ([1.1, 1.12, 1.09, 1.1], "high"),
        ([0.8, 1.0], "low"),  # of two runs none can be called the odd one
    ],
)
def test_a_head_off_as_a_whole_is_told_from_one_pulled_by_a_run(runs: list[float], part: str) -> None:
    found = of([1.0] * 24 + runs, [1] * 12 + [2] * 12 + [3] * len(runs))
    row = found.tables["heads"][2][5]  # type: ignore[index]
    assert code(row) == part
    assert isinstance(row, Say)
    if part.startswith("few"):
        assert row.parts["run"] == "28"


# --- what to look at first


def test_what_is_looked_at_first() -> None:
    """Hand arithmetic on a mean near 1: the plugged run, then the low head, then a run that is high."""
    heads = [1] * 8 + [2] * 8 + [3] * 8
    masses = [1.05] * 7 + [1.4] + [0.9] * 8 + [1.05] * 7 + [0.0]
    found = of(masses, heads)
    rows: Any = found.tables["look"]
    assert [(code(row[0]), row[0].parts["number"], code(row[2])) for row in rows] == [
        ("run", "24", "blocked-run"),
        ("head", "1", "high-head"),
        ("head", "2", "low-head"),
        ("run", "8", "high-run"),
    ]
    assert [code(row[5]) for row in found.tables["heads"]] == ["high", "low", "few-low"]  # type: ignore[union-attr]


def test_even_runs_leave_nothing_to_look_at() -> None:
    assert "look" not in of([1.0, 1.05, 0.95, 1.0]).tables
    assert "look" not in of([0.0, 0.0]).tables and "look" not in of([1.0]).tables


def test_no_more_is_listed_than_one_can_look_at() -> None:
    found = of([0.0] * 20 + [1.0] * 20)
    assert len(found.tables["look"]) == 6  # type: ignore[arg-type]


def test_where_the_trouble_lies() -> None:
    """Our own check: all of it between heads, none of it, and some of each."""
    heads = [1] * 4 + [2] * 4
    assert "between-heads" in codes(of([0.8] * 4 + [1.2] * 4, heads))
    assert "within-heads" in codes(of([0.8, 1.2] * 4, heads))
    both = of([0.9, 1.1, 0.8, 1.0, 1.0, 1.2, 0.9, 1.3], heads)
    [note] = [note for note in both.notes if note.code in ("between-heads", "within-heads", "both")]
    f = stats.f_oneway([0.9, 1.1, 0.8, 1.0], [1.0, 1.2, 0.9, 1.3]).statistic
    assert note.parts["share"] == pytest.approx(1 - 7 / (f + 6))
    assert not {"between-heads", "within-heads", "both"} & set(codes(of([1.0, 1.01] * 4, heads)))


# --- what else the reader is told


def test_notes_on_what_was_and_was_not_caught() -> None:
    assert "few-runs" in codes(of([1.0, 1.1] * 4)) and "few-runs" not in codes(of([1.0, 1.1] * 5))
    [few] = [note for note in of([1.0, 1.1, 1.0]).notes if note.code == "few-runs"]
    assert few.parts == {"count": 3, "share": 0.5}  # 1/√(2 · 2)
    rows = [RunCatch(number, 1.0 + number / 100, None) for number in (1, 2, 4, 7, 7)]
    found = evenness(rows, 0.1, 0.15, 0.05)
    said = {note.code: note.parts for note in found.notes}
    assert said["missing"] == {"count": 3, "run": "3"}
    assert said["caught-more"] == {"count": 1, "run": "7"}


def test_repeats_that_scatter_are_not_taken_for_poor_runs() -> None:
    poor = [RunCatch(run, 1.0 + 0.2 * run + move, None) for run in (1, 2, 3) for move in (-0.01, 0.01)]
    noisy = [RunCatch(run, 1.0 + 0.01 * run + move, None) for run in (1, 2, 3) for move in (-0.2, 0.2)]
    assert "repeats-agree" in codes(evenness(poor, 0.1, 0.15, 0.05))
    assert "repeats-scatter" in codes(evenness(noisy, 0.1, 0.15, 0.05))
    assert "caught-once" in codes(of([1.0, 1.1]))


def test_one_row_is_enough_to_tell_the_head_of_a_run() -> None:
    rows = [RunCatch(1, 1.0, 2), RunCatch(1, 1.2, None), RunCatch(2, 1.1, 2), RunCatch(3, 1.0, None)]
    found = evenness(rows, 0.1, 0.15, 0.05)
    assert [row[:3] for row in found.tables["heads"]] == [[2, 2, pytest.approx(1.1)]]  # type: ignore[union-attr]
    assert {"one-head", "some-without-head"} <= set(codes(found))
    assert [row[1] for row in found.tables["runs"]] == [2, 2, None]  # type: ignore[union-attr]


def test_alike_runs_have_no_scatter_at_all() -> None:
    """Three times 0.1 and 0.3 ÷ 3 differ by a bit: no CV may come of that."""
    found = evenness([RunCatch(1, 0.1, None), *[RunCatch(2, 0.3 / 3, None)] * 3], 0.1, 0.15, 0.05)
    assert found.values["cv"] == 0 and code(found.values["lowest"]) == "alike"
    assert "all-alike" in codes(found)


# --- mistakes

GOOD = caught("70", "71")


@pytest.mark.parametrize(
    ("given_", "expected"),
    [
        ({}, [("catches", "required")]),
        ({"catches": []}, [("catches", "row-count")]),
        ({"catches": [GOOD[0]] * 241}, [("catches", "row-count")]),
        ({"catches": [{"mass": "70 g"}]}, [("catches[1].run", "required")]),
        ({"catches": [{"run": "1"}]}, [("catches[1].mass", "required")]),
        ({"catches": [{"run": "1.5", "mass": "70 g"}]}, [("catches[1].run", "whole")]),
        ({"catches": [{"run": "0", "mass": "70 g"}]}, [("catches[1].run", "too-low")]),
        ({"catches": [{"run": "501", "mass": "70 g"}]}, [("catches[1].run", "too-high")]),
        ({"catches": [{"run": "1", "mass": "70"}]}, [("catches[1].mass", "missing-unit")]),
        ({"catches": [{"run": "1", "mass": "−1 g"}]}, [("catches[1].mass", "too-low")]),
        ({"catches": [{"run": "1", "mass": "70 kg"}]}, [("catches[1].mass", "too-high")]),
        ({"catches": [{**GOOD[0], "head": "A"}]}, [("catches[1].head", "not-a-number")]),
        ({"catches": GOOD, "good": "10"}, [("good", "missing-unit")]),
        ({"catches": GOOD, "head_band": "0 %"}, [("head_band", "too-low")]),
        ({"catches": GOOD, "good": "20 %"}, [("good", "low-above-high")]),
        (
            {
                "catches": [{**GOOD[0], "head": "1"}, {**GOOD[0], "head": "2"}, {**GOOD[0], "head": "3"}],
                "good": "16 %",
            },
            [
                ("catches[2].head", "other-head"),
                ("catches[3].head", "other-head"),
                ("good", "low-above-high"),
            ],
        ),
    ],
)
def test_each_mistake_is_on_its_field(given_: Any, expected: list[tuple[str, str]]) -> None:
    assert wrong(**given_) == expected


def test_a_run_under_two_heads_is_told_in_words() -> None:
    made = ask(catches=[{**GOOD[0], "head": "1"}, {**GOOD[0], "head": "2"}])
    assert made["errors"][0]["problem"] == (
        "run 1 stands under head 1 further up and under head 2 here; correct one"
    )


@pytest.mark.parametrize("edge", [{"good": "0.5 %"}, {"usable": "100 %"}, {"good": "15 %"}])
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert ask(catches=GOOD, **edge)["ok"]


def test_as_many_rows_as_the_largest_machine_needs() -> None:
    rows = [row for _ in range(2) for row in caught(*["70"] * 120)]
    assert ask(catches=rows)["ok"]


# --- the lesson


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    """Figures in docs/lessons/evenness.md, by the same catches in US units."""
    lesson = (root / "docs" / "lessons" / "evenness.md").read_text(encoding="utf-8")
    six = ask("us", catches=caught("2.5", "2.4", "2.6", "2.5", "2.3", "2.7", unit="oz"))["results"]
    twelve = [
        *caught("2.48", "2.50", "2.45", "2.46", head="1", unit="oz"),
        *caught("2.22", "2.25", "2.22", "2.25", first=5, head="2", unit="oz"),
        *caught("2.49", "2.46", "2.05", "2.48", first=9, head="3", unit="oz"),
    ]
    assert all(f"{{run: {r['run']}, mass: {r['mass']}, head: {r['head']}}}" in lesson for r in twelve)
    as_it_is = ask("us", catches=twelve)
    mended = ask("us", catches=[*twelve[:10], {**twelve[10], "mass": "2.47 oz"}, twelve[11]])
    stated = [six["mean"], six["cv"], as_it_is["results"]["cv"], mended["results"]["cv"]]
    tables = {table["id"]: table["rows"] for table in as_it_is["tables"]}
    stated += [row[1] for row in tables["look"]] + [mended["tables"][0]["rows"][0][1]]
    plugged = [*caught(*["50"] * 119), *caught("0", first=120)]
    stated.append(ask(catches=plugged)["results"]["cv"])
    for cell in stated:
        assert cell["shown"].lstrip("−") in lesson, cell


# --- the picture


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("on_a_head", [0, 1, 9])
@pytest.mark.parametrize("count", [2, 3, 12, 72, 120, 240])
@pytest.mark.parametrize("odd", ["", "0", "900"])
def test_picture_keeps_its_words_apart_and_in_the_box(
    count: int, on_a_head: int, odd: str, units: str
) -> None:
    rows = caught(*(f"{70 + 9 * math.sin(7.0 * place):.1f}" for place in range(count)), first=260)
    if on_a_head:
        rows = [{**row, "head": str(min(1 + place // on_a_head, 100))} for place, row in enumerate(rows)]
    if odd:
        rows[-1] = {**rows[-1], "mass": f"{odd} g"}
    made = ask(units, catches=rows, good="2.5 %", head_band="12.25 %")
    assert made["ok"], made
    looked_at(made["charts"][0]["svg"])


def test_the_picture_says_what_it_shows() -> None:
    made = ask(catches=caught("70", "80", "66"))
    [chart] = made["charts"]
    assert "run 3, at −8.333 %" in chart["description"] and "run 2, at 11.11 %" in chart["description"]
    assert chart["svg"].count('fill-opacity="0.6"') == 3 + 1  # a bar a run, and one in the key
    assert ask(catches=caught("70"))["charts"] == [] and ask(catches=caught("0", "0"))["charts"] == []
