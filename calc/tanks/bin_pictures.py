"""Pictures of a tank: how much it holds against depth, and its side view to scale with the depth marked."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, cast

from calc.chart import Axis, Picture, Plot, Point, short
from calc.declare import Found
from calc.quantity import Units
from calc.tanks.shapes import Lying, Upright, tank_of
from calc.units import LENGTH, MASS, VOLUME

STRIPS = 60  # straight pieces of a drawn curve
MIDDLE, WIDEST, TALLEST = 225.0, 250.0, 250.0  # where a side view stands, and the room it has
OVER, UNDER = 66.0, 56.0  # room above the walls for words, and under the outlet


def draw_curve(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """What the tank holds, level, against depth: the mass where the density is known, else the volume."""
    tank = tank_of(given)
    density = given["bulk_density"]
    kind, words = (MASS, "Mass held") if density else (VOLUME, "Volume held")

    def held(depth: float) -> float:
        return tank.volume_to(depth) * (density or 1.0)

    plot = Plot(
        units,
        (LENGTH, 0.0, tank.depth, "Depth above the outlet"),
        (kind, 0.0, held(tank.depth), words),
        left=76,
        parts={"volume": tank.volume_to(tank.depth), "depth": tank.depth},
    )
    hopper = tank.hopper_depth if isinstance(tank, Upright) else 0.0
    if hopper:
        _mark_hopper(plot, hopper, tank.depth)
    depths = sorted({hopper, *(tank.depth * i / STRIPS for i in range(STRIPS + 1))})
    plot.curve([(depth, held(depth)) for depth in depths])
    if given["depth"] is not None:
        depth = min(given["depth"], tank.depth)
        x, y = plot.x.at(depth), plot.y.at(held(depth))
        plot.dot(x, y)
        _label_dot(plot, x, y, short(held(depth), kind, units))
    return plot


def _label_dot(plot: Plot, x: float, y: float, words: str) -> None:
    """Words beside a dot on a rising curve: under it, or over it near the floor and at the right."""
    if x > plot.left + 0.7 * (plot.right - plot.left):
        plot.text(x - 10, y - 6, words, anchor="end", bold=True)
    elif y > plot.floor - 26:
        plot.text(x + 4, y - 48, words, bold=True)
    else:
        plot.text(x + 10, y + 18, words, bold=True)


def _mark_hopper(plot: Plot, hopper: float, total: float) -> None:
    """A broken line where the hopper meets the body; its words stand where the curve does not run."""
    x = plot.x.at(hopper)
    plot.line([(x, plot.TOP), (x, plot.floor)], width=1.5, dash="5 4")
    share = hopper / total
    high, right = share < 0.4, share < 0.7
    plot.text(
        x + (6 if right else -6),
        plot.TOP + 15 if high else plot.floor - 8,
        "top of hopper",
        anchor="start" if right else "end",
        size=14,
    )


class SideView(Picture):
    """A tank drawn to scale above a line at its outlet, with a dipstick in the reader's unit beside it."""

    def __init__(self, tank: Upright | Lying, width: float, heap: float, units: Units) -> None:
        self.scale = min(WIDEST / width, TALLEST / (tank.depth + heap))
        self.ground = OVER + (tank.depth + heap) * self.scale
        super().__init__(self.ground + UNDER)
        self.total, self.half = tank.depth, width / 2 * self.scale
        self._dipstick(units)

    def place(self, half: float, depth: float) -> Point:
        """A point at a distance from the middle line and a depth above the outlet."""
        return MIDDLE + half * self.scale, self.ground - depth * self.scale

    def mirrored(self, right: Sequence[Point]) -> list[Point]:
        """The outline whose right half, from the bottom up, is given as (half width, depth)."""
        left = [(-half, depth) for half, depth in reversed(right)]
        return [self.place(*point) for point in (*right, *left)]

    def outline(self, points: Sequence[Point]) -> None:
        """The walls."""
        self.line([*points, points[0]], width=2.5)

    def _dipstick(self, units: Units) -> None:
        share = Axis(LENGTH, units, 0.0, self.total, 0.0, 1.0).at(self.total)
        top = self.ground - self.total * self.scale
        axis = Axis(LENGTH, units, 0.0, self.total, self.ground, self.ground - (self.ground - top) / share)
        x, free = 62.0, math.inf
        self.line([(x, self.ground), (x, top)], width=1.5)
        for y, label in axis.ticks():
            if y < top - 0.5:
                break
            self.line([(x, y), (MIDDLE + self.half, y)], width=1, faint=True)
            if free - y >= 18:
                self.text(x - 8, y + 5, label, anchor="end")
                free = y
        self.text(4, min(top - 14, free - 22), axis.title("Depth"))


def draw_side(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """The tank from the side (a lying cylinder from its end), filled to the depth or level and heap."""
    tank = tank_of(given)
    if isinstance(tank, Lying):
        view = SideView(tank, tank.diameter, 0.0, units)
        filled = min(tank.depth if given["depth"] is None else given["depth"], tank.depth)
        view.area(view.mirrored(_circle(tank.diameter, filled)))
        view.outline(view.mirrored(_circle(tank.diameter, tank.diameter)))
    else:
        view, filled = _draw_upright(tank, given, found, units)
    _label(view, tank, filled, units)
    view.parts = {"filled": filled, "volume": cast(float, found.values["volume"])}
    return view


def _circle(diameter: float, depth: float) -> list[Point]:
    """The right half of a circle up to a depth, as (half width, depth) from the bottom up."""
    reach = math.acos(1 - 2 * depth / diameter)
    angles = [reach * i / STRIPS for i in range(STRIPS + 1)]
    return [(diameter / 2 * math.sin(a), diameter / 2 * (1 - math.cos(a))) for a in angles]


def _draw_upright(
    tank: Upright, given: Mapping[str, Any], found: Found, units: Units
) -> tuple[SideView, float]:
    """The view, and the depth at which its mark stands."""
    angle, lid, depth = given["heap_angle"] or 0.0, given["lid"] == "central", given["depth"]
    heaped = bool(angle) and depth is None
    rise = tank.rise(angle) if heaped else 0.0
    view = SideView(tank, max(tank.top.length, tank.outlet.length), 0.0 if lid else rise, units)
    filled = tank.depth if depth is None else min(depth, tank.depth)
    if heaped and lid:
        sections = [(s.length / 2, tank.depth - below) for below, s in tank.held_under_lid(angle)]
        product = sections[::-1]
    else:
        levels = sorted({0.0, min(tank.hopper_depth, filled), filled})
        product = [(tank.sides_at(level).length / 2, level) for level in levels]
        if heaped:
            ridge = (tank.top.length - min(tank.top)) / 2
            product.append((ridge, tank.depth + rise))
            view.line([view.place(-tank.top.length / 2, tank.depth), view.place(-ridge, tank.depth + rise)])
            view.line([view.place(tank.top.length / 2, tank.depth), view.place(ridge, tank.depth + rise)])
            view.line([view.place(-ridge, tank.depth + rise), view.place(ridge, tank.depth + rise)])
    view.area(view.mirrored(product), strength=0.2)
    walls = [
        (tank.sides_at(level).length / 2, level) for level in sorted({0.0, tank.hopper_depth, tank.depth})
    ]
    view.outline(view.mirrored(walls))
    if heaped:
        words = "Room lost under the lid" if lid else "Heap"
        if lid:
            y = view.place(0, tank.depth)[1]
            view.box(MIDDLE - 14, y - 6, MIDDLE + 14, y, outline=True)
        heap = short(abs(cast(float, found.values["heap_volume"])), VOLUME, units)
        view.text(
            MIDDLE,
            view.place(0, tank.depth + (0 if lid else rise))[1] - 12,
            f"{words} {heap}",
            anchor="middle",
        )
    return view, filled


def _label(view: SideView, tank: Upright | Lying, filled: float, units: Units) -> None:
    """The mark at the depth, and the sizes under the outlet."""
    right, y = view.place(0, filled)
    right += view.half
    view.line([(MIDDLE - view.half - 8, y), (right + 8, y)], width=2, dash="7 4")
    view.text(right + 12, y - 1, short(filled, LENGTH, units), bold=True)
    view.text(right + 12, y + 17, short(tank.volume_to(filled), VOLUME, units))
    if isinstance(tank, Lying):
        words = f"{short(tank.diameter, LENGTH, units)} across, seen from its end"
    else:
        across = "across" if tank.round else "long"
        words = f"{short(tank.top.length, LENGTH, units)} {across}, seen from the side"
    view.text(MIDDLE, view.ground + 42, words, anchor="middle")
