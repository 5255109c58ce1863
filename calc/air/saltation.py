"""Saltation speed: six published models of the air speed below which product settles in a level hose.

All of them join the loading μ (mass of product to mass of air) with the Froude number Fr = U/√(g D) of the
air speed U in a hose of bore D. Since μ is itself the product flow over ρ · U · area, each one is solved for
U here. Geldart and Ling's model is for fine powders and has no place among them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from calc.air.atmosphere import GRAVITY
from calc.number import settle

RIZK_LARGEST = 0.003  # m: above about this Rizk's model goes beyond its tests
MATSUMOTO_SMALLEST = 0.0003  # m: the models of 1974 and 1975 are for particles larger than this
WEBER_FALL = 3.0  # m/s of lift speed, where Weber's factor stops growing


class Stream(NamedTuple):
    """Product and air in one hose, in SI; what is not known of the product is None."""

    solids: float  # kg/s
    bore: float
    particle: float
    air_density: float
    particle_density: float | None = None
    lift_speed: float | None = None

    @property
    def area(self) -> float:
        """Of the bore, m²."""
        return math.pi / 4 * self.bore**2

    @property
    def loaded_speed(self) -> float:
        """Loading times air speed (m/s): how much air volume the product would be, over the area."""
        return self.solids / (self.air_density * self.area)

    @property
    def wave_speed(self) -> float:
        """√(g D), m/s: the air speed at which the Froude number is 1."""
        return math.sqrt(GRAVITY * self.bore)

    @property
    def density_ratio(self) -> float:
        """Particle density over air density. Raises TypeError where the first is not known."""
        if self.particle_density is None:
            raise TypeError("this model needs the particle density")
        return self.particle_density / self.air_density

    @property
    def fall_speed(self) -> float:
        """Speed (m/s) at which a particle falls in still air. Raises TypeError where it is not known."""
        if self.lift_speed is None:
            raise TypeError("this model needs the lift speed")
        return self.lift_speed

    @property
    def fall_froude(self) -> float:
        """Froude number of the fall speed over the particle size."""
        return self.fall_speed / math.sqrt(GRAVITY * self.particle)


def _from_power(stream: Stream, factor: float, power: float) -> float:
    """The air speed (m/s) at which the loading is `factor` · Fr^`power`."""
    return float((stream.loaded_speed * stream.wave_speed**power / factor) ** (1 / (power + 1)))


def rizk(stream: Stream) -> float:
    """Saltation speed (m/s): μ = 10^−(1.44 d + 1.96) · Fr^(1.1 d + 2.5), with d in mm. Source: Rizk, 1973."""
    size = 1000 * stream.particle
    return _from_power(stream, 10 ** -(1.44 * size + 1.96), 1.1 * size + 2.5)


def schade(stream: Stream) -> float:
    """Saltation speed (m/s): Fr = μ^0.11 · (D/d)^0.025 · (ρₚ/ρ)^0.34. Source: Schade, 1987."""
    factor = (stream.bore / stream.particle) ** 0.025 * stream.density_ratio**0.34
    return float((stream.loaded_speed**0.11 * factor * stream.wave_speed) ** (1 / 1.11))


def weber(stream: Stream) -> float:
    """Saltation speed (m/s): Fr = k · μ^¼ · (d/D)^0.1, with k = 7 + 8/3 w up to a lift speed w of 3 m/s.

    Above that k is 15. Source: Weber, 1981.
    """
    factor = 7 + 8 / 3 * min(stream.fall_speed, WEBER_FALL)
    froude = factor * (stream.particle / stream.bore) ** 0.1 * stream.loaded_speed**0.25
    return float((froude * stream.wave_speed) ** (1 / 1.25))


def matsumoto_1974(stream: Stream) -> float:
    """Saltation speed (m/s): μ = 0.448 · (ρₚ/ρ)^0.5 · (Frₚ/10)^−1.75 · (Fr/10)³.

    Frₚ is the Froude number of the fall speed. Source: Matsumoto and others, 1974.
    """
    factor = 0.448 * stream.density_ratio**0.5 * (stream.fall_froude / 10) ** -1.75
    return _from_power(stream, factor / 10**3, 3.0)


def matsumoto_1975(stream: Stream) -> float:
    """Saltation speed (m/s): μ = 1.11 · (ρₚ/ρ)^0.55 · (Frₚ/10)^−2.3 · (Fr/10)³.

    Source: Matsumoto and others, 1975.
    """
    factor = 1.11 * stream.density_ratio**0.55 * (stream.fall_froude / 10) ** -2.3
    return _from_power(stream, factor / 10**3, 3.0)


def matsumoto_1977(stream: Stream) -> float:
    """Saltation speed (m/s) by one rule for coarse particles and another for fine ones.

    Coarse ones are larger than d* = 1.39 · D · (ρₚ/ρ)^−0.74, and for them
    μ = 0.373 · (ρₚ/ρ)^1.06 · (Frₚ/10)^−3.7 · (Fr/10)^3.61; for others μ = 5560 · (d/D)^1.43 · (Fr/10)⁴.
    Source: Matsumoto and others, 1977.
    """
    if stream.particle > 1.39 * stream.bore * stream.density_ratio**-0.74:
        factor = 0.373 * stream.density_ratio**1.06 * (stream.fall_froude / 10) ** -3.7
        return _from_power(stream, factor / 10**3.61, 3.61)
    return _from_power(stream, 5560 * (stream.particle / stream.bore) ** 1.43 / 10**4, 4.0)


class Model(NamedTuple):
    """A model by its name, what of the product it needs, and the particle sizes (m) that its tests cover."""

    name: str
    speed: Callable[[Stream], float]
    needs_density: bool
    needs_lift: bool
    smallest: float = 0.0
    largest: float = math.inf

    def can_answer(self, stream: Stream) -> bool:
        """Whether all that it needs is known."""
        density = stream.particle_density is not None or not self.needs_density
        return density and (stream.lift_speed is not None or not self.needs_lift)

    def standing(self, stream: Stream) -> str:
        """Whether the particle is beyond those it was made for, or not, or their limits are unknown to us."""
        if self.smallest == 0 and self.largest == math.inf:
            return "unknown"
        return "inside" if self.smallest <= settle(stream.particle) <= self.largest else "beyond"


MODELS = (
    Model("Rizk 1973", rizk, False, False, largest=RIZK_LARGEST),
    Model("Schade 1987", schade, True, False),
    Model("Weber 1981", weber, False, True),
    Model("Matsumoto 1974", matsumoto_1974, True, True, smallest=MATSUMOTO_SMALLEST),
    Model("Matsumoto 1975", matsumoto_1975, True, True, smallest=MATSUMOTO_SMALLEST),
    Model("Matsumoto 1977", matsumoto_1977, True, True),
)
