"""The rows of a speed window's tables, and which ranges it refuses."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Value, say
from calc.errors import InputError, problem
from calc.metering.rate import meter_speed_for
from calc.metering.window_sums import Tank, Window, above, can_open
from calc.quantity import Amount
from calc.units import MASS_PER_AREA, SPEED, TURNING_SPEED


def refuse_crossed(speed_low: float | None, speed_high: float | None, tanks: Sequence[Tank]) -> None:
    """Every range whose lower end is above its upper end, refused at once on its lower end."""
    ranges = [("speed_low", SPEED, speed_low, speed_high)]
    for number, tank in enumerate(tanks, start=1):
        at = f"tanks[{number}]"
        ranges.append((f"{at}.rate_low", MASS_PER_AREA, tank.rate_low, tank.rate_high))
        ranges.append((f"{at}.meter_low", TURNING_SPEED, tank.meter_low, tank.meter_high))
    crossed = [
        problem(field, "low-above-high", low=Amount(low, kind), high=Amount(high, kind))
        for field, kind, low, high in ranges
        if low is not None and high is not None and low > high
    ]
    if crossed:
        raise InputError(crossed)


def tank_row(tank: Tank, width: float, window: Window, opened: bool) -> list[Value]:
    """A tank by itself, its meter speeds at the window's ends, its spans, and its part in the window."""
    ends = (tank.name in window.slow_tanks, tank.name in window.fast_tanks)
    part = {(True, True): "both-ends", (True, False): "slow-end", (False, True): "fast-end"}.get(
        ends, "inside"
    )
    return [
        tank.name,
        tank.slowest(width),
        tank.fastest(width),
        meter_speed_for(tank.rate_low, width, window.slow, tank.mass_per_turn) if opened else None,
        meter_speed_for(tank.rate_high, width, window.fast, tank.mass_per_turn) if opened else None,
        tank.rate_high / tank.rate_low,
        tank.meter_high / tank.meter_low,
        say(part if can_open(tank) else "never"),
    ]


def mass_row(tank: Tank, width: float, speed: float) -> list[Value]:
    """The masses per turn at which the tank holds its rates at `speed`: its speeds are in proportion."""
    if not can_open(tank):
        return [tank.name, None, None, say("never")]
    slowest, fastest = tank.slowest(width), tank.fastest(width)
    change = "larger" if above(speed, fastest) else "smaller" if above(slowest, speed) else "keep"
    return [
        tank.name,
        tank.mass_per_turn * speed / fastest,
        tank.mass_per_turn * speed / slowest,
        say(change),
    ]
