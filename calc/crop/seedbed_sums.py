"""The published limits of urea beside cereal seed, and how they are read: only ever on the safe side.

Manitoba Agriculture, Guidelines for Safely Applying Fertilizer with Seed (read): lb of actual N per acre as
urea, cereals, good to excellent moisture. A wider spread and a closer spacing both thin the urea out, so the
next narrower spread and the next wider spacing of the table are on the safe side of what was measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from calc.errors import Problem, problem
from calc.number import settle
from calc.quantity import Amount
from calc.units import ACRE, INCH, POUND, SHORT_LENGTH

SPREADS = (1, 2, 3)  # inches
SPACINGS = (6, 9, 12)  # inches
LIMITS = {  # lb/ac of N: a row a spread, a column a spacing
    "light": ((10, 0, 0), (20, 15, 10), (30, 20, 15)),
    "medium": ((20, 15, 10), (30, 25, 20), (40, 30, 25)),
    "heavy": ((25, 20, 10), (40, 30, 25), (50, 40, 30)),
}
DRY = 0.5
UREA = 0.46  # of urea that is N: 46-0-0
LB_AC = float(POUND / ACRE)
_INCH = float(INCH)
LEAST_SPREAD, MOST_SPREAD = SPREADS[0] * _INCH, SPREADS[-1] * _INCH
LEAST_SPACING, MOST_SPACING = SPACINGS[0] * _INCH, SPACINGS[-1] * _INCH


class Cell(NamedTuple):
    """A cell of the table: its spread and spacing (m), and its limit of N (kg/m²) for the conditions."""

    spread: float
    spacing: float
    limit: float


def cells(soil: str, moisture: str, opener: str) -> list[Cell]:
    """The whole table for a soil, halved where it is dry, and nothing for double discs on light soil."""
    part = 0.0 if soil == "light" and opener == "double-disc" else DRY if moisture == "dry" else 1.0
    return [
        Cell(spread * _INCH, spacing * _INCH, part * limit * LB_AC)
        for spread, row in zip(SPREADS, LIMITS[soil], strict=True)
        for spacing, limit in zip(SPACINGS, row, strict=True)
    ]


def safe_cell(table: list[Cell], spread: float, spacing: float) -> Cell | None:
    """The cell of the next narrower spread and the next wider spacing; None where the table has none."""
    on_safe_side = [
        cell
        for cell in table
        if settle(cell.spread) <= settle(spread) and settle(cell.spacing) >= settle(spacing)
    ]
    return max(on_safe_side, key=lambda cell: (cell.spread, -cell.spacing), default=None)


def too_narrow(spread: float) -> bool:
    """Whether a spread is narrower than any of the table."""
    return settle(spread) < settle(LEAST_SPREAD)


def beyond(spread: float, spacing: float) -> bool:
    """Whether the spread is wider, or the spacing closer, than any of the table."""
    return settle(spread) > settle(MOST_SPREAD) or settle(spacing) < settle(LEAST_SPACING)


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """A spread wider than the spacing; values that are wrong are None."""
    spread, spacing = given["spread"], given["spacing"]
    if spread is None or spacing is None or settle(spread) <= settle(spacing):
        return []
    parts = {"spread": Amount(spread, SHORT_LENGTH), "spacing": Amount(spacing, SHORT_LENGTH)}
    return [problem("spread", "too-wide-a-spread", **parts)]
