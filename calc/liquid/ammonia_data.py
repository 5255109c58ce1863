"""Saturated ammonia between −30 and 50 °C, and how much of it is nitrogen.

The coefficients were fitted with CoolProp 8.0.0 ('Ammonia', the equation of state of Gao and others, 2020)
by numpy 2.4 (`Polynomial.fit`, least squares, degree 6) at the 801 temperatures from −30 to 50 °C that lie
0.1 °C apart: the density of the saturated liquid in kg/m³, each value weighted by its reciprocal, and the
natural logarithm of the saturation pressure in Pa. Both are polynomials in (T − 283.15 K) / 40 K, which runs
from −1 to 1, with their coefficients from the constant up and cut to the digits that stand here.
Worst error against CoolProp between those temperatures: density 0.00003 %, pressure 0.00008 %.
Outside of them the polynomials are worth nothing.

Atomic weights: IUPAC's abridged standard ones, from memory. The air's pressure is the standard one.
"""

from __future__ import annotations

import math

COLDEST, HOTTEST = 243.15, 323.15  # K, the range of the fit
WORST_DENSITY_ERROR, WORST_PRESSURE_ERROR = 3e-7, 8e-7  # shares of the value
DENSITY = (624.7845, -56.45341, -4.33677, -0.77278, -0.17602, -0.05015, -0.00734)
LOG_PRESSURE = (13.3290364, 1.3806427, -0.2160093, 0.0360768, -0.0054156, 0.0007697, -0.0000915)

NITROGEN, HYDROGEN = 14.007, 1.008  # grams a mole
N_FRACTION = NITROGEN / (NITROGEN + 3 * HYDROGEN)
AIR_PRESSURE = 101_325.0  # Pa, the standard atmosphere

FILL = 0.85  # of the tank's volume, by the rule of extension services
REFERENCE = 288.70555555555554  # K, 60 °F: where a fill of that share is counted


def _polynomial(coefficients: tuple[float, ...], temperature: float) -> float:
    x = (temperature - 283.15) / 40.0
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value


def liquid_density(temperature: float) -> float:
    """Density (kg/m³) of the liquid under its own vapour at `temperature` (K), within the fit's range."""
    return _polynomial(DENSITY, temperature)


def gauge_pressure(temperature: float) -> float:
    """Pressure (Pa above the standard air) in a tank of ammonia at `temperature` (K), within the range."""
    return math.exp(_polynomial(LOG_PRESSURE, temperature)) - AIR_PRESSURE


def fill_mass(temperature: float, tank_volume: float) -> float:
    """Mass (kg) that fills `FILL` of `tank_volume` (m³) once it is as warm as `REFERENCE`, or now if warmer.

    A cold liquid is denser and swells as it warms, so the lesser of both densities counts.
    """
    return FILL * tank_volume * min(liquid_density(temperature), liquid_density(REFERENCE))


def fill_fraction(temperature: float) -> float:
    """The share of the tank that the mass of `fill_mass` takes up as liquid at `temperature` (K)."""
    return fill_mass(temperature, 1.0) / liquid_density(temperature)
