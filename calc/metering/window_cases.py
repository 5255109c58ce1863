"""The examples that `speed-window` is checked by; the first is the one that its page shows."""

from __future__ import annotations

from calc.declare import Case, Source
from calc.metering.rate import KENTUCKY, SOIL_HEALTH

US_SUMS = Source("Arithmetic in US units: mph = rpm · lb/rev · 495 / (lb/ac · ft)", basis="our own invention")
METRIC_SUMS = Source(
    "Arithmetic in metric units: km/h = rpm · g/rev · 0.6 / (kg/ha · m)", basis="our own invention"
)


def tank(name: str, rates: tuple[str, str], mass_per_turn: str, meter: tuple[str, str]) -> dict[str, str]:
    """One row: the rates from lowest to highest, the mass per turn, and the range of meter speed."""
    return {
        "name": name,
        "rate_low": rates[0],
        "rate_high": rates[1],
        "mass_per_turn": mass_per_turn,
        "meter_low": meter[0],
        "meter_high": meter[1],
    }


EXAMPLE = [
    tank("Wheat", ("90 lb/ac", "130 lb/ac"), "1.2 lb/rev", ("10 rpm", "120 rpm")),
    tank("Phosphate", ("30 lb/ac", "70 lb/ac"), "0.7 lb/rev", ("10 rpm", "100 rpm")),
    tank("Urea", ("40 lb/ac", "180 lb/ac"), "1 lb/rev", ("10 rpm", "120 rpm")),
    tank("Inoculant", ("4 lb/ac", "6 lb/ac"), "0.15 lb/rev", ("10 rpm", "100 rpm")),
]

OPEN = [
    Case(
        "Four tanks on a 60 foot drill",
        given={"width": "60 ft", "speed_low": "3 mph", "speed_high": "6 mph", "tanks": EXAMPLE},
        source=US_SUMS,
        printed={
            "speed_from": "3.094 mph",
            "speed_to": "5.500 mph",
            "tanks[1].slowest": "1.100 mph",
            "tanks[1].fastest": "9.138 mph",
            "tanks[2].slowest": "1.925 mph",
            "tanks[2].fastest": "8.250 mph",
            "tanks[4].fastest": "20.625 mph",
            "tanks[4].meter_from": "10.00 rpm",
            "tanks[3].meter_to": "120.00 rpm",
            "tanks[3].rate_span": "4.500",
            "tanks[3].meter_span": "12.000",
        },
        pinned={
            "verdict": "open",
            "slow_limit": "tank",
            "fast_limit": "tank",
            "tanks[1].part": "inside",
            "tanks[3].part": "fast-end",
            "tanks[4].part": "slow-end",
        },
        notes=["plan-inside", "slowing"],
    ),
    Case(
        "The operating speed sets the slow end",
        given={
            "width": "12 m",
            "speed_low": "6 km/h",
            "speed_high": "12 km/h",
            "tanks": [
                tank("Barley", ("150 kg/ha", "200 kg/ha"), "800 g/rev", ("10 rpm", "100 rpm")),
                tank("Phosphate", ("60 kg/ha", "120 kg/ha"), "250 g/rev", ("8 rpm", "80 rpm")),
            ],
        },
        source=METRIC_SUMS,
        printed={
            "speed_from": "6.000 km/h",
            "speed_to": "8.333 km/h",
            "tanks[1].slowest": "2.667 km/h",
            "tanks[1].fastest": "20.000 km/h",
            "tanks[2].slowest": "1.667 km/h",
        },
        pinned={"verdict": "open", "slow_limit": "operating-speed", "fast_limit": "tank"},
        notes=["plan-inside", "slowing"],
    ),
    Case(
        "One tank at one rate, no operating speeds",
        given={
            "width": "40 ft",
            "tanks": [tank("Oats", ("80 lb/ac", "80 lb/ac"), "0.8 lb/rev", ("10 rpm", "60 rpm"))],
        },
        source=US_SUMS,
        printed={"speed_from": "1.2375 mph", "speed_to": "7.425 mph", "tanks[1].rate_span": "1.0"},
        pinned={"verdict": "open", "tanks[1].part": "both-ends"},
        notes=["plan-inside", "slowing"],
    ),
    Case(
        "Open, with nothing in hand",
        given={
            "width": "40 ft",
            "tanks": [
                tank("Inoculant", ("4 lb/ac", "6 lb/ac"), "0.12 lb/rev", ("10 rpm", "100 rpm")),
                tank("Urea", ("60 lb/ac", "180 lb/ac"), "0.5 lb/rev", ("10 rpm", "120 rpm")),
            ],
        },
        source=US_SUMS,
        printed={"speed_from": "3.7125 mph", "speed_to": "4.125 mph"},
        pinned={"verdict": "open"},
        notes=["narrow", "slowing"],
    ),
    Case(
        "One operating speed, and it suits",
        given={
            "width": "12 m",
            "speed_low": "8 km/h",
            "speed_high": "8 km/h",
            "tanks": [tank("Lentils", ("50 kg/ha", "70 kg/ha"), "300 g/rev", ("8 rpm", "90 rpm"))],
        },
        source=METRIC_SUMS,
        printed={
            "speed_from": "8.000 km/h",
            "tanks[1].slowest": "2.400 km/h",
            "tanks[1].fastest": "19.286 km/h",
        },
        pinned={"verdict": "one-speed", "slow_limit": "operating-speed", "fast_limit": "operating-speed"},
        notes=["speed-inside", "slowing"],
    ),
]

CLOSED = [
    Case(
        "Two tanks clash",
        given={
            "width": "40 ft",
            "tanks": [
                tank("Inoculant", ("4 lb/ac", "6 lb/ac"), "0.15 lb/rev", ("10 rpm", "100 rpm")),
                tank("Urea", ("60 lb/ac", "180 lb/ac"), "0.5 lb/rev", ("10 rpm", "120 rpm")),
            ],
        },
        source=US_SUMS,
        printed={
            "tanks[1].slowest": "4.641 mph",
            "tanks[2].fastest": "4.125 mph",
            "mass_per_turn[1].least": "0.02125 lb/rev",
            "mass_per_turn[1].most": "0.1417 lb/rev",
            "mass_per_turn[2].least": "0.53125 lb/rev",
            "mass_per_turn[2].most": "2.125 lb/rev",
        },
        pinned={
            "speed_from": None,
            "speed_to": None,
            "verdict": "tanks-clash",
            "tanks[1].meter_from": None,
            "mass_per_turn[1].change": "smaller",
            "mass_per_turn[2].change": "larger",
        },
        notes=["at-halfway", "calibrate-again"],
    ),
    Case(
        "Rates that span more than the meter",
        given={
            "width": "12 m",
            "speed_low": "7 km/h",
            "speed_high": "10 km/h",
            "tanks": [
                tank("Wheat", ("90 kg/ha", "140 kg/ha"), "500 g/rev", ("10 rpm", "100 rpm")),
                tank("Urea by map", ("20 kg/ha", "200 kg/ha"), "400 g/rev", ("15 rpm", "90 rpm")),
            ],
        },
        source=METRIC_SUMS,
        printed={
            "tanks[2].slowest": "15.000 km/h",
            "tanks[2].fastest": "9.000 km/h",
            "tanks[2].rate_span": "10.0",
            "tanks[2].meter_span": "6.0",
            "mass_per_turn[1].least": "238.0 g/rev",
            "mass_per_turn[1].most": "1530.0 g/rev",
        },
        pinned={
            "speed_from": None,
            "verdict": "narrow-rates",
            "tanks[2].part": "never",
            "mass_per_turn[1].change": "keep",
            "mass_per_turn[2].least": None,
            "mass_per_turn[2].change": "never",
        },
        notes=["narrow-rates", "at-middle", "calibrate-again"],
    ),
    Case(
        "Small seed on a large metering element",
        given={
            "width": "60 ft",
            "speed_low": "4 mph",
            "speed_high": "6 mph",
            "tanks": [tank("Canola", ("4 lb/ac", "5 lb/ac"), "0.35 lb/rev", ("10 rpm", "100 rpm"))],
        },
        source=US_SUMS,
        printed={
            "tanks[1].slowest": "7.219 mph",
            "mass_per_turn[1].least": "0.0303 lb/rev",
            "mass_per_turn[1].most": "0.2424 lb/rev",
        },
        pinned={"speed_to": None, "verdict": "above-operating", "fast_limit": "operating-speed"},
        notes=["at-middle", "calibrate-again"],
    ),
    Case(
        "A meter too small for the speed wanted",
        given={
            "width": "18 m",
            "speed_low": "9 km/h",
            "tanks": [tank("Urea", ("100 kg/ha", "300 kg/ha"), "300 g/rev", ("10 rpm", "120 rpm"))],
        },
        source=METRIC_SUMS,
        printed={
            "tanks[1].fastest": "4.000 km/h",
            "mass_per_turn[1].least": "675.0 g/rev",
            "mass_per_turn[1].most": "2700.0 g/rev",
        },
        pinned={"verdict": "below-operating", "slow_limit": "operating-speed", "fast_limit": "tank"},
        notes=["at-operating", "calibrate-again"],
    ),
]


def one_row(width: str, speed: str, rate: str, mass_per_turn: str, meter: str) -> dict[str, object]:
    """One row at one rate and one speed, with a mass per turn that is not the right one."""
    one = tank("Seed", (rate, rate), mass_per_turn, (meter, meter))
    return {"width": width, "speed_low": speed, "speed_high": speed, "tanks": [one]}


READ = [
    Case(
        "The mass per turn of one row, eight feet of wheel to the turn",
        given=one_row("0.625 ft", "2.4384 m/s", "25 lb/ac", "0.003 lb/rev", "1 rev/s"),
        source=SOIL_HEALTH,
        printed={"mass_per_turn[1].least": "0.00287 lb/rev", "mass_per_turn[1].most": "0.00287 lb/rev"},
        pinned={"mass_per_turn[1].change": "smaller"},
    ),
    Case(
        "The grams of one row of 6 inches over 150 feet",
        given=one_row("6 in", "4.572 m/s", "1 lb/ac", "1 g/rev", "0.1 rev/s"),
        source=KENTUCKY,
        printed={"mass_per_turn[1].least": "0.78 g/rev"},
    ),
    Case(
        "The grams of one row of 7.5 inches over 150 feet",
        given=one_row("7.5 in", "4.572 m/s", "1 lb/ac", "1 g/rev", "0.1 rev/s"),
        source=Source(KENTUCKY.title, where="grams per row in 150 ft for each lb/ac: 0.98 at 7.5 in"),
        printed={"mass_per_turn[1].most": "0.98 g/rev"},
    ),
]

CASES = [*OPEN, *CLOSED, *READ]
