"""The picture of a headland from above: where product starts and stops against its line, to scale."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.chart import DASHES, WIDTH, Picture, short
from calc.declare import Found
from calc.field.delay_sums import left_by, past_the_line
from calc.number import settle
from calc.quantity import Units
from calc.units import DISTANCE, LENGTH

START, STOP, GAP = 115.0, 365.0, 240.0  # the middles of the two passes, and between them
WIDEST, LEAST, LONGEST = 150.0, 24.0, 230.0  # a pass across, and all that lies around the line
TOP, ROOM = 76.0, 60.0  # under the heads, and seeded land and headland beyond all strips
KEY = 24.0  # a line of the key
EDGE = 8.0
LEFT = {"unseeded": "unseeded strip", "twice": "seeded twice", "on-line": "as it should be"}
OPENERS = (("nearest opener starts", DASHES[2]), ("farthest opener starts", DASHES[1]))


class Headland(Picture):
    """A line across, the field above it and the headland below, at one scale as far as a pass can be seen."""

    def __init__(self, width: float, up: float, down: float, keys: int) -> None:
        self.scale = min([WIDEST / width, *([LONGEST / (up + down)] if up + down else [])])
        self.half = max(self.scale * width, LEAST) / 2
        self.true = settle(self.scale * width) >= LEAST
        self.line_at = TOP + ROOM + up * self.scale
        self.bottom = self.line_at + down * self.scale + ROOM
        super().__init__(self.bottom + 34 + KEY * keys)
        self.box(EDGE, self.line_at, WIDTH - EDGE, self.bottom, strength=0.18)
        self.line([(EDGE, self.line_at), (WIDTH - EDGE, self.line_at)], width=2.5)
        self.text(GAP, self.line_at - 7, "line", anchor="middle", size=14)
        self.text(GAP, self.line_at - 34, "field", anchor="middle", size=14)
        self.text(GAP, self.line_at + 22, "headland", anchor="middle", size=14)

    def at(self, ahead: float) -> float:
        """Where a distance into the field lies; the headland has minus ones."""
        return self.line_at - ahead * self.scale

    def seeded(self, middle: float, from_y: float) -> None:
        """A pass, seeded from `from_y` to the far end of the field, and its way over the rest."""
        left, right = middle - self.half, middle + self.half
        self.box(left, TOP, right, from_y, strength=0.3)
        self.line([(left, from_y), (right, from_y)], width=2.5)
        for x in (left, right):
            self.line([(x, TOP), (x, self.bottom)], width=1, faint=True)

    def arrow(self, middle: float, up: bool) -> None:
        """The way that the machine goes, where the pass is seeded in any case."""
        tail, tip = (TOP + 40, TOP + 12) if up else (TOP + 12, TOP + 40)
        back = tip + (9 if up else -9)
        self.line([(middle, tail), (middle, back)], width=2.5)
        self.area([(middle, tip), (middle - 7, back), (middle + 7, back)], strength=1)

    def head(self, middle: float, title: str, where: str, what: str) -> None:
        """Three lines of words above a pass."""
        self.text(middle, 18, title, anchor="middle", bold=True)
        self.text(middle, 40, where, anchor="middle")
        self.text(middle, 62, what, anchor="middle")


def where_of(past: float, units: Units) -> str:
    """How far past or before the line, for a label."""
    if left_by(past) == "on-line":
        return "on the line"
    return f"{short(abs(past), DISTANCE, units)} {'past' if past > 0 else 'before'} the line"


def draw_headland(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A pass that starts out of the headland, and one that stops into it."""
    start, stop = found.values["on_distance"], found.values["off_distance"]
    assert isinstance(start, float) and isinstance(stop, float)
    openers = _openers(given)
    starts = [start, *openers]
    up, down = max(*starts, -stop, 0.0), max(*(-one for one in starts), stop, 0.0)
    view = Headland(given["width"], up, down, 3 if openers else 0)
    view.parts = {"start": start, "stop": stop, "width": given["width"]}
    view.seeded(START, view.at(start))
    view.arrow(START, up=True)
    view.head(START, "Start of a pass", where_of(start, units), LEFT[left_by(start)])
    view.seeded(STOP, view.at(-stop))
    view.arrow(STOP, up=False)
    view.head(STOP, "End of a pass", where_of(stop, units), LEFT[left_by(-stop)])
    scale = "all to one scale" if view.true else "width not to scale"
    words = f"{short(given['width'], LENGTH, units)} wide, {scale}"
    view.text(WIDTH / 2, view.bottom + 22, words, anchor="middle", size=14)
    if openers:
        _draw_openers(view, openers)
    return view


def _draw_openers(view: Headland, openers: Sequence[float]) -> None:
    """Where the nearest and the farthest opener start, and the key to all three lines of a start."""
    for ahead, (_, dash) in zip(openers, OPENERS, strict=True):
        y = view.at(ahead)
        view.line([(START - view.half - 14, y), (START + view.half + 14, y)], dash=dash)
    nearest, farthest = OPENERS
    for number, (name, dash) in enumerate((nearest, ("middle opener starts", ""), farthest), start=1):
        foot = view.bottom + 22 + KEY * number
        view.line([(112, foot - 5), (152, foot - 5)], width=2 if dash else 2.5, dash=dash)
        view.text(162, foot, name, size=14)


def _openers(given: Mapping[str, Any]) -> list[float]:
    """How far past the line the nearest and the farthest opener start, where both are given."""
    times = (given["near_time"], given["far_time"])
    if None in times:
        return []
    return [past_the_line(time, given["on_set"], given["speed"]) for time in times]
