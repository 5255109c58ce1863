"""Air by the US Standard Atmosphere 1976: its pressure at an altitude, its density and its viscosity."""

from __future__ import annotations

import math

GRAVITY = 9.80665  # m/s², by definition
GAS_CONSTANT = 8314.32 / 28.9644  # J/(kg K) of dry air: the constant and the molar mass that the standard has
SEA_PRESSURE = 101_325.0  # Pa
SEA_TEMPERATURE = 288.15  # K
LAPSE = 0.0065  # K for each meter of geopotential height, up to 11 km
EARTH_RADIUS = 6_356_766.0  # m
SUTHERLAND_FACTOR = 1.458e-6  # kg/(s m K^½)
SUTHERLAND_TEMPERATURE = 110.4  # K


def pressure_at(altitude: float) -> float:
    """Pressure (Pa) of the standard atmosphere at `altitude` (m above the sea), from below it up to 11 km.

    Source: US Standard Atmosphere 1976, equations 18 and 33a.
    """
    height = EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)
    share = 1 - LAPSE * height / SEA_TEMPERATURE
    return float(SEA_PRESSURE * share ** (GRAVITY / (GAS_CONSTANT * LAPSE)))


def density_of_air(altitude: float, temperature: float) -> float:
    """Density (kg/m³) of dry air at the standard pressure of `altitude` (m) and its own `temperature` (K).

    Source: the law of ideal gases.
    """
    return pressure_at(altitude) / (GAS_CONSTANT * temperature)


def viscosity_of_air(temperature: float) -> float:
    """Viscosity (Pa s) of air at `temperature` (K). Source: US Standard Atmosphere 1976, equation 51."""
    return SUTHERLAND_FACTOR * temperature * math.sqrt(temperature) / (temperature + SUTHERLAND_TEMPERATURE)
