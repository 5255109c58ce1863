"""`field-check` against printed drill checks, `pint`, `rate` and itself, and with what is wrong."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from calc.field.field_check import field_check
from calc.metering.rate import rate
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
GOOD = {"area": "18.6 ac", "used": "2310 lb", "target": "120 lb/ac", "mass_per_turn": "1.4 lb/rev"}
SPELT = {  # how pint writes what is typed, and a range of SI sizes; a turn is a count
    "area": ({"ha": "hectare", "ac": "field_acre", "m2": "m**2", "ft2": "foot**2"}, "m**2", 50, 1e6),
    "used": ({"kg": "kg", "lb": "pound", "t": "tonne", "ton": "short_ton"}, "kg", 1, 5e4),
    "target": (
        {"kg/ha": "kg/hectare", "lb/ac": "pound/field_acre", "g/m2": "g/m**2"},
        "kg/m**2",
        0.0005,
        0.06,
    ),
    "mass_per_turn": ({"g/rev": "g", "kg/rev": "kg", "lb/rev": "pound"}, "kg", 0.02, 5),
}
POSITIVE = {name: st.floats(low, high) for name, (_, _, low, high) in SPELT.items()}


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "field-check", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def notes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


# Soil Health Labs, drill calibration: 0.0574 lb over 100 ft² is 25 lb/ac.
# University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek): grams of a row in
# 150 ft for each lb/ac, 0.78 at 6 in and 0.98 at 7.5 in. `shapely` measures the strips of the rows.
@pytest.mark.parametrize(
    ("feet_wide", "feet_long", "used", "target", "printed"),
    [
        (0.625, 160, "0.0574 lb", "25 lb/ac", "25.0"),
        (6 / 12, 150, "0.78 g", "1 lb/ac", "1.00"),
        (7.5 / 12, 150, "0.98 g", "1 lb/ac", "1.00"),
    ],
)
def test_printed_masses_give_back_the_printed_rate(
    feet_wide: float, feet_long: float, used: str, target: str, printed: str
) -> None:
    area = box(0, 0, feet_wide, feet_long).area
    made = reply("us", area=f"{area:.6g} ft2", used=used, target=target, mass_per_turn="1 g/rev")
    pounds = UNITS.Quantity(made["results"]["rate"]["si"], "kg/m**2").to("pound/field_acre").magnitude
    assert f"{pounds:.{len(printed.partition('.')[2])}f}" == printed
    assert notes(made) == ["within"]


@settings(max_examples=examples(150))
@given(st.data())
def test_agrees_with_pint(data: st.DataObject) -> None:
    texts, q = {}, {}
    for name, (spelt, si, low, high) in SPELT.items():
        unit, in_pint = data.draw(st.sampled_from(sorted(spelt.items())))
        size = data.draw(st.floats(low, high)) / UNITS.Quantity(1.0, in_pint).to(si).magnitude
        texts[name], q[name] = f"{size:.7g} {unit}", UNITS.Quantity(float(f"{size:.7g}"), in_pint)
    made = reply(**texts)
    assert made["ok"], made
    rate_ = (q["used"] / q["area"]).to("kg/m**2").magnitude
    ratio = (q["used"] / q["area"] / q["target"]).to("").magnitude
    found = made["results"]
    assert math.isclose(found["rate"]["si"], rate_, rel_tol=1e-9)
    assert math.isclose(found["error"]["si"], ratio - 1, rel_tol=1e-8, abs_tol=2e-9)
    new = q["mass_per_turn"].to("kg").magnitude * ratio
    assert math.isclose(found["mass_per_turn"]["si"], new, rel_tol=1e-9)


@given(st.floats(100, 1e6), st.floats(0.0005, 0.06), st.floats(0.02, 5), st.floats(0.3, 3), st.floats(4, 20))
def test_a_meter_that_gives_another_mass_is_found_out(
    area: float, target: float, entered: float, share: float, width: float
) -> None:
    """The machine turns its meter for the mass entered; `rate` says what goes out if a turn gives another."""
    real = share * entered
    turning = rate(width=width, rate=target, speed=2.0, mass_per_turn=entered).values["meter_speed"]
    out = rate(width=width, speed=2.0, meter_speed=turning, mass_per_turn=real).values["rate"]  # type: ignore[arg-type]
    found = field_check(area, out * area, target, entered).values  # type: ignore[operator]
    assert math.isclose(found["mass_per_turn"], real, rel_tol=1e-9)  # type: ignore[arg-type]
    assert math.isclose(found["error"], share - 1, rel_tol=1e-8, abs_tol=1e-9)  # type: ignore[arg-type]
    # With the new figure entered, the same meter gives the rate set: the next check has no error.
    turning = rate(width=width, rate=target, speed=2.0, mass_per_turn=found["mass_per_turn"]).values[  # type: ignore[arg-type]
        "meter_speed"
    ]
    again = rate(width=width, speed=2.0, meter_speed=turning, mass_per_turn=real).values["rate"]  # type: ignore[arg-type]
    assert field_check(area, again * area, target, real).values["error"] == 0  # type: ignore[operator]


@given(st.fixed_dictionaries(POSITIVE), st.floats(0.1, 10))
def test_results_go_with_their_figures(figures: dict[str, float], by: float) -> None:
    before = field_check(**figures).values
    for name, power in (("used", 1), ("area", -1)):
        after = field_check(**{**figures, name: by * figures[name]}).values
        for result in ("rate", "mass_per_turn"):
            assert math.isclose(after[result], by**power * before[result], rel_tol=1e-12)  # type: ignore[operator, arg-type]
    other = field_check(**{**figures, "target": by * figures["target"]}).values
    assert other["rate"] == before["rate"]
    assert math.isclose(1 + other["error"], (1 + before["error"]) / by, rel_tol=1e-8)  # type: ignore[operator]
    larger = field_check(**{**figures, "mass_per_turn": by * figures["mass_per_turn"]}).values
    assert (larger["rate"], larger["error"]) == (before["rate"], before["error"])


@given(st.fixed_dictionaries(POSITIVE))
def test_what_would_have_fitted_has_no_error(figures: dict[str, float]) -> None:
    [[used, used_over, area, area_over]] = field_check(**figures).tables["fits"]  # type: ignore[misc]
    assert field_check(**{**figures, "used": used}).values["error"] == 0
    assert field_check(**{**figures, "area": area}).values["error"] == 0
    assert math.isclose(used + used_over, figures["used"], rel_tol=1e-9)
    assert math.isclose(area + area_over, figures["area"], rel_tol=1e-9)


# Common practice: 2 % is left alone, 10 % is something else. Each bound belongs to the milder side.
LOOK = ["look-first", "look-area", "look-used", "look-settings"]


@pytest.mark.parametrize(
    ("used", "expected"),
    [
        ("1000 kg", ["within"]),
        ("1020 kg", ["within"]),
        ("1020.01 kg", ["enter", "every-tank"]),
        ("980 kg", ["within"]),
        ("979.9 kg", ["enter", "every-tank"]),
        ("1100 kg", ["enter", "every-tank"]),
        ("1100.1 kg", [*LOOK, "look-too-much"]),
        ("900 kg", ["enter", "every-tank"]),
        ("899.9 kg", [*LOOK, "look-too-little"]),
        ("1 kg", [*LOOK, "look-too-little"]),
        ("1000 t", [*LOOK, "look-too-much"]),
    ],
)
def test_what_is_said_of_an_error(used: str, expected: list[str]) -> None:
    made = reply(area="10 ha", used=used, target="100 kg/ha", mass_per_turn="500 g/rev")
    assert notes(made) == expected
    levels = {note["level"] for note in made["notes"]}
    assert ("stop" in levels) == ("look-first" in expected)


def test_the_notes_say_what_to_enter_and_where_to_look() -> None:
    off = reply("us", **GOOD)
    assert off["results"]["mass_per_turn"]["shown"] in off["notes"][0]["text"]
    assert off["results"]["error"]["shown"] in off["notes"][1]["text"]
    far = reply("us", **{**GOOD, "used": "1500 lb"})
    assert "12.50 ac" in far["notes"][1]["text"]  # 1500 lb at 120 lb/ac, by hand
    assert "2232 lb" in far["notes"][2]["text"]  # 18.6 ac at 120 lb/ac, by hand


def test_give_or_take_of_area_and_mass_is_carried() -> None:
    """JCGM 100, 5.1.2: parts that are independent are added as squares; both are first order here."""
    made = reply("us", **{**GOOD, "area": "18.6 ac ± 0.3 ac", "used": "2310 lb ± 20 lb"})
    relative = math.hypot(0.3 / 18.6, 20 / 2310)
    for name in ("rate", "mass_per_turn"):
        figure = made["results"][name]
        assert math.isclose(figure["give_or_take"]["si"], relative * figure["si"], rel_tol=2e-3)


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"area": "0.9 m2"}, [("area", "too-low")]),
        ({"area": "10001 ha"}, [("area", "too-high")]),
        ({"area": "18.6 lb"}, [("area", "wrong-kind")]),
        ({"used": "0 lb"}, [("used", "too-low")]),
        ({"used": "1001 t"}, [("used", "too-high")]),
        ({"used": "2,310 lb"}, [("used", "thousands-comma")]),
        ({"target": "0 lb/ac"}, [("target", "too-low")]),
        ({"target": "120 lb"}, [("target", "wrong-kind")]),
        ({"mass_per_turn": "101 kg/rev"}, [("mass_per_turn", "too-high")]),
        ({"mass_per_turn": "1.4 lb/rev ± 1 %"}, [("mass_per_turn", "give-not-here")]),
        ({"used": "2310", "target": ""}, [("used", "missing-unit"), ("target", "empty")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


@pytest.mark.parametrize(
    "edge", [{"area": "1 m2"}, {"area": "10000 ha"}, {"used": "0.1 g"}, {"used": "1000 t"}]
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert reply(**{**GOOD, **edge})["ok"]


def test_everything_is_needed() -> None:
    assert wrong(reply()) == [(name, "required") for name in GOOD]


def test_the_picture_says_what_it_shows() -> None:
    made = reply("us", **GOOD)
    [chart] = made["charts"]
    for shown in (made["results"]["rate"]["shown"], "120.0 lb/ac", made["results"]["error"]["shown"]):
        assert shown in chart["description"]
    assert ">3.49 %<" in chart["svg"]


@pytest.mark.parametrize(
    ("changed", "results"),
    [
        ({}, ["rate", "error", "mass_per_turn"]),
        (
            {"area": "40 ac", "used": "3400 lb", "target": "110 lb/ac", "mass_per_turn": "1.25 lb/rev"},
            ["rate", "error"],
        ),
    ],
)
def test_the_lesson_states_what_the_calculator_gives(
    root: Path, changed: dict[str, str], results: list[str]
) -> None:
    lesson = (root / "docs" / "lessons" / "ground-speed.md").read_text(encoding="utf-8")
    found = reply("us", **{**GOOD, **changed})["results"]
    for name in results:
        shown = found[name]["shown"].lstrip("−").replace("²", "2")
        assert shown in lesson, f"{name} is {shown}"
