"""`calibration` against published figures, scipy, numpy and outlier-utils, and what it must never do."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from outliers.smirnov_grubbs import TwoSidedGrubbsTest
from scipy import stats

from calc.declare import Found, Say
from calc.metering.calibration import calibration
from calc.metering.catch_sums import Catch, more_than_chance, slow_and_fast
from calc.number import settle
from calc.reply import compact, respond
from calc.statistics import deviation, grubbs_limit, mean, t_quantile
from tests.calculators.many import examples

MASSES = st.lists(st.floats(0.9, 1.1), min_size=2, max_size=20)
SCATTERED = settings(derandomize=True, max_examples=examples(80), deadline=None)


def found_for(masses: Sequence[float], tolerance: float = 0.02, in_use: float | None = None) -> Found:
    return calibration([Catch(1.0, mass, 0.0, None) for mass in masses], in_use, tolerance)


def at_speeds(pairs: Sequence[tuple[float, float | None]], tolerance: float = 0.02) -> Found:
    return calibration([Catch(1.0, mass, 0.0, speed) for mass, speed in pairs], None, tolerance)


def code(found: Found) -> str:
    verdict = found.values["verdict"]
    assert isinstance(verdict, Say)
    return verdict.code


def notes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


def asked(given: Any, units: str = "metric") -> dict[str, Any]:
    return respond(compact({"calculator": "calibration", "given": given, "units": units}))


def wrong(given: Any, units: str = "metric") -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in asked(given, units)["errors"]]


# --- published figures


def test_interval_of_the_nist_handbook() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.2: n 195, mean 9.261460, s 0.02278881, t 1.9723 → 9.258242 to 9.264679.

    The printed mean is itself rounded, so the printed limits lie between those of the means that print so.
    97 masses a step below, 97 a step above and one in the middle have s = step.
    """
    step = 0.02278881
    ends = []
    for middle in (9.2614595, 9.2614605):
        values = found_for([middle - step] * 97 + [middle] + [middle + step] * 97).values
        cv, low, high = values["cv"], values["interval_low"], values["interval_high"]
        assert isinstance(cv, float) and isinstance(low, float) and isinstance(high, float)
        assert f"{cv * middle:.8f}" == "0.02278881"
        assert f"{high - low:.6f}" == f"{9.264679 - 9.258242:.6f}"
        ends.append((round(low, 6), round(high, 6)))
    assert ends[0][0] <= 9.258242 <= ends[1][0]
    assert ends[0][1] <= 9.264679 <= ends[1][1]
    assert f"{t_quantile(0.025, 194):.4f}" == "1.9723"


def test_outlier_of_the_nist_handbook() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.17.1: G 2.4688; its limit is the one-sided one, 2.0317."""
    masses = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    assert f"{(245.57 - mean(masses)) / deviation(masses):.4f}" == "2.4688"
    assert f"{grubbs_limit(8, 2 * 0.05):.4f}" == "2.0317"
    assert found_for(masses).values["suspect"] == 8


@pytest.mark.parametrize(
    ("count", "limit"),
    [
        (3, "1.1543"),
        (4, "1.4813"),
        (5, "1.7150"),
        (6, "1.8871"),
        (7, "2.0200"),
        (8, "2.1266"),
        (10, "2.2900"),
        (12, "2.4116"),
    ],
)
def test_two_sided_grubbs_limits(count: int, limit: str) -> None:
    """Table of two-sided limits at 5 %; and outlier-utils works out the same."""
    assert f"{grubbs_limit(count):.4f}" == limit
    assert grubbs_limit(count) == pytest.approx(
        TwoSidedGrubbsTest(None)._get_g_test(range(count), 0.05), rel=1e-9
    )


def test_rows_of_field_and_long_are_within_their_limits() -> None:
    """Field and Long, SI drill problem: total 270.9 g, mean 22.575, limits 23.7 and 21.4, all accepted."""
    masses = [22.6, 22.4, 22.0, 22.9, 22.7, 22.6, 22.0, 22.8, 22.8, 22.7, 22.6, 22.8]
    found = found_for(masses, 0.05)
    middle = found.values["mass_per_turn"]
    assert isinstance(middle, float)
    assert f"{12 * middle:.1f}" == "270.9" and f"{middle:.3f}" == "22.575"
    assert f"{1.05 * middle:.1f}" == "23.7" and f"{0.95 * middle:.1f}" == "21.4"
    assert all(isinstance(row[3], float) and abs(row[3]) < 0.05 for row in found.tables["catches"])


@pytest.mark.parametrize(("cv", "tolerance", "needed"), [(2, 2, 7), (3, 2, 12), (5, 5, 7)])
def test_catches_needed_for_a_cv(cv: float, tolerance: float, needed: int) -> None:
    """n = (t · CV / E)², iterated; three catches at 1 − CV, 1 and 1 + CV have that CV exactly."""
    found = found_for([1 - cv / 100, 1.0, 1 + cv / 100], tolerance / 100)
    assert found.values["cv"] == pytest.approx(cv / 100, rel=1e-9)
    assert found.values["more_catches"] == needed - 3


# --- independent libraries


@SCATTERED
@given(MASSES)
def test_interval_and_cv_agree_with_scipy(masses: list[float]) -> None:
    values = np.array([settle(mass) for mass in masses])
    if values.max() == values.min():
        return
    found = found_for(masses).values
    low, high = stats.t.interval(0.95, len(values) - 1, loc=values.mean(), scale=stats.sem(values))
    assert found["mass_per_turn"] == pytest.approx(values.mean(), rel=1e-12)
    assert found["interval_low"] == pytest.approx(low, rel=1e-9, abs=1e-9)
    assert found["interval_high"] == pytest.approx(high, rel=1e-9)
    assert found["cv"] == pytest.approx(stats.variation(values, ddof=1), rel=1e-6, abs=1e-12)
    assert found["spread"] == pytest.approx(np.ptp(values) / values.mean(), rel=1e-9)


@SCATTERED
@given(st.lists(st.floats(0.98, 1.02), min_size=6, max_size=20), st.floats(0.8, 1.2))
def test_suspect_is_what_grubbs_rejects(masses: list[float], odd: float) -> None:
    """G by numpy, its limit by outlier-utils (whose own G is not used: it divides by n, not n − 1)."""
    values = np.array([settle(mass) for mass in [*masses, odd]])
    scores = abs(values - values.mean()) / values.std(ddof=1)
    limit = TwoSidedGrubbsTest(values)._get_g_test(values, 0.05)
    expected = int(scores.argmax()) + 1 if scores.max() > limit else None
    assert found_for([*masses, odd]).values["suspect"] == expected


@SCATTERED
@given(MASSES, st.floats(0.005, 0.1))
def test_more_catches_is_the_fewest_that_do(masses: list[float], tolerance: float) -> None:
    """Counted up with scipy's t from what there is: s unchanged, half the interval within the tolerance."""
    found = found_for(masses, tolerance).values
    cv, more = found["cv"], found["more_catches"]
    assert isinstance(cv, float) and isinstance(more, int)

    def half(count: int) -> float:
        return float(stats.t.ppf(0.975, count - 1)) * cv / math.sqrt(count)

    total = len(masses) + more
    assert half(total) <= tolerance * (1 + 1e-9)
    assert more == 0 or half(total - 1) > tolerance * (1 - 1e-9)


@SCATTERED
@given(
    st.lists(st.integers(950, 1050), min_size=2, max_size=8),
    st.lists(st.integers(950, 1050), min_size=2, max_size=8),
    st.integers(0, 100),
)
def test_more_than_chance_agrees_with_the_t_test_of_scipy(
    slow: list[int], fast: list[int], apart: int
) -> None:
    fast = [mass + apart for mass in fast]  # or few would be more than chance
    if len({*slow}) == 1 or len({*fast}) == 1:
        return  # scipy doubts its own answer for a group without scatter
    chance = stats.ttest_ind(slow, fast).pvalue
    assert abs(chance - 0.05) > 1e-9
    assert more_than_chance(slow, fast) == (chance < 0.05)


# --- what must hold


@SCATTERED
@given(MASSES, st.floats(0.1, 50), st.randoms(use_true_random=False))
def test_neither_the_unit_nor_the_order_of_catches_matters(
    masses: list[float], factor: float, shuffler: Any
) -> None:
    before = found_for(masses).values
    shuffled = [factor * mass for mass in masses]
    shuffler.shuffle(shuffled)
    after = found_for(shuffled).values
    assert after["mass_per_turn"] == pytest.approx(factor * before["mass_per_turn"], rel=1e-9)  # type: ignore[operator]
    for share in ("spread", "cv"):
        assert after[share] == pytest.approx(before[share], rel=1e-6, abs=1e-9)


@SCATTERED
@given(MASSES, st.floats(0.01, 3))
def test_a_pail_changes_nothing_but_the_note(masses: list[float], pail: float) -> None:
    bare = found_for(masses)
    weighed = calibration([Catch(1.0, mass + pail, pail, None) for mass in masses], None, 0.02)
    assert weighed.values["mass_per_turn"] == pytest.approx(bare.values["mass_per_turn"], rel=1e-9)
    assert notes(bare)[-1] == "scale-steps-tared" and notes(weighed)[-1] == "scale-steps-two-readings"


def test_mean_of_ratios_and_not_ratio_of_sums() -> None:
    """10 kg in 10 turns and 22 kg in 20 are 1.05 kg a turn; the sums would say 1.0667."""
    found = calibration([Catch(10, 10, 0, None), Catch(20, 22, 0, None)], 1.0, 0.02)
    assert found.values["mass_per_turn"] == pytest.approx(1.05, rel=1e-12)
    assert found.values["change"] == pytest.approx(0.05, rel=1e-9)


@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_no_suspect_below_six_however_far_one_lies(count: int) -> None:
    found = found_for([1.0] * (count - 1) + [2.0])
    assert found.values["suspect"] is None and "suspect-needs-six" in notes(found)


def test_equal_catches_have_no_scatter_at_all() -> None:
    """0.1 six times has a float mean a bit off 0.1: no scatter and no suspect may come of that."""
    found = found_for([0.1] * 6, in_use=0.1)
    assert [found.values[name] for name in ("spread", "cv", "change", "more_catches")] == [0.0, 0.0, 0.0, 0]
    assert found.values["interval_low"] == found.values["interval_high"] == found.values["mass_per_turn"]
    assert found.values["suspect"] is None and "all-alike" in notes(found)
    assert code(found) == "confirmed"


@pytest.mark.parametrize(
    ("speeds", "slow", "fast"),
    [
        ([10, 40], (0,), (1,)),
        ([40, 10, 38, 11], (1, 3), (0, 2)),
        ([10, 12.5], (0,), (1,)),  # exactly a quarter above
        ([None, 10, None, 40], (1,), (3,)),
    ],
)
def test_slow_and_fast_are_told_apart(
    speeds: list[float | None], slow: tuple[int, ...], fast: tuple[int, ...]
) -> None:
    groups = slow_and_fast([Catch(1, 1, 0, None if s is None else s / 60) for s in speeds])
    assert groups and (groups.slow, groups.fast) == (slow, fast)


@pytest.mark.parametrize("speeds", [[10], [10, 10], [10, 12.4], [10, 20, 40], [10, 15, 20, 25], [None, 10]])
def test_speeds_without_two_groups_are_not_compared(speeds: list[float | None]) -> None:
    found = at_speeds([(1.0 + 0.001 * i, s) for i, s in enumerate(speeds)])
    assert found.values["low_high"] is None
    wanted = "give-meter-speeds" if len([s for s in speeds if s]) < 2 else "speeds-not-apart"
    assert wanted in notes(found)


def test_low_high_is_fast_against_slow() -> None:
    """Means of 1.00 slow and 0.95 fast: −5 %, over the 4 % that goes with ±2 %, and more than chance."""
    found = at_speeds([(0.951, 40), (1.001, 10), (0.949, 40), (0.999, 10)])
    assert found.values["low_high"] == pytest.approx(-0.05, rel=1e-9)
    assert code(found) == "speed"


def test_one_catch_at_a_speed_does_not_decide() -> None:
    found = at_speeds([(1.0, 10), (1.001, 10), (0.9, 40)])
    assert code(found) == "spread" and "one-at-a-speed" in notes(found)


def test_speed_is_not_blamed_for_what_scatter_explains() -> None:
    found = at_speeds([(0.9, 10), (1.1, 10), (1.0, 40), (1.12, 40)])
    assert code(found) == "spread" and "speed-unsure" in notes(found)


@pytest.mark.parametrize(
    ("masses", "tolerance", "in_use", "verdict"),
    [
        ([1.0], 0.02, 1.5, "one-catch"),
        ([1.0, 1.0, 1.001, 0.999, 1.0, 1.3], 0.02, None, "suspect"),
        ([1.0, 1.03, 1.015, 1.01, 1.02], 0.02, None, "enter"),  # a spread of 2.96 %
        ([1.0, 1.031, 1.015, 1.01, 1.02], 0.02, None, "spread"),  # and of 3.05 %
        ([1.0, 1.031, 1.015, 1.01, 1.02], 0.025, None, "enter"),  # which a wider tolerance allows
        ([1.0, 1.03, 1.015], 0.02, None, "interval"),
        ([1.0, 1.001, 1.002], 0.02, 0.95, "change"),
        ([1.0, 1.001, 1.002], 0.02, 0.982, "confirmed"),
        ([0.999, 1.0, 1.001], 0.02, 1 / 1.02, "confirmed"),  # exactly at the tolerance, by the settled figure
    ],
)
def test_the_first_test_that_fails_decides(
    masses: list[float], tolerance: float, in_use: float | None, verdict: str
) -> None:
    assert code(found_for(masses, tolerance, in_use)) == verdict


def test_hopeless_scatter_says_so() -> None:
    found = found_for([0.01, 1.99], 0.001)
    assert found.values["more_catches"] is None and code(found) == "spread"
    assert {"too-many", "interval-below-nothing"} <= set(notes(found))


# --- the picture


@settings(derandomize=True, max_examples=examples(25), deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.001, 2000), st.one_of(st.none(), st.floats(1, 100))), min_size=2, max_size=60
    ),
    st.sampled_from(["metric", "us"]),
)
def test_picture_stays_in_its_box(rows: list[tuple[float, float | None]], units: str) -> None:
    catches = [
        {"turns": "10", "gross": f"{mass:.6f} kg"} | ({"meter_speed": f"{speed:.3f} rpm"} if speed else {})
        for mass, speed in rows
    ]
    made = asked({"catches": catches}, units)
    assert made["ok"], made
    svg = made["charts"][0]["svg"]
    height = float(re.search(r'viewBox="0 0 480 ([\d.]+)"', svg)[1])  # type: ignore[index]
    pairs = [p.split(",") for points in re.findall(r'points="([^"]+)"', svg) for p in points.split(" ")]
    pairs += re.findall(r'<circle cx="([^"]+)" cy="([^"]+)"', svg)
    pairs += re.findall(r'<text x="([^"]+)" y="([^"]+)"', svg)
    assert all(0 <= float(x) <= 480 and 0 <= float(y) <= height for x, y in pairs)


def test_one_catch_has_no_picture() -> None:
    made = asked({"catches": [{"turns": "10", "gross": "5 kg"}]})
    assert made["ok"] and made["charts"] == [] and made["results"]["cv"] is None


# --- mistakes

GOOD = {"turns": "10", "gross": "5 kg"}


def test_figures_without_a_unit_are_refused_but_turns_are_bare() -> None:
    assert wrong({"catches": [{"turns": "10", "gross": "5"}]}) == [("catches[1].gross", "missing-unit")]
    assert wrong({"catches": [{"turns": "10 rev", "gross": "5 kg"}]}) == [("catches[1].turns", "not-bare")]
    assert wrong({"catches": [{"turns": 10, "gross": 5}]}) == [("catches[1].gross", "missing-unit")]


def test_every_tare_that_leaves_no_product_is_named() -> None:
    rows = [GOOD, {**GOOD, "tare": "5 kg"}, GOOD, {**GOOD, "tare": "12 lb"}]
    assert wrong({"catches": rows}) == [
        ("catches[2].tare", "tare-above-gross"),
        ("catches[4].tare", "tare-above-gross"),
    ]


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({}, [("catches", "required")]),
        ({"catches": []}, [("catches", "row-count")]),
        ({"catches": [GOOD] * 61}, [("catches", "row-count")]),
        ({"catches": "5 kg"}, [("catches", "not-rows")]),
        ({"catches": ["5 kg"]}, [("catches[1]", "not-a-row")]),
        ({"catches": [{"gross": "5 kg"}]}, [("catches[1].turns", "required")]),
        ({"catches": [{**GOOD, "turns": "0"}]}, [("catches[1].turns", "too-low")]),
        ({"catches": [{**GOOD, "tare": "−1 kg"}]}, [("catches[1].tare", "too-low")]),
        ({"catches": [{**GOOD, "meter_speed": "5 mph"}]}, [("catches[1].meter_speed", "wrong-kind")]),
        ({"catches": [{**GOOD, "speed": "5 rpm"}]}, [("catches[1].speed", "unknown-field")]),
        ({"catches": [GOOD], "tolerance": "0 %"}, [("tolerance", "too-low")]),
        ({"catches": [GOOD], "tolerence": "2 %"}, [("tolerence", "misspelt-field")]),
        (
            {
                "catches": [GOOD, {"turns": "nan", "gross": "1,234 kg"}],
                "mass_per_turn": "1 lb",
                "tolerance": "2",
            },
            [
                ("catches[2].turns", "not-a-number"),
                ("catches[2].gross", "thousands-comma"),
                ("mass_per_turn", "wrong-kind"),
                ("tolerance", "missing-unit"),
            ],
        ),
    ],
)
def test_mistakes_are_named_by_field(given: Any, expected: list[tuple[str, str]]) -> None:
    assert wrong(given) == expected
