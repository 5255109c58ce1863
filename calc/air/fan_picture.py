"""The picture of a fan change: flow, pressure and power, each as it is now and as it becomes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.chart import WIDTH, Picture, short
from calc.declare import Found
from calc.quantity import Units
from calc.units import AIR_FLOW, FAN_PRESSURE, POWER

ROW, TOP, LEFT, RIGHT = 46.0, 8.0, 16.0, 16.0
PAIRS = (
    ("flow", "Air flow now", "Air flow after", AIR_FLOW),
    ("pressure", "Pressure now", "Pressure after", FAN_PRESSURE),
    ("power", "Power now", "Power after", POWER),
)


def draw_pairs(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Two bars for each of the three, on one scale; a pair that is not known is left out."""
    new: Mapping[str, Any] = found.values
    pairs = [pair for pair in PAIRS if new[pair[0]] is not None]
    picture = Picture(
        2 * TOP + 2 * ROW * len(pairs),
        {"speed": given["shaft_speed"], "new_speed": given["new_shaft_speed"]},
    )
    for number, (name, now, after, kind) in enumerate(pairs):
        values = (given[name], new[name])
        reach = (WIDTH - LEFT - RIGHT) / max(values)
        for place, (title, value) in enumerate(zip((now, after), values, strict=True)):
            top = TOP + ROW * (2 * number + place)
            bold = place == 1
            picture.text(LEFT, top + 15, title, bold=bold)
            picture.text(WIDTH - RIGHT, top + 15, short(value, kind, units), anchor="end", bold=bold)
            end = LEFT + reach * value
            picture.box(LEFT, top + 21, end, top + 37, strength=0.5 if bold else 0.0, outline=True)
    return picture
