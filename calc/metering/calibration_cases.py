"""The examples that `calibration` is checked by; the first is the one that its page shows."""

from __future__ import annotations

from calc.declare import Case, Source

FIELD_AND_LONG = Source(
    "Field and Long, Introduction to Agricultural Engineering Technology",
    where="SI drill problem: twelve row masses with a mean of 22.575 g, each within ±5 % of it",
)
NIST_INTERVAL = Source("NIST/SEMATECH e-Handbook of Statistical Methods", where="1.3.5.2, limits of the mean")
NIST_OUTLIER = Source("NIST/SEMATECH e-Handbook of Statistical Methods", where="1.3.5.17.1, Grubbs' test")
OURS = Source("Plain arithmetic on catches of our own", basis="our own invention")
T_TABLE = Source(
    "n = (t · CV / E)², iterated: CV 2 % for ±2 % takes 7, CV 3 % for ±2 % takes 12, CV 5 % for ±5 % takes 7",
    basis="our own invention",
)


def catches(unit: str, turns: str, *masses: str) -> list[dict[str, str]]:
    """Catches tared on the scale, all of the same number of turns."""
    return [{"turns": turns, "gross": f"{mass} {unit}"} for mass in masses]


def at_speed(meter_speed: str, rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """The same catches with the meter speed they were made at."""
    return [{**row, "meter_speed": meter_speed} for row in rows]


def in_pail(tare: str, rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """The same catches with the mass of the empty pail."""
    return [{"turns": row["turns"], "gross": row["gross"], "tare": tare} for row in rows]


EXAMPLE = [
    *at_speed("12 rpm", in_pail("2.15 lb", catches("lb", "20", "22.40", "22.55", "22.35"))),
    *at_speed("36 rpm", in_pail("2.15 lb", catches("lb", "20", "22.20", "22.10", "22.30"))),
]
STEADY = catches("kg", "10", "5.00", "5.04", "4.97", "5.02")

CASES = [
    Case(
        "Wheat into a pail, three catches slow and three fast",
        given={"catches": EXAMPLE, "mass_per_turn": "0.96 lb/rev", "tolerance": "2 %"},
        source=OURS,
        printed={
            "mass_per_turn": "1.0083 lb/rev",
            "spread": "2.23 %",
            "change": "5.03 %",
            "low_high": "−1.15 %",
            "catches[2].net": "20.40 lb",
            "catches[2].mass_per_turn": "1.0200 lb/rev",
            "catches[2].difference": "1.16 %",
        },
        pinned={"suspect": None, "more_catches": 0, "verdict": "change"},
        notes=["no-suspect", "change-sign", "speed-groups", "scale-steps-two-readings"],
    ),
    Case(
        "The masses of twelve rows, each taken as a catch of one turn",
        given={
            "catches": catches(
                "g",
                "1",
                *("22.6", "22.4", "22.0", "22.9", "22.7", "22.6"),
                *("22.0", "22.8", "22.8", "22.7", "22.6", "22.8"),
            ),
            "tolerance": "5 %",
        },
        source=FIELD_AND_LONG,
        printed={"mass_per_turn": "22.575 g/rev"},
        pinned={"suspect": None, "more_catches": 0, "verdict": "enter"},
        notes=["no-suspect", "give-in-use", "give-meter-speeds", "scale-steps-tared"],
    ),
    Case(
        "Eight measurements with one far out, each taken as a catch of one turn",
        given={
            "catches": catches(
                "g", "1", "199.31", "199.53", "200.19", "200.82", "201.92", "201.95", "202.18", "245.57"
            )
        },
        source=NIST_OUTLIER,
        pinned={"suspect": 8, "verdict": "suspect"},
        notes=["give-in-use", "give-meter-speeds", "scale-steps-tared"],
    ),
    Case(
        "Three near-equal catches convict none",
        given={"catches": catches("kg", "1", "1.000", "1.000", "1.001")},
        source=NIST_OUTLIER,
        pinned={"suspect": None, "more_catches": 0, "verdict": "enter"},
        notes=["suspect-needs-six", "give-in-use", "give-meter-speeds", "scale-steps-tared"],
    ),
    Case(
        "One catch",
        given={"catches": catches("kg", "10", "5.00"), "mass_per_turn": "490 g/rev"},
        source=OURS,
        printed={"mass_per_turn": "500 g/rev", "change": "2.04 %"},
        pinned={
            "spread": None,
            "cv": None,
            "interval_low": None,
            "interval_high": None,
            "more_catches": None,
            "verdict": "one-catch",
        },
        notes=["one-catch", "suspect-needs-six", "change-sign", "give-meter-speeds", "scale-steps-tared"],
    ),
    Case(
        "Two catches that agree, but two say little",
        given={"catches": catches("kg", "10", "5.00", "5.02")},
        source=OURS,
        printed={"mass_per_turn": "501 g/rev", "spread": "0.40 %"},
        pinned={"more_catches": 1, "verdict": "interval"},
    ),
    Case(
        "The figure in use is confirmed",
        given={"catches": STEADY, "mass_per_turn": "505 g/rev"},
        source=OURS,
        printed={"mass_per_turn": "500.75 g/rev", "change": "−0.84 %"},
        pinned={"more_catches": 0, "verdict": "confirmed"},
    ),
    Case(
        "A meter that gives less when it turns fast",
        given={
            "catches": [
                *at_speed("10 rpm", catches("kg", "10", "5.20", "5.22", "5.18")),
                *at_speed("40 rpm", catches("kg", "10", "4.90", "4.88", "4.92")),
                *catches("kg", "10", "5.05"),
            ]
        },
        source=OURS,
        printed={"low_high": "−5.77 %"},
        pinned={"verdict": "speed"},
        notes=[
            "no-suspect",
            "give-in-use",
            "speed-groups",
            "some-without-speed",
            "scale-steps-tared",
        ],
    ),
    Case(
        "Meter speeds that form no two groups",
        given={
            "catches": [
                *at_speed("10 rpm", catches("kg", "10", "5.00")),
                *at_speed("20 rpm", catches("kg", "10", "5.01")),
                *at_speed("40 rpm", catches("kg", "10", "5.02")),
            ]
        },
        source=OURS,
        printed={"mass_per_turn": "501 g/rev"},
        pinned={"low_high": None, "verdict": "enter"},
        notes=["suspect-needs-six", "give-in-use", "speeds-not-apart", "scale-steps-tared"],
    ),
    Case(
        "A CV of 2 % for ±2 %",
        given={"catches": catches("kg", "1", "0.98", "1.00", "1.02")},
        source=T_TABLE,
        printed={"cv": "2.0 %", "spread": "4.0 %", "more_catches": "4"},
        pinned={"verdict": "spread"},
    ),
    Case(
        "A CV of 3 % for ±2 %",
        given={"catches": catches("kg", "1", "0.97", "1.00", "1.03"), "tolerance": "2 %"},
        source=T_TABLE,
        printed={"cv": "3.0 %", "more_catches": "9"},
    ),
    Case(
        "A CV of 5 % for ±5 %",
        given={"catches": catches("kg", "1", "0.95", "1.00", "1.05"), "tolerance": "5 %"},
        source=T_TABLE,
        printed={"cv": "5.0 %", "more_catches": "4"},
    ),
    Case(
        "Unequal turns, all catches alike",
        given={
            "catches": [
                *catches("kg", "10", "4.10"),
                *catches("kg", "20", "8.20"),
                *catches("kg", "7", "2.87"),
            ]
        },
        source=OURS,
        printed={"mass_per_turn": "410.0 g/rev"},
        pinned={"spread": 0.0, "cv": 0.0, "more_catches": 0, "verdict": "enter"},
        notes=["all-alike", "suspect-needs-six", "give-in-use", "give-meter-speeds", "scale-steps-tared"],
    ),
]
