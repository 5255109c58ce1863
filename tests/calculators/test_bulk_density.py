"""`bulk-density` against `pint`, hand arithmetic, and with what is wrong in it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calc.reply import compact, respond
from calc.tanks.bulk_density import bulk_density
from calc.units import US_BUSHEL

UNITS = pint.UnitRegistry()
SPELT = {  # how pint writes what is typed
    "container_volume": {
        "L": "liter",
        "m3": "m**3",
        "ft3": "foot**3",
        "us gal": "gallon",
        "imp gal": "imperial_gallon",
        "us bu": "bushel",
        "imp bu": "imperial_bushel",
    },
    "gross": {"kg": "kg", "g": "g", "lb": "pound", "oz": "ounce", "t": "metric_ton", "ton": "short_ton"},
}
SIZES = {"container_volume": (0.0005, 3.0), "gross": (0.5, 3000.0)}


@st.composite
def typed(draw: st.DrawFn, name: str) -> tuple[str, Any]:
    """A figure as it is typed, and the same as a quantity of pint."""
    unit, in_pint = draw(st.sampled_from(sorted(SPELT[name].items())))
    one = UNITS.Quantity(1.0, in_pint).to_base_units().magnitude
    text = f"{draw(st.floats(*SIZES[name])) / one:.6g}"
    assume("e" not in text)
    return f"{text} {unit}", UNITS.Quantity(float(text), in_pint)


def ask(given_: dict[str, str], units: str = "metric") -> dict[str, Any]:
    return respond(compact({"calculator": "bulk-density", "given": given_, "units": units}))


def codes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


@given(typed("container_volume"), typed("gross"), st.floats(0, 0.9))
def test_agrees_with_pint(volume: tuple[str, Any], gross: tuple[str, Any], empty: float) -> None:
    """pint carries the units, and has both bushels."""
    tare = f"{empty * gross[1].to('kg').magnitude:.6f}"
    made = ask({"container_volume": volume[0], "gross": gross[0], "tare": f"{tare} kg"}, "us")
    assert made["ok"], made
    density = (gross[1] - UNITS.Quantity(float(tare), "kg")) / volume[1]
    expected = {
        "density": density.to("kg/m**3"),
        "us_bushel": (density * UNITS.Quantity(1, "bushel")).to("kg"),
        "imperial_bushel": (density * UNITS.Quantity(1, "imperial_bushel")).to("kg"),
    }
    assert set(made["results"]) == set(expected)
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=1e-9), name


@given(st.floats(0.001, 2), st.floats(0.5, 900), st.floats(0, 0.9), st.floats(0.2, 5))
def test_scale_and_way_back(volume: float, net: float, tare: float, by: float) -> None:
    density = bulk_density(volume, net + tare, tare).values["density"]
    assert isinstance(density, float)
    assert density * volume == pytest.approx(net, rel=1e-9)  # the way back
    assert bulk_density(by * volume, by * (net + tare), by * tare).values["density"] == pytest.approx(density)
    assert bulk_density(by * volume, net + tare, tare).values["density"] == pytest.approx(density / by)
    assert bulk_density(volume, net, 0.0).values["density"] == pytest.approx(density, rel=1e-9)


def test_a_pound_in_a_bushel_is_12_87_kilograms_in_a_cubic_metre() -> None:
    # NIST Handbook 44, Appendix C (from memory, confirmed with pint): lb/US bu is 12.87185978 kg/m³
    made = ask({"container_volume": "1 us bu", "gross": "1 lb"})
    assert f"{made['results']['density']['si']:.8f}" == "12.87185978"
    # the same figure for a Canadian bushel means 3.1 % less
    other = ask({"container_volume": "1 imp bu", "gross": "1 lb"})
    assert f"{1 - other['results']['density']['si'] / made['results']['density']['si']:.1%}" == "3.1%"


def test_a_legal_weight_and_a_lot_are_two_things() -> None:
    """State codes: wheat is sold at 60 lb a bushel. A lot of 57 lb is planned by its own density."""
    made = ask({"container_volume": "1 us bu", "gross": "57 lb"}, "us")
    assert made["results"]["us_bushel"]["shown"] == "57.00 lb"
    lot = made["results"]["density"]["si"] * float(US_BUSHEL) / 0.45359237
    assert lot == pytest.approx(57, rel=1e-9)
    assert "not-legal" in codes(made)


@pytest.mark.parametrize(
    ("gross", "first"),
    [
        ("0.49 kg", "impossible"),
        ("0.5 kg", "unusual"),
        ("3.49 kg", "unusual"),
        ("3.5 kg", "three-fillings"),
        ("12 kg", "three-fillings"),
        ("12.01 kg", "unusual"),
        ("30 kg", "unusual"),
        ("30.1 kg", "impossible"),
    ],
)
def test_what_is_odd_is_said(gross: str, first: str) -> None:
    """From memory: usual products lie from 350 to 1200 kg/m³. In ten liters that is 3.5 kg to 12 kg."""
    made = ask({"container_volume": "10 L", "gross": gross})
    told = codes(made)
    assert told[0] == first and told[-2:] == ["three-fillings", "not-legal"]
    assert {note["code"]: note["level"] for note in made["notes"]}["not-legal"] == "info"


GOOD = {"container_volume": "5 us gal", "gross": "33.6 lb", "tare": "2.1 lb"}


@pytest.mark.parametrize(
    ("changed", "wrong"),
    [
        ({"tare": "33.6 lb"}, [("tare", "tare-above-gross")]),
        ({"tare": "40 lb"}, [("tare", "tare-above-gross")]),
        ({"tare": "33.59999999999999999 lb"}, [("tare", "tare-above-gross")]),
        ({"tare": "-1 lb"}, [("tare", "too-low")]),
        ({"gross": "0.9 g", "tare": "0 kg"}, [("gross", "too-low")]),
        ({"gross": "11 t"}, [("gross", "too-high")]),
        ({"container_volume": "0.09 L"}, [("container_volume", "too-low")]),
        ({"container_volume": "5.1 m3"}, [("container_volume", "too-high")]),
        ({"container_volume": "5 lb"}, [("container_volume", "wrong-kind")]),
        ({"gross": "33.6", "tare": "2.1 ft"}, [("gross", "missing-unit"), ("tare", "wrong-kind")]),
        ({"gross": "33.6 lb ± 32 lb"}, [("gross", "give-too-wide")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], wrong: list[tuple[str, str]]) -> None:
    assert ask(GOOD)["ok"]
    made = ask({**GOOD, **changed})
    assert [(error["field"], error["code"]) for error in made["errors"]] == wrong


def test_a_bare_gallon_is_asked_about_under_imperial_units() -> None:
    made = ask({**GOOD, "container_volume": "5 gal"}, "imperial")
    assert [error["code"] for error in made["errors"]] == ["which-gallon"]


@pytest.mark.parametrize("volume", ["0.1 L", "5 m3"])
@pytest.mark.parametrize("gross", ["1 g", "10 t"])
@pytest.mark.parametrize("units", ["metric", "us", "imperial"])
def test_bounds_themselves_are_answered(volume: str, gross: str, units: str) -> None:
    made = ask({"container_volume": volume, "gross": gross}, units)
    assert made["ok"] and made["results"]["density"]["si"] > 0


def test_give_or_take_adds_up_by_squares() -> None:
    # JCGM 100:2008, 5.1.2: 3 % of the volume and 4 % of the mass come to 5 %
    made = ask({"container_volume": "10 L ± 3 %", "gross": "8 kg ± 4 %"})
    density = made["results"]["density"]
    assert density["give_or_take"]["si"] == pytest.approx(0.05 * density["si"], rel=2e-3)


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "bin-capacity.md").read_text("utf-8")
    made = ask({"container_volume": "0.6684 ft3", "gross": "33.8 lb", "tare": "1.7 lb"}, "us")
    assert made["results"]["density"]["shown"] == "48.03 lb/ft³"
    assert "`48.03 lb/ft3`" in lesson and "`0.6684 ft3`" in lesson and "`33.8 lb`" in lesson
    # water of 62.4 lb/ft³ fills it with 41.7 lb; NIST SP 811 makes a cubic foot 28.3168 L
    assert f"{62.4 * 0.45359237 / 28.316846592:.2f}" == "1.00"
