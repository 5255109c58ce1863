"""What a speed window comes to, in words."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Note, Say, say, words
from calc.errors import listed
from calc.metering.window_sums import Tank, Window, above
from calc.units import MASS_PER_AREA, SPEED

INSIDE = 0.10  # how far inside the meters' limits a planned speed should lie: common practice

VERDICTS = {
    "open": words("Open: every tank holds its rates from {slow} to {fast}.", slow=SPEED, fast=SPEED),
    "one-speed": words("Open at one speed only, {slow}.", slow=SPEED),
    "narrow-rates": words(
        "Closed at every speed. Narrow the rates: those of {tanks} span more than the meter can follow."
    ),
    "tanks-clash": words(
        "Closed: {slow_tanks} must have at least {slow}, but {fast_tanks} can have at most {fast}.",
        slow=SPEED,
        fast=SPEED,
    ),
    "above-operating": words(
        "Closed: {slow_tanks} must have at least {slow}, above the highest operating speed, {fast}.",
        slow=SPEED,
        fast=SPEED,
    ),
    "below-operating": words(
        "Closed: {fast_tanks} can have at most {fast}, below the lowest operating speed, {slow}.",
        slow=SPEED,
        fast=SPEED,
    ),
}

NOTES = [
    Note(
        "plan-inside",
        "info",
        words(
            "Plan to drive from {low} to {high}: 10 % inside the meters' limits, which is common practice.",
            low=SPEED,
            high=SPEED,
        ),
    ),
    Note(
        "speed-inside",
        "info",
        words("That speed lies 10 % inside the meters' limits, which is common practice."),
    ),
    Note(
        "narrow",
        "check",
        words(
            "The window is narrow: no speed in it lies 10 % inside the meters' limits. "
            "That much in hand is common practice."
        ),
    ),
    Note(
        "slowing",
        "info",
        words(
            "Mind turn ends and hills: below {speed}, {tanks} cannot hold the lowest rate.",
            speed=SPEED,
        ),
    ),
    Note(
        "narrow-rates",
        "stop",
        words(
            "{tank}: no mass per turn will do. "
            "Raise its lowest rate above {low}, or cut its highest below {high}.",
            low=MASS_PER_AREA,
            high=MASS_PER_AREA,
        ),
    ),
    Note(
        "at-middle",
        "check",
        words("The mass per turn is worked out at {speed}, the middle of the operating speeds.", speed=SPEED),
    ),
    Note(
        "at-halfway",
        "check",
        words(
            "The mass per turn is worked out at {speed}, halfway between the tanks' slow and fast ends. "
            "Give both operating speeds for their middle.",
            speed=SPEED,
        ),
    ),
    Note(
        "at-operating",
        "check",
        words(
            "The mass per turn is worked out at {speed}, the operating speed given. "
            "Give both for their middle.",
            speed=SPEED,
        ),
    ),
    Note(
        "calibrate-again",
        "check",
        words("After another metering element is fitted, calibrate and work this out again."),
    ),
]


def limit_of(tanks: Sequence[str]) -> Say:
    """Which tanks set an end of the window, or that an operating speed does."""
    return say("tank", tanks=listed(tanks, "and")) if tanks else say("operating-speed")


def verdict_of(window: Window, never: Sequence[Tank]) -> Say:
    """What the window comes to; a tank that can have none goes first, since nothing else would open it."""
    ends: dict[str, float | str] = {
        "slow": window.slow,
        "fast": window.fast,
        "slow_tanks": listed(window.slow_tanks, "and"),
        "fast_tanks": listed(window.fast_tanks, "and"),
    }
    if never:
        return say("narrow-rates", tanks=listed([tank.name for tank in never], "and"))
    if window.open:
        return say("open" if above(window.fast, window.slow) else "one-speed", **ends)
    if not window.fast_tanks:
        return say("above-operating", **ends)
    return say("tanks-clash" if window.slow_tanks else "below-operating", **ends)


def open_notes(by_meters: Window, speed_low: float | None, speed_high: float | None) -> list[Say]:
    """How far inside to plan, and what slowing down does. The operator's own limits need no margin."""
    inside = Window((1 + INSIDE) * by_meters.slow, (1 - INSIDE) * by_meters.fast, (), ()).cut(
        speed_low, speed_high
    )
    if not inside.open:
        plan = say("narrow")
    elif above(inside.fast, inside.slow):
        plan = say("plan-inside", low=inside.slow, high=inside.fast)
    else:
        plan = say("speed-inside")
    return [plan, say("slowing", speed=by_meters.slow, tanks=listed(by_meters.slow_tanks, "and"))]


def narrow_rates(tank: Tank) -> Say:
    """How far the rates of a tank that can have no window must be narrowed, from either side."""
    span = tank.meter_high / tank.meter_low
    return say("narrow-rates", tank=tank.name, low=tank.rate_high / span, high=tank.rate_low * span)


def mass_notes(speed: float, speed_low: float | None, speed_high: float | None) -> list[Say]:
    """At which speed, and why at that one, masses per turn were worked out, and what to do with them."""
    if speed_low is not None and speed_high is not None:
        code = "at-middle"
    else:
        code = "at-operating" if speed in (speed_low, speed_high) else "at-halfway"
    return [say(code, speed=speed), say("calibrate-again")]
