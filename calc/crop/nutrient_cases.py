"""Worked examples of nutrients that are checked, with where each comes from."""

from __future__ import annotations

from calc.declare import Case, Source

MANITOBA = Source(
    "Manitoba Agriculture, Calculating Fertilizer Rates",
    where="80 lb N as 46-0-0: 174; 40 lb P₂O₅ as 11-52-0: 77, with 8.5 lb N; 15 lb K₂O as 0-0-60: 25 lb/ac",
)
ARITHMETIC = Source("Nutrient over its share of the product, on our own figures", basis="our own invention")
ELEMENTS = Source(
    "P in P₂O₅ 0.4364 and K in K₂O 0.8302, by the atomic masses of the elements", basis="from memory"
)

SOURCES = [MANITOBA, ARITHMETIC, ELEMENTS]

MAP = {"fraction": "52 %", "n": "11 %", "p2o5": "52 %"}

CASES = [
    Case(
        "Phosphate as 11-52-0",
        given={"nutrient_rate": "39 lb/ac", **MAP, "k2o": "0 %", "s": "0 %"},
        source=ARITHMETIC,
        printed={
            "product_rate": "75.00 lb/ac",
            "n_rate": "8.250 lb/ac",
            "p2o5_rate": "39.00 lb/ac",
            "k2o_rate": "0 lb/ac",
            "carried[2].element": "17.02 lb/ac",  # 39 · 0.4364
        },
        pinned={"product_rate": 0.008406383671, "carried[1].part": "along", "carried[2].part": "wanted"},
        notes=["count-along", "oxides"],
    ),
    Case(
        "The nitrogen of a plain product",
        given={"nutrient_rate": "80 lb/ac", "fraction": "46 %"},
        source=MANITOBA,
        printed={"product_rate": "174 lb/ac", "carried[1].rate": "80 lb/ac"},
        pinned={"n_rate": None, "s_rate": None, "carried[1].nutrient": "other", "carried[1].element": None},
        notes=["give-label"],
    ),
    Case(
        "Phosphate and the nitrogen that comes along",
        given={"nutrient_rate": "40 lb/ac", **MAP},
        source=MANITOBA,
        printed={"product_rate": "77 lb/ac", "n_rate": "8.5 lb/ac"},
        pinned={"k2o_rate": None},
        notes=["count-along", "oxides"],
    ),
    Case(
        "Potash as 0-0-60",
        given={"nutrient_rate": "15 lb/ac", "fraction": "60 %", "n": "0 %", "p2o5": "0 %", "k2o": "60 %"},
        source=MANITOBA,
        printed={"product_rate": "25 lb/ac"},
        pinned={"carried[3].nutrient": "k2o", "carried[3].part": "wanted"},
        notes=["oxides"],
    ),
    Case(
        "Sulfur, with the nitrogen of ammonium sulfate",
        given={"nutrient_rate": "24 kg/ha", "fraction": "24 %", "n": "21 %", "s": "24 %"},
        source=ARITHMETIC,
        printed={"product_rate": "100 kg/ha", "n_rate": "21 kg/ha", "s_rate": "24 kg/ha"},
        notes=["count-along"],
    ),
    Case(
        "Three nutrients alike",
        given={"nutrient_rate": "30 kg/ha", "fraction": "20 %", "n": "20 %", "p2o5": "20 %", "k2o": "20 %"},
        source=ARITHMETIC,
        printed={"product_rate": "150 kg/ha", "carried[3].element": "24.906 kg/ha"},
        pinned={"carried[1].part": "wanted", "carried[2].part": "wanted", "carried[3].part": "wanted"},
        notes=["oxides"],
    ),
    Case(
        "Zinc, which the label has besides the four",
        given={
            "nutrient_rate": "2 kg/ha",
            "fraction": "1 %",
            "n": "10 %",
            "p2o5": "40 %",
            "k2o": "0 %",
            "s": "5 %",
        },
        source=ARITHMETIC,
        printed={"product_rate": "200 kg/ha", "carried[1].rate": "2 kg/ha", "s_rate": "10 kg/ha"},
        pinned={"carried[1].nutrient": "other", "carried[2].part": "along"},
        notes=["not-on-label", "count-along", "oxides"],
    ),
    Case(
        "A share written too small",
        given={"nutrient_rate": "100 kg/ha", "fraction": "0.46 %"},
        source=ARITHMETIC,
        printed={"product_rate": "21\u2009739 kg/ha"},
        notes=["far-out", "give-label"],
    ),
]
