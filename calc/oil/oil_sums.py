"""Oil in lines: how fast it runs, how fast is usual, and the bore that a flow asks for."""

from __future__ import annotations

import math
from typing import NamedTuple

from calc.number import settle

FOOT = 0.3048  # m


class Line(NamedTuple):
    """A kind of line, and the oil speeds (m/s) that are usual in it."""

    code: str
    low: float
    high: float

    def standing(self, speed: float) -> str:
        """Where a speed (m/s) lies beside the usual ones."""
        if settle(speed) < settle(self.low):
            return "slower"
        return "faster" if settle(speed) > settle(self.high) else "usual"


PRESSURE = Line("pressure", 15 * FOOT, 20 * FOOT)
RETURN = Line("return", 10 * FOOT, 15 * FOOT)
SUCTION = Line("suction", 2 * FOOT, 4 * FOOT)
LINES = (PRESSURE, RETURN, SUCTION)


def speed_in(flow: float, bore: float) -> float:
    """Speed (m/s) of a `flow` (m³/s) in a line of `bore` (m). Source: flow over area."""
    return flow / (math.pi / 4 * bore**2)


def spare_of(tractor: float, taken: float) -> float:
    """What a tractor's flow leaves (in its unit), minus where it is short; rounding alone is nothing."""
    return 0.0 if settle(taken / tractor) == 1 else tractor - taken


def bore_for(flow: float, speed: float) -> float:
    """Bore (m) in which a `flow` (m³/s) runs at `speed` (m/s)."""
    return math.sqrt(flow / speed / (math.pi / 4))
