"""Words beside a point of a curve that rises ever more steeply."""

from __future__ import annotations

from calc.chart import Plot

ROOM = 120.0  # how much width the longest label takes


def mark(plot: Plot, x: float, y: float, label: str) -> None:
    """A dot at SI values, and its label above and to the left, where such a curve never runs."""
    at_x, at_y = plot.x.at(x), plot.y.at(y)
    plot.dot(at_x, at_y)
    if at_x - plot.left > ROOM:
        plot.text(at_x - 10, at_y - 8, label, anchor="end", bold=True)
    else:
        plot.text(plot.left + 8, min(at_y - 14, plot.floor - 36), label, bold=True)
