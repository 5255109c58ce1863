"""How fast a smooth ball falls in still air: what stands in for a lift speed that nobody has measured."""

from __future__ import annotations

import math

from calc.air.atmosphere import GRAVITY

LOOSE = 1e-12  # a share of the answer, far looser than the last bit and far below what is shown


def drag_of_ball(reynolds: float) -> float:
    """Drag coefficient of a smooth ball. Source: Haider and Levenspiel, Powder Technology 58, 1989."""
    viscous = 24 / reynolds * (1 + 0.1806 * math.pow(reynolds, 0.6459))
    return viscous + 0.4251 / (1 + 6880.95 / reynolds)


def fall_speed_of_ball(size: float, density: float, air_density: float, viscosity: float) -> float:
    """Speed (m/s) at which a ball of `size` (m) and `density` (kg/m³) falls steadily in still air.

    Its weight in air and its drag are in balance where drag coefficient · Re² is 4/3 of the Archimedes
    number. That grows with Re, so halving an interval finds it.
    """
    archimedes = GRAVITY * size**3 * air_density * (density - air_density) / viscosity**2
    low, high = 0.0, archimedes / 18  # Stokes' law: no ball falls faster than by it
    while high - low > LOOSE * high:
        middle = (low + high) / 2
        if drag_of_ball(middle) * middle**2 < 4 / 3 * archimedes:
            low = middle
        else:
            high = middle
    return high * viscosity / (air_density * size)
