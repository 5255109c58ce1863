"""The picture of a catch from run to run: a bar for each run about the mean, with the limits around it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from calc.chart import DASHES, WIDTH, Axis, Picture
from calc.metering.catch_picture import draw_key
from calc.quantity import Units
from calc.units import SHARE

RIGHT, KEY_TOP, KEY_ROW, STRIP, PLOT, BOTTOM = WIDTH - 16, 42, 24, 28, 230, 52
LETTER = 9.0  # a wide letter of the usual size
HEADROOM = 0.1  # of the scale, on both sides, for the numbers of the farthest runs
Mark = Callable[[Picture, float, float], None]


class Bar(NamedTuple):
    """One run: its number, what it gave against the mean as a share, and its head."""

    number: int
    share: float
    head: int | None = None


class Lines(NamedTuple):
    """What is drawn about the bars, all as shares: limits shaded, heads' means, their limit, and a target."""

    limit: float
    heads: Mapping[int, float]
    head_limit: float | None = None
    target: float | None = None


def draw_runs(
    bars: Sequence[Bar],
    lines: Lines,
    key: Sequence[tuple[str, Mark]],
    units: Units,
    parts: Mapping[str, float | str],
) -> Picture:
    """The bars from left to right, those of a head side by side, with the key above them."""
    bars = sorted(bars, key=lambda bar: (bar.head is None, bar.head or 0, bar.number))
    top = KEY_TOP + KEY_ROW * ((len(key) + 1) // 2) + (STRIP if lines.heads else 0)
    picture = Picture(top + PLOT + BOTTOM, parts)
    axis = _scale(bars, lines, units, top)
    left = 14 + LETTER * max(len(label) for _, label in axis.ticks())
    step = (RIGHT - left) / len(bars)
    picture.text(4, 18, axis.title("Against the mean"))
    draw_key(picture, key)
    picture.marks_up(axis, left, RIGHT)
    picture.box(left, axis.at(lines.limit), RIGHT, axis.at(-lines.limit), strength=0.12)
    for place, bar in enumerate(bars):
        x = left + (place + 0.5) * step
        half = min(0.35 * step, 14.0)
        picture.box(x - half, axis.at(max(bar.share, 0)), x + half, axis.at(min(bar.share, 0)), strength=0.6)
    picture.line([(left, axis.at(0)), (RIGHT, axis.at(0))], width=1.5)
    for limit in () if lines.head_limit is None else (lines.head_limit, -lines.head_limit):
        picture.line([(left, axis.at(limit)), (RIGHT, axis.at(limit))], width=1.5, dash=DASHES[1])
    if lines.target is not None:
        picture.line([(left, axis.at(lines.target)), (RIGHT, axis.at(lines.target))], dash=DASHES[2])
    _draw_heads(picture, bars, lines, axis, left, top)
    _number_ends(picture, bars, axis, left)
    _number_runs(picture, bars, axis, left)
    return picture


def _scale(bars: Sequence[Bar], lines: Lines, units: Units, top: float) -> Axis:
    """The scale of shares, with room beyond the farthest bars for their numbers."""
    limit = max(lines.limit, lines.head_limit or 0.0)
    ends = [*(bar.share for bar in bars), limit, -limit, lines.target or 0.0]
    low, high = min(ends), max(ends)
    room = HEADROOM * (high - low)
    return Axis(SHARE, units, low - room, high + room, top + PLOT, top)


def _draw_heads(
    picture: Picture, bars: Sequence[Bar], lines: Lines, axis: Axis, left: float, top: float
) -> None:
    """A thick line across the runs of each head at its mean, faint lines between heads, and their numbers."""
    step = (RIGHT - left) / len(bars)
    free = 0.0
    wide = len(bars) / max(1, len(lines.heads)) * step > LETTER * 9
    for head, share in lines.heads.items():
        places = [place for place, bar in enumerate(bars) if bar.head == head]
        start, end = left + min(places) * step, left + (max(places) + 1) * step
        picture.line([(start, axis.at(share)), (end, axis.at(share))], width=3.5)
        picture.line([(end, top), (end, top + PLOT)], width=1, faint=True)
        label = f"Head {head}" if wide else str(head)
        middle, half = (start + end) / 2, LETTER * len(label) / 2
        if middle - half >= free and middle + half <= WIDTH:
            picture.text(middle, top - 11, label, anchor="middle")
            free = middle + half + 6


def _number_ends(picture: Picture, bars: Sequence[Bar], axis: Axis, left: float) -> None:
    """The numbers of the highest and the lowest run at the ends of their bars."""
    step = (RIGHT - left) / len(bars)
    places = range(len(bars))
    highest, lowest = (pick(places, key=lambda place: bars[place].share) for pick in (max, min))
    for place, below in ((highest, 6.0), (lowest, -17.0)):
        if bars[place].share * below > 0:
            label = str(bars[place].number)
            room = LETTER * len(label) / 2
            x = min(max(left + (place + 0.5) * step, left + room), RIGHT - room)
            picture.text(x, axis.at(bars[place].share) - below, label, anchor="middle", bold=True)


def _number_runs(picture: Picture, bars: Sequence[Bar], axis: Axis, left: float) -> None:
    """The numbers of the runs below, as many as there is room for."""
    step = (RIGHT - left) / len(bars)
    widest = LETTER * max(len(str(bar.number)) for bar in bars) + 6
    every = next(count for count in (1, 2, 5, 10, 20, 50) if count * step >= widest)
    for place in range(0, len(bars), every):
        x = left + (place + 0.5) * step
        picture.text(x, axis.start + 20, str(bars[place].number), anchor="middle")
    picture.line([(left, axis.end), (left, axis.start), (RIGHT, axis.start)], width=1.5)
    picture.text((left + RIGHT) / 2, picture.height - 8, "Run", anchor="middle")


def bar_mark(picture: Picture, x: float, y: float) -> None:
    """A piece of a bar, for the key."""
    picture.box(x - 5, y - 8, x + 5, y + 7, strength=0.6)


def thick(picture: Picture, x: float, y: float) -> None:
    """A piece of the line of a head's mean, for the key."""
    picture.line([(x - 14, y), (x + 14, y)], width=3.5)
