"""The examples that `air` is checked by, the first of which its page shows, and its sources."""

from __future__ import annotations

from calc.declare import Case, Source

ATMOSPHERE = Source(
    "US Standard Atmosphere 1976",
    where="kg/m³: 1.2250 at 0 m, 1.1117 at 1000 m, 1.0066 at 2000 m, 0.9093 at 3000 m",
)
RHODES = Source(
    "Rhodes, Introduction to Particle Technology, example 8.1, as the fluids library's documentation has it",
    where="0.25 kg/s of 100 µm in 78 mm at 1.2 kg/m³: 9.88 m/s",
)
MODEL_PAPERS = Source(
    "Rizk 1973; Weber 1981; Schade 1987; Matsumoto and others 1974, 1975 and 1977",
    where="the models as the fluids library's documentation has them",
)
LIFT_SPEEDS = Source(
    "Research in Agricultural Engineering 62, 2016",
    where="lift speeds in m/s: cereals 8.0 to 10.5, maize 13.3, sunflower 8.4, poppy 4.7, pea 14.9",
)
BALL = Source("Haider and Levenspiel, Powder Technology 58, 1989: drag of a smooth ball", basis="from memory")
LOADS = Source(
    "Models of thin streams were mostly tested with 1 to 15 times as much product as air",
    basis="from memory",
)
FAN_MARGIN = Source("Lowest fan speed that carries, then 5 to 10 % more", basis="common practice")
OURS = Source("The models themselves, worked out for our own invented figures", basis="our own invention")

SOURCES = [MODEL_PAPERS, RHODES, ATMOSPHERE, LIFT_SPEEDS, BALL, LOADS, FAN_MARGIN]

EXAMPLE = {
    "hose_bore": "2.5 in",
    "hoses": "8",
    "air_speed": "20 m/s",
    "solids_flow": "112 lb/min",
    "particle_diameter": "3.9 mm",
    "particle_density": "1300 kg/m³",
    "lift_speed": "9 m/s",
    "altitude": "2000 ft",
    "air_temperature": "60 °F",
}


def at_altitude(altitude: str, temperature: str, printed: str) -> Case:
    """The example in the standard air of an altitude; temperatures are that standard's own there."""
    return Case(
        f"Standard air at {altitude}",
        given={**EXAMPLE, "altitude": altitude, "air_temperature": temperature},
        source=ATMOSPHERE,
        printed={"air_density": printed},
    )


CASES = [
    Case(
        "Wheat and phosphate to eight heads",
        given=EXAMPLE,
        source=OURS,
        pinned={
            "loading": 1.469870531,
            "saltation_low": 8.766697602,
            "saltation_high": 11.78597919,
            "verdict": "above",
            "models[1].standing": "beyond",
            "models[2].standing": "unknown",
        },
        notes=["prove-it", "lift-in-hand", "spread", "too-large-for-rizk"],
    ),
    Case(
        "Fine powder in one pipe, and no particle density",
        given={  # 21 °C at 0 m is 1.2000 kg/m³
            "hose_bore": "78 mm",
            "hoses": "1",
            "air_speed": "12 m/s",
            "solids_flow": "15 kg/min",
            "particle_diameter": "0.1 mm",
            "air_temperature": "21 °C",
        },
        source=RHODES,
        printed={"air_density": "1.2000 kg/m³", "saltation_low": "9.88 m/s", "saltation_high": "9.88 m/s"},
        pinned={"verdict": "above", "models[3].standing": "needs-lift"},
        notes=["prove-it", "give-density", "give-lift"],
    ),
    at_altitude("0 m", "15 °C", "1.2250 kg/m³"),
    at_altitude("1000 m", "8.501 °C", "1.1117 kg/m³"),
    at_altitude("2000 m", "2.004 °C", "1.0066 kg/m³"),
    at_altitude("3000 m", "-4.491 °C", "0.9093 kg/m³"),
    Case(
        "The fan turns too slowly",
        given={**EXAMPLE, "air_speed": "8 m/s"},
        source=OURS,
        pinned={"verdict": "below-no-lift"},
        notes=["more-air", "spread", "too-large-for-rizk"],
    ),
    Case(
        "Within the range",
        given={**EXAMPLE, "air_speed": "10.5 m/s"},
        source=OURS,
        pinned={"verdict": "within"},
        notes=["more-air", "lift-in-hand", "spread", "too-large-for-rizk"],
    ),
    Case(
        "Canola in a small hose, lift speed worked out",
        given={
            "hose_bore": "25 mm",
            "hoses": "72",
            "air_speed": "15 m/s",
            "solids_flow": "2.5 kg/min",
            "particle_diameter": "1.8 mm",
            "particle_density": "1100 kg/m³",
        },
        source=OURS,
        pinned={"saltation_low": 3.189557931, "verdict": "above", "models[1].standing": "inside"},
        notes=["prove-it", "spread", "ball", "light"],
    ),
    Case(
        "Peas fall back in upright hoses",
        given={
            "hose_bore": "2.5 in",
            "hoses": "8",
            "air_speed": "14.5 m/s",
            "solids_flow": "120 lb/min",
            "particle_diameter": "7 mm",
            "lift_speed": "14.9 m/s",
        },
        source=OURS,
        pinned={
            "saltation_low": 11.92991895,
            "saltation_high": 12.96807392,
            "verdict": "above-no-lift",
            "models[2].speed": None,
        },
        notes=["more-air", "spread", "give-density", "too-large-for-rizk"],
    ),
    Case(
        "Far too much for one hose",
        given={**EXAMPLE, "hoses": "1", "solids_flow": "600 lb/min", "air_speed": "25 m/s"},
        source=OURS,
        pinned={"verdict": "within", "saltation_high": 27.72577106},
        notes=["more-air", "lift-in-hand", "spread", "too-large-for-rizk", "heavy"],
    ),
]
