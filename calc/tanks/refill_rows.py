"""The rows of a refill plan, and the reserve that leaves none."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Value, say
from calc.errors import refuse
from calc.number import settle
from calc.quantity import Amount
from calc.tanks.refill_sums import Plan, Tank
from calc.units import MASS


def refuse_reserve(tanks: Sequence[Tank], reserve: Amount) -> None:
    """A reserve that leaves nothing of a tank is refused, with the tank that holds least."""
    least = min(tanks, key=lambda tank: tank.mass)
    if settle(least.usable(reserve) / least.mass) <= 0:
        parts = {"reserve": reserve, "tank": least.name, "mass": Amount(least.mass, MASS)}
        raise refuse("reserve", "reserve-too-big", **parts)


def tank_row(tank: Tank, plan: Plan) -> list[Value]:
    """How far a tank goes, what it has left at the first stop, and its matched fill."""
    area, to_stop, pass_area = tank.area(plan.reserve), plan.to_stop, plan.ground.pass_area
    return [
        tank.name,
        area,
        None if pass_area is None else area / pass_area,
        None if to_stop is None else tank.mass - to_stop * tank.rate,
        plan.area * tank.rate + tank.kept(plan.reserve),
        say("first" if tank.name in plan.first else "later"),
    ]


def field_row(tank: Tank, plan: Plan) -> list[Value]:
    """What the field takes of a tank's product, and what its last part does."""
    product = (plan.ground.worked or 0.0) * tank.rate
    last = plan.last_stretch
    return [
        tank.name,
        product,
        product / tank.usable(plan.reserve),
        None if last is None else last * tank.rate + tank.kept(plan.reserve),
    ]
