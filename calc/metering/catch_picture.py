"""The picture of repeated catches: each one, their mean, its interval, and the tolerance about the mean."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from calc.chart import DASHES, WIDTH, Axis, Picture, short
from calc.declare import Found
from calc.metering.catch_sums import Catch, slow_and_fast
from calc.quantity import Units, show
from calc.units import MASS_PER_TURN, SHARE

RIGHT, KEY_TOP, KEY_ROW, PLOT, BOTTOM = WIDTH - 16, 42, 24, 240, 52
KEY_COLUMNS = (12.0, 230.0)
MOST_NUMBERED = 15  # above this many catches, every fifth number is written
Mark = Callable[[Picture, float, float], None]


def draw_catches(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """Mass per turn of each catch in the order given; None for one catch, which has no interval."""
    catches: Sequence[Catch] = given["catches"]
    low, high = found.values["interval_low"], found.values["interval_high"]
    middle = found.values["mass_per_turn"]
    if not (isinstance(low, float) and isinstance(high, float) and isinstance(middle, float)):
        return None
    band = [middle * (1 - given["tolerance"]), middle * (1 + given["tolerance"])]
    marks = marks_of(catches)
    suspect = found.values["suspect"]
    key = key_of(middle, given["tolerance"], dict(marks), suspect is not None, units)
    top = KEY_TOP + KEY_ROW * ((len(key) + 1) // 2)
    parts = {"mean": middle, "low": low, "high": high, "band_low": band[0], "band_high": band[1]}
    picture = Picture(top + PLOT + BOTTOM, {"count": len(catches), **parts})
    values = [catch.mass_per_turn for catch in catches]
    ends = [*values, low, high, *band]
    axis = Axis(MASS_PER_TURN, units, min(ends), max(ends), top + PLOT, top)
    left = 14 + 8.5 * max(len(label) for _, label in axis.ticks())
    picture.text(4, 18, axis.title("Mass per turn"))
    draw_key(picture, key)
    draw_scales(picture, axis, left, len(values))
    picture.box(left, axis.at(high), RIGHT, axis.at(low), strength=0.2)
    for edge in band:
        picture.line([(left, axis.at(edge)), (RIGHT, axis.at(edge))], dash=DASHES[1])
    picture.line([(left, axis.at(middle)), (RIGHT, axis.at(middle))], width=2.5)
    for number, (value, (_, mark)) in enumerate(zip(values, marks, strict=True), start=1):
        x, y = across(number, len(values), left), axis.at(value)
        mark(picture, x, y)
        if number == suspect:
            ring(picture, x, y)
    return picture


def across(number: int, count: int, left: float) -> float:
    """Where catch `number` of `count` lies from left to right."""
    return left + (number - 0.5) / count * (RIGHT - left)


def marks_of(catches: Sequence[Catch]) -> list[tuple[str, Mark]]:
    """For each catch what the key calls it, and how it is marked: slow and fast differ by shape."""
    groups = slow_and_fast(catches)
    if not groups:
        return [("one catch", filled)] * len(catches)
    of_place = {
        **dict.fromkeys(groups.slow, ("slow catch", filled)),
        **dict.fromkeys(groups.fast, ("fast catch", hollow)),
    }
    return [of_place.get(place, ("speed not given", square)) for place in range(len(catches))]


def key_of(
    middle: float, tolerance: float, marks: Mapping[str, Mark], suspect: bool, units: Units
) -> list[tuple[str, Mark]]:
    """What each mark means: the catches first, then the lines."""
    key = list(marks.items())
    if suspect:
        key.append(("suspect", ring))
    key += [
        (f"mean, {show(middle, MASS_PER_TURN, units)}", solid),
        ("95 % interval", shade),
        (f"tolerance, ±{short(tolerance, SHARE, units)}", broken),
    ]
    return key


def draw_key(picture: Picture, key: Sequence[tuple[str, Mark]]) -> None:
    """The key in two columns above the plot, filled row by row."""
    for place, (words, mark) in enumerate(key):
        x, y = KEY_COLUMNS[place % 2], KEY_TOP + KEY_ROW * (place // 2)
        mark(picture, x + 14, y - 5)
        picture.text(x + 36, y, words, size=14)


def draw_scales(picture: Picture, axis: Axis, left: float, count: int) -> None:
    """The scale of mass per turn on the left, and the numbers of the catches below."""
    picture.marks_up(axis, left, RIGHT)
    picture.line([(left, axis.end), (left, axis.start), (RIGHT, axis.start)], width=1.5)
    for number in range(1, count + 1):
        if count <= MOST_NUMBERED or number % 5 == 0:
            picture.text(across(number, count, left), axis.start + 20, str(number), anchor="middle")
    picture.text((left + RIGHT) / 2, picture.height - 8, "Catch, in the order given", anchor="middle")


def filled(picture: Picture, x: float, y: float) -> None:
    """A filled dot."""
    picture.dot(x, y)


def hollow(picture: Picture, x: float, y: float) -> None:
    """A hollow dot."""
    picture.dot(x, y, hollow=True)


def square(picture: Picture, x: float, y: float) -> None:
    """A filled square."""
    picture.box(x - 4.5, y - 4.5, x + 4.5, y + 4.5, strength=1)


def ring(picture: Picture, x: float, y: float) -> None:
    """A wide ring, which goes around the mark of a catch."""
    picture.dot(x, y, radius=10, hollow=True)


def solid(picture: Picture, x: float, y: float) -> None:
    """A piece of the line of the mean."""
    picture.line([(x - 14, y), (x + 14, y)], width=2.5)


def broken(picture: Picture, x: float, y: float) -> None:
    """A piece of the line of a tolerance."""
    picture.line([(x - 16, y), (x + 16, y)], dash=DASHES[1])


def shade(picture: Picture, x: float, y: float) -> None:
    """A piece of the interval."""
    picture.box(x - 14, y - 7, x + 14, y + 7, strength=0.2)
