"""The picture of a seedbed: rows from above, with the spread and the spacing to scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.chart import WIDTH, Picture, short
from calc.declare import Found
from calc.quantity import Units
from calc.units import SHORT_LENGTH

STEP = 140.0  # from row to row on the picture, whatever the spacing
TOP, BOTTOM = 50.0, 190.0
SEEDS = 13  # dots along a row
GOLDEN = 0.618034  # places dots evenly over the spread, without chance


def draw_rows(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Three rows from above: a shaded strip as wide as the spread, and dots for seed and fertilizer in it."""
    spread, spacing = given["spread"], given["spacing"]
    half = spread / spacing * STEP / 2
    picture = Picture(BOTTOM + 50, {"spread": spread, "spacing": spacing})
    rows = [WIDTH / 2 + number * STEP for number in (-1, 0, 1)]
    for x in rows:
        picture.box(x - half, TOP, x + half, BOTTOM, strength=0.2)
        picture.line([(x, TOP), (x, BOTTOM)], width=1, dash="6 4")
        _scatter(picture, x, half)
    left, middle, right = rows
    _measure(picture, left, middle, TOP - 14, upward=True)
    picture.text(
        (left + middle) / 2, TOP - 24, f"spacing {short(spacing, SHORT_LENGTH, units)}", anchor="middle"
    )
    _measure(picture, right - half, right + half, BOTTOM + 14, upward=False)
    picture.text(right, BOTTOM + 36, f"spread {short(spread, SHORT_LENGTH, units)}", anchor="middle")
    return picture


def _scatter(picture: Picture, x: float, half: float) -> None:
    """Dots over a strip: filled ones for seed, hollow ones for fertilizer."""
    for number in range(SEEDS):
        y = TOP + (number + 0.5) / SEEDS * (BOTTOM - TOP)
        for turn, hollow in ((0.0, False), (0.37, True)):
            across = ((number * GOLDEN + turn) % 1.0 - 0.5) * 2 * half
            picture.dot(x + across, y, radius=2.5, hollow=hollow)


def _measure(picture: Picture, start: float, end: float, y: float, *, upward: bool) -> None:
    """A line between two short ticks that point to what is measured."""
    tick = 8.0 if upward else -8.0
    picture.line([(start, y + tick), (start, y), (end, y), (end, y + tick)], width=1.5)
