"""`field-work` against Iowa State's printed figures, `pint`, `shapely` and itself, and with what is wrong."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box
from shapely.ops import unary_union

from calc.field.field_work import EFFICIENCIES, SPEEDS, field_work
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
GOOD = {"width": "60 ft", "speed": "5 mph", "efficiency": "70 %", "area": "320 ac"}
POSITIVE = {
    "width": st.floats(1, 40),
    "speed": st.floats(0.5, 6),
    "efficiency": st.floats(0.05, 1),
    "area": st.floats(1e3, 1e7),
}


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "field-work", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def notes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


# Iowa State University Extension, PM 696 and Ag Decision Maker A3-24: ft, mph, percent, printed ac/h.
@pytest.mark.parametrize(
    ("feet", "mph", "percent", "printed"),
    [
        (40, 6, 70, "20.4"),
        (60, 6, 68, "29.7"),
        (80, 6, 68, "39.6"),
        (10, 5, 63, "3.8"),
        (20, 6, 63, "9.2"),
        (36, 5, 60, "13.1"),
    ],
)
def test_iowa_state_acres_an_hour(feet: int, mph: int, percent: int, printed: str) -> None:
    made = reply("us", width=f"{feet} ft", speed=f"{mph} mph", efficiency=f"{percent} %")
    acres = UNITS.Quantity(made["results"]["capacity"]["si"], "m**2/s").to("field_acre/hour").magnitude
    assert f"{acres:.1f}" == printed
    # The short form of ASAE EP496 has an exact constant: 43 560 / 5280 is 8.25.
    assert math.isclose(acres, feet * mph * percent / 100 / 8.25, rel_tol=1e-8)


@settings(max_examples=examples(120))
@given(
    st.tuples(st.floats(1, 50), st.sampled_from([("m", "m"), ("ft", "foot"), ("in", "inch")])),
    st.tuples(
        st.floats(0.5, 8), st.sampled_from([("km/h", "km/hour"), ("mph", "mile/hour"), ("m/s", "m/s")])
    ),
    st.floats(5, 100),
    st.tuples(st.floats(1, 5000), st.sampled_from([("ha", "hectare"), ("ac", "field_acre")])),
)
def test_agrees_with_pint(width: Any, speed: Any, percent: float, area: Any) -> None:
    one = UNITS.Quantity(1.0, width[1][1]).to("m").magnitude
    quantities, texts = [], []
    for size, (unit, in_pint) in ((width[0] / one, width[1]), speed, area):
        texts.append(f"{size:.6g} {unit}")
        quantities.append(UNITS.Quantity(float(f"{size:.6g}"), in_pint))
    share = f"{percent:.6g}"
    made = reply(width=texts[0], speed=texts[1], efficiency=f"{share} %", area=texts[2])
    assert made["ok"], made
    capacity = quantities[0] * quantities[1] * float(share) / 100
    assert math.isclose(made["results"]["capacity"]["si"], capacity.to("m**2/s").magnitude, rel_tol=1e-9)
    hours = (quantities[2] / capacity).to("second").magnitude
    assert math.isclose(made["results"]["hours"]["si"], hours, rel_tol=1e-9)


@given(st.integers(2, 20), st.floats(2, 20), st.floats(0.5, 5), st.floats(20, 400), st.floats(0, 120))
def test_an_hour_of_passes_and_turns_covers_what_is_said(
    passes: int, width: float, speed: float, length: float, turn: float
) -> None:
    """`shapely` lays the passes side by side; the efficiency is the share of the time that they take."""
    field = unary_union([box(0, n * width, length, (n + 1) * width) for n in range(passes)])
    seeding, turning = passes * length / speed, passes * turn
    efficiency = seeding / (seeding + turning)
    found = field_work(width, speed, efficiency, field.area).values
    assert math.isclose(found["hours"], seeding + turning, rel_tol=1e-9)  # type: ignore[arg-type]
    assert math.isclose(found["capacity"] * (seeding + turning), field.area, rel_tol=1e-9)  # type: ignore[operator]


@given(st.fixed_dictionaries(POSITIVE), st.floats(0.1, 10))
def test_capacity_is_in_proportion_to_all_three_and_hours_go_against_it(
    figures: dict[str, float], by: float
) -> None:
    before = field_work(**figures).values
    for name in ("width", "speed", "efficiency"):
        after = field_work(**{**figures, name: by * figures[name]}).values
        assert math.isclose(after["capacity"], by * before["capacity"], rel_tol=1e-12)  # type: ignore[operator, arg-type]
        assert math.isclose(after["hours"] * by, before["hours"], rel_tol=1e-12)  # type: ignore[operator, arg-type]
    more = field_work(**{**figures, "area": by * figures["area"]}).values
    assert more["capacity"] == before["capacity"]
    assert math.isclose(more["hours"], by * before["hours"], rel_tol=1e-12)  # type: ignore[operator, arg-type]


def test_the_tables_go_through_speeds_and_efficiencies_up_to_all_of_it() -> None:
    made = reply("us", **GOOD)
    capacities, hours = made["tables"]
    assert [column["title"] for column in capacities["columns"]] == [
        "Ground speed",
        "56.00 %",
        "63.00 %",
        "70.00 %",
        "77.00 %",
        "84.00 %",
    ]
    working = made["results"]["capacity"]["si"]
    for share, row, times in zip(SPEEDS, capacities["rows"], hours["rows"], strict=True):
        assert math.isclose(row[0]["si"], share * made["used"]["speed"]["si"], rel_tol=1e-9)
        for other, cell, time in zip(EFFICIENCIES, row[1:], times[1:], strict=True):
            assert math.isclose(cell["si"], share * other * working, rel_tol=1e-9)
            assert math.isclose(cell["si"] * time["si"], made["used"]["area"]["si"], rel_tol=1e-8)


@pytest.mark.parametrize(
    ("percent", "columns"),
    [
        ("83 %", ["66.40 %", "74.70 %", "83.00 %", "91.30 %", "99.60 %"]),
        ("100 %", ["80.00 %", "90.00 %", "100.0 %"]),
    ],
)
def test_no_efficiency_above_all_of_it_is_shown(percent: str, columns: list[str]) -> None:
    made = reply(**{**GOOD, "efficiency": percent})
    assert [column["title"] for column in made["tables"][0]["columns"][1:]] == columns


def test_without_an_area_the_reader_is_told_what_to_give() -> None:
    without = reply(width="60 ft", speed="5 mph", efficiency="70 %")
    assert without["results"]["hours"] is None
    assert notes(without) == ["faster-gains-less", "give-area"] and [
        table["id"] for table in without["tables"]
    ] == ["capacities"]
    assert notes(reply(**GOOD)) == ["faster-gains-less"]


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        ("54.9 %", ["unusual", "faster-gains-less"]),
        ("55 %", ["faster-gains-less"]),
        ("80 %", ["faster-gains-less"]),
        ("80.1 %", ["unusual", "faster-gains-less"]),
        ("99.9 %", ["unusual", "faster-gains-less"]),
        ("100 %", ["never-stops"]),
    ],
)
def test_an_efficiency_that_drills_seldom_have_is_pointed_out(percent: str, expected: list[str]) -> None:
    # ASAE D497, from memory: 55 to 80 % for drills.
    assert notes(reply(**{**GOOD, "efficiency": percent})) == expected


def test_give_or_take_of_the_efficiency_is_carried_to_the_hours() -> None:
    """JCGM 100, 5.1.3: half the difference of the results at both ends. It is shown to four digits."""
    made = reply("us", **{**GOOD, "efficiency": "70 % ± 5 %"})
    low, high = (
        field_work(18.288, 2.2352, share, 320 * 4046.8564224).values["hours"] for share in (0.75, 0.65)
    )
    half = made["results"]["hours"]["give_or_take"]["si"]
    assert math.isclose(half, (high - low) / 2, rel_tol=1e-3)  # type: ignore[operator]


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"width": "0.09 m"}, [("width", "too-low")]),
        ({"width": "61 m"}, [("width", "too-high")]),
        ({"speed": "41 km/h"}, [("speed", "too-high")]),
        ({"efficiency": "4.9 %"}, [("efficiency", "too-low")]),
        ({"efficiency": "101 %"}, [("efficiency", "too-high")]),
        ({"efficiency": "0.7"}, [("efficiency", "missing-unit")]),
        ({"area": "0 ac"}, [("area", "too-low")]),
        ({"area": "320 ft"}, [("area", "wrong-kind")]),
        ({"width": "60", "speed": "five mph"}, [("width", "missing-unit"), ("speed", "not-a-number")]),
        ({"efficency": "70 %"}, [("efficency", "misspelt-field")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


@pytest.mark.parametrize(
    "edge",
    [
        {"width": "0.1 m"},
        {"width": "60 m"},
        {"speed": "0.1 km/h"},
        {"speed": "40 km/h"},
        {"efficiency": "5 %"},
        {"area": "0.01 ha"},
        {"area": "100000 ha"},
    ],
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert reply(**{**GOOD, **edge})["ok"]


def test_the_picture_says_what_it_shows() -> None:
    made = reply("us", **GOOD)
    [chart] = made["charts"]
    for shown in (made["results"]["capacity"]["shown"], "5.000 mph", "70.00 %"):
        assert shown in chart["description"]
    assert chart["svg"].count("<circle") == 1
    assert settle(made["results"]["hours"]["si"] / 3600) == settle(320 / (60 * 5 * 0.7 / 8.25))


@given(st.floats(1e4, 1e7), st.floats(5, 25), st.floats(1, 4), st.floats(1, 3), st.floats(60, 40_000))
def test_faster_driving_gains_less_than_the_table_says(
    area: float, width: float, speed: float, by: float, lost: float
) -> None:
    """Own sums: with the same time lost in turns, fills and stops, the hours are more than the table's."""
    seeding = area / (width * speed)
    table = field_work(width, by * speed, seeding / (seeding + lost), area).values["hours"]
    assert seeding / by + lost >= table * (1 - 1e-12)  # type: ignore[operator]


@pytest.mark.parametrize(
    ("changed", "results"),
    [
        ({}, ["capacity", "hours"]),
        ({"efficiency": "100 %"}, ["capacity"]),
        ({"efficiency": "63 %", "area": "310 ac"}, ["hours"]),
        ({"efficiency": "63 %", "speed": "6 mph", "area": "310 ac"}, ["hours"]),
        ({"efficiency": "58.81 %", "speed": "6 mph", "area": "310 ac"}, ["hours"]),
        ({"area": "310 ac"}, ["hours"]),
    ],
)
def test_the_lesson_states_what_the_calculator_gives(
    root: Path, changed: dict[str, str], results: list[str]
) -> None:
    lesson = (root / "docs" / "lessons" / "field-work.md").read_text(encoding="utf-8")
    found = reply("us", **{**GOOD, **changed})["results"]
    for name in results:
        shown = found[name]["shown"].lstrip("−").replace("²", "2")
        assert shown in lesson, f"{name} is {shown}"
