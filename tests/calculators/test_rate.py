"""`rate` against `pint`, against itself solved the other ways, and with what is wrong in it."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.metering.rate import AROUND, meter_speed_for, rate, speed_for
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
FOUR = ("rate", "speed", "meter_speed", "mass_per_turn")
SPELT = {  # how pint writes what is typed; a turn is a count
    "width": {"m": "m", "ft": "foot", "cm": "cm", "in": "inch"},
    "rate": {"kg/ha": "kg/hectare", "lb/ac": "pound/field_acre", "g/m2": "g/m**2"},
    "speed": {"km/h": "km/hour", "mph": "mile/hour", "m/s": "m/s"},
    "meter_speed": {"rpm": "1/minute", "rev/s": "1/s", "rev/min": "1/minute"},
    "mass_per_turn": {"g/rev": "g", "kg/rev": "kg", "lb/rev": "pound"},
}
SI = {"rate": "kg/m**2", "speed": "m/s", "meter_speed": "1/s", "mass_per_turn": "kg"}
SIZES = {
    "width": (2, 50),
    "rate": (0.002, 0.06),
    "speed": (1, 8),
    "meter_speed": (0.05, 20),
    "mass_per_turn": (0.02, 5),
}


@st.composite
def typed(draw: st.DrawFn, name: str) -> tuple[str, Any]:
    """A figure as it is typed, and the same as a quantity of pint."""
    unit, in_pint = draw(st.sampled_from(sorted(SPELT[name].items())))
    low, high = SIZES[name]
    size = draw(st.floats(min_value=low, max_value=high))
    one = UNITS.Quantity(1.0, in_pint).to(SI.get(name, "m")).magnitude
    text = f"{size / one:.6g}"
    return f"{text} {unit}", UNITS.Quantity(float(text), in_pint)


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "rate", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


@settings(max_examples=examples(150))
@given(st.data(), st.sampled_from(FOUR), st.integers(min_value=1, max_value=120))
def test_agrees_with_pint(data: st.DataObject, left_out: str, runs: int) -> None:
    """Mass per time is rate · width · speed and meter speed · mass per turn: `pint` carries the units."""
    chosen = {name: data.draw(typed(name), name) for name in SPELT if name != left_out}
    q = {name: quantity for name, (_, quantity) in chosen.items()}
    if left_out == "meter_speed":
        q["meter_speed"] = q["rate"] * q["width"] * q["speed"] / q["mass_per_turn"]
    elif left_out == "mass_per_turn":
        q["mass_per_turn"] = q["rate"] * q["width"] * q["speed"] / q["meter_speed"]
    elif left_out == "rate":
        q["rate"] = q["meter_speed"] * q["mass_per_turn"] / q["width"] / q["speed"]
    else:
        q["speed"] = q["meter_speed"] * q["mass_per_turn"] / q["width"] / q["rate"]
    made = reply(runs=str(runs), **{name: text for name, (text, _) in chosen.items()})
    assert made["ok"], made
    expected = {
        left_out: q[left_out].to(SI[left_out]),
        "flow": (q["rate"] * q["width"] * q["speed"]).to("kg/s"),
        "area_per_turn": (q["mass_per_turn"] / q["rate"]).to("m**2"),
        "turns_per_area": (q["rate"] / q["mass_per_turn"]).to("1/m**2"),
        "run_flow": (q["rate"] * q["width"] * q["speed"] / runs).to("kg/s"),
    }
    assert set(made["results"]) == set(expected)
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=1e-9), name


POSITIVE = {name: st.floats(min_value=low, max_value=high) for name, (low, high) in SIZES.items()}


@given(st.fixed_dictionaries({name: POSITIVE[name] for name in SIZES if name != "meter_speed"}))
def test_what_is_found_gives_back_what_was_given(figures: dict[str, float]) -> None:
    solved = {**figures, **rate(**figures).values}
    whole = {name: solved[name] for name in SIZES}
    for left_out in FOUR:
        found = rate(**{name: value for name, value in whole.items() if name != left_out}).values
        assert math.isclose(found[left_out], whole[left_out], rel_tol=1e-12)
        assert not set(found) & (set(FOUR) - {left_out})  # nothing given is among the results
        assert math.isclose(found["flow"], whole["meter_speed"] * whole["mass_per_turn"], rel_tol=1e-12)
        assert math.isclose(found["area_per_turn"] * found["turns_per_area"], 1, rel_tol=1e-12)


@settings(max_examples=examples(40))
@given(st.fixed_dictionaries({name: POSITIVE[name] for name in SIZES if name != "meter_speed"}))
def test_the_reply_typed_back_gives_what_was_given(figures: dict[str, float]) -> None:
    """The same through text: what the reply holds in SI is written out with its unit and solved again."""
    si = {"width": "m", "rate": "kg/m2", "speed": "m/s", "meter_speed": "rev/s", "mass_per_turn": "kg/rev"}
    text = {name: f"{settle(value)} {si[name]}" for name, value in figures.items()}
    text["rate"] = f"{settle(figures['rate'] * 1000)} g/m2"
    made = reply(**text)
    assume(made["ok"] or [code for _, code in wrong(made)] == ["too-high"])
    assert made["ok"], made
    text["meter_speed"] = f"{made['results']['meter_speed']['si']} rev/s"
    for left_out in ("rate", "speed", "mass_per_turn"):
        again = reply(**{name: value for name, value in text.items() if name != left_out})
        assert again["ok"], again
        assert math.isclose(again["results"][left_out]["si"], made["used"][left_out]["si"], rel_tol=3e-9)


@given(
    st.fixed_dictionaries({name: POSITIVE[name] for name in SIZES if name != "meter_speed"}),
    st.floats(min_value=0.1, max_value=10),
)
def test_meter_speed_grows_with_rate_width_and_speed_and_falls_with_mass(
    figures: dict[str, float], by: float
) -> None:
    before = rate(**figures).values["meter_speed"]
    assert before == meter_speed_for(**figures)
    for name in ("rate", "width", "speed"):
        assert math.isclose(
            meter_speed_for(**{**figures, name: by * figures[name]}), by * before, rel_tol=1e-12
        )
    more = {**figures, "mass_per_turn": by * figures["mass_per_turn"]}
    assert math.isclose(by * meter_speed_for(**more), before, rel_tol=1e-12)
    assert math.isclose(
        speed_for(before, figures["mass_per_turn"], figures["rate"], figures["width"]),
        figures["speed"],
        rel_tol=1e-12,
    )


def test_the_table_goes_through_rates_and_speeds_around_the_working_ones() -> None:
    """A meter's speed at a share of the rate and a share of the speed is the product of both shares."""
    made = reply(units="us", width="40 ft", rate="100 lb/ac", speed="5 mph", mass_per_turn="1 lb/rev")
    [table] = made["tables"]
    assert [column["title"] for column in table["columns"]] == [
        "Rate",
        "2.500 mph",
        "3.750 mph",
        "5.000 mph",
        "6.250 mph",
        "7.500 mph",
    ]
    assert [row[0]["shown"] for row in table["rows"]] == [
        f"{r} lb/ac" for r in ("50.00", "75.00", "100.0", "125.0", "150.0")
    ]
    working = made["results"]["meter_speed"]["si"]
    for share, row in zip(AROUND, table["rows"], strict=True):
        for other, cell in zip(AROUND, row[1:], strict=True):
            assert math.isclose(cell["si"], share * other * working, rel_tol=1e-9)


# Flow by the short forms of the trade, whose constants are exact: kg/min = kg/ha · m · km/h / 600 and
# lb/min = lb/ac · ft · mph / 495 (definitions of hectare, acre, mile and hour).
@pytest.mark.parametrize(("figure", "width", "speed"), [(100, 12, 8), (7, 18.3, 6.4), (320, 9, 11)])
def test_flow_by_the_short_forms(figure: float, width: float, speed: float) -> None:
    metric = reply(
        rate=f"{figure} kg/ha", width=f"{width} m", speed=f"{speed} km/h", mass_per_turn="1 kg/rev"
    )
    assert math.isclose(metric["results"]["flow"]["si"] * 60, figure * width * speed / 600, rel_tol=1e-9)
    us = reply(rate=f"{figure} lb/ac", width=f"{width} ft", speed=f"{speed} mph", mass_per_turn="1 lb/rev")
    turns_a_minute = us["results"]["meter_speed"]["si"] * 60
    assert math.isclose(turns_a_minute, figure * width * speed / 495, rel_tol=1e-9)


# University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek): grams of each row over
# 150 ft for each lb/ac, 0.78 at 6 in and 0.98 at 7.5 in.
@pytest.mark.parametrize(("spacing", "grams"), [("6 in", "0.78"), ("7.5 in", "0.98")])
def test_kentucky_grams_per_row(spacing: str, grams: str) -> None:
    made = reply(width=spacing, rate="1 lb/ac", speed="4.572 m/s", meter_speed="6 rpm")
    assert f"{made['results']['mass_per_turn']['si'] * 1000:.2f}" == grams


def test_soil_health_labs_area_and_mass() -> None:
    """Soil Health Labs, drill calibration: 8 ft round · 0.625 ft · 20 turns, 100 ft²; 25 lb/ac, 0.0574 lb."""
    made = reply(width="0.625 ft", rate="25 lb/ac", speed="2.4384 m/s", meter_speed="1 rev/s")["results"]
    assert settle(20 * made["area_per_turn"]["si"] / 0.3048**2) == 100.0
    assert f"{20 * made['mass_per_turn']['si'] / 0.45359237:.4f}" == "0.0574"


GOOD = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"width": "0.09 m"}, [("width", "too-low")]),
        ({"width": "61 m"}, [("width", "too-high")]),
        ({"rate": "0.09 kg/ha"}, [("rate", "too-low")]),
        ({"rate": "5001 kg/ha"}, [("rate", "too-high")]),
        ({"speed": "41 km/h"}, [("speed", "too-high")]),
        ({"mass_per_turn": "0 g/rev"}, [("mass_per_turn", "too-low")]),
        ({"runs": "0"}, [("runs", "too-low")]),
        ({"runs": "48 rev"}, [("runs", "not-bare")]),
        ({"runs": "47.5"}, [("runs", "whole")]),
        ({"meter_speed": "40 rpm"}, [("", "none-left-out")]),
        ({"rate": "100 lb/ac2"}, [("rate", "misspelt-unit")]),
        ({"rate": "12 gal/ac", "speed": "5"}, [("rate", "wrong-kind"), ("speed", "missing-unit")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


@pytest.mark.parametrize(
    "edge", [{"width": "0.1 m"}, {"width": "60 m"}, {"rate": "5000 kg/ha"}, {"runs": "500"}]
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert reply(**{**GOOD, **edge})["ok"]


@pytest.mark.parametrize(
    "missing", [("rate", "speed"), ("speed", "mass_per_turn"), ("rate", "speed", "mass_per_turn")]
)
def test_each_of_several_left_out_is_named(missing: tuple[str, ...]) -> None:
    left = {name: text for name, text in GOOD.items() if name not in missing}
    expected = [(name, "two-left-out") for name in FOUR if name in (*missing, "meter_speed")]
    assert wrong(reply(**left)) == expected


@pytest.mark.parametrize("left_out", [(), ("rate", "speed"), FOUR])
def test_the_function_itself_wants_exactly_one_left_out(left_out: tuple[str, ...]) -> None:
    whole = {"width": 12.0, "rate": 0.01, "speed": 2.0, "meter_speed": 0.5, "mass_per_turn": 0.48}
    with pytest.raises(TypeError, match="exactly one"):
        rate(**{name: value for name, value in whole.items() if name not in left_out})


def test_without_runs_the_reader_is_told_what_to_give() -> None:
    without, with_runs = reply(**GOOD), reply(**GOOD, runs="48")
    assert without["results"]["run_flow"] is None
    assert [note["code"] for note in without["notes"]] == ["check-meter-range", "give-runs"]
    assert [note["code"] for note in with_runs["notes"]] == ["check-meter-range"]
    assert math.isclose(
        with_runs["results"]["run_flow"]["si"] * 48, with_runs["results"]["flow"]["si"], rel_tol=1e-9
    )


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_picture_says_what_it_shows(units: str) -> None:
    made = reply(units=units, **GOOD)
    [chart] = made["charts"]
    assert made["results"]["meter_speed"]["shown"] in chart["description"]
    assert made["used"]["speed"]["shown"] in chart["description"]
    assert chart["svg"].count("<circle") == 1 and chart["svg"].count('stroke-width="2.5"') == 3
    shown = {"metric": ("84.1 kg/ha", "112 kg/ha", "140 kg/ha"), "us": ("75 lb/ac", "100 lb/ac", "125 lb/ac")}
    assert all(f">{label}<" in chart["svg"] for label in shown[units])
