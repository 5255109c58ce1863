"""`oil` against printed examples and `pint`, by its own balance, and with what is wrong in it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.declare import Say
from calc.oil.oil import oil
from calc.oil.oil_sums import LINES, bore_for, speed_in
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

UNITS = pint.UnitRegistry()
GPM = 231 * 0.0254**3 / 60
GOOD = {
    "displacement": "1.5 in3/rev",
    "shaft_speed": "3600 rpm",
    "volumetric_efficiency": "95 %",
    "pressure": "2200 psi",
    "meters_flow": "6 gpm",
    "tractor_flow": "40 gpm",
    "hose_bore": "1 in",
    "heat_share": "20 %",
}
MUST = ("displacement", "shaft_speed", "volumetric_efficiency", "pressure")


def reply(units: str = "us", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "oil", "given": given_, "units": units}))


def example(units: str = "us", **changed: str) -> dict[str, Any]:
    made = reply(units, **{**GOOD, **changed})
    assert made["ok"], made
    return made


def without(*names: str, **changed: str) -> dict[str, Any]:
    made = reply(**{name: text for name, text in {**GOOD, **changed}.items() if name not in names})
    assert made["ok"], made
    return made


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


# Against printed examples


def test_printed_flow_of_a_motor() -> None:
    # Printed worked example: 2.51 in³ at 1200 rpm, 13.04 gpm.
    made = example(displacement="2.51 in3/rev", shaft_speed="1200 rpm", volumetric_efficiency="100 %")
    assert f"{made['results']['flow']['si'] / GPM:.2f}" == "13.04"


def test_printed_power_of_oil() -> None:
    # Engineering ToolBox: 20 gpm at 1500 psi, 17.5 hp.
    made = example(
        displacement="4.62 in3/rev",
        shaft_speed="1000 rpm",
        volumetric_efficiency="100 %",
        pressure="1500 psi",
    )
    assert f"{made['results']['power']['si'] / 745.69987158227:.1f}" == "17.5"


# A printed table of line sizes: inside diameter, oil speed in ft/s, and gpm.
@pytest.mark.parametrize(("bore", "feet", "printed"), [(0.622, 15, "14.2"), (1.049, 10, "26.9")])
def test_printed_line_sizes_both_ways_round(bore: float, feet: float, printed: str) -> None:
    # The flow at that speed is as printed, and the speed at the printed flow, to half a step, spans that one.
    area = math.pi / 4 * (bore * 0.0254) ** 2
    assert f"{feet * 0.3048 * area / GPM:.1f}" == printed
    speeds = []
    for half in (-0.05, 0.05):
        turned = (float(printed) + half) * 231 / 1000
        made = example(
            displacement=f"{turned:.6f} in3/rev",
            shaft_speed="1000 rpm",
            volumetric_efficiency="100 %",
            hose_bore=f"{bore} in",
        )
        speeds.append(made["results"]["hose_speed"]["si"] / 0.3048)
    assert speeds[0] < feet < speeds[1]


def test_usual_line_speeds_are_the_printed_ones() -> None:
    # Printed oil speeds in ft/s: suction 2 to 4, return 10 to 15, pressure 15 to 20.
    feet = {line.code: (line.low / 0.3048, line.high / 0.3048) for line in LINES}
    assert feet == {
        "pressure": pytest.approx((15, 20)),
        "return": pytest.approx((10, 15)),
        "suction": pytest.approx((2, 4)),
    }


# Against `pint`


@settings(max_examples=examples(150))
@given(
    st.data(),
    st.sampled_from([("cm3/rev", "cm**3"), ("in3/rev", "inch**3")]),
    st.sampled_from([("rpm", "1/minute"), ("rev/s", "1/s")]),
    st.sampled_from([("psi", "psi"), ("bar", "bar"), ("kPa", "kPa")]),
    st.sampled_from([("gpm", "gallon/minute"), ("L/min", "liter/minute")]),
    st.sampled_from([("mm", "mm"), ("in", "inch")]),
    st.integers(50, 100),
    st.integers(0, 100),
)
def test_agrees_with_pint(
    data: st.DataObject,
    per_turn: tuple[str, str],
    turning: tuple[str, str],
    pressing: tuple[str, str],
    flowing: tuple[str, str],
    wide: tuple[str, str],
    efficiency: int,
    lost: int,
) -> None:
    def typed(name: str, low: float, high: float, unit: str, in_pint: str, si: str) -> tuple[str, Any]:
        one = UNITS.Quantity(1.0, in_pint).to(si).magnitude
        text = f"{data.draw(st.floats(low, high), name) / one:.7g}"
        return f"{text} {unit}", UNITS.Quantity(float(text), in_pint)

    chosen = {
        "displacement": typed("displacement", 2e-6, 1.5e-4, *per_turn, "m**3"),
        "shaft_speed": typed("shaft_speed", 5, 150, *turning, "1/s"),
        "pressure": typed("pressure", 1e5, 4e7, *pressing, "Pa"),
        "meters_flow": typed("meters_flow", 1e-5, 1e-3, *flowing, "m**3/s"),
        "tractor_flow": typed("tractor_flow", 1e-4, 1e-2, *flowing, "m**3/s"),
        "hose_bore": typed("hose_bore", 0.005, 0.1, *wide, "m"),
    }
    made = reply(
        volumetric_efficiency=f"{efficiency} %",
        heat_share=f"{lost} %",
        **{name: text for name, (text, _) in chosen.items()},
    )
    assert made["ok"], made
    q = {name: quantity for name, (_, quantity) in chosen.items()}
    flow = q["displacement"] * q["shaft_speed"] / (efficiency / 100)
    power = flow * q["pressure"]
    tractor = q["tractor_flow"].to("m**3/s").magnitude
    expected = {
        "flow": flow.to("m**3/s").magnitude,
        "power": power.to("watt").magnitude,
        "hose_speed": (flow / (math.pi / 4 * q["hose_bore"] ** 2)).to("m/s").magnitude,
        "heat": (lost / 100 * power).to("watt").magnitude,
    }
    for name, value in expected.items():
        assert made["results"][name]["si"] == pytest.approx(value, rel=1e-8), name
    spare = (q["tractor_flow"] - flow - q["meters_flow"]).to("m**3/s").magnitude
    assert made["results"]["spare"]["si"] == pytest.approx(spare, rel=1e-8, abs=1e-8 * tractor)


# gpm = in³ · rpm / 231, hp = gpm · psi / 1714.286, L/min = cm³ · rpm / 1000 and kW = L/min · bar / 600: the
# trade's short forms, whose constants follow from the gallon, the horsepower and the liter.
@pytest.mark.parametrize(("size", "turning", "pressure"), [(1.5, 3600, 2200), (2.75, 2800, 1800)])
def test_short_forms_of_the_trade(size: float, turning: float, pressure: float) -> None:
    whole = {"shaft_speed": f"{turning} rpm", "volumetric_efficiency": "100 %"}
    us = example(displacement=f"{size} in3/rev", pressure=f"{pressure} psi", **whole)["results"]
    gpm = size * turning / 231
    assert us["flow"]["si"] / GPM == pytest.approx(gpm, rel=1e-9)
    assert us["power"]["si"] / 745.69987158227 == pytest.approx(gpm * pressure / 1714.2857143, rel=1e-8)
    metric = example(displacement=f"{size * 10} cm3/rev", pressure=f"{pressure / 10} bar", **whole)["results"]
    liters = size * 10 * turning / 1000
    assert metric["flow"]["si"] * 60000 == pytest.approx(liters, rel=1e-9)
    assert metric["power"]["si"] / 1000 == pytest.approx(liters * pressure / 10 / 600, rel=1e-9)


# Properties


MOTORS = st.tuples(st.floats(1e-6, 2e-4), st.floats(2, 160), st.floats(0.5, 1.0), st.floats(1e4, 4e7))


@given(MOTORS, st.none() | st.floats(0, 0.01), st.none() | st.floats(1e-4, 0.02))
def test_the_flows_balance_and_the_verdict_follows(
    motor: tuple[float, ...], meters: float | None, tractor: float | None
) -> None:
    values: dict[str, Any] = dict(oil(*motor, meters, tractor).values)
    verdict = values["verdict"]
    assert isinstance(verdict, Say)
    assert verdict.code.startswith("fan-") == (meters is None)
    kind = verdict.code.removeprefix("fan-")
    if tractor is None:
        assert kind == "not-known" and values["spare"] is None
        return
    taken = values["flow"] + (meters or 0.0)
    assert taken + values["spare"] == pytest.approx(tractor)
    # Common practice: 10 to 15 % in hand, of what the tractor gives.
    assert kind == ("short" if taken > tractor else "tight" if taken > 0.9 * tractor else "enough")


@given(MOTORS, st.floats(1.01, 5))
def test_worn_motors_take_more_oil_for_the_same_turns(motor: tuple[float, ...], worn: float) -> None:
    displacement, turning, efficiency, pressure = motor
    sound = oil(*motor).values["flow"]
    leaking = oil(displacement, turning, efficiency / worn, pressure).values["flow"]
    assert leaking == pytest.approx(worn * sound)  # type: ignore[operator]
    assert oil(displacement, worn * turning, efficiency, pressure).values["flow"] == pytest.approx(leaking)


@given(st.floats(1e-6, 0.05), st.floats(0.1, 20))
def test_the_bore_for_a_speed_gives_that_speed(flow: float, speed: float) -> None:
    assert speed_in(flow, bore_for(flow, speed)) == pytest.approx(speed)


@pytest.mark.parametrize(
    ("bore", "notes", "standing"),
    [
        ("0.7 in", "hose-too-small", ["faster: too narrow", "faster: too narrow", None]),
        ("0.75 in", "small-for-return", ["as usual", "faster: too narrow", None]),
        ("1 in", "hose-wide-enough", ["slower: wide enough", "as usual", None]),
        ("1.5 in", "hose-wide-enough", ["slower: wide enough", "slower: wide enough", None]),
    ],
)
def test_a_hose_is_held_against_the_usual_speeds(bore: str, notes: str, standing: list[str | None]) -> None:
    made = example(hose_bore=bore)
    assert notes in codes(made)
    rows = made["tables"][0]["rows"]
    assert [row[4] for row in rows] == standing
    for row in rows:  # the least bore is the one at the upper end of the usual speeds
        flow, speed = made["results"]["flow"]["si"], row[2]["si"]
        assert math.pi / 4 * row[3]["si"] ** 2 * speed == pytest.approx(flow, rel=1e-8)


def test_a_speed_at_the_end_of_the_usual_ones_is_still_usual() -> None:
    # By hand: 15 ft/s, 4.572 m/s, in the bore that the table names for it.
    made = example(displacement="1 in3/rev", shaft_speed="2310 rpm", volumetric_efficiency="100 %")
    least = made["tables"][0]["rows"][1][3]["si"]
    again = example(
        displacement="1 in3/rev",
        shaft_speed="2310 rpm",
        volumetric_efficiency="100 %",
        hose_bore=f"{least * 1000:.9f} mm",
    )
    assert again["tables"][0]["rows"][1][4] == "as usual"
    assert "hose-wide-enough" in codes(again)


# What is missing


def test_what_is_not_given_is_left_open_and_asked_for() -> None:
    made = without("meters_flow", "tractor_flow", "hose_bore", "heat_share")
    results = made["results"]
    assert [name for name, value in results.items() if value is None] == ["spare", "hose_speed", "heat"]
    assert codes(made) == ["no-meters", "give-bore", "give-heat-share"]
    assert results["verdict"].startswith("The fan takes 24.61 gpm. Give the tractor's flow")
    assert all(row[4] is None for row in made["tables"][0]["rows"])


def test_meters_without_oil_are_given_as_nothing() -> None:
    none, left_out = example(meters_flow="0 gpm"), without("meters_flow")
    assert none["results"]["spare"] == left_out["results"]["spare"]
    assert "no-meters" in codes(left_out) and "no-meters" not in codes(none)


def test_exactly_nothing_in_hand_is_zero_and_tight() -> None:
    # By hand: 25 cm³ · 3600 rpm / 0.9 is 100 L/min, in floats not quite.
    made = without(
        "meters_flow",
        displacement="25 cm3/rev",
        volumetric_efficiency="90 %",
        tractor_flow="100 L/min",
    )
    assert made["results"]["spare"]["si"] == 0
    assert made["results"]["verdict"].startswith("Tight for the fan")
    assert ">In hand<" in made["charts"][0]["svg"]


@pytest.mark.parametrize(
    ("tractor", "verdict", "note"),
    [
        ("34.1 gpm", "Enough", "look-hot"),
        ("33.9 gpm", "Tight", "keep-in-hand"),
        ("30 gpm", "Short", "do-not-run-short"),
    ],
)
def test_verdicts_and_what_to_do(tractor: str, verdict: str, note: str) -> None:
    # 24.607 and 6 gpm are taken: 10 % in hand from 34.008 gpm on.
    made = example(tractor_flow=tractor)
    assert made["results"]["verdict"].startswith(verdict)
    assert codes(made)[0] == note
    assert made["notes"][0]["level"] == {"Enough": "info", "Tight": "check", "Short": "stop"}[verdict]


# The lesson


# The cases to try in docs/lessons/oil.md, and the results that it states.
@pytest.mark.parametrize(
    ("changed", "stated"),
    [
        ({}, ("flow", "power", "spare", "hose_speed", "heat")),
        ({"volumetric_efficiency": "80 %", "tractor_flow": "36 gpm"}, ("flow", "spare")),
        (
            {
                "shaft_speed": "3960 rpm",
                "pressure": "2662 psi",
                "tractor_flow": "36 gpm",
                "hose_bore": "0.75 in",
            },
            ("power", "hose_speed"),
        ),
    ],
)
def test_the_lesson_states_what_is_found(
    root: Path, changed: dict[str, str], stated: tuple[str, ...]
) -> None:
    lesson = (root / "docs" / "lessons" / "oil.md").read_text(encoding="utf-8")
    made = example(**changed)
    for name in stated:
        assert f"`{made['results'][name]['shown']}`" in lesson, name
    if "hose_bore" in changed:
        assert f"`{made['tables'][0]['rows'][1][3]['shown']}`" in lesson
    if not changed:
        assert "23.48 %" in lesson and "23.48 %" in made["results"]["verdict"]
        assert f"`{1.5 * 3600 / 231:.2f} gpm`" in lesson


# Mistakes


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"displacement": "0 in3/rev"}, [("displacement", "too-low")]),
        ({"displacement": "1.5 L"}, [("displacement", "wrong-kind")]),
        ({"displacement": "201 cm3/rev"}, [("displacement", "too-high")]),
        ({"shaft_speed": "99 rpm"}, [("shaft_speed", "too-low")]),
        ({"shaft_speed": "3600"}, [("shaft_speed", "missing-unit")]),
        ({"volumetric_efficiency": "0.95"}, [("volumetric_efficiency", "missing-unit")]),
        ({"volumetric_efficiency": "101 %"}, [("volumetric_efficiency", "too-high")]),
        ({"volumetric_efficiency": "49 %"}, [("volumetric_efficiency", "too-low")]),
        (
            {"pressure": "22000 psi", "meters_flow": "-1 gpm"},
            [("pressure", "too-high"), ("meters_flow", "too-low")],
        ),
        ({"tractor_flow": "400 cfm"}, [("tractor_flow", "too-high")]),
        ({"hose_bore": "1 ft"}, [("hose_bore", "too-high")]),
        ({"heat_share": "120 %"}, [("heat_share", "too-high")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert wrong(reply(**{**GOOD, **changed})) == fields


def test_everything_missing_is_named() -> None:
    assert wrong(reply()) == [(name, "required") for name in MUST]


@pytest.mark.parametrize(
    "edge",
    [
        {
            "displacement": "1 cm3/rev",
            "shaft_speed": "100 rpm",
            "meters_flow": "0 gpm",
            "tractor_flow": "0.5 gpm",
        },
        {"displacement": "200 cm3/rev", "shaft_speed": "10000 rpm", "volumetric_efficiency": "50 %"},
        {"hose_bore": "3 mm"},
        {"hose_bore": "150 mm", "heat_share": "0 %"},
        {"pressure": "6500 psi", "heat_share": "100 %"},
        {"pressure": "1 psi"},
    ],
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert example(**edge)["results"]["flow"]["si"] > 0


# The picture


@settings(max_examples=examples(120))
@given(
    st.floats(1, 200),
    st.floats(100, 10000),
    st.floats(50, 100),
    st.none() | st.floats(0, 200),
    st.none() | st.floats(0.5, 300),
    st.sampled_from(["metric", "us"]),
)
def test_picture_keeps_its_words_apart_and_in_the_box(
    size: float, turning: float, efficiency: float, meters: float | None, tractor: float | None, units: str
) -> None:
    given_ = {
        "displacement": f"{size:.4f} cm3/rev",
        "shaft_speed": f"{turning:.3f} rpm",
        "volumetric_efficiency": f"{efficiency:.3f} %",
        "pressure": "150 bar",
    }
    if meters is not None:
        given_["meters_flow"] = f"{meters:.4f} gpm"
    if tractor is not None:
        given_["tractor_flow"] = f"{tractor:.4f} gpm"
    made = reply(units, **given_)
    assert made["ok"], made
    [chart] = made["charts"]
    seen = looked_at(chart["svg"])
    assert seen.points
    root = seen.root
    names = {text.text for text in root.iter(f"{SVG}text")}
    assert ("Meters" in names) == (meters is not None)
    assert ("Tractor gives" in names) == (tractor is not None) == bool(names & {"In hand", "Short"})


@pytest.mark.parametrize(
    ("tractor", "name", "figure"), [("40 gpm", "In hand", "9.39 gpm"), ("25 gpm", "Short", "5.61 gpm")]
)
def test_picture_shows_what_is_in_hand_or_short(tractor: str, name: str, figure: str) -> None:
    [chart] = example(tractor_flow=tractor)["charts"]
    assert f">{name}<" in chart["svg"] and f">{figure}<" in chart["svg"]
    assert "30.61 gpm" in chart["description"]
