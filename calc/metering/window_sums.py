"""Each tank's window of ground speeds, and the machine's, which is where they all overlap."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from calc.metering.rate import speed_for
from calc.number import settle


def above(one: float, other: float) -> bool:
    """Whether `one` is the greater of two positive figures by more than rounding can make it."""
    return settle(one / other) > 1


class Tank(NamedTuple):
    """A tank in SI: rates in kg/m², mass per turn in kg, limits of meter speed in turns/s."""

    name: str
    rate_low: float
    rate_high: float
    mass_per_turn: float
    meter_low: float
    meter_high: float

    def slowest(self, width: float) -> float:
        """Ground speed (m/s) at which the lowest rate turns the meter at its lower limit."""
        return speed_for(self.meter_low, self.mass_per_turn, self.rate_low, width)

    def fastest(self, width: float) -> float:
        """Ground speed (m/s) at which the highest rate turns the meter at its upper limit."""
        return speed_for(self.meter_high, self.mass_per_turn, self.rate_high, width)


class Window(NamedTuple):
    """Speeds (m/s) from `slow` to `fast`, and the tanks that set each: none where an operating speed does."""

    slow: float
    fast: float
    slow_tanks: Sequence[str]
    fast_tanks: Sequence[str]

    @property
    def open(self) -> bool:
        """Whether any speed is left."""
        return not above(self.slow, self.fast)

    def cut(self, speed_low: float | None, speed_high: float | None) -> Window:
        """This window within the operating speeds; where an end is the same, the tank is named."""
        slow, fast, slow_tanks, fast_tanks = self
        if speed_low is not None and above(speed_low, slow):
            slow, slow_tanks = speed_low, ()
        if speed_high is not None and above(fast, speed_high):
            fast, fast_tanks = speed_high, ()
        return Window(slow, fast, slow_tanks, fast_tanks)


def common_window(tanks: Sequence[Tank], width: float) -> Window:
    """From the greatest of the tanks' slowest speeds to the least of their fastest, whether open or not."""
    slow = max(tank.slowest(width) for tank in tanks)
    fast = min(tank.fastest(width) for tank in tanks)
    return Window(
        slow,
        fast,
        [tank.name for tank in tanks if not above(slow, tank.slowest(width))],
        [tank.name for tank in tanks if not above(tank.fastest(width), fast)],
    )


def can_open(tank: Tank) -> bool:
    """Whether any mass per turn gives the tank a window: its rates span no more than its meter."""
    return not above(tank.rate_high / tank.rate_low, tank.meter_high / tank.meter_low)


def middle_speed(
    tanks: Sequence[Tank], width: float, speed_low: float | None, speed_high: float | None
) -> float:
    """The speed (m/s) to choose masses per turn for: the middle of the operating speeds, if both are given.

    Else halfway between the tanks' slow end and their fast end, brought within the operating speed given.
    """
    if speed_low is not None and speed_high is not None:
        return (speed_low + speed_high) / 2
    ends = common_window(tanks, width)
    halfway = (ends.slow + ends.fast) / 2
    if speed_low is not None:
        return max(halfway, speed_low)
    return halfway if speed_high is None else min(halfway, speed_high)
