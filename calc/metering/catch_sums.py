"""What repeated catches of one meter say: a ratio each, slow and fast turning, and how far to trust them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from calc.number import settle
from calc.statistics import deviation, half_width, mean, t_quantile

CLEAR_STEP = 1.25  # fast turning starts at least a quarter above slow turning


class Catch(NamedTuple):
    """One catch: turns of the meter, masses in kg, and turns per second if they were noted."""

    turns: float
    gross: float
    tare: float
    meter_speed: float | None

    @property
    def net(self) -> float:
        """The product alone, kg."""
        return settle(self.gross - self.tare)

    @property
    def mass_per_turn(self) -> float:
        """Product of one turn, kg. Settled, so that equal catches are equal and not a bit apart."""
        return settle(self.net / self.turns)


class Scatter(NamedTuple):
    """How catches differ among themselves, as shares of their mean."""

    spread: float
    cv: float
    half: float


def scatter(values: Sequence[float]) -> Scatter:
    """Spread, CV and the half-width of the 95 % interval of the mean, all ÷ the mean; needs two values.

    Source: NIST/SEMATECH e-Handbook 1.3.5.2 for the interval.
    """
    middle = mean(values)
    spread = (max(values) - min(values)) / middle
    return Scatter(spread, deviation(values) / middle, half_width(values) / middle)


def against(value: float, base: float) -> float:
    """`value` ÷ `base` − 1, exactly 0 where they agree to nine digits, which is more than any scale shows."""
    difference = (value - base) / base
    return 0.0 if abs(difference) < 1e-9 else difference


class SlowAndFast(NamedTuple):
    """Catches told apart by meter speed: places from 0, and the speeds (turns/s) on both sides of the cut."""

    slow: tuple[int, ...]
    fast: tuple[int, ...]
    slow_to: float
    fast_from: float


def slow_and_fast(catches: Sequence[Catch]) -> SlowAndFast | None:
    """The catches at slow and at fast turning, cut at the widest step between neighbouring meter speeds.

    None unless that step is at least `CLEAR_STEP` and wider than the range of speeds on either side of it.
    Catches without a meter speed are in neither group.
    """
    speeds = sorted(c.meter_speed for c in catches if c.meter_speed is not None)
    if len(speeds) < 2:
        return None
    cut = max(range(1, len(speeds)), key=lambda i: settle(speeds[i] / speeds[i - 1]))
    slow_to, fast_from = speeds[cut - 1], speeds[cut]
    step = settle(fast_from / slow_to)
    if step < CLEAR_STEP or step <= settle(max(slow_to / speeds[0], speeds[-1] / fast_from)):
        return None
    placed = [(i, c.meter_speed) for i, c in enumerate(catches) if c.meter_speed is not None]
    return SlowAndFast(
        tuple(i for i, speed in placed if speed <= slow_to),
        tuple(i for i, speed in placed if speed >= fast_from),
        slow_to,
        fast_from,
    )


def more_than_chance(first: Sequence[float], second: Sequence[float], chance: float = 0.05) -> bool:
    """Whether the means of two groups differ by more than their own scatter explains.

    Student's two-sided test with the scatter of both groups pooled; never with fewer than two values each.
    """
    freedom = len(first) + len(second) - 2
    if min(len(first), len(second)) < 2:
        return False
    apart = abs(mean(second) - mean(first))
    squares = math.fsum((v - mean(group)) ** 2 for group in (first, second) for v in group)
    error = math.sqrt(squares / freedom * (1 / len(first) + 1 / len(second)))
    return settle(apart) > settle(t_quantile(chance / 2, freedom) * error)


def compare(values: Sequence[float], groups: SlowAndFast) -> tuple[float, bool]:
    """Fast turning against slow as a share, and whether that is more than chance."""
    slow, fast = [values[i] for i in groups.slow], [values[i] for i in groups.fast]
    return against(mean(fast), mean(slow)), more_than_chance(slow, fast)
