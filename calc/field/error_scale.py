"""How far a figure may be off before something must be done, and the picture of how far it is."""

from __future__ import annotations

from collections.abc import Mapping

from calc.chart import DASHES, Picture, Plot, short
from calc.declare import Source
from calc.number import settle
from calc.quantity import Units
from calc.units import SHARE

HABIT = 0.02  # an error that is left alone: common practice
FAR = 0.10  # an error too large for the setting alone to be wrong: common practice
LEAST_REACH, MOST_REACH = 0.125, 1.2  # how far a scale goes to either side of zero
KEY = "Shaded: within 2 %. Broken lines: 10 % off."

HABITS = Source(
    "Habits of the trade: up to 2 % is left alone, and beyond 10 % something else is wrong",
    basis="common practice",
)


def judge(error: float) -> str:
    """Whether an error is `within` the habit, `off`, or so `far` that the setting cannot be all of it."""
    size = settle(abs(error))
    return "within" if size <= HABIT else "off" if size <= FAR else "far"


class ErrorScale(Plot):
    """A scale of errors with room above it for a line of words and the label of a dot."""

    TOP = 50


def draw_error(error: float, words: str, units: Units, parts: Mapping[str, float | str]) -> Picture:
    """A dot at `error` on a scale of shares, the habit shaded; a point at the end where it lies beyond."""
    reach = min(max(1.25 * abs(error), LEAST_REACH), MOST_REACH)
    plot = ErrorScale(units, (SHARE, -reach, reach, words), None, height=152, left=24, parts=parts)
    middle = (plot.TOP + plot.floor) / 2
    plot.text(4, 18, KEY, size=14)
    plot.box(plot.x.at(-HABIT), plot.TOP, plot.x.at(HABIT), plot.floor, strength=0.2)
    for limit in (-FAR, FAR):
        plot.line([(plot.x.at(limit), plot.TOP), (plot.x.at(limit), plot.floor)], dash=DASHES[1])
    x = min(plot.x.at(error), plot.right - 14)
    if error > MOST_REACH:
        plot.area([(x - 4, middle - 9), (x + 12, middle), (x - 4, middle + 9)], strength=1)
    else:
        plot.dot(x, middle, radius=6)
    share = (x - plot.left) / (plot.right - plot.left)
    anchor = "start" if share < 0.2 else "end" if share > 0.8 else "middle"
    plot.text(x, plot.TOP - 8, short(error, SHARE, units), anchor=anchor, bold=True)
    return plot
