"""Worked examples of fertilizer with the seed that are checked, with where each comes from."""

from __future__ import annotations

from calc.declare import Case, Source

MANITOBA = Source(
    "Manitoba Agriculture, Guidelines for Safely Applying Fertilizer with Seed",
    where="2 in of 6 in is 33 %; lb of N as urea for cereals; half when dry; none by double disc on light",
)
CANOLA_COUNCIL = Source(
    "Canola Council of Canada", where="about 10 lb of N per acre with canola; ammonia never in the seed row"
)
FRACTION = Source(
    "Manitoba Agriculture, Calculating Fertilizer Rates", where="urea is 46-0-0: 80 lb N in 174 lb"
)
OURS = Source("The table read on the safe side, on our own figures", basis="our own invention")
DISCS = Source("Double discs lay seed in a line narrower than 2 in", basis="common practice")

SOURCES = [MANITOBA, FRACTION, CANOLA_COUNCIL, DISCS, OURS]

HERE = {"crop": "cereal", "moisture": "good", "opener": "other"}
SPREADS = ("1 in", "2 in", "3 in")
SPACINGS = ("6 in", "9 in", "12 in")


def published(soil: str, printed: str) -> Case:
    """The nine limits of a soil as the source prints them, row after row."""
    cells = enumerate(printed.split(), start=1)
    return Case(
        f"The whole published table, {soil} soil",
        given={"spread": "2 in", "spacing": "6 in", "soil": soil, **HERE},
        source=MANITOBA,
        printed={"utilisation": "33 %", **{f"limits[{n}].limit": f"{limit} lb/ac" for n, limit in cells}},
        pinned={"limits[4].read": "here", "limits[5].read": "not-here"},
    )


CASES = [
    Case(
        "Urea with wheat, on medium soil",
        given={"spread": "2 in", "spacing": "10 in", "soil": "medium", **HERE, "nitrogen_rate": "35 lb/ac"},
        source=OURS,
        printed={
            "utilisation": "20 %",
            "limit": "20 lb/ac",
            "product_limit": "43.48 lb/ac",  # 20 / 0.46
            "excess": "15 lb/ac",
        },
        pinned={"verdict": "too-much", "limit": 0.002241702312, "limit_source": "published"},
        notes=["take-out", "safe-side", "medium"],
    ),
    published("light", "10 0 0 20 15 10 30 20 15"),
    published("medium", "20 15 10 30 25 20 40 30 25"),
    published("heavy", "25 20 10 40 30 25 50 40 30"),
    Case(
        "Within the limit, to the pound",
        given={"spread": "3 in", "spacing": "9 in", "soil": "heavy", **HERE, "nitrogen_rate": "40 lb/ac"},
        source=OURS,
        printed={"limit": "40 lb/ac", "excess": "0 lb/ac"},
        pinned={"verdict": "within"},
        notes=[],
    ),
    Case(
        "Dry soil halves it",
        given={**HERE, "spread": "1 in", "spacing": "6 in", "soil": "heavy", "moisture": "dry"},
        source=OURS,
        printed={"limit": "12.5 lb/ac", "limits[9].limit": "15 lb/ac"},
        pinned={"verdict": "limit", "excess": None},
        notes=["dry", "give-nitrogen"],
    ),
    Case(
        "Double discs on light soil",
        given={**HERE, "spread": "1 in", "spacing": "6 in", "soil": "light", "opener": "double-disc"},
        source=MANITOBA,
        printed={"limit": "0 lb/ac", "product_limit": "0 lb/ac"},
        pinned={"verdict": "none"},
        notes=["double-disc-light", "give-nitrogen"],
    ),
    Case(
        "Five centimeters are less than two inches",
        given={"spread": "5 cm", "spacing": "25 cm", "soil": "light", **HERE, "nitrogen_rate": "10 kg/ha"},
        source=OURS,
        printed={"utilisation": "20 %", "limit": "0 kg/ha", "excess": "10 kg/ha"},
        pinned={"verdict": "too-much-none"},
        notes=["take-out", "safe-side"],
    ),
    Case(
        "A spread wider than the table",
        given={"spread": "5 in", "spacing": "5 in", "soil": "medium", **HERE},
        source=OURS,
        printed={"utilisation": "100 %", "limit": "40 lb/ac"},
        pinned={"verdict": "limit"},
        notes=["beyond", "medium", "give-nitrogen"],
    ),
    Case(
        "Rows wider apart than the table",
        given={"spread": "3 in", "spacing": "15 in", "soil": "heavy", **HERE, "nitrogen_rate": "10 lb/ac"},
        source=OURS,
        printed={"utilisation": "20 %"},
        pinned={"limit": None, "product_limit": None, "excess": None, "verdict": "no-limit-wide"},
        notes=["ask-local"],
    ),
    Case(
        "A spread narrower than the table",
        given={"spread": "0.9 in", "spacing": "6 in", "soil": "heavy", **HERE},
        source=OURS,
        printed={"utilisation": "15 %"},
        pinned={"limit": None, "verdict": "no-limit-narrow", "limit_source": "none"},
        notes=["ask-local"],
    ),
    Case(
        "Canola has no table",
        given={**HERE, "crop": "canola", "spread": "3 in", "spacing": "10 in", "soil": "light"}
        | {"opener": "double-disc"},
        source=CANOLA_COUNCIL,
        printed={"utilisation": "30 %"},
        pinned={"limit": None, "verdict": "no-limit-crop"},
        notes=["ask-local", "canola", "disc-spread"],
    ),
]
