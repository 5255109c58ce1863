"""Statistics of catches against `scipy`, `outlier-utils` and published figures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outliers import smirnov_grubbs
from scipy import stats

from calc import statistics as s
from calc.number import settle

FREEDOMS = [*range(1, 31), 40, 60, 99, 120, 194, 500, 999, 5000]
UPPERS = [0.4, 0.25, 0.1, 0.05, 0.025, 0.01, 0.005, 0.001, 1e-4, 1e-6]


@pytest.mark.parametrize("upper", UPPERS)
def test_t_quantile_is_that_of_scipy(upper: float) -> None:
    ours = [s.t_quantile(upper, freedom) for freedom in FREEDOMS]
    np.testing.assert_allclose(ours, stats.t.isf(upper, FREEDOMS), rtol=1e-10)


@pytest.mark.parametrize("t", [0.0, 0.1, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 40.0])
def test_t_upper_is_that_of_scipy(t: float) -> None:
    ours = [s.t_upper(t, freedom) for freedom in FREEDOMS]
    np.testing.assert_allclose(ours, stats.t.sf(t, FREEDOMS), rtol=1e-9, atol=1e-300)


CATCHES = st.lists(st.floats(min_value=0.1, max_value=50), min_size=2, max_size=40).filter(
    lambda values: max(values) - min(values) > 1e-6
)


@given(CATCHES, st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_mean_deviation_and_interval_are_those_of_scipy(values: list[float], confidence: float) -> None:
    middle, spread = np.mean(values), np.std(values, ddof=1)
    assert math.isclose(s.mean(values), middle, rel_tol=1e-12)
    assert math.isclose(s.deviation(values), spread, rel_tol=1e-9)
    _, high = stats.t.interval(confidence, len(values) - 1, loc=0, scale=spread / math.sqrt(len(values)))
    assert math.isclose(s.half_width(values, confidence), high, rel_tol=1e-9)


@pytest.mark.parametrize("chance", [0.10, 0.05, 0.01])
def test_grubbs_limits_are_those_of_outlier_utils(chance: float) -> None:
    for count in range(3, 61):
        reference = smirnov_grubbs.TwoSidedGrubbsTest([])._get_g_test([0.0] * count, chance)
        assert math.isclose(s.grubbs_limit(count, chance), reference, rel_tol=1e-9), count


TABLE = {3: 1.1543, 4: 1.4813, 5: 1.7150, 6: 1.8871, 7: 2.0200, 8: 2.1266, 10: 2.2900, 12: 2.4116}


@pytest.mark.parametrize(("count", "limit"), TABLE.items())
def test_grubbs_limits_of_the_table(count: int, limit: float) -> None:
    """Two-sided limits at 5 %, as tabulated: Grubbs' formula with t at 1 − α/(2n)."""
    assert round(s.grubbs_limit(count), 4) == limit


def test_nist_confidence_limits() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.2: n 195, mean 9.261460, s 0.02278881; 1.9723, 9.258242, 9.264679."""
    mean, spread = 9.261460, 0.02278881
    values = [mean] + [mean + spread, mean - spread] * 97  # 195 values with just that mean and deviation
    assert f"{s.deviation(values):.8f}" == "0.02278881"
    assert f"{s.t_quantile(0.025, 194):.4f}" == "1.9723"
    half = s.half_width(values)
    # Mean and limits are each printed to six decimals, so they agree to one of the last place (two halves).
    assert abs(mean - half - 9.258242) <= 1e-6 and abs(mean + half - 9.264679) <= 1e-6


NIST_MASSES = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]


def test_nist_grubbs_example() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.17.1: G 2.4688; one-sided 5 % limit 2.0317; 245.57 is the outlier."""
    g = (max(NIST_MASSES) - s.mean(NIST_MASSES)) / s.deviation(NIST_MASSES)
    assert f"{g:.4f}" == "2.4688"
    # A two-sided test at 10 % has the limit of the one-sided test at 5 %, which is the one printed there.
    assert f"{s.grubbs_limit(8, 0.10):.4f}" == "2.0317"
    assert s.outlier(NIST_MASSES) == 7


@given(st.lists(st.integers(min_value=900, max_value=1100), min_size=6, max_size=20))
def test_outlier_is_the_one_that_numpy_and_scipy_find(grams: list[int]) -> None:
    """Only the limit of `outlier-utils` serves: its own G divides by the deviation with n, not n − 1."""
    values = np.array(grams, dtype=float)
    ours = s.outlier(values.tolist())
    if len(set(grams)) == 1:
        assert ours is None
        return
    scores = np.abs(values - values.mean()) / values.std(ddof=1)
    count = len(grams)
    t = stats.t.isf(0.05 / (2 * count), count - 2)
    limit = (count - 1) / math.sqrt(count) * math.sqrt(t**2 / (count - 2 + t**2))
    assert (ours is not None) == (scores.max() > limit)
    assert ours is None or math.isclose(scores[ours], scores.max())


def test_three_near_equal_catches_convict_nobody() -> None:
    """With three catches G may exceed its limit of 1.1543 however close the third is (arithmetic)."""
    three = [1.000, 1.000, 1.001]
    g = (1.001 - s.mean(three)) / s.deviation(three)
    assert g > s.grubbs_limit(3)
    assert s.outlier(three) is None
    assert s.outlier([1.0, 1.0, 1.0, 1.0, 9.0]) is None
    assert s.outlier([1.0, 1.0, 1.0, 1.0, 1.001, 9.0]) == 5


def test_a_last_bit_is_no_spread_and_no_outlier() -> None:
    """0.1 + 0.2 is the next float above 0.3; as catches they are the same."""
    alike = [0.3, 0.3, 0.3, 0.3, 0.3, 0.1 + 0.2]
    assert len(set(alike)) == 2
    assert s.deviation(alike) == 0 and s.half_width(alike) == 0
    assert s.outlier(alike) is None


@pytest.mark.parametrize(("cv", "tolerance", "catches"), [(0.02, 0.02, 7), (0.03, 0.02, 12), (0.05, 0.05, 7)])
def test_catches_needed_as_tabulated(cv: float, tolerance: float, catches: int) -> None:
    """Half-width of the 95 % interval within the tolerance: computed from t tables."""
    assert s.values_needed(cv, tolerance) == catches


@pytest.mark.parametrize("confidence", [0.9, 0.95, 0.99])
def test_catches_needed_are_the_fewest_by_scipy(confidence: float) -> None:
    counts = np.arange(2, 3000)
    widths = stats.t.ppf((1 + confidence) / 2, counts - 1) / np.sqrt(counts)
    for ratio in (0.01, 0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0):  # CV over tolerance
        enough = widths * ratio <= 1
        assert s.values_needed(0.01 * ratio, 0.01, confidence) == counts[np.argmax(enough)], ratio


def test_catches_needed_may_be_more_than_anyone_would_take() -> None:
    assert s.values_needed(0.5, 0.001, most=1000) is None
    assert s.values_needed(0.0, 0.01) == 2


def test_values_of_a_dozen_rows() -> None:
    """Field and Long, Introduction to Agricultural Engineering Technology, SI drill problem: mean 22.575."""
    rows = [22.6, 22.4, 22.0, 22.9, 22.7, 22.6, 22.0, 22.8, 22.8, 22.7, 22.6, 22.8]
    assert settle(s.mean(rows)) == 22.575
    assert f"{math.fsum(rows):.1f}" == "270.9"
    assert f"{s.deviation(rows):.4f}" == "0.2989"  # recalculated: the source prints no deviation
    assert f"{100 * s.deviation(rows) / s.mean(rows):.3f}" == "1.324"
