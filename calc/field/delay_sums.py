"""Where product starts and stops against the line where it should, from the times of a start and a stop."""

from __future__ import annotations

from typing import NamedTuple

from calc.declare import Source
from calc.number import settle

CLOSE = 0.5  # meters off the line at the middle opener that are left alone: common practice
ON_LINE = 0.005  # meters that are no distance at all: half a centimeter
CLOSE_ENOUGH = Source("Within 0.5 m of the line at a middle opener", basis="common practice")


class Strip(NamedTuple):
    """What one start or stop leaves: the distance (m) that product comes past the line, minus before it.

    Its area (m²) and the mass (kg) that a rate puts on it have the same sign; no mass without a rate.
    """

    distance: float
    area: float
    mass: float | None

    @property
    def close(self) -> bool:
        """Whether it is near enough to the line to be left alone."""
        return settle(abs(self.distance)) <= CLOSE


def past_the_line(takes: float, set_early: float, speed: float) -> float:
    """How far (m) past the line product comes that takes `takes` s and is commanded `set_early` s early."""
    return (takes - set_early) * speed


def left_by(ahead: float) -> str:
    """What lies at the line where a pass is seeded from `ahead` (m) into the field on."""
    if settle(abs(ahead)) < ON_LINE:
        return "on-line"
    return "unseeded" if ahead > 0 else "twice"


def strip(takes: float, set_early: float, speed: float, width: float, rate: float | None) -> Strip:
    """The strip over `width` (m) at `speed` (m/s); `rate` in kg/m²."""
    distance = past_the_line(takes, set_early, speed)
    area = distance * width
    return Strip(distance, area, None if rate is None else rate * area)
