"""Bars to one scale, a line of words above each: pictures of tanks beside each other."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from calc.chart import WIDE, WIDTH, Picture, shortened

LEFT, RIGHT = 16.0, WIDTH - 26.0
ROW, TOP = 46.0, 6.0  # a line of words and the bar under it
SIZE = 15.0


class Bar(NamedTuple):
    """One line: what it is of, its figure, and from where to where it goes as shares of the scale."""

    name: str
    figure: str
    start: float
    end: float
    strength: float
    bold: bool = False


def draw_rows(bars: Sequence[Bar], mark: float | None, parts: dict[str, float | str]) -> Picture:
    """The bars below each other, cut with a point where they go beyond the scale; `mark` is a broken line.

    It runs beside the bars only, so that it crosses no words.
    """
    picture = Picture(TOP + ROW * len(bars) + 8, parts)
    for number, bar in enumerate(bars):
        top = TOP + ROW * number
        picture.text(RIGHT + 10, top + 15, bar.figure, anchor="end", bold=bar.bold)
        room = RIGHT - LEFT - (len(bar.figure) + 2) * WIDE * SIZE
        picture.text(LEFT, top + 15, shortened(bar.name, room / SIZE), bold=bar.bold)
        _draw_bar(picture, bar, top + 22)
        if mark is not None:
            picture.line([(_at(mark), top + 20), (_at(mark), top + 40)], width=2, dash="6 3")
    return picture


def _draw_bar(picture: Picture, bar: Bar, top: float) -> None:
    start, end = _at(bar.start), _at(min(bar.end, 1.0))
    tip = [(end, top), (end, top + 16)]
    if bar.end > 1.0:
        tip.insert(1, (end + 10, top + 8))
    outline = [(start, top), *tip, (start, top + 16)]
    picture.area(outline, strength=bar.strength)
    picture.line([*outline, outline[0]], width=1.5)


def _at(share: float) -> float:
    return LEFT + share * (RIGHT - LEFT)
