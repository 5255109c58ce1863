"""Pictures of a refill plan: the passes with the stops, and how far each tank goes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from calc.chart import WIDE, WIDTH, Picture, nice_step, short, shortened
from calc.declare import Found
from calc.errors import listed
from calc.quantity import Units, show_bare
from calc.tanks.refill_sums import Passes, Plan, plan_of
from calc.tanks.row_bars import Bar, draw_rows
from calc.units import AREA, COUNT

LEFT, RIGHT = 30.0, WIDTH - 30.0
KEY_ROW, SECOND = 24.0, 250.0  # the height of a line of the key, and where its second column begins
TALL, OVER, UNDER = 180.0, 40.0, 74.0  # the field, and the room above and below it
MOST_LINES, MOST_DOTS = 60, 30
SMALL = 13  # size of the figures over and under the field
LONGEST = 2.5  # bars are drawn to so many times what one fill goes
Mark = Callable[[Picture, float, float], None]


@dataclass(frozen=True)
class Drawn:
    """What is drawn of the passes: each `line`-th as a line, and a dot for each `dot`-th of the stops."""

    lasting: Passes
    passes: int
    stops: range  # the passes after which the machine stops
    line: int
    dot: int

    @property
    def lines(self) -> range:
        """The passes that are drawn."""
        return range(self.line, self.passes + 1, self.line)

    @property
    def dots(self) -> range:
        """The stops that are drawn."""
        return self.stops[self.dot - 1 :: self.dot]

    @property
    def ends(self) -> bool:
        """Whether the pass in which the first tank ends is there."""
        return self.lasting.last <= self.passes

    def across(self, number: float) -> float:
        """Where a pass lies from left to right."""
        return LEFT + (number - 0.5) / self.passes * (RIGHT - LEFT)


def drawn_of(plan: Plan) -> Drawn | None:
    """What to draw: the whole field, or where it is not known, the passes of one fill."""
    lasting, passes = plan.lasting, plan.ground.passes
    if lasting is None:
        return None
    step = lasting.to_stop
    if passes is None:
        passes = lasting.last
        stops = range(step, passes + 1, step) if step else range(0)
    elif step:
        stops = range(step, passes, step)
    else:
        passes, stops = max(passes, lasting.last), range(0)
    return Drawn(lasting, passes, stops, one_in(passes, MOST_LINES), one_in(len(stops), MOST_DOTS))


def one_in(count: int, most: int) -> int:
    """The least of 1, 2, 5, 10 and so on that leaves at most `most` of `count`."""
    step = 1
    while count > most * step:
        step = step * 5 // 2 if str(step).startswith("2") else step * 2
    return step


def draw_field(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """The passes from left to right with the stops; None where no pass length, or no whole pass, is there."""
    plan = plan_of(given)
    return _draw(plan) if plan.lasting and plan.lasting.to_stop else None


def draw_short(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """The passes where the first tank ends before it could stop anywhere; None in every other case."""
    plan = plan_of(given)
    return _draw(plan) if plan.lasting and not plan.lasting.to_stop else None


def draw_reach(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A bar a tank for the area it goes by itself, with a mark where the first one ends."""
    plan = plan_of(given)
    areas = [tank.area(plan.reserve) for tank in plan.tanks]
    scale = min(max(areas), LONGEST * plan.area)
    bars = [
        Bar(tank.name, short(area, AREA, units), 0.0, area / scale, 0.6 if tank.name in plan.first else 0.2)
        for tank, area in zip(plan.tanks, areas, strict=True)
    ]
    parts: dict[str, float | str] = {"tanks": listed(plan.first, "and"), "area": plan.area}
    return draw_rows(bars, plan.area / scale, parts)


def _draw(plan: Plan) -> Picture | None:
    drawn = drawn_of(plan)
    if drawn is None:
        return None
    key = _key(drawn, plan)
    top = 8 + KEY_ROW * math.ceil(max(column + 1 for column, _, _ in key) / 2) + OVER
    parts: dict[str, float | str] = {
        "passes": drawn.passes,
        "lines": len(drawn.lines),
        "every": drawn.lasting.to_stop,
        "dots": len(drawn.dots),
        "tanks": listed(plan.first, "and"),
        "distance": drawn.lasting.into,
        "number": drawn.lasting.last,
    }
    picture = Picture(top + TALL + UNDER, parts)
    for place, words, mark in key:
        x, y = (SECOND if place % 2 else 12.0), 20 + KEY_ROW * (place // 2)
        mark(picture, x + 14, y - 5)
        picture.text(x + 34, y, words, size=14)
    _draw_passes(picture, drawn, top)
    _draw_stops(picture, drawn, top)
    _draw_numbers(picture, drawn, top + TALL)
    if drawn.ends:
        share = drawn.lasting.into / drawn.lasting.length
        up = share if drawn.lasting.last % 2 else 1 - share
        _ring(picture, drawn.across(drawn.lasting.last), top + TALL * (1 - up))
    return picture


def _key(drawn: Drawn, plan: Plan) -> list[tuple[int, str, Mark]]:
    """What each mark means, with its place: two columns, row by row; long words have a row of their own."""
    key: list[tuple[int, str, Mark]] = [
        (0, "each pass" if drawn.line == 1 else f"one pass in {drawn.line}", _line),
        (1, "start of the first pass", _start),
    ]
    if drawn.dots:
        words = "stop to fill" if drawn.dot == 1 else f"one stop in {drawn.dot}"
        key.append((2, f"{words}, with the passes done", _dot))
    if drawn.ends:
        place = 4 if drawn.dots else 2
        key.append((place, f"first to end: {shortened(listed(plan.first, 'and'), 20)}", _ring))
    return key


def _draw_passes(picture: Picture, drawn: Drawn, top: float) -> None:
    """The passes as lines, those of every other fill shaded while each fill's stop is drawn."""
    half = (RIGHT - LEFT) / drawn.passes / 2
    left, right = drawn.across(1) - half, drawn.across(drawn.passes) + half
    if drawn.stops and drawn.dot == 1:
        edges = [0, *drawn.stops, drawn.passes]
        for start, end in list(pairwise(edges))[::2]:
            if end > start:
                picture.box(
                    drawn.across(start) + half, top, drawn.across(end) + half, top + TALL, strength=0.12
                )
    for number in drawn.lines:
        x = drawn.across(number)
        picture.line([(x, top), (x, top + TALL)], width=1.5 if len(drawn.lines) <= 30 else 1)
    picture.line([(left, top), (right, top)], width=1.5)
    picture.line([(left, top + TALL), (right, top + TALL)], width=1.5)
    _start(picture, drawn.across(1), top + TALL + 7)


def _draw_stops(picture: Picture, drawn: Drawn, top: float) -> None:
    """A dot where the machine stops: after an odd pass at the top, after an even one at the bottom."""
    free = {True: 0.0, False: 0.0}  # how far to the right the figures reach already, at top and bottom
    for number in drawn.dots:
        x, at_top = drawn.across(number), number % 2 == 1
        picture.dot(x, top if at_top else top + TALL)
        text = show_bare(number, COUNT)
        half = WIDE * SMALL * len(text) / 2
        if x - half >= max(free[at_top], 2) and x + half <= WIDTH - 2:
            picture.text(
                x, top - 12 if at_top else top + TALL + 26, text, anchor="middle", bold=True, size=SMALL
            )
            free[at_top] = x + half + 6


def _draw_numbers(picture: Picture, drawn: Drawn, bottom: float) -> None:
    """The scale: numbers of passes under the field, as many as have room."""
    step = max(1, round(nice_step(drawn.passes)))
    free = 2.0
    for number in dict.fromkeys([1, *range(step, drawn.passes + 1, step)]):
        x, text = drawn.across(number), show_bare(number, COUNT)
        half = WIDE * SMALL * len(text) / 2
        if x - half >= free and x + half <= WIDTH - 2:
            picture.text(x, bottom + 46, text, anchor="middle", size=SMALL)
            free = x + half + 6
    picture.text((LEFT + RIGHT) / 2, bottom + 66, "Pass, by its number", anchor="middle", size=14)


def _line(picture: Picture, x: float, y: float) -> None:
    picture.line([(x, y - 9), (x, y + 8)], width=1.5)


def _dot(picture: Picture, x: float, y: float) -> None:
    picture.dot(x, y)


def _ring(picture: Picture, x: float, y: float) -> None:
    picture.dot(x, y, radius=8, hollow=True)


def _start(picture: Picture, x: float, y: float) -> None:
    """An arrow head that points up, the way of the first pass."""
    picture.area([(x - 6, y + 6), (x + 6, y + 6), (x, y - 6)], strength=1)
