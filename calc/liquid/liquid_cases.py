"""The examples that `liquid` is checked by; the first is the one that its page shows."""

from __future__ import annotations

from calc.declare import Case, Source

NEBRASKA = Source(
    "University of Nebraska, CropWatch 2016: liquids that are heavier or lighter than water",
    where="28 % UAN of 10.65 lb/gal at 20 gal/ac: 1.28, factor 1.13, 22.6 gal/ac of water",
)
FACTORS = Source(
    NEBRASKA.title, where="factors .89, 1.04, 1.15, 1.17 and 1.20 for 6.6, 9, 11, 11.4 and 12 lb/gal"
)
US_SUMS = Source(
    "Arithmetic in US units: gpm = gal/ac · mph · in / 5940, psi by the square of the flow",
    basis="our own invention",
)
METRIC_SUMS = Source(
    "Arithmetic in metric units: L/min = L/ha · km/h · m / 600, kPa by the square of the flow",
    basis="our own invention",
)


def factor(density: str, printed: str) -> Case:
    """One line of Nebraska's factors: they turn a rate into that of water at the same pressure."""
    return Case(
        f"The factor of a liquid of {density}",
        given={"rate": "1 gal/ac", "speed": "6 mph", "spacing": "20 in", "density": density},
        source=FACTORS,
        printed={"water_rate": f"{printed} gal/ac"},
    )


# The third figure that is printed there, 25.151 gal of UAN for 75 lb of nitrogen, is a product for a nutrient
# and no figure of this calculator.
CASES = [
    Case(
        "Liquid nitrogen beside the seed, 10 inches apart",
        given={
            "rate": "15 us gal/ac",
            "speed": "5 mph",
            "spacing": "10 in",
            "density": "10.65 lb/us gal",
            "known_flow": "0.14 gpm",
            "known_pressure": "30 psi",
            "rate_low": "10 us gal/ac",
            "rate_high": "18 us gal/ac",
        },
        source=US_SUMS,
        printed={
            "outlet_flow": "0.1263 gpm",
            "pressure": "31.14 psi",
            "water_flow": "0.1426 gpm",
            "pressure_low": "13.84 psi",
            "pressure_high": "44.84 psi",
            "pressures[1].rate": "7.50 gal/ac",
        },
        pinned={"pressure": 214701.9662},
        notes=["timed-catch", "compare-papers", "range", "speed-too"],
    ),
    Case(
        "Twenty gallons of UAN, and the water that shows its pressure",
        given={"rate": "20 gal/ac", "speed": "5 mph", "spacing": "20 in", "density": "10.65 lb/gal"},
        source=NEBRASKA,
        printed={"water_rate": "22.6 gal/ac"},
        pinned={"pressure": None, "pressure_low": None, "pressure_high": None},
        notes=["timed-catch", "give-known"],
    ),
    factor("6.6 lb/gal", "0.89"),
    factor("9 lb/gal", "1.04"),
    factor("10.65 lb/gal", "1.13"),
    factor("11 lb/gal", "1.15"),
    factor("11.4 lb/gal", "1.17"),
    factor("12 lb/gal", "1.20"),
    Case(
        "Water itself at the known flow stands at the known pressure",
        given={
            "rate": "100 L/ha",
            "speed": "12 km/h",
            "spacing": "300 mm",
            "density": "1 kg/L",
            "known_flow": "0.6 L/min",
            "known_pressure": "200 kPa",
        },
        source=METRIC_SUMS,
        printed={
            "outlet_flow": "0.60 L/min",
            "pressure": "200.0 kPa",
            "water_rate": "100.0 L/ha",
            "pressures[3].pressure": "50.00 kPa",
        },
        notes=["timed-catch", "compare-papers", "give-rates", "speed-too"],
    ),
    Case(
        "A rate map that asks too much of one outlet",
        given={
            "rate": "50 L/ha",
            "speed": "10 km/h",
            "spacing": "250 mm",
            "density": "1.28 kg/L",
            "known_flow": "0.5 L/min",
            "known_pressure": "200 kPa",
            "rate_low": "40 L/ha",
            "rate_high": "120 L/ha",
        },
        source=METRIC_SUMS,
        # q = 0.2083 L/min, so 200 · 1.28 · (0.2083 / 0.5)² = 44.44; at 40 L/ha 28.44, at 120 L/ha 256.0
        printed={"pressure": "44.44 kPa", "pressure_low": "28.44 kPa", "pressure_high": "256.0 kPa"},
        notes=["timed-catch", "compare-papers", "far-from-known", "low-pressure", "wide-range", "speed-too"],
    ),
    Case(
        "A rate outside the range that was given, and only its upper end",
        given={
            "rate": "30 gal/ac",
            "speed": "5 mph",
            "spacing": "10 in",
            "density": "10.65 lb/gal",
            "known_flow": "0.25 gpm",
            "known_pressure": "30 psi",
            "rate_high": "25 gal/ac",
        },
        source=US_SUMS,
        printed={"pressure": "39.06 psi", "pressure_high": "27.13 psi"},
        pinned={"pressure_low": None},
        notes=["timed-catch", "rate-outside", "compare-papers", "give-rates", "speed-too"],
    ),
]
