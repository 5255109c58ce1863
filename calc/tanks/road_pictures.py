"""The picture of a load: a bar for each part of it, one after the other, up to what is allowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.chart import Picture
from calc.declare import Found
from calc.quantity import Units, show
from calc.tanks.road_sums import Load, tanks_to_empty
from calc.tanks.row_bars import Bar, draw_rows
from calc.units import MASS


def draw_load(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Each part begins where the one above it ends; a broken line marks the least of the limits."""
    load = Load(given["empty_mass"], given["tanks"], given["limit"], given["tyre_limit"])
    scale = max(load.mass, load.limit, load.tyre_limit or 0.0)
    to_empty = tanks_to_empty(load)
    bars = [_bar("Empty machine", 0.0, load.empty_mass, scale, 0.3, units)]
    start = load.empty_mass
    for tank in load.tanks:
        strength = 0.0 if to_empty is None or tank.name in to_empty else 0.3
        bars.append(_bar(tank.name, start, start + tank.mass, scale, strength, units))
        start += tank.mass
    bars.append(_bar("On the road", 0.0, load.mass, scale, 0.7, units)._replace(bold=True))
    bars.append(_bar("Limit", 0.0, load.limit, scale, 0.1, units))
    if load.tyre_limit is not None:
        bars.append(_bar("Tires", 0.0, load.tyre_limit, scale, 0.1, units))
    parts: dict[str, float | str] = {"mass": load.mass, "allowed": load.allowed}
    return draw_rows(bars, load.allowed / scale, parts)


def _bar(name: str, start: float, end: float, scale: float, strength: float, units: Units) -> Bar:
    return Bar(name, show(end - start, MASS, units), start / scale, end / scale, strength)
