"""`nutrient` against `pint`, atomic masses and itself, its lesson, and with what is wrong in it."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any

import pint
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.crop.nutrient import nutrient
from calc.crop.nutrient_sums import ELEMENT
from calc.quantity import Units
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

PINT = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
PINT.define("field_acre = 43560 * foot ** 2")
RATES = {"kg/ha": "kg/hectare", "lb/ac": "pound/field_acre", "g/m2": "g/m**2"}
LABEL = ("n", "p2o5", "k2o", "s")
MAP = {"nutrient_rate": "39 lb/ac", "fraction": "52 %", "n": "11 %", "p2o5": "52 %"}

SHARES = st.lists(st.integers(0, 250), min_size=4, max_size=4)  # in thousandths, so they fit into one product


def reply(units: str = "metric", **given_: str | None) -> dict[str, Any]:
    return respond(compact({"calculator": "nutrient", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    assert made["ok"], made
    return [note["code"] for note in made["notes"]]


# Against libraries and atomic masses


@settings(max_examples=examples(150))
@given(st.sampled_from(sorted(RATES)), st.floats(0.0005, 0.05), SHARES, st.integers(0, 3))
def test_agrees_with_pint(unit: str, size: float, shares: list[int], wanted: int) -> None:
    """The product holds each nutrient by its share: `pint` carries the units."""
    shares[wanted] = max(shares[wanted], 10)
    one = PINT.Quantity(1.0, RATES[unit]).to("kg/m**2").magnitude
    text = f"{size / one:.8f}"
    label = {name: f"{share / 10} %" for name, share in zip(LABEL, shares, strict=True)}
    made = reply(nutrient_rate=f"{text} {unit}", fraction=label[LABEL[wanted]], **label)
    assert made["ok"], made
    product = PINT.Quantity(float(text), RATES[unit]) / (shares[wanted] / 1000)
    results = made["results"]
    assert list(results) == ["product_rate", "n_rate", "p2o5_rate", "k2o_rate", "s_rate"]
    assert math.isclose(results["product_rate"]["si"], product.to("kg/m**2").magnitude, rel_tol=1e-9)
    for name, share in zip(LABEL, shares, strict=True):
        carried = (product * share / 1000).to("kg/m**2").magnitude
        assert math.isclose(results[f"{name}_rate"]["si"], carried, rel_tol=1e-9, abs_tol=1e-15)
    assert math.isclose(
        results[f"{LABEL[wanted]}_rate"]["si"], made["used"]["nutrient_rate"]["si"], rel_tol=1e-9
    )


def test_elements_by_their_atomic_masses() -> None:
    # P 30.973762, K 39.0983, O 15.999 (IUPAC, from memory); CoolProp has the last as 15.9994.
    phosphorus, potassium, oxygen = 30.973762, 39.0983, 15.999
    assert 500 * PropsSI("M", "Oxygen") == pytest.approx(oxygen, abs=0.0005)
    assert f"{2 * phosphorus / (2 * phosphorus + 5 * oxygen):.4f}" == f"{ELEMENT['p2o5']}" == "0.4364"
    assert f"{2 * potassium / (2 * potassium + oxygen):.4f}" == f"{ELEMENT['k2o']}" == "0.8302"
    assert ELEMENT["n"] == ELEMENT["s"] == 1


# Properties


@given(st.floats(0.0005, 0.05), SHARES, st.floats(0.05, 0.9), st.floats(0.2, 5))
def test_in_proportion_to_the_nutrient_and_against_its_share(
    wanted: float, shares: list[int], fraction: float, by: float
) -> None:
    label = dict(zip(LABEL, (share / 10_000 for share in shares), strict=True))
    before = nutrient(wanted, fraction, **label).values
    more = nutrient(by * wanted, fraction, **label).values
    for name, value in before.items():
        assert more[name] == pytest.approx(by * value, rel=1e-12)  # type: ignore[operator]
    half = nutrient(wanted, fraction / 2, **label).values["product_rate"]
    assert half == pytest.approx(2 * before["product_rate"], rel=1e-12)  # type: ignore[operator]


@given(st.floats(0.0005, 0.05), SHARES, st.sets(st.sampled_from(LABEL)))
def test_the_table_has_what_is_given_and_its_elements(
    wanted: float, shares: list[int], named: set[str]
) -> None:
    label = {name: share / 1000 for name, share in zip(LABEL, shares, strict=True) if name in named}
    fraction = label.get("p2o5") or 0.2505
    given_ = {name: label.get(name) for name in LABEL}
    found = nutrient(wanted, fraction, **given_)
    rows = found.rows("carried", Units())
    asked = [name for name in LABEL if label.get(name) == fraction]
    assert [row[0].code for row in rows] == [  # type: ignore[union-attr]
        *([] if asked else ["other"]),
        *(name for name in LABEL if name in named),
    ]
    for row in rows:
        name, share, brought, element, part = row
        if name.code == "other":  # type: ignore[union-attr]
            assert (share, brought, element, part.code) == (fraction, wanted, None, "wanted")  # type: ignore[union-attr]
            continue
        assert brought == found.values[f"{name.code}_rate"]  # type: ignore[union-attr]
        assert element == pytest.approx(ELEMENT[name.code] * brought)  # type: ignore[operator, union-attr]
        assert part.code == ("wanted" if name.code in asked else "along")  # type: ignore[union-attr]


# Notes and edges


def test_notes_say_what_to_give_and_what_to_do() -> None:
    plain = {"nutrient_rate": "80 lb/ac", "fraction": "46 %"}
    assert codes(reply(**plain)) == ["give-label"]
    assert codes(reply(**plain, n="46 %")) == []
    assert codes(reply(**MAP)) == ["count-along", "oxides"]
    assert codes(reply(**plain, n="46 %", p2o5="0 %", k2o="0 %", s="0 %")) == []
    assert codes(reply(**plain, n="45 %", p2o5="0 %", k2o="0 %", s="0 %")) == ["not-on-label", "count-along"]
    assert codes(reply(**{**plain, "fraction": "1 %"})) == ["far-out", "give-label"]
    assert reply(**MAP)["results"]["k2o_rate"] is None


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"nutrient_rate": "0 kg/ha"}, [("nutrient_rate", "too-low")]),
        ({"nutrient_rate": "1001 kg/ha"}, [("nutrient_rate", "too-high")]),
        ({"nutrient_rate": "39 lb"}, [("nutrient_rate", "wrong-kind")]),
        ({"fraction": "0.09 %"}, [("fraction", "too-low")]),
        ({"fraction": "101 %"}, [("fraction", "too-high")]),
        ({"fraction": "52"}, [("fraction", "missing-unit")]),
        ({"fraction": None}, [("fraction", "required")]),
        ({"n": "-1 %"}, [("n", "too-low")]),
        ({"n": "11 % ± 1 %"}, [("n", "give-not-here")]),
        ({"p2o5": "101 %"}, [("p2o5", "too-high")]),
        ({"k2o": "38 %"}, [("p2o5", "above-whole")]),
        ({"k2o": "60 %"}, [("k2o", "above-whole")]),
        ({"fraction": "46 %"}, [("p2o5", "above-whole")]),
        ({"n": "x", "k2o": "60 %"}, [("n", "not-a-number"), ("k2o", "above-whole")]),
        ({"zn": "1 %"}, [("zn", "unknown-field")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, Any], fields: list[tuple[str, str]]) -> None:
    assert reply(**MAP)["ok"]
    assert wrong(reply(**{**MAP, **changed})) == fields


def test_shares_may_fill_the_whole_and_no_more() -> None:
    assert reply(**{**MAP, "k2o": "37 %"})["ok"]  # 11 + 52 + 37
    assert reply(nutrient_rate="20 kg/ha", fraction="90 %", n="10 %")["ok"]
    made = reply(nutrient_rate="20 kg/ha", fraction="90 %", n="10.1 %")
    assert wrong(made) == [("n", "above-whole")] and "100.1 %" in made["errors"][0]["problem"]


@pytest.mark.parametrize("wanted", ["0.01 kg/ha", "1000 kg/ha"])
@pytest.mark.parametrize("share", ["0.1 %", "100 %"])
def test_a_bound_itself_is_allowed(wanted: str, share: str) -> None:
    assert reply(nutrient_rate=wanted, fraction=share)["ok"]
    assert reply(nutrient_rate=wanted, fraction=share, s=share)["ok"]


# The picture


@settings(max_examples=examples(100))
@given(
    st.floats(-2, 3).map(lambda power: 10.0**power),
    SHARES,
    st.integers(1, 900),
    st.sampled_from(["metric", "us"]),
)
def test_picture_keeps_its_words_apart_and_in_the_box(
    wanted: float, shares: list[int], fraction: int, units: str
) -> None:
    label = {name: f"{share / 100} %" for name, share in zip(LABEL, shares, strict=True)}
    made = reply(units, nutrient_rate=f"{wanted:.5g} kg/ha", fraction=f"{fraction / 10} %", **label)
    assert made["ok"], made
    [chart] = made["charts"]
    looked_at(chart["svg"])


def test_the_picture_has_a_bar_for_the_product_and_each_nutrient_in_it() -> None:
    [chart] = reply("us", **MAP, k2o="0 %")["charts"]
    assert "75.00 lb/ac" in chart["description"]
    assert re.findall(r">([^<>]+)</text>", chart["svg"]) == [
        "Product",
        "75 lb/ac",
        "N",
        "8.25 lb/ac",
        "P₂O₅",
        "39 lb/ac",
    ]


# The lesson


def test_the_lesson_states_what_the_calculators_give(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "fertilizer.md").read_text(encoding="utf-8")
    first = reply("us", **MAP)["results"]
    assert first["product_rate"]["shown"] in lesson and first["n_rate"]["shown"] in lesson
    rest = reply("us", nutrient_rate="61.75 lb/ac", fraction="46 %")["results"]
    tried = reply("us", nutrient_rate="20 lb/ac", fraction="24 %", n="21 %", s="24 %")["results"]
    potash = reply("us", nutrient_rate="30 lb/ac", fraction="60 %")["results"]
    assert potash["product_rate"]["shown"] in lesson
    assert rest["product_rate"]["shown"] in lesson
    assert tried["product_rate"]["shown"] in lesson and tried["n_rate"]["shown"] in lesson
    medium = {"spacing": "10 in", "soil": "medium", "crop": "cereal", "opener": "other"}
    for spread, moisture in (("2 in", "good"), ("3 in", "good"), ("2 in", "dry")):
        row = {**medium, "spread": spread, "moisture": moisture, "nitrogen_rate": "61.75 lb/ac"}
        made = respond(compact({"calculator": "seedbed", "given": row, "units": "us"}))["results"]
        assert made["limit"]["shown"] in lesson and made["product_limit"]["shown"] in lesson
        if (spread, moisture) == ("2 in", "good"):
            assert made["excess"]["shown"] in lesson and made["utilisation"]["shown"] == "20.00 %"
