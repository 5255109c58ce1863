"""`sampling` against scipy, a simulated scale, the NIST handbook and `calibration`."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from calc.declare import Found
from calc.metering.calibration import calibration
from calc.metering.catch_sums import Catch
from calc.metering.sampling import counts_for, half_of, sampling
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

MANY = settings(max_examples=examples(40))
CV, ERROR = st.floats(0.0005, 0.5), st.floats(0.001, 0.2)
CONFIDENCE = st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99, 0.999])


def of(
    cv: float, error: float, confidence: float = 0.95, step: float | None = None, share: float = 0.25
) -> Found:
    return sampling(cv, error, confidence, step, share)


def ask(units: str = "metric", **given_: Any) -> dict[str, Any]:
    return respond(compact({"calculator": "sampling", "given": given_, "units": units}))


def wrong(**given_: Any) -> list[tuple[str, str]]:
    made = ask(**given_)
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


# --- published figures


@pytest.mark.parametrize(("cv", "error", "catches"), [(2, 2, 7), (3, 2, 12), (5, 5, 7)])
def test_catches_worked_out_from_tables_of_t(cv: int, error: int, catches: int) -> None:
    """CV 2 % for ±2 % takes 7, 3 % for ±2 % takes 12, 5 % for ±5 % takes 7: tables of t, printed nowhere."""
    assert of(cv / 100, error / 100).values["catches"] == catches


def test_the_sample_of_the_nist_handbook() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.2: n 195, mean 9.261460, s 0.02278881, 9.258242 to 9.264679.

    The limits are printed to six decimals, so half their distance lies within half a step on both sides of
    the printed one: the count that reaches it is 195 at its largest, and 196 at most at its smallest.
    """
    cv, half = 0.02278881 / 9.261460, (9.264679 - 9.258242) / 2
    assert of(cv, (half + 5e-7) / 9.261460).values["catches"] == 195
    assert of(cv, (half - 5e-7) / 9.261460).values["catches"] in (195, 196)
    assert half_of(cv, 195, 0.95) * 9.261460 == pytest.approx(half, abs=5e-7)


def test_two_hundred_steps_for_a_quarter_of_a_percent() -> None:
    """Half a step in 200 is 0.25 %; as two readings it takes 400 (arithmetic)."""
    found = of(0.012, 0.01, step=0.01)
    assert found.values["least_mass"] == pytest.approx(2.0)
    assert [row[1] for row in found.tables["weighing"]] == [pytest.approx(200), pytest.approx(400)]  # type: ignore[union-attr]
    assert [row[2] for row in found.tables["weighing"]] == [pytest.approx(2), pytest.approx(4)]  # type: ignore[union-attr]


# --- independent libraries


@MANY
@given(CV, ERROR, CONFIDENCE)
def test_the_fewest_catches_by_scipy(cv: float, error: float, confidence: float) -> None:
    """Tried one by one with scipy's t: the first count whose half-width is within the error."""
    counts = np.arange(2, 10_001)
    widths = stats.t.ppf((1 + confidence) / 2, counts - 1) * cv / np.sqrt(counts)
    assume(np.abs(widths / error - 1).min() > 1e-7)  # at the limit itself the settled figure decides
    enough = widths <= error
    expected = int(counts[np.argmax(enough)]) if enough.any() else None
    assert of(cv, error, confidence).values["catches"] == expected


@MANY
@given(CV, ERROR, CONFIDENCE)
def test_halves_are_those_of_scipy(cv: float, error: float, confidence: float) -> None:
    for count, half in of(cv, error, confidence).tables["halves"]:  # type: ignore[union-attr]
        assert isinstance(count, int)
        _, high = stats.t.interval(confidence, count - 1, scale=cv / math.sqrt(count))
        assert half == pytest.approx(high, rel=1e-9)


@MANY
@given(
    st.floats(0.001, 0.05),
    st.floats(0.05, 1),
    st.sampled_from([0.0001, 0.001, 0.01, 0.05]),
    st.floats(1, 20),
    st.floats(0, 1),
)
def test_a_scale_that_reads_in_steps_stays_within_its_share(
    error: float, share: float, step: float, over: float, part: float
) -> None:
    """A simulated scale: what it shows is the nearest step. Full and empty apart may be off twice as far."""
    least = of(0.01, error, step=step, share=share).values["least_mass"]
    assert isinstance(least, float)

    def shown(mass: float) -> float:
        return float(np.round(mass / step) * step)

    mass = least * over
    allowed = share * error * mass * (1 + 1e-9) + 1e-15
    assert abs(shown(mass) - mass) <= allowed
    empty, product = 37 * step + part * step, 2 * mass
    read = shown(product + empty) - shown(empty)
    assert abs(read - product) <= 2 * allowed
    # And not with less: half a step is more than the share of any lighter catch.
    assert 0.5 * step > share * error * 0.999 * least


# --- what must hold


@settings(max_examples=examples(25))
@given(CV, ERROR, st.floats(1.05, 3))
def test_more_scatter_less_error_and_more_confidence_never_take_fewer(
    cv: float, error: float, by: float
) -> None:
    def needed(*figures: float) -> float:
        count = of(*figures).values["catches"]
        return math.inf if count is None else float(count)  # type: ignore[arg-type]

    assert needed(cv, error) <= needed(cv * by, error)
    assert needed(cv, error * by) <= needed(cv, error)
    assert needed(cv, error, 0.9) <= needed(cv, error, 0.95)
    ratio = needed(cv * by, error * by)
    assert ratio == needed(cv, error) or abs(ratio - needed(cv, error)) <= 1  # only CV ÷ error counts


@MANY
@given(st.lists(st.floats(0.95, 1.05), min_size=2, max_size=12), st.sampled_from([0.005, 0.01, 0.02, 0.05]))
def test_calibration_asks_for_the_rest(masses: list[float], tolerance: float) -> None:
    """`calibration` names how many more; with its CV this one names how many in all."""
    found = calibration([Catch(1.0, mass, 0.0, None) for mass in masses], None, tolerance).values
    cv, more = found["cv"], found["more_catches"]
    assert isinstance(cv, float)
    needed = of(cv, tolerance).values["catches"]
    if more is None:
        assert needed is None
    else:
        assert isinstance(needed, int) and more == max(0, needed - len(masses))


@settings(max_examples=examples(20))
@given(st.floats(0.0001, 1), ERROR, st.floats(0.01, 1))
def test_the_least_mass_grows_with_the_step_and_falls_with_what_is_allowed(
    step: float, error: float, share: float
) -> None:
    def least(*figures: float) -> float:
        mass = of(0.01, figures[0], 0.95, figures[1], figures[2]).values["least_mass"]
        assert isinstance(mass, float)
        return mass

    base = least(error, step, share)
    assert least(error, 2 * step, share) == pytest.approx(2 * base)
    assert least(error / 2, step, share) == pytest.approx(2 * base)
    assert least(error, step, share / 2) == pytest.approx(2 * base)
    assert base * share * error == pytest.approx(step / 2)


@pytest.mark.parametrize("needed", [None, 2, 3, 9, 20, 21, 27, 300, 10_000])
def test_the_table_holds_the_number_that_is_needed(needed: int | None) -> None:
    counts = counts_for(needed)
    assert counts == sorted(set(counts)) and counts[0] == 2
    assert needed is None or (needed in counts and any(count > needed for count in counts))


# --- notes and edges


def test_notes() -> None:
    assert codes(of(0.012, 0.01, step=0.01)) == ["work-out-again", "two-readings", "prove-scale"]
    assert codes(of(0.0001, 0.05)) == ["make-three", "give-scale-step"]
    assert codes(of(0.0, 0.05)) == ["no-scatter", "make-three", "give-scale-step"]
    assert codes(of(0.9, 0.001)) == ["too-many", "give-scale-step"]
    assert of(0.9, 0.001).values["catches"] is None and of(0.01, 0.01).values["least_mass"] is None


def test_hopeless_scatter_is_shown_in_words_and_without_a_picture() -> None:
    made = ask(cv="60 %", error="0.1 %", scale_step="1 g")
    assert made["ok"] and made["charts"] == [] and made["results"]["catches"] is None
    assert made["results"]["least_mass"]["si"] == pytest.approx(2.0)


GOOD = {"cv": "1.2 %", "error": "1 %"}


@pytest.mark.parametrize(
    ("given_", "expected"),
    [
        ({}, [("cv", "required"), ("error", "required")]),
        ({**GOOD, "cv": "1.2"}, [("cv", "missing-unit")]),
        ({**GOOD, "cv": "−1 %"}, [("cv", "too-low")]),
        ({**GOOD, "cv": "101 %"}, [("cv", "too-high")]),
        ({**GOOD, "error": "0 %"}, [("error", "too-low")]),
        ({**GOOD, "error": "51 %"}, [("error", "too-high")]),
        ({**GOOD, "confidence": "100 %"}, [("confidence", "too-high")]),
        ({**GOOD, "confidence": "0.95"}, [("confidence", "missing-unit")]),
        ({**GOOD, "scale_step": "0 g"}, [("scale_step", "too-low")]),
        ({**GOOD, "scale_step": "1 mm"}, [("scale_step", "wrong-kind")]),
        ({**GOOD, "reading_share": "0 %"}, [("reading_share", "too-low")]),
        ({**GOOD, "reading_shares": "25 %"}, [("reading_shares", "misspelt-field")]),
    ],
)
def test_each_mistake_is_on_its_field(given_: dict[str, str], expected: list[tuple[str, str]]) -> None:
    assert wrong(**given_) == expected


@pytest.mark.parametrize("cv", ["0 %", "0.01 %", "100 %"])
@pytest.mark.parametrize("error", ["0.01 %", "50 %"])
@pytest.mark.parametrize("confidence", ["50 %", "99.9 %"])
def test_bounds_themselves_are_answered(cv: str, error: str, confidence: str) -> None:
    made = ask(cv=cv, error=error, confidence=confidence, scale_step="50 kg", reading_share="1 %")
    assert made["ok"], made


# --- the lesson


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    """Figures in docs/lessons/calibration.md: three catches of 28.10, 28.40 and 27.80 lb, 0.05 lb steps."""
    lesson = (root / "docs" / "lessons" / "calibration.md").read_text(encoding="utf-8")
    cv = calibration([Catch(20, mass, 0, None) for mass in (28.1, 28.4, 27.8)], None, 0.02).values["cv"]
    assert isinstance(cv, float) and f"The CV of those three catches is {100 * cv:.3f} %." in lesson
    for error, catches in (("2 %", 4), ("1 %", 7)):
        made = ask("us", cv=f"{100 * cv:.3f} %", error=error, scale_step="0.05 lb")
        assert made["results"]["catches"]["si"] == catches and f"to {error}, make {catches}" in lesson
    tared, apart = made["tables"][1]["rows"]
    assert [row[1]["shown"] for row in (tared, apart)] == ["200.0", "400.0"]
    assert [row[2]["shown"] for row in (tared, apart)] == ["10.00 lb", "20.00 lb"]
    assert "`10 lb`{.q}, or 200 steps" in lesson and "it takes `20 lb`{.q}" in lesson


# --- the picture


@pytest.mark.parametrize("cv", ["0 %", "0.5 %", "1.2 %", "7.77 %", "23 %", "55.55 %", "100 %"])
@pytest.mark.parametrize("error", ["0.015 %", "0.1 %", "1.125 %", "2 %", "12.25 %", "50 %"])
@pytest.mark.parametrize("confidence", ["50 %", "95 %", "99.9 %"])
def test_picture_keeps_its_words_apart_and_in_the_box(cv: str, error: str, confidence: str) -> None:
    """Our own check: at 0.6 of its size for a letter, no text overlaps another or leaves the box."""
    made = ask(cv=cv, error=error, confidence=confidence)
    assert made["ok"], made
    if made["results"]["catches"] is None:
        assert made["charts"] == []
        return
    looked_at(made["charts"][0]["svg"])


def test_the_picture_says_what_it_shows() -> None:
    [chart] = ask(**GOOD)["charts"]
    assert "9 catches" in chart["description"] and "±0.9224 %" in chart["description"]
    assert chart["svg"].count("<circle") == 1 and ">wanted: ±1 %<" in chart["svg"]
