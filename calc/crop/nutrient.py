"""How much product brings a wanted amount of a nutrient, and what comes along with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.crop.nutrient_cases import CASES, SOURCES
from calc.crop.nutrient_sums import (
    ELEMENT,
    asked_for,
    carried_rows,
    draw_carried,
    names_given,
    wrong_together,
)
from calc.declare import (
    Chart,
    Column,
    Found,
    Input,
    Note,
    Output,
    Say,
    Table,
    calculator,
    say,
    words,
)
from calc.errors import InputError
from calc.number import settle
from calc.units import MASS_PER_AREA, SHARE

MOST_PRODUCT = 0.5  # kg/m²: what the other calculators take for a rate

NOTES = [
    Note(
        "give-label",
        "info",
        words("Give the label's N, P₂O₅, K₂O and S to see what comes along."),
    ),
    Note(
        "not-on-label",
        "check",
        words(
            "{fraction} is none of the four figures given. Check it, unless you ask for another nutrient.",
            fraction=SHARE,
        ),
    ),
    Note(
        "count-along",
        "check",
        words("Take what comes along off what your other products are to bring, or it goes on twice."),
    ),
    Note(
        "oxides",
        "check",
        words(
            "P₂O₅ and K₂O are meant here. If your label or advice gives P or K, "
            "divide it first: P by 0.4364, K by 0.8302."
        ),
    ),
    Note(
        "far-out",
        "check",
        words("No machine sows {rate}. Check the nutrient wanted and its share.", rate=MASS_PER_AREA),
    ),
]


def _notes(given: Mapping[str, Any], product_rate: float) -> list[Say]:
    """What is missing or odd, and what to do about what comes along."""
    notes: list[Say] = []
    if settle(product_rate) > MOST_PRODUCT:
        notes.append(say("far-out", rate=product_rate))
    there = names_given(given)
    asked = asked_for(given)
    if not there:
        return [*notes, say("give-label")]
    if len(there) == len(ELEMENT) and not asked:
        notes.append(say("not-on-label", fraction=given["fraction"]))
    if any(name not in asked and settle(given[name]) > 0 for name in there):
        notes.append(say("count-along"))
    if any(settle(given[name] or 0.0) > 0 for name in ("p2o5", "k2o")):
        notes.append(say("oxides"))
    return notes


def _share(name: str, title: str, example: str, hint: str = "") -> Input:
    return Input(name, title, SHARE, example, "0 %", "100 %", hint)


@calculator(
    id="nutrient",
    title="Product for a nutrient",
    asks="How much of this product brings the nutrient you want, and what else comes with it?",
    inputs=[
        Input(
            "nutrient_rate",
            "Nutrient wanted",
            MASS_PER_AREA,
            "39 lb/ac",
            "0.01 kg/ha",
            "1000 kg/ha",
            "As your advice gives it: N, P₂O₅, K₂O, S or another.",
        ),
        Input(
            "fraction",
            "Share of that nutrient in the product",
            SHARE,
            "52 %",
            "0.1 %",
            "100 %",
            "From the label: 11-52-0 has 52 % of P₂O₅.",
        ),
        _share("n", "N of the product", "11 %", "The first figure of the label."),
        _share("p2o5", "P₂O₅ of the product", "52 %", "The second figure of the label."),
        _share("k2o", "K₂O of the product", "0 %", "The third figure of the label."),
        _share("s", "S of the product", "0 %", "The fourth figure, if there is one."),
    ],
    outputs=[
        Output("product_rate", "Rate of the product", MASS_PER_AREA, main=True),
        Output("n_rate", "N it brings", MASS_PER_AREA, absent="not given"),
        Output("p2o5_rate", "P₂O₅ it brings", MASS_PER_AREA, absent="not given"),
        Output("k2o_rate", "K₂O it brings", MASS_PER_AREA, absent="not given"),
        Output("s_rate", "S it brings", MASS_PER_AREA, absent="not given"),
    ],
    tables=[
        Table(
            "carried",
            "What the product brings",
            [
                Column(
                    "nutrient",
                    "Nutrient",
                    says={
                        "n": words("N"),
                        "p2o5": words("P₂O₅"),
                        "k2o": words("K₂O"),
                        "s": words("S"),
                        "other": words("the one wanted"),
                    },
                ),
                Column("share", "Of the product", SHARE),
                Column("rate", "Brought", MASS_PER_AREA),
                Column("element", "As element N, P, K or S", MASS_PER_AREA),
                Column("part", "Why", says={"wanted": words("as wanted"), "along": words("comes along")}),
            ],
        )
    ],
    charts=[
        Chart(
            "carried",
            "The product and what is in it",
            words(
                "A bar for {product} of product. Below it a bar for each nutrient in it, to the same scale.",
                product=MASS_PER_AREA,
            ),
            draw_carried,
        )
    ],
    notes=NOTES,
    equation=(
        "Product = nutrient / share. What else it brings = product · its share. "
        "P = 0.4364 · P₂O₅ and K = 0.8302 · K₂O."
    ),
    assumes=[
        "The label is true of this lot, and a blend is even all through.",
        "The nutrient wanted and its share are of the same thing: both P₂O₅ or both P.",
    ],
    leaves_out=[
        "What the crop needs, what the soil has, and how much is lost. A soil test and local advice decide.",
        "How much may go with the seed. The seedbed calculator has that.",
    ],
    cautions=[
        "Wear what the label or safety data sheet asks for when you handle the product.",
        "Law of the place may limit nutrients, dates and distances from water. It comes first.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
    then=("rate", "bin-capacity"),
)
def nutrient(
    nutrient_rate: float,
    fraction: float,
    n: float | None = None,
    p2o5: float | None = None,
    k2o: float | None = None,
    s: float | None = None,
) -> Found:
    """The rate of a product (kg/m²) that brings `nutrient_rate` (kg/m²) at `fraction` of it.

    `n`, `p2o5`, `k2o` and `s` are the label's shares, as fractions; what they bring is None where they are.
    Raises InputError where the shares are more than the whole. Source: Manitoba Agriculture's examples.
    """
    given = dict(locals())  # the values by their names, as they were taken
    if problems := wrong_together(given):
        raise InputError(problems)
    product_rate = nutrient_rate / fraction
    brought = {
        f"{name}_rate": None if given[name] is None else product_rate * given[name] for name in ELEMENT
    }
    return Found(
        {"product_rate": product_rate, **brought},
        notes=_notes(given, product_rate),
        tables={"carried": carried_rows(given, product_rate)},
    )
