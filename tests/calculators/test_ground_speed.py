"""`ground-speed` against `pint`, the mile itself and what the meters then do, and with what is wrong."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.field.error_scale import FAR, HABIT, judge
from calc.field.ground_speed import FASTEST, SLOWEST, ground_speed
from calc.metering.rate import meter_speed_for, rate
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
GOOD = {"course": "400 ft", "time": "56.3 s", "shown_speed": "5 mph"}
SPELT = {
    "course": [("m", "m"), ("ft", "foot"), ("km", "km"), ("mile", "mile")],
    "time": [("s", "second"), ("min", "minute"), ("h", "hour")],
    "shown_speed": [("km/h", "km/hour"), ("mph", "mile/hour"), ("m/s", "m/s")],
}
SI = {"course": "m", "time": "s", "shown_speed": "m/s"}
SPEEDS = st.floats(0.5, 8)


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "ground-speed", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def notes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


def parts(found: Any, code: str) -> dict[str, Any]:
    return next(dict(note.parts) for note in found.notes if note.code == code)


@settings(max_examples=examples(150))
@given(st.floats(20, 1700), SPEEDS, SPEEDS, st.data())
def test_agrees_with_pint(course: float, speed: float, shown: float, data: st.DataObject) -> None:
    """Distance over time, and the shown speed over that, less one: `pint` carries the units."""
    texts, quantities = {}, {}
    for name, size in (("course", course), ("time", course / speed), ("shown_speed", shown)):
        unit, in_pint = data.draw(st.sampled_from(SPELT[name]))
        figure = f"{size / UNITS.Quantity(1.0, in_pint).to(SI[name]).magnitude:.7g}"
        texts[name], quantities[name] = f"{figure} {unit}", UNITS.Quantity(float(figure), in_pint)
    made = reply(**texts)
    assert made["ok"], made
    true = (quantities["course"] / quantities["time"]).to("m/s")
    assert math.isclose(made["results"]["speed"]["si"], true.magnitude, rel_tol=1e-9)
    error = (quantities["shown_speed"] / true).to("").magnitude - 1
    assert math.isclose(made["results"]["error"]["si"], error, rel_tol=1e-8, abs_tol=2e-9)


@pytest.mark.parametrize(("feet", "mph"), [(88, 1), (440, 5), (528, 6)])
def test_a_mile_an_hour_is_eighty_eight_feet_a_minute(feet: int, mph: int) -> None:
    # NIST SP 811 (from memory): a mile is 5280 ft, so 88 ft a minute is 1 mph exactly.
    made = reply("us", course=f"{feet} ft", time="60 s", shown_speed=f"{mph} mph")["results"]
    assert made["speed"]["shown"] == f"{mph}.000 mph"
    assert made["error"]["si"] == 0


@given(st.floats(20, 2000), SPEEDS, st.floats(0.85, 1.15), st.floats(0.002, 0.05), st.floats(5, 20))
def test_the_field_gets_the_error_of_the_shown_speed(
    course: float, true: float, share: float, set_rate: float, width: float
) -> None:
    """The meter turns for the shown speed; `rate` says what goes out at the true one: the same share more."""
    found = ground_speed(course, course / true, share * true)
    turning = meter_speed_for(set_rate, width, share * true, 0.5)
    out = rate(width=width, speed=found.values["speed"], meter_speed=turning, mass_per_turn=0.5)  # type: ignore[arg-type]
    assert math.isclose(out.values["rate"] / set_rate - 1, found.values["error"], rel_tol=1e-8, abs_tol=1e-9)  # type: ignore[operator, arg-type]


@given(st.floats(20, 2000), SPEEDS, st.floats(0.9001, 1.0999))
def test_the_factor_puts_the_shown_speed_right(course: float, true: float, share: float) -> None:
    assume(settle(abs(share - 1)) > HABIT + 1e-6)
    found = ground_speed(course, course / true, share * true)
    factor = parts(found, "set")["factor"]
    again = ground_speed(course, course / true, share * true * factor)
    assert again.values["error"] == 0  # alike to nine digits
    assert next(note.code for note in again.notes) == "within"


@given(st.floats(20, 2000), SPEEDS, SPEEDS, st.floats(0.1, 10))
def test_speed_and_error_go_with_their_figures(course: float, time: float, shown: float, by: float) -> None:
    time = course / time
    before, longer = ground_speed(course, time, shown).values, ground_speed(by * course, time, shown).values
    slower = ground_speed(course, by * time, shown).values
    assert math.isclose(longer["speed"], by * before["speed"], rel_tol=1e-12)  # type: ignore[operator, arg-type]
    assert math.isclose(by * slower["speed"], before["speed"], rel_tol=1e-12)  # type: ignore[operator, arg-type]
    more = ground_speed(course, time, by * shown).values
    assert math.isclose(1 + more["error"], by * (1 + before["error"]), rel_tol=1e-8)  # type: ignore[operator]
    assert more["speed"] == before["speed"]


# Common practice: 2 % is left alone, 10 % is something else. Each bound belongs to the milder side.
@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        ("10.2 km/h", ["within"]),
        ("10.2001 km/h", ["shows-too-much", "set", "satellite"]),
        ("9.8 km/h", ["within"]),
        ("9.7999 km/h", ["shows-too-little", "set", "satellite"]),
        ("11 km/h", ["shows-too-much", "set", "satellite"]),
        ("11.001 km/h", ["shows-too-much", "look-first"]),
        ("9 km/h", ["shows-too-little", "set", "satellite"]),
        ("8.999 km/h", ["shows-too-little", "look-first"]),
    ],
)
def test_what_is_said_of_an_error(shown: str, expected: list[str]) -> None:
    made = reply(course="100 m", time="36 s", shown_speed=shown)  # 10 km/h by hand
    assert notes(made) == [*expected, "three-times"]


@given(st.floats(-0.99, 3))
def test_an_error_is_judged_by_its_size_alone(error: float) -> None:
    size = settle(abs(error))
    assert judge(error) == ("within" if size <= HABIT else "off" if size <= FAR else "far")


@given(st.floats(10, 300), st.floats(0.5, 8))
def test_a_longer_course_makes_the_watch_good_enough(course: float, speed: float) -> None:
    """The course that is asked for takes 30 s, in which 0.3 s is 1 %: then nothing more is asked for."""
    found = ground_speed(course, course / speed, speed)
    asked = [note for note in found.notes if note.code == "short-course"]
    assert bool(asked) == (settle(course / speed) < 30)
    for note in asked:
        longer = float(note.parts["course"])
        assert math.isclose(0.3 / (longer / speed), 0.01, rel_tol=1e-9)
        assert "short-course" not in [n.code for n in ground_speed(longer, longer / speed, speed).notes]
        assert math.isclose(float(note.parts["share"]), 0.3 * speed / course, rel_tol=1e-9)


@pytest.mark.parametrize(("units", "unit"), [("us", "mph"), ("metric", "km/h")])
def test_the_table_goes_through_round_shown_speeds(units: str, unit: str) -> None:
    made = reply(units, **GOOD)
    [table] = made["tables"]
    rows = table["rows"]
    shown = [row[0]["shown"] for row in rows]
    assert shown == [f"{speed:#.4g} {unit}" for speed in (range(1, 8) if units == "us" else range(2, 13, 2))]
    course, error = made["used"]["course"]["si"], made["results"]["error"]["si"]
    for row in rows:
        assert math.isclose(row[1]["si"] * (1 + error), row[0]["si"], rel_tol=1e-8)
        assert math.isclose(row[2]["si"] * row[1]["si"], course, rel_tol=1e-8)
        assert math.isclose(row[3]["si"] * row[0]["si"], course, rel_tol=1e-8)


def test_give_or_take_of_course_and_watch_is_carried() -> None:
    """JCGM 100, 5.1.2: parts that are independent are added as squares; both are first order here."""
    made = reply("us", course="400 ft ± 1 ft", time="56.3 s ± 0.3 s", shown_speed="5 mph")
    relative = math.hypot(1 / 400, 0.3 / 56.3)
    speed = made["results"]["speed"]
    assert math.isclose(speed["give_or_take"]["si"], relative * speed["si"], rel_tol=1e-3)
    error = made["results"]["error"]
    assert math.isclose(error["give_or_take"]["si"], relative * (1 + error["si"]), rel_tol=1e-3)


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"course": "4.9 m"}, [("course", "too-low")]),
        ({"course": "5.1 km"}, [("course", "too-high")]),
        ({"time": "0.9 s"}, [("time", "too-low")]),
        ({"time": "1.1 h"}, [("time", "too-high")]),
        ({"time": "56.3"}, [("time", "missing-unit")]),
        ({"shown_speed": "5 rpm"}, [("shown_speed", "wrong-kind")]),
        ({"shown_speed": "41 km/h"}, [("shown_speed", "too-high")]),
        ({"time": "5.63 s"}, [("time", "not-a-field-speed")]),  # a slipped point: 77 km/h
        ({"course": "5 m", "time": "1 h"}, [("time", "not-a-field-speed")]),
        ({"course": "400", "time": "1 s"}, [("course", "missing-unit")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


def test_a_speed_that_no_machine_goes_at_is_said_in_the_readers_units() -> None:
    made = reply("us", **{**GOOD, "time": "5.63 s"})
    assert made["errors"][0]["problem"] == (
        "400.0 ft in 5.630 s is 48.44 mph; a machine goes from 0.06214 mph to 37.28 mph: check both"
    )
    assert reply(course="60 m", time="3.6 s", shown_speed="40 km/h")["ok"]  # 60 km/h itself
    assert settle(FASTEST) == settle(60 / 3.6) and settle(SLOWEST) == settle(0.1 / 3.6)


@pytest.mark.parametrize("edge", [{"course": "5 km", "time": "1 h"}, {"shown_speed": "40 km/h"}])
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert reply(**{**GOOD, **edge})["ok"]


def test_the_picture_says_what_it_shows() -> None:
    made = reply("us", **GOOD)
    [chart] = made["charts"]
    for shown in ("5.000 mph", made["results"]["speed"]["shown"], made["results"]["error"]["shown"]):
        assert shown in chart["description"]
    assert ">3.22 %<" in chart["svg"]


@pytest.mark.parametrize(
    ("changed", "results"),
    [
        ({}, ["speed", "error"]),
        ({"course": "300 ft", "time": "34.5 s", "shown_speed": "5.6 mph"}, ["speed", "error"]),
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
