"""What a meter should do at each step of a test: the rate and the ground speed it is asked for."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from calc import units as u
from calc.quantity import parse
from handbook.answers import Answer
from handbook.machines.sheet import Rates, Sheet, Tank
from handbook.machines.worked import Machine, part_of, plus

TOLERANCE = 0.03  # of an expected meter speed: common practice


class Step(NamedTuple):
    """A step of the standing test: its title, the rate, and the share of the planned ground speed."""

    title: str
    rate: Callable[[Rates], str]
    share: Fraction = Fraction(1)


STEPS = {
    "low rate": Step("Low rate", lambda rate: rate.low),
    "set rate": Step("Set rate", lambda rate: rate.set),
    "one step up": Step("One step up", lambda rate: plus(rate.set, rate.step, 1, u.MASS_PER_AREA)),
    "one step down": Step("One step down", lambda rate: plus(rate.set, rate.step, -1, u.MASS_PER_AREA)),
    "high rate": Step("High rate", lambda rate: rate.high),
    "half the speed": Step("Half the speed", lambda rate: rate.set, Fraction(1, 2)),
    "speed doubled": Step("Speed doubled", lambda rate: rate.set),
}
"""By what a procedure calls them."""


def meter_speed(machine: Machine, tank: Tank, rate: str, speed: str) -> Answer:
    """The answer of `rate` for a tank at this rate and ground speed: its meter speed, and what it gives."""
    return machine.ask("rate", tank.name, rate=rate, speed=speed)


def at_step(machine: Machine, tank: Tank, name: str) -> Answer:
    """The answer of `rate` for a tank at a step of the standing test."""
    step = STEPS[name]
    return meter_speed(machine, tank, step.rate(tank.rate), speed_at(machine.sheet, step))


def limits(machine: Machine, tank: Tank, name: str, within: str) -> tuple[str, str, str]:
    """The lowest and the highest reading at a step that is no more than so much off, and the one expected."""
    answer, off = at_step(machine, tank, name), parse(within, u.SHARE)
    low, high = (machine.figure(answer, "meter_speed", 1 + share) for share in (-off, off))
    return low, high, machine.figure(answer, "meter_speed")


def speed_at(sheet: Sheet, step: Step) -> str:
    """The simulated ground speed of a step, as it is asked of a calculator."""
    return part_of(sheet.speed.planned, step.share, u.SPEED)
