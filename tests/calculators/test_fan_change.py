"""`fan-change` against its printed example and `pint`, by what the laws imply, and with mistakes in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.air.fan_change import AROUND, fan_change
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

UNITS = pint.UnitRegistry()
# The inch of water by its definition: an inch of 1000 kg/m³ under standard gravity (NIST SP 811).
UNITS.define("conventional_inch = inch * 1000 * kg / m ** 3 * standard_gravity")
NAMES = ("flow", "pressure", "power")
GOOD = {
    "shaft_speed": "3600 rpm",
    "new_shaft_speed": "3960 rpm",
    "flow": "3000 cfm",
    "pressure": "25 inH2O",
    "power": "25 hp",
}
SPEEDS = st.floats(5, 200)
FASTER = st.floats(0.21, 4.9)
FANS = st.tuples(st.floats(0.01, 50), st.floats(10, 9e4), st.floats(5, 9e5))
DENSITIES = st.floats(0.4, 2.5)


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "fan-change", "given": given_, "units": units}))


def example(units: str = "us", **changed: str) -> dict[str, Any]:
    made = reply(units, **{**GOOD, **changed})
    assert made["ok"], made
    return made


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


def after(
    speed: float, new: float, fan: tuple[float, ...], *densities: float | None
) -> tuple[float, float, float]:
    values: dict[str, Any] = dict(fan_change(speed, new, *fan, *densities).values)
    return values["flow"], values["pressure"], values["power"]


# Against the source and an independent library


def test_the_printed_example() -> None:
    # Fan laws, as printed: 6000 cfm, 4 in, 2000 to 1500 rpm, 6 hp gives 4500 cfm, 2.25 in, 2.53 hp.
    made = example(
        shaft_speed="2000 rpm", new_shaft_speed="1500 rpm", flow="6000 cfm", pressure="4 inH2O", power="6 hp"
    )["results"]
    assert f"{made['flow']['si'] * 60 / 0.3048**3:.0f}" == "4500"
    assert f"{made['pressure']['si'] / 249.08891:.2f}" == "2.25"
    assert f"{made['power']['si'] / 745.69987158227:.2f}" == "2.53"


@settings(max_examples=examples(150))
@given(
    st.data(),
    st.sampled_from(["rpm", "rev/s"]),
    st.sampled_from([("cfm", "foot**3/minute"), ("m3/s", "m**3/s"), ("L/min", "liter/minute")]),
    st.sampled_from([("inH2O", "conventional_inch"), ("kPa", "kPa"), ("psi", "psi")]),
    st.sampled_from([("hp", "550 * foot * force_pound / second"), ("kW", "kW")]),
    st.sampled_from([("lb/ft3", "pound/foot**3"), ("kg/m3", "kg/m**3")]),
)
def test_agrees_with_pint(
    data: st.DataObject,
    turning: str,
    flow: tuple[str, str],
    pressure: tuple[str, str],
    power: tuple[str, str],
    density: tuple[str, str],
) -> None:
    """Fan laws by dimensionless groups: Q/n, p/(ρ n²) and P/(ρ n³) do not change. `pint` has the units."""

    def typed(name: str, low: float, high: float, unit: str, in_pint: str, si: str) -> tuple[str, Any]:
        one = UNITS.Quantity(1.0, "") * UNITS.parse_expression(in_pint)
        size = data.draw(st.floats(low, high), name) / one.to(si).magnitude
        return f"{size:.7g} {unit}", float(f"{size:.7g}") * one

    per = {"rpm": "1/minute", "rev/s": "1/s"}[turning]
    chosen = {
        "shaft_speed": typed("shaft_speed", 20, 80, turning, per, "1/s"),
        "new_shaft_speed": typed("new_shaft_speed", 20, 80, turning, per, "1/s"),
        "flow": typed("flow", 0.05, 5, *flow, "m**3/s"),
        "pressure": typed("pressure", 100, 20000, *pressure, "Pa"),
        "power": typed("power", 500, 60000, *power, "W"),
        "density": typed("density", 0.8, 1.4, *density, "kg/m**3"),
        "new_density": typed("new_density", 0.8, 1.4, *density, "kg/m**3"),
    }
    made = reply(**{name: text for name, (text, _) in chosen.items()})
    assert made["ok"], made
    q = {name: quantity for name, (_, quantity) in chosen.items()}
    groups = (
        q["flow"] / q["shaft_speed"],
        q["pressure"] / q["density"] / q["shaft_speed"] ** 2,
        q["power"] / q["density"] / q["shaft_speed"] ** 3,
    )
    expected = {
        "flow": (groups[0] * q["new_shaft_speed"]).to("m**3/s"),
        "pressure": (groups[1] * q["new_density"] * q["new_shaft_speed"] ** 2).to("Pa"),
        "power": (groups[2] * q["new_density"] * q["new_shaft_speed"] ** 3).to("W"),
    }
    for name, quantity in expected.items():
        assert made["results"][name]["si"] == pytest.approx(quantity.magnitude, rel=2e-8), name


# Properties


@given(SPEEDS, FASTER, FANS, DENSITIES, DENSITIES)
def test_there_and_back_again(
    speed: float, faster: float, fan: tuple[float, ...], density: float, new_density: float
) -> None:
    there = after(speed, faster * speed, fan, density, new_density)
    assert after(faster * speed, speed, there, new_density, density) == pytest.approx(fan)


@given(SPEEDS, st.floats(0.5, 2), st.floats(0.5, 2), FANS)
def test_two_steps_are_as_good_as_one(
    speed: float, first: float, second: float, fan: tuple[float, ...]
) -> None:
    halfway = after(speed, first * speed, fan)
    assert after(first * speed, first * second * speed, halfway) == pytest.approx(
        after(speed, first * second * speed, fan)
    )


@given(SPEEDS, FANS, DENSITIES, DENSITIES)
def test_air_alone_changes_pressure_and_power_and_not_the_flow(
    speed: float, fan: tuple[float, ...], density: float, new_density: float
) -> None:
    flow, pressure, power = fan
    thicker = new_density / density
    assert after(speed, speed, fan, density, new_density) == pytest.approx(
        (flow, thicker * pressure, thicker * power)
    )
    assert after(speed, speed, fan, density, density) == pytest.approx(fan)


@given(SPEEDS, FASTER, FANS)
def test_power_is_in_keeping_with_flow_times_pressure(
    speed: float, faster: float, fan: tuple[float, ...]
) -> None:
    """Power over flow times pressure is the reciprocal of the efficiency, which the laws leave as it is."""
    flow, pressure, power = after(speed, faster * speed, fan)
    assert power / (flow * pressure) == pytest.approx(fan[2] / (fan[0] * fan[1]))


def test_a_tenth_more_speed_costs_a_third_more_power() -> None:
    up, down = example()["results"], example(new_shaft_speed="3240 rpm")["results"]
    now = 25 * 745.69987158227
    assert f"{up['power']['si'] / now - 1:.0%}" == "33%"
    assert f"{1 - down['power']['si'] / now:.0%}" == "27%"
    [note] = [note["text"] for note in example()["notes"] if note["code"] == "tenth"]
    assert "33 %" in note and "27 %" in note


def test_the_table_goes_through_speeds_around_the_new_one() -> None:
    made = example()
    [table] = made["tables"]
    assert len(table["rows"]) == len(AROUND)
    for share, row in zip(AROUND, table["rows"], strict=True):
        alone = example(new_shaft_speed=f"{3960 * share} rpm")["results"]
        assert row[0]["si"] == pytest.approx(66 * share, rel=1e-9)
        for cell, name in zip(row[1:4], NAMES, strict=True):
            assert cell["si"] == pytest.approx(alone[name]["si"], rel=1e-9)
        assert row[4]["si"] == pytest.approx(alone["power"]["si"] / (25 * 745.69987158227), rel=1e-9)
    middle = table["rows"][AROUND.index(1.0)]
    assert [cell["si"] for cell in middle[1:4]] == [made["results"][name]["si"] for name in NAMES]


def test_the_lesson_states_what_is_found(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "air.md").read_text(encoding="utf-8")
    made = example(new_shaft_speed="3780 rpm", power="20 hp")["results"]
    assert f"`{made['power']['shown']}`" in lesson
    assert "1.331 times the power" in lesson and f"{1.1**3:.3f}" == "1.331"


# Notes, and what is missing


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({}, ["rated-speed", "more-power", "same-air", "tenth"]),
        ({"new_shaft_speed": "3600 rpm"}, ["same-air", "tenth"]),
        ({"new_shaft_speed": "3000 rpm"}, ["less-air", "same-air", "tenth"]),
        ({"density": "1.2 kg/m3", "new_density": "1 kg/m3"}, ["rated-speed", "more-power", "tenth"]),
        ({"density": "1.2 kg/m3", "new_density": "0.9 kg/m3"}, ["rated-speed", "tenth"]),
        (
            {"new_shaft_speed": "3600 rpm", "density": "1 kg/m3", "new_density": "1.1 kg/m3"},
            ["more-power", "tenth"],
        ),
    ],
)
def test_notes_say_what_to_look_at(changed: dict[str, str], told: list[str]) -> None:
    assert codes(example(**changed)) == told


@pytest.mark.parametrize("name", ["density", "new_density"])
def test_one_density_alone_leaves_pressure_and_power_open(name: str) -> None:
    made = example(**{name: "1.1 kg/m3"})
    assert made["results"]["pressure"] is None and made["results"]["power"] is None
    assert made["results"]["flow"] == example()["results"]["flow"]
    assert "give-both-densities" in codes(made) and "more-power" not in codes(made)
    for row in made["tables"][0]["rows"]:
        assert row[2] is row[3] is row[4] is None
    assert "Pressure" not in made["charts"][0]["svg"].replace("pressure", "")


# Mistakes


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"shaft_speed": "49 rpm", "new_shaft_speed": "60 rpm"}, [("shaft_speed", "too-low")]),
        ({"new_shaft_speed": "20001 rpm"}, [("new_shaft_speed", "too-high")]),
        ({"new_shaft_speed": "3960"}, [("new_shaft_speed", "missing-unit")]),
        ({"new_shaft_speed": "18001 rpm"}, [("new_shaft_speed", "speeds-far-apart")]),
        ({"new_shaft_speed": "719 rpm"}, [("new_shaft_speed", "speeds-far-apart")]),
        ({"flow": "0 cfm"}, [("flow", "too-low")]),
        ({"pressure": "25 in"}, [("pressure", "wrong-kind")]),
        ({"pressure": "101 kPa", "power": "1001 kW"}, [("pressure", "too-high"), ("power", "too-high")]),
        ({"density": "0.2 kg/m3"}, [("density", "too-low")]),
        ({"new_density": "75 lb/ft3"}, [("new_density", "too-high")]),
        (
            {"shaft_speed": "60 mph", "new_shaft_speed": "20000 rpm"},
            [("shaft_speed", "wrong-kind")],
        ),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert wrong(reply(**{**GOOD, **changed})) == fields


def test_everything_missing_is_named() -> None:
    assert wrong(reply()) == [(name, "required") for name in GOOD]


@pytest.mark.parametrize("new", ["18000 rpm", "720 rpm"])
def test_five_times_and_a_fifth_are_still_allowed(new: str) -> None:
    assert example(new_shaft_speed=new)["results"]["power"]["si"] > 0


# The picture


@settings(max_examples=examples(80))
@given(
    st.floats(250, 4000),
    FASTER,
    st.floats(0.001, 100),
    st.floats(1, 100000),
    st.floats(1, 1000000),
    st.sampled_from(["metric", "us"]),
)
def test_picture_keeps_its_words_apart_and_in_the_box(
    speed: float, faster: float, flow: float, pressure: float, power: float, units: str
) -> None:
    made = reply(
        units,
        shaft_speed=f"{speed:.3f} rpm",
        new_shaft_speed=f"{speed * faster:.3f} rpm",
        flow=f"{flow:.4f} m3/s",
        pressure=f"{pressure:.3f} Pa",
        power=f"{power:.3f} W",
    )
    assert made["ok"], made
    [chart] = made["charts"]
    seen = looked_at(chart["svg"])
    assert len(seen.boxes) == 12
    assert seen.points


def test_picture_says_both_speeds() -> None:
    made = example()
    for name in ("shaft_speed", "new_shaft_speed"):
        assert made["used"][name]["shown"] in made["charts"][0]["description"]
