"""Inputs that several calculators ask for alike.

One that differs a little is made of it: `replace(usual.WIDTH, example="40 ft")`.
"""

from __future__ import annotations

from calc import units
from calc.declare import Input

WIDTH = Input(
    "width",
    "Working width",
    units.LENGTH,
    "60 ft",
    "0.1 m",
    "60 m",
    "From first to last opener, plus one spacing.",
    measured=True,
)
GROUND_SPEED = Input("speed", "Ground speed", units.SPEED, "5 mph", "0.1 km/h", "40 km/h", measured=True)
RATE = Input(
    "rate",
    "Rate",
    units.MASS_PER_AREA,
    "100 lb/ac",
    "0.1 kg/ha",
    "5000 kg/ha",
    "What you want on the field.",
)
MASS_PER_TURN = Input(
    "mass_per_turn",
    "Mass per turn",
    units.MASS_PER_TURN,
    "1.4 lb/rev",
    "0.01 g/rev",
    "100 kg/rev",
    "From the last calibration of this product in this tank.",
    measured=True,
)
METER_SPEED = Input(
    "meter_speed",
    "Meter speed",
    units.TURNING_SPEED,
    "40 rpm",
    "0.01 rpm",
    "5000 rpm",
    "Turns of the meter shaft.",
    measured=True,
)
SPACING = Input(
    "spacing",
    "Spacing",
    units.SHORT_LENGTH,
    "10 in",
    "25 mm",
    "2 m",
    "From the middle of one row to the middle of the next.",
    measured=True,
)
KERNEL_MASS = Input(
    "kernel_mass",
    "Mass of a thousand seeds",
    units.KERNEL_MASS,
    "36 g",
    "0.05 g",
    "3000 g",
    "Count and weigh seeds of this lot, as they go into the tank.",
    measured=True,
)
RUN = Input("run", "Run", units.COUNT, "1", "1", "500", "Numbered across the machine, from the left.")
MASS_CAUGHT = Input(
    "mass",
    "Mass caught",
    units.SMALL_MASS,
    "6.2 oz",
    "0 g",
    "50 kg",
    "Product alone, without the container. Write 0 g for a run that gave nothing.",
    measured=True,
)
MASS_IN_TANK = Input(
    "mass",
    "Mass of product",
    units.MASS,
    "12000 lb",
    "0 kg",
    "100 t",
    "As filled: by the scale, or from a dip and the bulk density.",
    measured=True,
    takes=("bin-capacity.mass",),
)
