"""What a number of catches comes to, in words, and its examples; the first is the page's."""

from __future__ import annotations

from calc.declare import Case, Note, Source, words
from calc.units import MASS

T_TABLE = Source(
    "n = (t · CV / E)², iterated: CV 2 % for ±2 % takes 7, CV 3 % for ±2 % takes 12, CV 5 % for ±5 % takes 7",
    where="worked out from tables of t; no printed example was found",
    basis="our own invention",
)
NIST = Source("NIST/SEMATECH e-Handbook of Statistical Methods", where="1.3.5.2, limits of the mean")
SCALE_STEPS = Source(
    "Half a scale step of error in each reading: 200 steps for 0.25 % tared, 400 for two readings",
    basis="our own invention",
)

NOTES = [
    Note(
        "too-many",
        "stop",
        words("No practical number of catches does it. Find out why they scatter, or allow more error."),
    ),
    Note(
        "make-three",
        "check",
        words("Two catches would do by this CV. Make three all the same, so that a slip shows."),
    ),
    Note(
        "no-scatter",
        "check",
        words("A CV of nothing means that the scale was too coarse to show a difference. Catch more turns."),
    ),
    Note(
        "work-out-again",
        "info",
        words("A CV from few catches is rough. When these are made, work it out again from all of them."),
    ),
    Note("give-scale-step", "info", words("Give the scale step to see how heavy a catch must be.")),
    Note(
        "two-readings",
        "info",
        words(
            "If you weigh the container apart, catch at least {mass}: two readings, twice the error.",
            mass=MASS,
        ),
    ),
    Note(
        "prove-scale",
        "check",
        words(
            "Many catches do not mend a scale that reads wrong. Prove it with a known mass near {mass}.",
            mass=MASS,
        ),
    ),
]

# No source prints a number of catches; the three beside t tables are the nearest thing to it.
CASES = [
    Case(
        "Catches that scatter by 1.2 %, a mean to 1 %, a scale in steps of 0.02 lb",
        given={
            "cv": "1.2 %",
            "error": "1 %",
            "confidence": "95 %",
            "scale_step": "0.02 lb",
            "reading_share": "25 %",
        },
        source=SCALE_STEPS,
        printed={"least_mass": "4.00 lb", "weighing[1].steps": "200", "weighing[2].steps": "400"},
        pinned={"catches": 9},
        notes=["work-out-again", "two-readings", "prove-scale"],
    ),
    *(
        Case(
            f"A CV of {cv} for ±{error}",
            given={"cv": cv, "error": error},
            source=T_TABLE,
            printed={"catches": catches},
            pinned={"least_mass": None},
            notes=["work-out-again", "give-scale-step"],
        )
        for cv, error, catches in (("2 %", "2 %", "7"), ("3 %", "2 %", "12"), ("5 %", "5 %", "7"))
    ),
    Case(
        "A tenth of a gram, half of the error left to the reading",
        given={"cv": "0.4 %", "error": "2 %", "scale_step": "0.1 g", "reading_share": "50 %"},
        source=SCALE_STEPS,
        printed={"least_mass": "0.005 kg", "weighing[2].least_mass": "0.01 kg"},
        pinned={"catches": 3},
    ),
    Case(
        "Catches that are too good",
        given={"cv": "0 %", "error": "2 %"},
        source=SCALE_STEPS,
        pinned={"catches": 2},
        notes=["no-scatter", "make-three", "give-scale-step"],
    ),
    Case(
        "Hopeless scatter",
        given={"cv": "60 %", "error": "0.1 %"},
        source=SCALE_STEPS,
        pinned={"catches": None},
        notes=["too-many", "give-scale-step"],
    ),
]
