"""The picture of a speed window: a bar for each tank, and where they all overlap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from calc.chart import Picture, Plot, short, shortened
from calc.declare import Found
from calc.metering.window_sums import above
from calc.quantity import Units
from calc.units import SPEED

ROW = 46.0  # a line of words and the bar under it
LONGEST_NAME = 19.0  # ems of a name that leave room for the figures on its line


class Bar(NamedTuple):
    """One line of the picture: what it is of, and its two speeds (m/s), either of which may be open."""

    name: str
    slow: float | None
    fast: float | None
    strength: float
    bold: bool = False

    @property
    def closed(self) -> bool:
        """Whether no speed at all is left between its ends."""
        return self.slow is not None and self.fast is not None and above(self.slow, self.fast)


def draw_bars(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A bar a tank on a scale of ground speed, between the operating speeds and the machine's window."""
    tanks = [Bar(str(row[0]), _speed(row[1]), _speed(row[2]), 0.3) for row in found.rows("tanks", units)]
    slow = max(bar.slow for bar in tanks if bar.slow is not None)
    fast = min(bar.fast for bar in tanks if bar.fast is not None)
    bars = list(tanks)
    low, high = given["speed_low"], given["speed_high"]
    if low is not None or high is not None:
        bars.insert(0, Bar("Operating speeds", low, high, 0.0))
    slow, fast = max(slow, low or slow), min(fast, high or fast)
    bars.append(Bar("The machine", slow, fast, 0.85, bold=True))
    plot = Plot(
        units,
        (SPEED, 0.0, _reach(bars), "Ground speed"),
        None,
        height=Plot.TOP + ROW * len(bars) + Plot.BOTTOM - 16,
        left=16,
        parts={"slow": slow, "fast": fast},
    )
    if not bars[-1].closed:
        plot.box(plot.x.at(slow), plot.TOP, plot.x.at(fast), plot.floor, strength=0.12)
    for number, bar in enumerate(bars):
        top = plot.TOP - 16 + ROW * number
        for speed in (low, high):  # beside the bars only, so that no line runs through words
            if speed is not None:
                x = plot.x.at(speed)
                plot.line([(x, top + 19), (x, top + 42)], width=1.5, dash="6 3")
        _draw_bar(plot, bar, top, units)
    return plot


def _speed(cell: Any) -> float | None:
    return cell if isinstance(cell, float) else None


def _reach(bars: Sequence[Bar]) -> float:
    """How far the scale goes: past every slow end, but not to a fast end far beyond what limits all."""
    ends = [end for bar in bars for end in (bar.slow, bar.fast) if end is not None]
    limiting = max([bar.slow for bar in bars if bar.slow is not None] + [bars[-1].fast or 0.0])
    if bars[0].strength == 0.0:
        limiting = max(limiting, bars[0].fast or 0.0)
    return min(1.02 * max(ends), 2.2 * limiting)


def _draw_bar(plot: Plot, bar: Bar, top: float, units: Units) -> None:
    """The words of one line, and its bar: broken where no speed is left, with a point where it runs on."""
    plot.text(plot.left, top + 15, shortened(bar.name, LONGEST_NAME), bold=bar.bold)
    plot.text(plot.right, top + 15, _figures(bar, units), anchor="end", bold=bar.bold)
    upper, lower, middle = top + 22, top + 38, top + 30
    start = plot.left if bar.slow is None else plot.x.at(bar.slow)
    end = plot.right if bar.fast is None else min(plot.x.at(bar.fast), plot.right)
    if bar.closed:
        plot.line([(start, middle), (end, middle)], dash="2 4")
        for x in (start, end):
            plot.line([(x, upper), (x, lower)], width=2.5)
        return
    runs_on = bar.fast is None or plot.x.at(bar.fast) > plot.right
    tip = [(end, upper), (end + 10, middle), (end, lower)] if runs_on else [(end, upper), (end, lower)]
    outline = [(start, upper), *tip, (start, lower)]
    plot.area(outline, strength=bar.strength)
    plot.line([*outline, outline[0]], width=1.5)


def _figures(bar: Bar, units: Units) -> str:
    """The two speeds of a bar as they stand at the end of its line."""
    if bar.closed:
        return "no speed"
    if bar.fast is None:
        return "from " + short(bar.slow or 0.0, SPEED, units)
    if bar.slow is None:
        return "up to " + short(bar.fast, SPEED, units)
    if not above(bar.fast, bar.slow):
        return short(bar.slow, SPEED, units)
    unit = units.unit(SPEED)
    first = short(bar.slow, SPEED, units).removesuffix(unit.name if unit else "").strip()
    return f"{first} – {short(bar.fast, SPEED, units)}"
