"""Statistics of a few repeated catches, on the standard library alone.

Sources: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2 and 1.3.5.17.1; the t distribution by
the regularised incomplete beta function (continued fraction, Abramowitz and Stegun 26.5.8), inverted by
Newton's method.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from calc.number import settle

LEAST_FOR_OUTLIER = 6  # with three near-equal catches Grubbs' test convicts any third


def mean(values: Sequence[float]) -> float:
    """Arithmetic mean."""
    return math.fsum(values) / len(values)


def deviation(values: Sequence[float]) -> float:
    """Sample standard deviation, with n − 1; needs two values. Values alike to ten digits have none."""
    if len({settle(v) for v in values}) == 1:
        return 0.0
    middle = mean(values)
    return math.sqrt(math.fsum((v - middle) ** 2 for v in values) / (len(values) - 1))


def t_upper(t: float, freedom: float) -> float:
    """The chance that Student's t with `freedom` degrees of freedom is above `t` ≥ 0."""
    return _beta_share(freedom / (freedom + t * t), freedom / 2, 0.5) / 2


def t_quantile(upper: float, freedom: float) -> float:
    """The t that is exceeded with chance `upper` (below 0.5)."""
    low, high = 0.0, 1.0
    while t_upper(high, freedom) > upper:
        low, high = high, 2 * high
    t, before = high, 0.0
    while abs(t - before) > 1e-13 * t:
        before = t
        over = t_upper(t, freedom) - upper
        low, high = (t, high) if over > 0 else (low, t)
        t += over / _density(t, freedom)  # Newton's method, kept between what is known to lie on either side
        if not low < t < high:
            t = (low + high) / 2
    return t


def _density(t: float, freedom: float) -> float:
    """How fast the chance falls at t: the density of Student's t."""
    scale = math.lgamma((freedom + 1) / 2) - math.lgamma(freedom / 2) - math.log(freedom * math.pi) / 2
    return math.exp(scale - (freedom + 1) / 2 * math.log1p(t * t / freedom))


def half_width(values: Sequence[float], confidence: float = 0.95) -> float:
    """Half the width of the confidence interval of the mean; needs two values."""
    count = len(values)
    return t_quantile((1 - confidence) / 2, count - 1) * deviation(values) / math.sqrt(count)


def grubbs_limit(count: int, chance: float = 0.05) -> float:
    """The two-sided limit of Grubbs' test for one outlier among `count` ≥ 3 values."""
    t = t_quantile(chance / (2 * count), count - 2)
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


def outlier(values: Sequence[float], chance: float = 0.05) -> int | None:
    """The place (from 0) of the value that Grubbs' two-sided test rejects; None below six values."""
    if len(values) < LEAST_FOR_OUTLIER or (spread := deviation(values)) == 0:
        return None
    middle = mean(values)
    far = max(range(len(values)), key=lambda i: abs(values[i] - middle))
    return (
        far
        if settle(abs(values[far] - middle) / spread) > settle(grubbs_limit(len(values), chance))
        else None
    )


def values_needed(cv: float, error: float, confidence: float = 0.95, most: int = 10_000) -> int | None:
    """The fewest values whose interval's half-width is within `error` of the mean, at this CV.

    t depends on the number itself, so it is counted up from what a large sample needs; None above `most`.
    """
    upper = (1 - confidence) / 2
    start = (t_quantile(upper, 1e7) * cv / error) ** 2 - 2
    for count in range(max(2, math.floor(min(start, most + 1))), most + 1):
        if settle(t_quantile(upper, count - 1) * cv / math.sqrt(count)) <= settle(error):
            return count
    return None


def _beta_share(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    )
    if x < (a + 1) / (a + b + 2):
        return front * _beta_fraction(x, a, b) / a
    return 1 - front * _beta_fraction(1 - x, b, a) / b


def _beta_fraction(x: float, a: float, b: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's method."""
    tiny = 1e-300
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or tiny)
    value = d
    for m in range(1, 500):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + term * d or tiny)
            c = 1 + term / c or tiny
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return value
