"""The solids that tanks are made of: what they hold to a depth, and the heap or the room lost at the top.

All lengths are in meters, areas in m², volumes in m³ and angles in radians. Sources: mensuration of the
prismatoid, the cone and the circular segment; every piece is exact, none is cut into strips.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NamedTuple


class Sides(NamedTuple):
    """A level section of a tank: the sides of a rectangle, or the diameter of a circle as both."""

    length: float
    width: float

    def toward(self, other: Sides, share: float) -> Sides:
        """The section that lies `share` of the way to another, where the walls between are straight."""
        return Sides(
            self.length + (other.length - self.length) * share,
            self.width + (other.width - self.width) * share,
        )

    def within(self, other: Sides) -> Sides:
        """What two sections about the same middle have in common."""
        return Sides(min(self.length, other.length), min(self.width, other.width))


def prismatoid(height: float, area_at: Callable[[float], float], start: float = 0.0) -> float:
    """Volume between `start` and `start + height` of a solid whose level sections change in a square law.

    h/6 · (A₁ + A₂ + 4 A_middle): exact wherever each side of the section changes evenly with height.
    """
    return height / 6 * (area_at(start) + 4 * area_at(start + height / 2) + area_at(start + height))


@dataclass(frozen=True)
class Upright:
    """A box or an upright cylinder of straight walls that stands on its hopper, if it has one."""

    top: Sides
    height: float
    outlet: Sides
    hopper_depth: float
    round: bool = False

    @property
    def depth(self) -> float:
        """From the outlet to the top of the walls."""
        return self.hopper_depth + self.height

    def area(self, sides: Sides) -> float:
        """Area of a level section."""
        return sides.length * sides.width * (math.pi / 4 if self.round else 1)

    def sides_at(self, depth: float) -> Sides:
        """The section at a depth measured up from the outlet."""
        if depth >= self.hopper_depth:
            return self.top
        return self.outlet.toward(self.top, depth / self.hopper_depth)

    def volume_to(self, depth: float) -> float:
        """Volume held level to a depth above the outlet."""
        in_hopper = min(depth, self.hopper_depth)
        in_body = min(max(depth - self.hopper_depth, 0.0), self.height)
        hopper = prismatoid(in_hopper, lambda z: self.area(self.sides_at(z)))
        return hopper + in_body * self.area(self.top)

    def rise(self, angle: float) -> float:
        """How far a heap at this angle to level climbs from the nearest walls to its peak or ridge."""
        return min(self.top) / 2 * math.tan(angle)

    def heap(self, angle: float) -> float:
        """Volume above the top of the walls: a cone, or a hipped heap of four equal slopes.

        The cone is π r² h / 3 with h = r tan φ; the hipped heap W² tan φ (3 L − W) / 12, W the lesser side.
        """
        width, length = sorted(self.top)
        if self.round:
            return self.area(self.top) * self.rise(angle) / 3
        return width**2 * math.tan(angle) * (3 * length - width) / 12

    def void(self, angle: float) -> float:
        """Volume left empty when the same heap's peak or ridge is only level with the top of the walls.

        Where the heap meets the walls below the body, the hopper's walls are what bounds it.
        """
        if angle == 0:
            return 0.0
        cuts = [below for below, _ in self.held_under_lid(angle)]

        def empty(below: float) -> float:
            walls = self._walls(below)
            return self.area(walls) - self.area(walls.within(self._pile(below, angle)))

        reach = min(self.rise(angle), self.depth)
        slabs = [(a, b) for a, b in pairwise(cuts) if b <= reach]
        return math.fsum(prismatoid(b - a, empty, a) for a, b in slabs)

    def held_under_lid(self, angle: float) -> list[tuple[float, Sides]]:
        """Sections of product that slopes down from a middle lid: how far below the top, and the section.

        Between two neighbors every side changes evenly. `angle` is above zero.
        """
        reach = min(self.rise(angle), self.depth)
        cuts = {0.0, reach, self.height, self.depth}
        for full, outlet in zip(self.top, self.outlet, strict=True):
            # where a hopper wall that narrows meets the slope of the product
            if self.hopper_depth and full > outlet:
                narrowing = (full - outlet) / self.hopper_depth
                met = (min(self.top) + narrowing * self.height) / (2 / math.tan(angle) + narrowing)
                if self.height < met < reach:
                    cuts.add(met)
        return [(cut, self._walls(cut).within(self._pile(cut, angle))) for cut in sorted(cuts)]

    def _walls(self, below: float) -> Sides:
        """The tank's section at a distance below the top."""
        if below <= self.height:
            return self.top
        return self.top.toward(self.outlet, (below - self.height) / self.hopper_depth)

    def _pile(self, below: float, angle: float) -> Sides:
        """The heap's section at a distance below its peak or ridge, as if there were no walls."""
        spread = 2 * below / math.tan(angle) - min(self.top)
        return Sides(self.top.length + spread, self.top.width + spread)


@dataclass(frozen=True)
class Lying:
    """A cylinder on its side, with flat ends."""

    diameter: float
    length: float

    @property
    def depth(self) -> float:
        """From the lowest line of the cylinder to its highest."""
        return self.diameter

    def volume_to(self, depth: float) -> float:
        """Volume held level to a depth above the lowest line."""
        return self.length * circle_segment(self.diameter, min(depth, self.diameter))


def circle_segment(diameter: float, depth: float) -> float:
    """Area of a circle below a level line `depth` above its lowest point.

    r²/2 · (θ − sin θ), the same as r² acos((r − h)/r) − (r − h) √(2 r h − h²), but in the angle θ at the
    middle it loses no digits at a small depth.
    """
    return diameter**2 / 8 * _less_sine(4 * math.asin(math.sqrt(depth / diameter)))


def _less_sine(x: float) -> float:
    """x − sin x; below 1 by its series, since there the difference would lose most of its digits."""
    if x >= 1:
        return x - math.sin(x)
    term = x**3 / 6
    terms = [term]
    for n in (4, 6, 8, 10, 12, 14):
        term *= -x * x / (n * (n + 1))
        terms.append(term)
    return math.fsum(terms)


def tank_of(given: Mapping[str, Any]) -> Upright | Lying:
    """The tank that a full and fitting set of `body`, `hopper` and their dimensions describes."""
    if given["body"] == "lying-cylinder":
        return Lying(given["diameter"], given["length"])
    if given["body"] == "upright-cylinder":
        top = Sides(given["diameter"], given["diameter"])
    else:
        top = Sides(given["length"], given["width"])
    outlet = {
        "none": top,
        "cone": Sides(given["outlet_diameter"], given["outlet_diameter"]),
        "wedge": Sides(given["outlet_length"], top.width),
        "pyramid": Sides(given["outlet_length"], given["outlet_width"]),
    }[given["hopper"]]
    return Upright(
        top, given["height"], outlet, given["hopper_depth"] or 0.0, given["body"] == "upright-cylinder"
    )
