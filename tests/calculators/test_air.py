"""`air` against `fluids`, the standard atmosphere and Rhodes, by properties, and with what is wrong in it."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from fluids import ATMOSPHERE_1976, v_terminal
from fluids import saltation as published
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.air.air import air
from calc.air.air_cases import EXAMPLE
from calc.air.atmosphere import density_of_air, pressure_at, viscosity_of_air
from calc.air.falling import fall_speed_of_ball
from calc.air.saltation import MODELS, Model, Stream, rizk
from calc.declare import Say
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

MANY = settings(max_examples=examples(200))

# Everything in SI, over more than a machine can have.
STREAMS = st.builds(
    Stream,
    solids=st.floats(1e-5, 20),
    bore=st.floats(0.02, 0.5),
    particle=st.floats(0.00005, 0.019),
    air_density=st.floats(0.5, 1.7),
    particle_density=st.floats(200, 5000),
    lift_speed=st.floats(0.1, 40),
)


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "air", "given": given_, "units": units}))


def example(units: str = "metric", **changed: str) -> dict[str, Any]:
    made = reply(units, **{**EXAMPLE, **changed})
    assert made["ok"], made
    return made


def without(*names: str, **changed: str) -> dict[str, Any]:
    return reply(**{name: text for name, text in {**EXAMPLE, **changed}.items() if name not in names})


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


def by_fluids(
    solids: float, bore: float, size: float, air_density: float, density: float, lift: float
) -> dict[str, float]:
    """The six speeds by the library `fluids`, which names the same papers."""
    of_density = (solids, density, size, air_density, bore)
    return {
        "Rizk 1973": published.Rizk(solids, size, air_density, bore),
        "Schade 1987": published.Schade(*of_density),
        "Weber 1981": published.Weber_saltation(*of_density, lift),
        "Matsumoto 1974": published.Matsumoto_1974(*of_density, lift),
        "Matsumoto 1975": published.Matsumoto_1975(*of_density, lift),
        "Matsumoto 1977": published.Matsumoto_1977(*of_density, lift),
    }


# Against an independent library


@pytest.mark.parametrize("model", MODELS, ids=lambda one: one.name)
def test_a_model_needs_what_it_says_it_needs(model: Model) -> None:
    """What it needs changes its answer; without what it does not need it answers all the same."""
    whole = Stream(0.05, 0.0635, 0.0039, 1.2, 1250.0, 2.0)  # Weber: of slow fall only
    for name, needed in (("particle_density", model.needs_density), ("lift_speed", model.needs_lift)):
        more = whole._replace(**{name: 1.5 * getattr(whole, name)})
        assert (model.speed(more) != model.speed(whole)) == needed, name
        if not needed:
            assert model.speed(whole._replace(**{name: None})) == model.speed(whole), name


@MANY
@given(STREAMS)
def test_each_model_agrees_with_fluids(stream: Stream) -> None:
    ours = {model.name: model.speed(stream) for model in MODELS}
    density, lift = stream.particle_density, stream.lift_speed
    assert density is not None and lift is not None
    theirs = by_fluids(stream.solids, stream.bore, stream.particle, stream.air_density, density, lift)
    assert ours == pytest.approx(theirs, rel=1e-12)


@MANY
@given(
    st.floats(0.02, 0.5),
    st.integers(1, 100),
    st.floats(1, 60),
    st.floats(1e-4, 50),
    st.floats(0.00005, 0.019),
    st.floats(200, 5000),
    st.floats(-450, 6000),
    st.floats(230, 350),
)
def test_the_whole_answer_agrees_with_fluids(
    bore: float, hoses: int, speed: float, solids: float, size: float, density: float, high: float, hot: float
) -> None:
    # From altitude and temperature on, with the lift speed that `fluids` finds for a ball by the same drag.
    made: dict[str, Any] = dict(air(bore, hoses, speed, solids, size, density, None, high, hot).values)
    outside = ATMOSPHERE_1976.density(hot, ATMOSPHERE_1976(high).P)
    viscosity = ATMOSPHERE_1976.viscosity(hot)
    falls = v_terminal(D=size, rhop=density, rho=outside, mu=viscosity, Method="Haider_Levenspiel")
    speeds = by_fluids(solids / hoses, bore, size, outside, density, falls).values()
    assert made["air_density"] == pytest.approx(outside, rel=1e-9)
    assert made["saltation_low"] == pytest.approx(min(speeds), rel=1e-9)
    assert made["saltation_high"] == pytest.approx(max(speeds), rel=1e-9)
    assert made["air_flow"] == pytest.approx(hoses * speed * math.pi * bore**2 / 4, rel=1e-12)
    assert made["loading"] == pytest.approx(solids / (outside * made["air_flow"]), rel=1e-9)


@MANY
@given(st.floats(-450, 6000), st.floats(220, 360))
def test_the_air_agrees_with_fluids(altitude: float, temperature: float) -> None:
    pressure = ATMOSPHERE_1976(altitude).P
    assert pressure_at(altitude) == pytest.approx(pressure, rel=1e-12)
    assert density_of_air(altitude, temperature) == pytest.approx(
        ATMOSPHERE_1976.density(temperature, pressure), rel=1e-12
    )
    assert viscosity_of_air(temperature) == pytest.approx(ATMOSPHERE_1976.viscosity(temperature), rel=1e-12)


@MANY
@given(st.floats(0.00005, 0.025), st.floats(200, 5000), st.floats(0.5, 1.7), st.floats(1.4e-5, 2.2e-5))
def test_a_balls_fall_agrees_with_fluids(
    size: float, density: float, around: float, viscosity: float
) -> None:
    ours = fall_speed_of_ball(size, density, around, viscosity)
    by = {"D": size, "rhop": density, "rho": around, "mu": viscosity}
    assert ours == pytest.approx(v_terminal(**by, Method="Haider_Levenspiel"), rel=1e-9)
    # By the other drag law that `fluids` would choose itself: two laws fitted to the same balls.
    assert ours == pytest.approx(v_terminal(**by), rel=0.07)


# Against the sources


# US Standard Atmosphere 1976, density in kg/m³ at its own temperature there.
@pytest.mark.parametrize(
    ("altitude", "kelvin", "printed"),
    [(0, 288.15, "1.2250"), (1000, 281.651, "1.1117"), (2000, 275.154, "1.0066"), (3000, 268.659, "0.9093")],
)
def test_printed_densities_of_the_standard_atmosphere(altitude: float, kelvin: float, printed: str) -> None:
    assert f"{density_of_air(altitude, kelvin):.4f}" == printed
    assert f"{ATMOSPHERE_1976(altitude).rho:.4f}" == printed


def test_rhodes_example() -> None:
    # Rhodes, Introduction to Particle Technology, example 8.1: 0.25 kg/s of 100 µm in 78 mm at 1.2 kg/m³.
    assert f"{rizk(Stream(0.25, 0.078, 100e-6, 1.2)):.2f}" == "9.88"


def test_lift_speeds_of_balls_are_of_the_size_of_those_of_seeds() -> None:
    # Research in Agricultural Engineering 62, 2016: cereals 8.0 to 10.5 m/s, pea 14.9 m/s. A smooth ball is
    # sleeker than a seed, so it falls faster than cereals, and as peas are round, about as they do.
    here = (1.2, 1.81e-5)
    wheat, pea = fall_speed_of_ball(0.0039, 1300, *here), fall_speed_of_ball(0.007, 1350, *here)
    assert 10.5 < wheat < 1.25 * 10.5
    assert pea == pytest.approx(14.9, rel=0.1)


# Properties


@MANY
@given(STREAMS, st.floats(1.01, 10))
def test_more_product_needs_more_air_by_every_model(stream: Stream, by: float) -> None:
    for model in MODELS:
        assert model.speed(stream._replace(solids=by * stream.solids)) > model.speed(stream)


@MANY
@given(STREAMS)
def test_rizks_speed_fulfils_rizks_equation(stream: Stream) -> None:
    speed = rizk(stream)
    size = 1000 * stream.particle
    froude = speed / math.sqrt(9.80665 * stream.bore)
    loading = stream.solids / (stream.air_density * speed * math.pi / 4 * stream.bore**2)
    assert math.log10(loading) == pytest.approx(
        -(1.44 * size + 1.96) + (1.1 * size + 2.5) * math.log10(froude), abs=1e-9
    )


@MANY
@given(st.integers(1, 40), st.floats(0.01, 5), st.floats(2, 50))
def test_as_many_times_the_hoses_carry_as_many_times_the_product(
    times: int, solids: float, speed: float
) -> None:
    one = air(0.0635, 1, speed, solids, 0.004, 1300.0, 9.0).values
    all_of_them = air(0.0635, times, speed, times * solids, 0.004, 1300.0, 9.0).values
    for name in ("loading", "saltation_low", "saltation_high"):
        assert all_of_them[name] == pytest.approx(one[name])
    assert all_of_them["air_flow"] == pytest.approx(times * one["air_flow"])  # type: ignore[operator]


@MANY
@given(st.floats(1, 40), st.none() | st.floats(0.5, 30), st.none() | st.floats(300, 3000))
def test_the_verdict_says_where_the_air_speed_lies(
    speed: float, lift: float | None, density: float | None
) -> None:
    found = air(0.0635, 8, speed, 0.9, 0.0039, density, lift)
    low, high = found.values["saltation_low"], found.values["saltation_high"]
    assert isinstance(low, float) and isinstance(high, float)
    place = "below" if speed < low else "above" if speed > high else "within"
    verdict = found.values["verdict"]
    assert isinstance(verdict, Say)
    assert verdict.code == place + ("-no-lift" if lift is not None and lift >= speed else "")
    said = [note.code for note in found.notes]
    assert said[0] == ("prove-it" if verdict.code == "above" else "more-air")
    assert ("lift-in-hand" in said) == (lift is not None and lift < speed)
    rows = found.tables["models"]
    assert not callable(rows)
    speeds = [row[1] for row in rows if row[1] is not None]
    assert (min(speeds), max(speeds)) == (low, high)  # type: ignore[type-var]
    # Rizk needs neither, Weber the lift speed, which is worked out from the density, the others the density.
    assert len(speeds) == (6 if density is not None else 2 if lift is not None else 1)


# What is missing, and what goes beyond tests


def test_without_the_particle_density_four_models_are_left_out() -> None:
    made = without("particle_density")
    table = made["tables"][0]["rows"]
    assert [row[0] for row in table if row[1] is None] == [
        "Schade 1987",
        "Matsumoto 1974",
        "Matsumoto 1975",
        "Matsumoto 1977",
    ]
    assert {row[3] for row in table if row[1] is None} == {"left out: needs the particle density"}
    assert "give-density" in codes(made) and "give-lift" not in codes(made)
    alone = without("particle_density", "lift_speed")
    assert [row[0] for row in alone["tables"][0]["rows"] if row[1]] == ["Rizk 1973"]
    assert {"give-density", "give-lift"} <= set(codes(alone)) and "spread" not in codes(alone)
    assert alone["results"]["saltation_low"] == alone["results"]["saltation_high"]


def test_a_ball_stands_in_for_a_lift_speed_and_says_so() -> None:
    made = without("lift_speed")
    [note] = [note for note in made["notes"] if note["code"] == "ball"]
    around = ATMOSPHERE_1976.density(288.7055556, ATMOSPHERE_1976(609.6).P)  # at 60 °F and 2000 ft
    viscosity = ATMOSPHERE_1976.viscosity(288.7055556)
    falls = v_terminal(D=0.0039, rhop=1300, rho=around, mu=viscosity, Method="Haider_Levenspiel")
    assert f"{falls:.2f} m/s" in note["text"]
    slow = without("lift_speed", air_speed="12 m/s")
    assert "ball-falls-back" in codes(slow) and "ball" not in codes(slow)
    assert next(note["level"] for note in slow["notes"] if note["code"] == "ball-falls-back") == "stop"


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ("3 mm", set()),
        ("3.01 mm", {"too-large-for-rizk"}),
        ("0.3 mm", set()),
        ("0.29 mm", {"too-small-for-matsumoto"}),
    ],
)
def test_a_model_beyond_its_particle_size_is_named(size: str, told: set[str]) -> None:
    made = example(particle_diameter=size)
    assert {code for code in codes(made) if code.startswith("too-")} == told
    beyond = [row[0] for row in made["tables"][0]["rows"] if row[3] == "beyond its tests"]
    assert len(beyond) == {"3.01 mm": 1, "0.29 mm": 2}.get(size, 0)


@pytest.mark.parametrize(
    ("flow", "told"),
    [("8 lb/min", {"light"}), ("80 lb/min", set()), ("1100 lb/min", set()), ("1200 lb/min", {"heavy"})],
)
def test_a_load_beyond_the_tests_is_told(flow: str, told: set[str]) -> None:
    made = example(solids_flow=flow)
    loading = made["results"]["loading"]["si"]
    assert {code for code in codes(made) if code in ("light", "heavy")} == told
    assert told == ({"light"} if loading < 1 else {"heavy"} if loading > 15 else set())


def test_little_above_the_range_is_told() -> None:
    # Common practice adds 5 to 10 % to the fan speed that carries, and air speed goes with fan speed.
    high = example()["results"]["saltation_high"]["si"]
    for times, told in ((0.99, False), (1.01, True), (1.09, True), (1.11, False)):
        made = example(air_speed=f"{times * high:.6f} m/s")
        assert ("close" in codes(made)) == told


def test_settings_stand_for_sea_level_and_20_degrees() -> None:
    made = without("altitude", "air_temperature")
    assert made["used"]["altitude"]["shown"] == "0 m"
    assert made["used"]["air_temperature"]["shown"] == "20.00 °C"
    # Dry air at 101.325 kPa and 20 °C: 1.2041 kg/m³ by the law of ideal gases, as `fluids` has it.
    assert f"{ATMOSPHERE_1976.density(293.15, 101325):.4f}" == "1.2041"
    assert f"{made['results']['air_density']['si']:.4f}" == "1.2041"


def test_no_verdict_promises_that_product_is_carried() -> None:
    for speed in ("2 m/s", "8 m/s", "10 m/s", "12 m/s", "30 m/s", "90 m/s"):
        for lift in ("4 m/s", "14.9 m/s"):
            verdict = example(air_speed=speed, lift_speed=lift)["results"]["verdict"]
            assert not re.search(r"\b(carries|safe|will carry|enough)\b", verdict)
            assert ("plug" in verdict) != ("proves nothing" in verdict)


# The lesson


# The invented figures of docs/lessons/air.md: its sum and the cases to try, and the results it states.
LESSON = {**EXAMPLE, "air_speed": "4000 ft/min", "solids_flow": "212.7 lb/min"}
PEAS = {
    "air_speed": "2800 ft/min",
    "solids_flow": "120 lb/min",
    "particle_diameter": "7 mm",
    "particle_density": "1350 kg/m3",
    "lift_speed": "14.9 m/s",
}


@pytest.mark.parametrize(
    ("changed", "stated", "verdict"),
    [
        (
            {},
            ("loading", "air_density", "air_flow", "saltation_low", "saltation_high"),
            "Above the range: 4000 ft/min is 1.574 times",
        ),
        ({"air_speed": "2400 ft/min"}, ("saltation_low", "saltation_high"), "Too slow to trust"),
        (PEAS, ("saltation_low", "saltation_high"), "Too slow to lift"),
    ],
)
def test_the_lesson_states_what_is_found(
    root: Path, changed: dict[str, str], stated: tuple[str, ...], verdict: str
) -> None:
    lesson = (root / "docs" / "lessons" / "air.md").read_text(encoding="utf-8")
    results = reply("us", **{**LESSON, **changed})["results"]
    for name in stated:
        assert results[name]["shown"].replace("³", "3") in lesson, name
    assert results["verdict"].startswith(verdict)
    if not changed:
        assert "1.574 times the highest model" in lesson
        spread = results["saltation_high"]["si"] / results["saltation_low"]["si"] - 1
        assert f"{spread:.2%}".replace("%", " %") in lesson


# Mistakes


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"hose_bore": "9 mm"}, [("hose_bore", "too-low")]),
        ({"hose_bore": "2.5"}, [("hose_bore", "missing-unit")]),
        ({"hoses": "0"}, [("hoses", "too-low")]),
        ({"hoses": "2.5"}, [("hoses", "whole")]),
        ({"air_speed": "4000 cfm"}, [("air_speed", "wrong-kind")]),
        ({"solids_flow": "0 lb/min"}, [("solids_flow", "too-low")]),
        ({"solids_flow": "100 lb/ac"}, [("solids_flow", "wrong-kind")]),
        ({"particle_diameter": "26 mm"}, [("particle_diameter", "too-high")]),
        ({"particle_density": "48 lb/bu", "lift_speed": "50 m/s"}, [("lift_speed", "too-high")]),
        ({"particle_density": "100 kg/m³"}, [("particle_density", "too-low")]),
        ({"altitude": "30000 ft"}, [("altitude", "too-high")]),
        ({"air_temperature": "20"}, [("air_temperature", "missing-unit")]),
        ({"hose_bore": "12 mm", "particle_diameter": "12 mm"}, [("particle_diameter", "no-room")]),
        ({"hose_bore": "12 mm", "particle_diameter": "0.5 in"}, [("particle_diameter", "no-room")]),
        (
            {"hose_bore": "12", "particle_diameter": "13 mm", "hoses": "x"},
            [("hose_bore", "missing-unit"), ("hoses", "not-a-number")],
        ),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert wrong(reply(**{**EXAMPLE, **changed})) == fields


@pytest.mark.parametrize(
    "edge",
    [
        {"hose_bore": "10 mm"},
        {"hose_bore": "500 mm", "hoses": "500"},
        {"air_speed": "1 m/s"},
        {"air_speed": "100 m/s"},
        {"solids_flow": "0.001 kg/min"},
        {"solids_flow": "5000 kg/min", "hoses": "1", "hose_bore": "10 mm"},
        {"particle_diameter": "25 mm"},
        {"particle_diameter": "0.05 mm"},
        {"particle_density": "200 kg/m³", "altitude": "-450 m", "air_temperature": "-50 °C"},
        {"altitude": "6000 m", "air_temperature": "90 °C"},
    ],
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert example(**edge)["results"]["saltation_high"]["si"] > 0
    assert without("lift_speed", **edge)["ok"]


def test_everything_missing_is_named() -> None:
    assert wrong(reply()) == [
        (name, "required") for name in ("hose_bore", "hoses", "air_speed", "solids_flow", "particle_diameter")
    ]


# The picture


def check_picture(made: dict[str, Any]) -> ElementTree.Element:
    """At 0.6 of its size for a letter, no text overlaps another or leaves the box, and no line does."""
    seen = looked_at(made["charts"][0]["svg"])
    assert seen.points
    return seen.root


@settings(max_examples=examples(120))
@given(
    st.floats(1, 100),
    st.floats(0.001, 5000),
    st.floats(0.05, 9.9),
    st.floats(10, 500),
    st.booleans(),
    st.booleans(),
)
def test_picture_keeps_its_words_apart_and_in_the_box(
    speed: float, flow: float, size: float, bore: float, dense: bool, lifted: bool
) -> None:
    left_out = [] if dense else ["particle_density"]
    made = without(
        *left_out,
        *([] if lifted else ["lift_speed"]),
        air_speed=f"{speed:.4f} m/s",
        solids_flow=f"{flow:.4f} kg/min",
        particle_diameter=f"{size:.4f} mm",
        hose_bore=f"{bore:.4f} mm",
    )
    assert made["ok"], made
    root = check_picture(made)
    models = 6 if dense else 2 if lifted else 1
    assert len(list(root.iter(f"{SVG}circle"))) == models


def test_picture_says_the_range_and_the_air_speed() -> None:
    made = example("us")
    [chart] = made["charts"]
    for name in ("saltation_low", "saltation_high"):
        assert made["results"][name]["shown"] in chart["description"]
    assert made["used"]["air_speed"]["shown"] in chart["description"]
