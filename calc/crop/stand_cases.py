"""Worked examples of seeding rates that are checked, with where each comes from.

Left out on purpose: 244 lb/ac of peas (Saskatchewan Agriculture), which the short rule prints for 234.5, and
Kentucky's 150 lb/ac at 10 000 seeds a pound, which is 152.5.
"""

from __future__ import annotations

from calc.declare import Case, Source

EXACT = Source(
    "The definition of a stand: plants, survival and mass, on our own figures",
    where="1 lb/ac is 453.59237 g on 43 560 ft², so grams · plants/ft² go by 10.413 and not by 10",
    basis="our own invention",
)
SASKATCHEWAN = Source(
    "Saskatchewan Agriculture, pulse seeding FAQ",
    where="the short rule that divides by 10: shown in a note, never used",
)
IRISH = Source("Irish advisory formula, in Agriland", where="300 plants/m², 51.9 g, 85 %: 183 kg/ha")
KENTUCKY = Source(
    "University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek)",
    where="35 seeds/ft² at 12 000 to 20 000 seeds/lb; seeds per foot of row at 4 to 10 in",
)
PENN_STATE = Source("Penn State Agronomy Guide, table 1.7-3", where="1.7 million seeds/ac, 7 in: 23 seeds/ft")
IOWA = Source(
    "Iowa State University, Agronomy 212, seeds per foot of row (Gibson, 2003)",
    where="200 000 seeds/ac in 15 in rows: 5.74 seeds/ft",
)
TEXAS = Source(
    "Texas Department of Transportation, pure live seed", where="purity 85 %, germination 75 %: 0.64"
)
MILLBORN = Source("Millborn, pure live seed", where="20 lb pure live seed at 80.75 %: 24.77 lb")
OTHER_WAY = Source("A loss is a share of what germinates, or points off it", basis="common practice")

SOURCES = [EXACT, IRISH, KENTUCKY, PENN_STATE, IOWA, TEXAS, MILLBORN, SASKATCHEWAN, OTHER_WAY]

WHEAT = {"plants": "28 plants/ft2", "kernel_mass": "36 g", "germination": "95 %", "loss": "10 %"}


def of_seeds(count: str, kernel_mass: str, printed: str) -> Case:
    """35 seeds/ft² of a lot with a number of seeds a pound; its kernel mass is 453 592.37 g over that."""
    return Case(
        f"Thirty-five seeds to the square foot, {count.replace(chr(0x2009), ' ')} to the pound",
        given={"plants": "35 plants/ft2", "kernel_mass": kernel_mass, "germination": "100 %"},
        source=KENTUCKY,
        printed={"rate": printed, "seeds_per_mass": f"{count} seeds/lb"},
    )


def along_row(spacing: str, printed: str) -> Case:
    """35 seeds/ft² in rows of a spacing."""
    return Case(
        f"Seeds along a row, {spacing} apart",
        given={
            "plants": "35 plants/ft2",
            "kernel_mass": "36 g",
            "germination": "100 %",
            "spacing": spacing,
        },
        source=KENTUCKY,
        printed={"seeds_per_row": printed},
    )


OWN = [
    Case(
        "Wheat, with a loss in the field",
        given={**WHEAT, "spacing": "10 in"},
        source=EXACT,
        printed={  # by hand: 28 / 0.855; that · 43 560 · 36 / 453 592.37; that · 10/12
            "rate": "113.22 lb/ac",
            "seeds_per_area": "32.749 seeds/ft²",
            "seeds_per_row": "27.29 seeds/ft",
            "losses[2].rate": "113.88 lb/ac",
        },
        pinned={"rate": 0.01269008386, "losses[1].taken": "taken", "losses[2].taken": "not-taken"},
        notes=["loss-as-share", "short-rule"],
    ),
    Case(
        "The same wheat, with the loss in points",
        given={**WHEAT, "loss_as": "points", "purity": "98 %"},
        source=EXACT,
        printed={
            "rate": "116.21 lb/ac",
            "seeds_per_area": "32.941 seeds/ft²",
            "losses[1].survival": "85.5 %",
            "losses[2].survival": "85.0 %",
        },
        pinned={"seeds_per_row": None, "losses[1].taken": "not-taken", "losses[2].taken": "taken"},
        notes=["loss-as-points", "short-rule", "give-spacing"],
    ),
    Case(
        "Peas, by the exact divisor",
        given={"plants": "8 plants/ft2", "kernel_mass": "290 g", "germination": "95 %"},
        source=EXACT,
        printed={"rate": "234.52 lb/ac"},
        notes=["no-loss", "short-rule", "give-spacing"],
    ),
    Case(
        "A poor lot of which points would leave nothing",
        given={"plants": "100 plants/m2", "kernel_mass": "5 g", "germination": "60 %", "loss": "70 %"},
        source=EXACT,
        printed={"rate": "27.78 kg/ha", "seeds_per_area": "555.6 seeds/m²"},
        pinned={"losses[2].survival": None, "losses[2].rate": None},
        notes=["loss-as-share-only", "few-survive", "short-rule", "give-spacing"],
    ),
    Case(
        "Grams written for a single seed",
        given={"plants": "5 plants/m2", "kernel_mass": "0.3 g", "germination": "90 %", "loss": "5 %"},
        source=EXACT,
        printed={"rate": "0.0175 kg/ha"},
        notes=["loss-as-share", "far-out", "short-rule", "give-spacing"],
    ),
]

READ = [
    Case(
        "The Irish example",
        given={"plants": "300 plants/m2", "kernel_mass": "51.9 g", "germination": "85 %"},
        source=IRISH,
        printed={"rate": "183 kg/ha"},
    ),
    of_seeds("12\u2009000", "37.799364167 g", "127 lb/ac"),
    of_seeds("14\u2009000", "32.399455 g", "109 lb/ac"),
    of_seeds("16\u2009000", "28.349523125 g", "95 lb/ac"),
    of_seeds("18\u2009000", "25.199576111 g", "85 lb/ac"),
    of_seeds("20\u2009000", "22.6796185 g", "76 lb/ac"),
    along_row("4 in", "12 seeds/ft"),
    along_row("6 in", "18 seeds/ft"),
    along_row("8 in", "23 seeds/ft"),
    along_row("10 in", "29 seeds/ft"),
    Case(
        "1.7 million seeds to the acre",
        given={
            "plants": "1700000 plants/ac",
            "kernel_mass": "36 g",
            "germination": "100 %",
            "spacing": "7 in",
        },
        source=PENN_STATE,
        printed={"seeds_per_row": "23 seeds/ft"},
    ),
    Case(
        "200 000 seeds to the acre",
        given={
            "plants": "200000 plants/ac",
            "kernel_mass": "150 g",
            "germination": "100 %",
            "spacing": "15 in",
        },
        source=IOWA,
        printed={"seeds_per_row": "5.74 seeds/ft"},
    ),
    Case(
        "Twenty pounds of pure live seed, in two million seeds of 100 000 to the pound",
        given={"plants": "2000000 plants/ac", "kernel_mass": "4.5359237 g", "germination": "80.75 %"},
        source=MILLBORN,
        printed={"rate": "24.77 lb/ac"},
    ),
]

CASES = [*OWN, *READ]
