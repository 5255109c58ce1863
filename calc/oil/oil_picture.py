"""The picture of oil flow: what fan and meters take, one after the other, under what the tractor gives."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from calc.chart import Picture, Plot, short
from calc.declare import Found
from calc.quantity import Units
from calc.units import LIQUID_FLOW

LEFT = 24  # with room for half of the first figure
ROW = 46.0  # a line of words and the bar under it


class Bar(NamedTuple):
    """One line of the picture: what it is, its flow (m³/s) and where it begins."""

    name: str
    flow: float
    start: float
    strength: float
    bold: bool = False


def draw_flows(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A bar for the fan, one for the meters from its end on, one for the tractor, and what lies between."""
    known: Mapping[str, Any] = {**given, **found.values}
    fan, meters, tractor = known["flow"], known["meters_flow"], known["tractor_flow"]
    taken = fan + (meters or 0.0)
    bars = [Bar("Fan", fan, 0.0, 0.5)]
    if meters is not None:
        bars.append(Bar("Meters", meters, fan, 0.5))
    if tractor is not None:
        spare = known["spare"]
        name = "In hand" if spare >= 0 else "Short"
        bars.insert(0, Bar("Tractor gives", tractor, 0.0, 0.85))
        bars.append(Bar(name, abs(spare), min(tractor, taken), 0.0, bold=True))
    plot = Plot(
        units,
        (LIQUID_FLOW, 0.0, 1.02 * max(taken, tractor or 0.0), "Oil flow"),
        None,
        height=Plot.TOP + ROW * len(bars) + Plot.BOTTOM - 16,
        left=LEFT,
        parts={"taken": taken},
    )
    for number, bar in enumerate(bars):
        top = plot.TOP - 16 + ROW * number
        figure = short(bar.flow, LIQUID_FLOW, units)
        plot.text(plot.left, top + 15, bar.name, bold=bar.bold)
        plot.text(plot.right, top + 15, figure, anchor="end", bold=bar.bold)
        start, end = plot.x.at(bar.start), plot.x.at(bar.start + bar.flow)
        plot.box(start, top + 22, end, top + 38, strength=bar.strength, outline=True)
        if tractor is not None:
            at = plot.x.at(tractor)  # beside the bars only, so that no line runs through words
            plot.line([(at, top + 19), (at, top + 41)], width=1.5, dash="6 3")
    return plot
