"""Inputs that several calculators of this room ask for alike."""

from __future__ import annotations

from calc.declare import Input
from calc.units import KERNEL_MASS, SHORT_LENGTH

KERNEL = Input(
    "kernel_mass",
    "Mass of a thousand seeds",
    KERNEL_MASS,
    "36 g",
    "0.05 g",
    "3000 g",
    "Count and weigh seeds of this lot, as they go into the tank.",
    measured=True,
)
SPACING = Input(
    "spacing",
    "Spacing",
    SHORT_LENGTH,
    "10 in",
    "25 mm",
    "2 m",
    "From the middle of one row to the middle of the next.",
    measured=True,
)
