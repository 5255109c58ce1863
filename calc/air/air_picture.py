"""The picture of saltation speeds: a line for each model, their range, and the air speed beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.chart import Picture, Plot, short
from calc.declare import Found
from calc.quantity import Units
from calc.units import AIR_SPEED

ROW = 46.0  # a line of words and what is drawn under it


def draw_range(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A mark for each model's saltation speed on a scale of air speed, under a bar for the air speed set."""
    rows = [(str(row[0]), row[1]) for row in found.rows("models", units)]
    models = [(name, float(speed)) for name, speed in rows if isinstance(speed, float)]
    low, high = min(speed for _, speed in models), max(speed for _, speed in models)
    air_speed, lift_speed = given["air_speed"], given["lift_speed"]
    bars = [("Air speed set", air_speed), *([("Lift speed", lift_speed)] if lift_speed is not None else [])]
    plot = Plot(
        units,
        (AIR_SPEED, 0.0, 1.02 * max(high, *(speed for _, speed in bars)), "Air speed"),
        None,
        height=Plot.TOP + ROW * (len(bars) + len(models)) + Plot.BOTTOM - 16,
        left=16,
        parts={"low": low, "high": high, "air_speed": air_speed},
    )
    plot.box(plot.x.at(low), plot.TOP, plot.x.at(high), plot.floor, strength=0.12)
    for number, (name, speed) in enumerate([*bars, *models]):
        top = plot.TOP - 16 + ROW * number
        plot.text(plot.left, top + 15, name, bold=number == 0)
        plot.text(plot.right, top + 15, short(speed, AIR_SPEED, units), anchor="end", bold=number == 0)
        x = plot.x.at(speed)
        if number < len(bars):
            plot.box(plot.left, top + 22, x, top + 38, strength=0.5 if number == 0 else 0.0, outline=True)
        else:
            plot.line([(plot.left, top + 30), (x, top + 30)], width=1, dash="2 4")
            plot.dot(x, top + 30)
            at = plot.x.at(air_speed)  # beside the marks only, so that no line runs through words
            plot.line([(at, top + 19), (at, top + 41)], width=1.5, dash="6 3")
    return plot
