"""The examples that `refill-plan` is checked by; the first is the one that its page shows."""

from __future__ import annotations

from calc.declare import Case, Source

OURS = Source("The definition of a rate: area is mass over rate", basis="our own invention")
US_SUMS = Source(
    "Arithmetic in US units: acres in a pass are ft · ft / 43 560; no printed example was found",
    basis="our own invention",
)
METRIC_SUMS = Source(
    "Arithmetic in metric units: hectares in a pass are m · m / 10 000; no printed example was found",
    basis="our own invention",
)


def tank(name: str, mass: str, rate: str) -> dict[str, str]:
    """One row."""
    return {"name": name, "mass": mass, "rate": rate}


EXAMPLE = [
    tank("Urea", "12000 lb", "120 lb/ac"),
    tank("Phosphate", "7500 lb", "60 lb/ac"),
    tank("Wheat", "12400 lb", "110 lb/ac"),
]
MILE = {"tanks": EXAMPLE, "width": "60 ft", "pass_length": "5280 ft", "field_area": "320 ac"}
HECTARE_PASS = {"width": "10 m", "pass_length": "1000 m"}  # one hectare a pass, so that sums are short

# No printed figure is among these: no published plan of refills with its sums was found. What is in
# print are rates, and the cases of `rate` hold those.
FIELDS = [
    Case(
        "Three tanks on passes of a mile, a truck at each end",
        given={**MILE, "reserve": "300 lb"},
        source=US_SUMS,
        printed={
            "area_per_fill": "97.50 ac",  # 11 700 / 120
            "passes_per_fill": "13",
            "fills": "4",
            "lasts": "13.40625",  # 97.5 · 43 560 / (60 · 5280)
            "field_passes": "44",
            "least_fills": "4",
            "tanks[2].area": "120.0 ac",
            "tanks[2].passes": "16.500",
            "tanks[1].left": "654.5 lb",  # 12 000 − 13 · 7.272727 · 120
            "tanks[3].left": "2000 lb",
            "tanks[1].matched": "12000 lb",
            "tanks[2].matched": "6150 lb",  # 97.5 · 60 + 300
            "tanks[3].matched": "11025 lb",
            "field[1].product": "38400 lb",
            "field[3].loads": "2.909",
            "field[1].last_fill": "4663.6 lb",  # 5 · 7.272727 · 120 + 300
        },
        pinned={
            "first_empty": "tanks",
            "ends_at": "in-pass",
            "verdict": "passes",
            "area_per_fill": 394568.5012,
            "tanks[1].part": "first",
            "tanks[2].part": "later",
        },
        notes=["match"],
    ),
    Case(
        "The same, with the truck at one end",
        given={**MILE, "reserve": "300 lb", "ends": "one"},
        source=US_SUMS,
        printed={"passes_per_fill": "12", "fills": "4", "tanks[1].left": "1527.3 lb"},
        pinned={"verdict": "pairs"},
        notes=["other-end", "match"],
    ),
    Case(
        "Overlap, and a reserve as a share of each fill",
        given={
            "tanks": [tank("Barley", "6000 kg", "150 kg/ha"), tank("Phosphate", "3000 kg", "60 kg/ha")],
            "width": "12 m",
            "pass_length": "800 m",
            "field_area": "60 ha",
            "reserve": "4 %",
            "overlap": "5 %",
        },
        source=METRIC_SUMS,
        printed={
            "area_per_fill": "38.40 ha",  # 0.96 · 6000 / 150
            "lasts": "40.000",  # 38.4 / (12 · 800 / 10 000), with the whole width
            "passes_per_fill": "40",
            "land_per_fill": "36.48 ha",  # 95 % of it
            "field_passes": "66",  # 60 / (0.96 · 0.95) is 65.8
            "fills": "2",
            "tanks[1].left": "240 kg",
            "tanks[2].matched": "2424 kg",  # 38.4 · 60 + 0.04 · 3000
            "field[1].product": "9473.7 kg",  # 60 / 0.95 · 150
        },
        pinned={"verdict": "passes"},
        notes=["thin", "match"],
    ),
    Case(
        "One fill does the field",
        given={**HECTARE_PASS, "tanks": [tank("Canola", "100 kg", "5 kg/ha")], "field_area": "16 ha"},
        source=METRIC_SUMS,
        printed={
            "passes_per_fill": "20",
            "fills": "1",
            "field_passes": "16",
            "tanks[1].left": "20 kg",
            "field[1].last_fill": "80 kg",
            "field[1].loads": "0.800",
        },
        pinned={"verdict": "whole-field"},
        notes=["no-reserve", "last-fill"],
    ),
    Case(
        "The last fill need not come back",
        given={
            **HECTARE_PASS,
            "tanks": [tank("Peas", "1350 kg", "100 kg/ha")],
            "field_area": "25 ha",
            "ends": "one",
        },
        source=METRIC_SUMS,
        printed={"lasts": "13.50", "passes_per_fill": "12", "fills": "3", "least_fills": "2"},
        pinned={"verdict": "pairs"},
        notes=["other-end", "end-away", "no-reserve"],
    ),
    Case(
        "Very long passes: a stop after each",
        given={**HECTARE_PASS, "tanks": [tank("Lime", "900 kg", "500 kg/ha")], "field_area": "7 ha"},
        source=METRIC_SUMS,
        printed={"lasts": "1.80", "passes_per_fill": "1", "fills": "7", "least_fills": "4"},
        pinned={"verdict": "every-pass"},
    ),
]

SHORT = [
    Case(
        "Not one whole pass",
        given={**MILE, "tanks": [tank("Urea", "700 lb", "120 lb/ac"), tank("Seed", "6000 lb", "100 lb/ac")]},
        source=US_SUMS,
        printed={"passes_per_fill": "0", "lasts": "0.80208", "least_fills": "55"},  # 320 · 120 / 700 is 54.9
        pinned={
            "fills": None,
            "verdict": "no-pass",
            "tanks[1].left": None,
            "field[1].last_fill": None,
        },
        notes=["one-pass", "no-reserve", "match"],
    ),
    Case(
        "One pass, but no way back to the truck",
        given={
            **HECTARE_PASS,
            "tanks": [tank("Oats", "150 kg", "100 kg/ha")],
            "field_area": "0.8 ha",
            "ends": "one",
            "reserve": "10 %",
        },
        source=METRIC_SUMS,
        printed={"lasts": "1.35", "passes_per_fill": "0", "field_passes": "1", "least_fills": "1"},
        pinned={"fills": None, "verdict": "no-pair"},
        notes=["one-pair", "other-end", "end-away", "small-field"],
    ),
    Case(
        "Without pass length and field",
        given={"tanks": EXAMPLE, "width": "60 ft", "reserve": "300 lb"},
        source=US_SUMS,
        printed={"area_per_fill": "97.50 ac", "tanks[3].matched": "11025 lb"},
        pinned={
            "passes_per_fill": None,
            "fills": None,
            "lasts": None,
            "ends_at": None,
            "field_passes": None,
            "least_fills": None,
            "verdict": "area-only",
            "tanks[1].left": None,
        },
        notes=["give-pass-length", "give-field-area", "match"],
    ),
    Case(
        "Fills that match already",
        given={
            **HECTARE_PASS,
            "tanks": [tank("Wheat", "2600 kg", "100 kg/ha"), tank("Urea", "1350 kg", "50 kg/ha")],
            "reserve": "100 kg",
        },
        source=METRIC_SUMS,
        printed={"area_per_fill": "25.00 ha", "passes_per_fill": "25", "tanks[2].matched": "1350 kg"},
        pinned={"fills": None, "tanks[1].part": "first", "tanks[2].part": "first"},
        notes=["thin", "give-field-area", "together"],
    ),
]

CASES = [*FIELDS, *SHORT]
