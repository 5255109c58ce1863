"""Worked examples of what one run carries that are checked, with where each comes from.

No source prints seeds in a second: that column is checked by hand and against pint.
"""

from __future__ import annotations

from calc.crop.stand_cases import IOWA, KENTUCKY
from calc.declare import Case, Source

ARITHMETIC = Source("One run covers spacing times ground speed in a second", basis="our own invention")
GRAMS = Source(
    KENTUCKY.title, where="grams per row in 150 ft for each lb/ac: 0.78 at 6 in and 0.98 at 7.5 in"
)
ROWS = Source(KENTUCKY.title, where="35 seeds/ft² at 4, 6, 8 and 10 in: 12, 18, 23 and 29 per foot of row")

SOURCES = [ARITHMETIC, KENTUCKY, IOWA]


def along_row(spacing: str, printed: str) -> Case:
    """35 seeds/ft² in rows of a spacing."""
    return Case(
        f"Seeds along a row, {spacing} apart",
        given={"seeds": "35 seeds/ft2", "spacing": spacing, "speed": "5 mph"},
        source=ROWS,
        printed={"seeds_per_row": printed},
    )


def over_150_feet(spacing: str, printed: str) -> Case:
    """One lb/ac in one row, at a speed that covers 150 ft in a tenth of a minute."""
    return Case(
        f"The grams of one row of {spacing} over 150 feet, in a tenth of a minute",
        given={"rate": "1 lb/ac", "spacing": spacing, "speed": "7.62 m/s"},
        source=GRAMS,
        printed={"mass_per_second": printed},
    )


CASES = [
    Case(
        "Wheat by its rate",
        given={"rate": "110 lb/ac", "kernel_mass": "36 g", "spacing": "10 in", "speed": "5 mph"},
        source=ARITHMETIC,
        printed={  # 110 · 10/12 · 5 / 495 lb/min; that · 453.59237/36 · 1000/60; that over 7.333 ft/s
            "mass_per_second": "0.9259 lb/min",
            "seeds_per_second": "194.44 seeds/s",
            "seeds_per_row": "26.515 seeds/ft",
        },
        pinned={"seeds_per_second": 194.4411737},
        notes=["seed-gap"],
    ),
    Case(
        "Canola by its seeds",
        given={"seeds": "100 seeds/m2", "kernel_mass": "5 g", "spacing": "25 cm", "speed": "7.2 km/h"},
        source=ARITHMETIC,
        printed={
            "seeds_per_second": "50.00 seeds/s",
            "seeds_per_row": "25.00 seeds/m",
            "mass_per_second": "0.01500 kg/min",
        },
        notes=["seed-gap"],
    ),
    Case(
        "A rate alone",
        given={"rate": "90 kg/ha", "spacing": "20 cm", "speed": "9 km/h"},
        source=ARITHMETIC,
        printed={"mass_per_second": "0.2700 kg/min"},  # 90 · 0.2 · 9 / 600
        pinned={"seeds_per_second": None, "seeds_per_row": None},
        notes=["give-kernel-mass-for-seeds"],
    ),
    Case(
        "Seeds alone",
        given={"seeds": "40 seeds/m2", "spacing": "50 cm", "speed": "9 km/h"},
        source=ARITHMETIC,
        printed={"seeds_per_second": "50.00 seeds/s", "seeds_per_row": "20.00 seeds/m"},
        pinned={"mass_per_second": None},
        notes=["give-kernel-mass-for-flow", "seed-gap"],
    ),
    Case(
        "Grams written for ten seeds",
        given={"rate": "120 kg/ha", "kernel_mass": "0.36 g", "spacing": "25 cm", "speed": "8 km/h"},
        source=ARITHMETIC,
        printed={"seeds_per_row": "8333.3 seeds/m"},
        notes=["many-seeds", "seed-gap"],
    ),
    Case(
        "200 000 seeds to the acre",
        given={"seeds": "200000 seeds/ac", "spacing": "15 in", "speed": "5 mph"},
        source=IOWA,
        printed={"seeds_per_row": "5.74 seeds/ft"},
    ),
    along_row("4 in", "12 seeds/ft"),
    along_row("6 in", "18 seeds/ft"),
    along_row("8 in", "23 seeds/ft"),
    along_row("10 in", "29 seeds/ft"),
    over_150_feet("6 in", "0.0078 kg/min"),
    over_150_feet("7.5 in", "0.0098 kg/min"),
]
