"""What a product brings: the shares of its label, and the picture of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, cast

from calc.chart import WIDTH, Picture, short
from calc.declare import Found, Value, say
from calc.errors import Problem, problem
from calc.number import settle
from calc.quantity import Amount, Units
from calc.units import MASS_PER_AREA, SHARE

# What of a label's figure is the element: P in P₂O₅ and K in K₂O, by their atomic masses.
ELEMENT = {"n": 1.0, "p2o5": 0.4364, "k2o": 0.8302, "s": 1.0}
WRITTEN = {"n": "N", "p2o5": "P₂O₅", "k2o": "K₂O", "s": "S", "other": "Nutrient wanted"}

ROW = 46.0  # a line of words and the bar under it
LEFT = 16.0


def names_given(given: Mapping[str, Any]) -> list[str]:
    """The figures of the label that are given."""
    return [name for name in ELEMENT if given[name] is not None]


def asked_for(given: Mapping[str, Any]) -> list[str]:
    """Those of them that are the share asked for: mostly one, of 20-20-20 three, of another nutrient none."""
    return [name for name in names_given(given) if settle(given[name]) == settle(given["fraction"])]


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """Shares that are more than the whole product; values that are wrong are None."""
    there = names_given(given)
    if given["fraction"] is None or not there:
        return []
    parts = [given[name] for name in there]
    total = math.fsum(parts if asked_for(given) else [*parts, given["fraction"]])
    if settle(total) <= 1:
        return []
    largest = max(there, key=given.__getitem__)
    return [problem(largest, "above-whole", total=Amount(total, SHARE))]


def carried_rows(given: Mapping[str, Any], product_rate: float) -> list[list[Value]]:
    """A row a nutrient: its share, what the product brings of it, that as an element, and why."""
    asked = asked_for(given)
    rows: list[list[Value]] = []
    if not asked:
        rows.append([say("other"), given["fraction"], given["nutrient_rate"], None, say("wanted")])
    for name in names_given(given):
        brought = product_rate * given[name]
        why = say("wanted" if name in asked else "along")
        rows.append([say(name), given[name], brought, ELEMENT[name] * brought, why])
    return rows


def draw_carried(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """A bar for the product, and one to the same scale for each nutrient that it brings."""
    product = cast(float, found.values["product_rate"])
    bars: list[tuple[str, float, float]] = [("Product", 1.0, 0.15)]
    if not asked_for(given):
        bars.append((WRITTEN["other"], given["fraction"], 0.6))
    bars += [
        (WRITTEN[name], given[name], 0.6 if name in asked_for(given) else 0.35)
        for name in names_given(given)
        if settle(given[name]) > 0
    ]
    picture = Picture(ROW * len(bars) + 10, {"product": product})
    for number, (words, share, strength) in enumerate(bars):
        top = ROW * number
        picture.text(LEFT, top + 18, words, bold=number == 0)
        figure = short(share * product, MASS_PER_AREA, units)
        picture.text(WIDTH - LEFT, top + 18, figure, anchor="end", bold=number == 0)
        end = LEFT + share * (WIDTH - 2 * LEFT)
        picture.box(LEFT, top + 25, end, top + 41, strength=strength, outline=True)
    return picture
