"""The examples that `fan-change` is checked by, the first of which its page shows, and its sources."""

from __future__ import annotations

from calc.declare import Case, Source

PRINTED = Source(
    "The fan laws, with a printed worked example",
    where="6000 cfm, 4 in of water and 6 hp, 2000 to 1500 rpm: 4500 cfm, 2.25 in and 2.53 hp",
)
OURS = Source("Arithmetic by the fan laws: 1.1, 1.1² and 1.1³", basis="our own invention")
THINNER = Source("Arithmetic by the fan laws: speed 1.05, density 0.068/0.075", basis="our own invention")
SOURCES = [PRINTED]

CASES = [
    Case(
        "A tenth more fan speed",
        given={
            "shaft_speed": "3600 rpm",
            "new_shaft_speed": "3960 rpm",
            "flow": "3000 cfm",
            "pressure": "25 inH2O",
            "power": "25 hp",
        },
        source=OURS,
        printed={
            "flow": "3300 cfm",
            "pressure": "30.25 inH2O",
            "power": "33.275 hp",
            "speeds[5].shaft_speed": "3960 rpm",
            "speeds[5].share": "133.1 %",
        },
        pinned={"power": 24813.16323},
        notes=["rated-speed", "more-power", "same-air", "tenth"],
    ),
    Case(
        "A quarter less fan speed",
        given={
            "shaft_speed": "2000 rpm",
            "new_shaft_speed": "1500 rpm",
            "flow": "6000 cfm",
            "pressure": "4 inH2O",
            "power": "6 hp",
        },
        source=PRINTED,
        printed={"flow": "4500 cfm", "pressure": "2.25 inH2O", "power": "2.53 hp"},
        notes=["less-air", "same-air", "tenth"],
    ),
    Case(
        "Higher ground and thinner air, with a little more fan speed",
        given={
            "shaft_speed": "4000 rpm",
            "new_shaft_speed": "4200 rpm",
            "flow": "2800 cfm",
            "pressure": "20 inH2O",
            "power": "20 hp",
            "density": "0.075 lb/ft³",
            "new_density": "0.068 lb/ft³",
        },
        source=THINNER,
        printed={"flow": "2940 cfm", "pressure": "19.992 inH2O", "power": "20.9916 hp"},
        notes=["rated-speed", "more-power", "tenth"],
    ),
    Case(
        "One density alone",
        given={
            "shaft_speed": "4000 rpm",
            "new_shaft_speed": "3600 rpm",
            "flow": "1.5 m³/s",
            "pressure": "5 kPa",
            "power": "15 kW",
            "density": "1.2 kg/m³",
        },
        source=Source("Arithmetic by the fan laws: 0.9", basis="our own invention"),
        printed={"flow": "1.35 m³/s"},
        pinned={"pressure": None, "power": None, "speeds[1].pressure": None, "speeds[9].share": None},
        notes=["less-air", "give-both-densities", "tenth"],
    ),
]
