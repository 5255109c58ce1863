"""What an outlet gives and at which pressure, and which figures of one cannot stand together."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from calc.errors import Problem, problem
from calc.quantity import Amount
from calc.units import GAUGE_PRESSURE, LIQUID_FLOW, VOLUME_PER_AREA

WATER = 1000.0  # kg/m³, against which the weight of a liquid is told
FARTHEST = 30.0  # times the known flow, or that part of it: beyond, a unit is wrong


def flow_for(rate: float, speed: float, spacing: float) -> float:
    """Flow (m³/s) of one outlet for `rate` (m³/m²) at `speed` (m/s), `spacing` (m) from the next."""
    return rate * speed * spacing


def pressure_for(flow: float, density: float, known_flow: float, known_pressure: float) -> float:
    """Pressure (Pa) at which an outlet gives `flow` (m³/s) of a liquid of `density` (kg/m³).

    With water it gives `known_flow` at `known_pressure`.
    """
    return known_pressure * (flow / known_flow) ** 2 * density / WATER


def wrong_together(values: Mapping[str, Any]) -> Sequence[Problem]:
    """Half an outlet, an outlet of another size altogether, and a range of rates that is crossed."""
    problems = []
    flow, pressure = values["known_flow"], values["known_pressure"]
    if flow is not None and pressure is None:
        shown = Amount(flow, LIQUID_FLOW)
        problems.append(
            problem("known_pressure", "needed-with", other="known flow", value=shown, example="30 psi")
        )
    if pressure is not None and flow is None:
        shown = Amount(pressure, GAUGE_PRESSURE)
        problems.append(
            problem("known_flow", "needed-with", other="known pressure", value=shown, example="0.14 gpm")
        )
    problems += _wrong_size(values)
    low, high = values["rate_low"], values["rate_high"]
    if low is not None and high is not None and low > high:
        ends = {"low": Amount(low, VOLUME_PER_AREA), "high": Amount(high, VOLUME_PER_AREA)}
        problems.append(problem("rate_low", "low-above-high", **ends))
    return problems


def _wrong_size(values: Mapping[str, Any]) -> list[Problem]:
    """A known flow that no outlet could stretch to the one that is asked for: a wrong unit, most likely."""
    needed = ("rate", "speed", "spacing", "density", "known_flow")
    if any(values[name] is None for name in needed):
        return []
    root = math.sqrt(values["density"] / WATER)
    for name in ("rate", "rate_low", "rate_high"):
        if values[name] is not None:
            water = flow_for(values[name], values["speed"], values["spacing"]) * root
            if not 1 / FARTHEST <= water / values["known_flow"] <= FARTHEST:
                shown = Amount(values["known_flow"], LIQUID_FLOW)
                what, limit = "the known flow of the outlet", Amount(water, LIQUID_FLOW)
                return [problem("known_flow", "no-room", what=what, shown=shown, limit=limit)]
    return []
