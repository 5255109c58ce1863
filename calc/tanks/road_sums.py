"""What a machine weighs on the road, and which tanks to empty so that it is within its limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

from calc.number import settle


class Tank(NamedTuple):
    """A tank and the mass (kg) of product in it."""

    name: str
    mass: float


@dataclass(frozen=True)
class Load:
    """A machine with its load, in kg, against the least of its limits."""

    empty_mass: float
    tanks: Sequence[Tank]
    limit: float
    tyre_limit: float | None

    @property
    def mass(self) -> float:
        """All of it."""
        return math.fsum([self.empty_mass, *(tank.mass for tank in self.tanks)])

    @property
    def by_tyres(self) -> bool:
        """Whether the tires, and not the other limit, allow the least."""
        return self.tyre_limit is not None and self.tyre_limit < self.limit

    @property
    def allowed(self) -> float:
        """The least of the limits."""
        return self.limit if self.tyre_limit is None else min(self.limit, self.tyre_limit)

    @property
    def spare(self) -> float:
        """How much more it may weigh; below zero where it is over."""
        return 0.0 if settle(self.mass / self.allowed) == 1 else self.allowed - self.mass

    def mass_without(self, names: Sequence[str]) -> float:
        """What it weighs with these tanks empty."""
        return math.fsum([self.empty_mass, *(tank.mass for tank in self.tanks if tank.name not in names)])

    def within_without(self, names: Sequence[str]) -> bool:
        """Whether it is within its limits with these tanks empty."""
        return settle(self.mass_without(names) / self.allowed) <= 1


def tanks_to_empty(load: Load) -> list[str] | None:
    """The tanks to empty: as few as will do, and of those ways the one with the least product to take off.

    None where even all of them are not enough. Ways that are alike go by the order of the tanks.
    """
    full = [tank for tank in load.tanks if tank.mass > 0]
    heaviest = [tank.name for tank in sorted(full, key=lambda tank: tank.mass, reverse=True)]
    counts = (count for count in range(len(full) + 1) if load.within_without(heaviest[:count]))
    fewest = next(counts, None)
    if fewest is None:
        return None
    ways = [
        (settle(math.fsum(tank.mass for tank in way)), place, [tank.name for tank in way])
        for place, way in enumerate(combinations(full, fewest))
    ]
    return min(way for way in ways if load.within_without(way[2]))[2]
