"""The examples that `evenness` is checked by; the first is the one that its page shows.

Only means can be printed ones: no source was found that prints row masses together with their CV.
"""

from __future__ import annotations

from calc.declare import Case, Source

FIELD_AND_LONG = Source(
    "Field and Long, Introduction to Agricultural Engineering Technology",
    where="SI drill problem: twelve row masses with a mean of 22.575 g",
)
OURS = Source("Plain arithmetic on catches of our own", basis="our own invention")
ROWS = ("22.6", "22.4", "22.0", "22.9", "22.7", "22.6", "22.0", "22.8", "22.8", "22.7", "22.6", "22.8")


def caught(*masses: str, first: int = 1, head: str = "", unit: str = "g") -> list[dict[str, str]]:
    """Rows of neighbouring runs, counted on from the first, with their head if one is given."""
    rows = [{"run": str(first + place), "mass": f"{mass} {unit}"} for place, mass in enumerate(masses)]
    return [{**row, "head": head} for row in rows] if head else rows


EXAMPLE = [
    *caught("70.2", "70.9", "69.4", "69.7", head="1"),
    *caught("63.0", "63.9", "62.9", "63.8", first=5, head="2"),
    *caught("70.6", "69.8", "58.0", "70.4", first=9, head="3"),
]

CASES = [
    Case(
        "Twelve runs on three heads, one head low and one run low",
        given={"catches": EXAMPLE, "good": "10 %", "usable": "15 %", "head_band": "5 %"},
        source=OURS,
        printed={
            "mean": "66.883 g",
            "cv": "6.44 %",
            "heads[1].mean": "70.05 g",
            "heads[2].mean": "63.40 g",
            "heads[2].difference": "−5.21 %",
            "heads[3].mean": "67.20 g",
            "runs[11].difference": "−13.28 %",
            "look[2].difference": "−13.28 %",
        },
        pinned={
            "lowest": "run",
            "highest": "run",
            "verdict": "head",
            "heads[1].part": "inside",
            "heads[2].part": "low",
            "look[1].what": "head",
            "look[2].what": "run",
            "look[2].look": "low-run",
        },
        notes=["both", "caught-once", "same-time"],
    ),
    Case(
        "Twelve rows that are alike",
        given={"catches": caught(*ROWS)},
        source=FIELD_AND_LONG,
        printed={"mean": "22.575 g"},
        pinned={"cv": 0.01323860359, "lowest": "runs", "highest": "run", "verdict": "good"},
        notes=["give-heads", "caught-once", "same-time"],
    ),
    Case(
        "A plugged run among a hundred and twenty hides behind a fair CV",
        given={"catches": [*caught(*["50"] * 59), *caught("0", first=60), *caught(*["50"] * 60, first=61)]},
        source=OURS,
        printed={"mean": "49.583 g", "cv": "9.21 %", "runs[60].difference": "−100 %"},
        pinned={"verdict": "blocked", "highest": "many", "look[1].look": "blocked-run"},
        notes=["blocked-counted", "give-heads", "caught-once", "same-time"],
    ),
    Case(
        "Repeats are averaged first",
        given={
            "catches": [
                *caught("5.1", "4.9", "5.3", head="1", unit="oz"),
                *caught("4.9", "5.1", "5.1", head="1", unit="oz"),
                *caught("5.0", "5.0", "5.2", head="1", unit="oz"),
            ]
        },
        source=OURS,
        printed={"mean": "5.0667 oz", "runs[3].mass": "5.2 oz"},
        pinned={"verdict": "good"},
        notes=["one-head", "few-runs", "repeats-agree", "same-time"],
    ),
    Case(
        "A head pulled down by one of its runs",
        given={
            "catches": [
                *caught("50", "50", "50", "50", "50", head="1"),
                *caught("50", "50", "50", "50", "30", first=6, head="2"),
            ],
            "head_band": "3 %",
        },
        source=OURS,
        printed={"mean": "48.00 g", "heads[2].difference": "−4.17 %"},
        pinned={"verdict": "heads", "heads[1].part": "high", "heads[2].part": "few-low"},
        notes=["within-heads", "caught-once", "same-time"],
    ),
    Case(
        "Wide grades of one's own",
        given={"catches": caught("80", "100", "120"), "good": "5 %", "usable": "20 %"},
        source=OURS,
        printed={"cv": "20.00 %"},
        pinned={"verdict": "usable"},
        notes=["give-heads", "few-runs", "caught-once", "same-time"],
    ),
    Case(
        "Too uneven",
        given={"catches": [*caught("70", "100", "130"), *caught("100", first=5)]},
        source=OURS,
        printed={"cv": "24.49 %"},
        pinned={"verdict": "uneven", "look[1].look": "low-run", "look[2].look": "high-run"},
        notes=["give-heads", "few-runs", "missing", "caught-once", "same-time"],
    ),
    Case(
        "One run",
        given={"catches": caught("70")},
        source=OURS,
        printed={"mean": "70.00 g"},
        pinned={"cv": None, "lowest": None, "highest": None, "verdict": "one-run"},
        notes=["give-heads", "same-time"],
    ),
    Case(
        "Nothing at all",
        given={"catches": caught("0", "0", "0", head="1")},
        source=OURS,
        pinned={"mean": 0.0, "cv": None, "lowest": "alike", "highest": "alike", "verdict": "nothing"},
        notes=["one-head", "same-time"],
    ),
]
