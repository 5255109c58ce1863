"""`delay` against `pint`, `shapely` and a machine driven step by step, and with what is wrong in it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from calc.declare import Found
from calc.field.delay import SPEEDS, delay
from calc.field.delay_sums import CLOSE
from calc.metering.rate import rate as rate_of
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
LEAST = {"on_time": "4 s", "off_time": "3 s", "speed": "9 km/h", "width": "12 m"}  # 9 km/h is 2.5 m/s
WHOLE = {
    **LEAST,
    "rate": "100 kg/ha",
    "on_set": "3 s",
    "off_set": "2 s",
    "near_time": "3.5 s",
    "far_time": "5 s",
    "prime_time": "4 s",
    "meter_speed": "60 rpm",
    "mass_per_turn": "500 g/rev",
}
LESSON = {
    "on_time": "4.5 s",
    "off_time": "3.6 s",
    "speed": "5 mph",
    "width": "60 ft",
    "rate": "120 lb/ac",
    "on_set": "3 s",
    "off_set": "3 s",
}
TIMES, SPEED, WIDTH = st.floats(0, 20), st.floats(0.5, 6), st.floats(1, 30)


def work_out(on: float, off: float, speed: float = 2.5, width: float = 12.0, **more: float | None) -> Found:
    given_: dict[str, float | None] = {
        "rate": None,
        "on_set": 0.0,
        "off_set": 0.0,
        "near_time": None,
        "far_time": None,
        "prime_time": None,
        "meter_speed": None,
        "mass_per_turn": None,
        **more,
    }
    return delay(on_time=on, off_time=off, speed=speed, width=width, **given_)  # type: ignore[arg-type]


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "delay", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


def notes(made: dict[str, Any]) -> list[str]:
    return [note["code"] for note in made["notes"]]


@settings(max_examples=examples(120))
@given(TIMES, TIMES, TIMES, TIMES, st.floats(2, 20), st.floats(3, 60), st.floats(5, 300), st.data())
def test_agrees_with_pint(
    on: float,
    off: float,
    on_set: float,
    off_set: float,
    speed: float,
    width: float,
    rate: float,
    data: st.DataObject,
) -> None:
    def one(value: float, *units: tuple[str, str]) -> tuple[str, Any]:
        unit, in_pint = data.draw(st.sampled_from(units))
        return f"{value:.5f} {unit}", UNITS.Quantity(float(f"{value:.5f}"), in_pint)

    chosen = {
        "on_time": one(on, ("s", "s")),
        "off_time": one(off / 60, ("min", "minute")),
        "on_set": one(on_set, ("s", "s")),
        "off_set": one(off_set, ("s", "s")),
        "speed": one(speed, ("mph", "mile/hour"), ("km/h", "km/hour")),
        "width": one(width, ("ft", "foot"), ("m", "m")),
        "rate": one(rate, ("lb/ac", "pound/field_acre"), ("kg/ha", "kg/hectare")),
        "prime_time": one(on + 1, ("s", "s")),
        "meter_speed": one(rate / 3, ("rpm", "1/minute")),
        "mass_per_turn": one(width / 40, ("lb/rev", "pound"), ("kg/rev", "kg")),
    }
    made = reply(**{name: text for name, (text, _) in chosen.items()})
    assert made["ok"], made
    q = {name: quantity for name, (_, quantity) in chosen.items()}
    start = ((q["on_time"] - q["on_set"]) * q["speed"]).to("m")
    stop = ((q["off_time"] - q["off_set"]) * q["speed"]).to("m")
    expected = {
        "on_distance": start.magnitude,
        "off_distance": stop.magnitude,
        "gap_area": (start * q["width"]).to("m**2").magnitude,
        "product": (stop * q["width"] * q["rate"]).to("kg").magnitude,
        "prime_mass": (q["prime_time"] * q["meter_speed"] * q["mass_per_turn"]).to("kg").magnitude,
    }
    assert list(made["results"]) == list(expected)
    for name, value in expected.items():
        # A difference of times of up to 20 s, each good to the last bit, leaves the small ones less.
        assert math.isclose(made["results"][name]["si"], value, rel_tol=1e-8, abs_tol=1e-10), name


@settings(max_examples=examples(60))
@given(TIMES, TIMES, TIMES, TIMES, SPEED)
def test_a_machine_driven_step_by_step_starts_and_stops_there(
    on: float, off: float, on_set: float, off_set: float, speed: float
) -> None:
    """Commanded so long before the line, product comes and goes so long after: where are the openers then?"""
    step = 0.005
    found = work_out(on, off, speed, on_set=on_set, off_set=off_set).values
    for takes, early, result in ((on, on_set, "on_distance"), (off, off_set, "off_distance")):
        place, clock, commanded = -early * speed - 3 * step * speed, 0.0, None
        while commanded is None or clock - commanded < takes:
            if commanded is None and place >= -early * speed:
                commanded = clock
                if takes == 0:
                    break
            place, clock = place + step * speed, clock + step
        assert place == pytest.approx(found[result], abs=2.5 * step * speed)


@given(TIMES, TIMES, TIMES, TIMES, SPEED, WIDTH, st.floats(0.0005, 0.06))
def test_strips_are_those_that_shapely_measures(
    on: float, off: float, on_set: float, off_set: float, speed: float, width: float, rate: float
) -> None:
    """Headland, field and passes as boxes: what is bare and what is seeded twice."""
    found = work_out(on, off, speed, width, on_set=on_set, off_set=off_set, rate=rate)
    far = 1000.0
    headland, field = box(0, -far, width, 0), box(0, 0, width, far)
    start = box(0, (on - on_set) * speed, width, far)  # from where product starts, into the field
    stop = box(0, -(off - off_set) * speed, width, far)  # up to where product stops, in the headland
    rows = found.tables["strips"]
    for row, one in zip(rows, (start, stop), strict=True):  # type: ignore[arg-type]
        bare, twice = field.difference(one).area, headland.intersection(one).area
        assert row[3] == pytest.approx(bare + twice, rel=1e-7, abs=1e-7)
        assert row[4] == pytest.approx((bare + twice) * rate, rel=1e-7, abs=1e-7)
        if row[2] > 0.006:
            assert row[1].code == ("unseeded" if bare > twice else "twice")
    bare, twice = field.difference(start).area, headland.intersection(start).area
    assert found.values["gap_area"] == pytest.approx(bare - twice, rel=1e-7, abs=1e-7)
    bare, twice = field.difference(stop).area, headland.intersection(stop).area
    assert found.values["product"] == pytest.approx((twice - bare) * rate, rel=1e-7, abs=1e-7)


@given(TIMES, TIMES, TIMES, TIMES, SPEED, WIDTH, st.floats(0.1, 5))
def test_distances_go_with_speed_and_areas_with_width(
    on: float, off: float, on_set: float, off_set: float, speed: float, width: float, by: float
) -> None:
    before = work_out(on, off, speed, width, on_set=on_set, off_set=off_set).values
    faster = work_out(on, off, by * speed, width, on_set=on_set, off_set=off_set).values
    wider = work_out(on, off, speed, by * width, on_set=on_set, off_set=off_set).values
    for name in ("on_distance", "off_distance", "gap_area"):
        assert math.isclose(faster[name], by * before[name], rel_tol=1e-12, abs_tol=1e-300)  # type: ignore[operator, arg-type]
    assert wider["on_distance"] == before["on_distance"]
    assert math.isclose(wider["gap_area"], by * before["gap_area"], rel_tol=1e-12, abs_tol=1e-300)  # type: ignore[operator, arg-type]


@given(TIMES, TIMES, TIMES, TIMES, SPEED)
def test_a_time_that_is_set_puts_product_on_the_line(
    on: float, off: float, on_set: float, off_set: float, speed: float
) -> None:
    """What the notes say to set is set: then start and stop are on the line, and that is all."""
    found = work_out(on, off, speed, on_set=on_set, off_set=off_set)
    settings_ = {"on_set": on_set, "off_set": off_set}
    for note in found.notes:
        if note.code in ("starts-late", "starts-early"):
            settings_["on_set"] = float(note.parts["time"])
        if note.code in ("stops-late", "stops-early"):
            settings_["off_set"] = float(note.parts["time"])
    again = work_out(on, off, speed, **settings_)
    assert codes(again)[:2] == ["starts-close", "stops-close"]
    assert abs(again.values["on_distance"]) <= CLOSE * (1 + 1e-9)  # type: ignore[arg-type]
    # Start and stop are apart: what is set for one does not move the other.
    other = work_out(on, off, speed, on_set=on_set + 1, off_set=off_set).values
    assert other["off_distance"] == found.values["off_distance"]


# Common practice: within 0.5 m of the line at a middle opener. The bound belongs to the milder side.
@pytest.mark.parametrize(
    ("on_set", "off_set", "expected"),
    [
        ("4 s", "3 s", ["starts-close", "stops-close"]),
        ("3.8 s", "3.2 s", ["starts-close", "stops-close"]),  # 0.2 s · 2.5 m/s is 0.5 m
        ("3.79 s", "3.21 s", ["starts-late", "stops-early"]),
        ("4.2 s", "2.8 s", ["starts-close", "stops-close"]),
        ("4.21 s", "2.79 s", ["starts-early", "stops-late"]),
        (None, None, ["starts-late", "stops-late"]),
    ],
)
def test_what_is_said_of_starts_and_stops(on_set: Any, off_set: Any, expected: list[str]) -> None:
    made = reply(**LEAST, on_set=on_set, off_set=off_set)
    assert notes(made) == [*expected, "give-openers", "give-rate", "give-prime"]


def test_the_words_for_a_sign_are_in_the_readers_units() -> None:
    made = reply("us", **{**LEAST, "speed": "5 mph", "on_set": "2.5 s", "off_set": "4.5 s"})
    texts = [note["text"] for note in made["notes"]]
    assert texts[0] == (
        "Each start leaves 11.00 ft unseeded past the line, over the whole width. "
        "Set the start delay to 4.000 s."
    )
    assert texts[1] == (
        "Each stop leaves 11.00 ft unseeded before the line, over the whole width. "
        "Set the stop delay to 3.000 s."
    )
    assert made["results"]["off_distance"]["shown"] == "−11.00 ft"


def test_near_and_far_openers_differ_by_speed_times_their_times() -> None:
    # The handbook's own figure: 2.2 m for each second between them at 8 km/h.
    made = reply(**{**LEAST, "speed": "8 km/h", "near_time": "3.5 s", "far_time": "4.5 s"})
    text = next(note["text"] for note in made["notes"] if note["code"] == "openers-apart")
    assert "2.222 m" in text
    [table] = [table for table in made["tables"] if table["id"] == "openers"]
    assert [row[0] for row in table["rows"]] == ["nearest", "middle", "farthest"]
    near, _, far = (row[2]["si"] for row in table["rows"])
    assert f"{far - near:.1f}" == "2.2"


@given(TIMES, TIMES, TIMES, SPEED, TIMES)
def test_openers_are_judged_by_their_times(
    near: float, on: float, far: float, speed: float, on_set: float
) -> None:
    near, far = min(near, far), max(near, far)
    found = work_out(on, 1.0, speed, near_time=near, far_time=far, on_set=on_set)
    assert ("not-a-middle-opener" in codes(found)) == (not settle(near) <= settle(on) <= settle(far))
    rows = found.tables["openers"]
    for row, time in zip(rows, (near, on, far), strict=True):  # type: ignore[arg-type]
        assert row[2] == pytest.approx((time - on_set) * speed)


@given(st.floats(0.1, 20), TIMES, SPEED, st.floats(0.1, 5), st.floats(0.02, 2))
def test_a_prime_is_what_the_meter_drops_in_its_time(
    prime: float, on: float, speed: float, meter_speed: float, mass: float
) -> None:
    """`rate` gives the flow of the same meter; product that comes before or after moving off is said."""
    found = work_out(on, 1.0, speed, prime_time=prime, meter_speed=meter_speed, mass_per_turn=mass, rate=0.01)
    flow = rate_of(width=12.0, speed=speed, meter_speed=meter_speed, mass_per_turn=mass).values["flow"]
    assert found.values["prime_mass"] == pytest.approx(prime * flow)  # type: ignore[operator]
    note = found.notes[-1]
    if abs(on - prime) * speed <= CLOSE * (1 - 1e-9):
        assert note.code == "prime-fits"
    elif on > prime:
        assert note.code == "prime-too-short"
        assert note.parts["distance"] == pytest.approx((on - prime) * speed)
    else:
        assert note.code == "prime-too-long"
        assert note.parts["mass"] == pytest.approx((prime - on) * flow)  # type: ignore[operator]
    if note.code != "prime-fits":
        again = work_out(
            on,
            1.0,
            speed,
            prime_time=note.parts["prime"],
            meter_speed=meter_speed,
            mass_per_turn=mass,  # type: ignore[arg-type]
        )
        assert codes(again)[-1] == "prime-fits"


@pytest.mark.parametrize(
    ("left_out", "absent", "expected"),
    [
        ((), (), []),
        (("rate",), ("product",), ["give-rate"]),
        (("prime_time",), ("prime_mass",), ["give-prime"]),
        (("meter_speed",), ("prime_mass",), ["give-rest-of-prime"]),
        (("mass_per_turn",), ("prime_mass",), ["give-rest-of-prime"]),
        (("prime_time", "meter_speed", "mass_per_turn"), ("prime_mass",), ["give-prime"]),
        (("near_time",), (), ["give-other-opener"]),
        (("far_time",), (), ["give-other-opener"]),
        (("near_time", "far_time"), (), ["give-openers"]),
    ],
)
def test_what_is_left_out_is_null_and_said(
    left_out: tuple[str, ...], absent: tuple[str, ...], expected: list[str]
) -> None:
    made = reply(**{name: text for name, text in WHOLE.items() if name not in left_out})
    assert {name for name, value in made["results"].items() if value is None} == set(absent)
    told = [code for code in notes(made) if code.startswith("give")]
    assert told == expected
    assert ("openers" in [table["id"] for table in made["tables"]]) == (
        not {"near_time", "far_time"} & set(left_out)
    )


def test_times_that_are_alike_are_doubted() -> None:
    assert "same-times" in notes(reply(**{**LEAST, "off_time": "4.0 s"}))
    assert "same-times" in notes(reply(**{**LEAST, "on_time": "0.05 min"}))
    assert "same-times" not in notes(reply(**{**LEAST, "off_time": "4.01 s"}))


def test_the_table_of_speeds_is_in_proportion() -> None:
    made = reply(**WHOLE)
    [table] = [table for table in made["tables"] if table["id"] == "speeds"]
    for share, row in zip(SPEEDS, table["rows"], strict=True):
        assert row[0]["si"] == pytest.approx(share * 2.5)
        assert row[1]["si"] == pytest.approx(share * 2.5 * (4 - 3))
        assert row[2]["si"] == pytest.approx(share * 2.5 * (3 - 2))


def test_give_or_take_of_a_time_is_carried() -> None:
    """JCGM 100, 5.1.2: 0.2 s · 2.5 m/s of a start, and nothing of it in a stop."""
    made = reply(**{**WHOLE, "on_time": "4 s ± 0.2 s"})
    assert made["results"]["on_distance"]["give_or_take"]["si"] == pytest.approx(0.5, rel=1e-3)
    assert made["results"]["off_distance"].get("give_or_take", {"si": 0})["si"] == 0


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"on_time": "-1 s"}, [("on_time", "too-low")]),
        ({"on_time": "121 s"}, [("on_time", "too-high")]),
        ({"off_time": "3"}, [("off_time", "missing-unit")]),
        ({"on_set": "-0.5 s"}, [("on_set", "too-low")]),
        ({"off_set": "3 m"}, [("off_set", "wrong-kind")]),
        ({"on_set": "3 s ± 0.1 s"}, [("on_set", "give-not-here")]),
        ({"prime_time": "0 s"}, [("prime_time", "too-low")]),
        ({"near_time": "5.1 s"}, [("near_time", "low-above-high")]),
        ({"near_time": "5.1"}, [("near_time", "missing-unit")]),
        ({"width": "0 m", "speed": "0 mph"}, [("speed", "too-low"), ("width", "too-low")]),
        ({"meter_speed": "60"}, [("meter_speed", "missing-unit")]),
        ({"rate": "12 gal/ac"}, [("rate", "wrong-kind")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**WHOLE)["ok"]
    assert wrong(reply(**{**WHOLE, **changed})) == fields


@pytest.mark.parametrize(
    "edge",
    [
        {"on_time": "0 s", "off_time": "0 s"},
        {"on_time": "120 s", "on_set": "120 s"},
        {"near_time": "5 s"},
        {"speed": "40 km/h", "width": "60 m", "rate": "5000 kg/ha"},
        {"prime_time": "0.1 s"},
    ],
)
def test_a_bound_itself_is_allowed(edge: dict[str, str]) -> None:
    assert reply(**{**WHOLE, **edge})["ok"]


def test_the_picture_says_what_it_shows() -> None:
    made = reply("us", **WHOLE)
    [chart] = made["charts"]
    for name in ("on_distance", "off_distance"):
        assert made["results"][name]["shown"] in chart["description"]


@pytest.mark.parametrize(
    ("changed", "results"),
    [
        ({}, ["on_distance", "off_distance", "gap_area", "product"]),
        ({"on_set": "6 s"}, ["on_distance", "gap_area"]),
    ],
)
def test_the_lesson_states_what_the_calculator_gives(
    root: Path, changed: dict[str, str], results: list[str]
) -> None:
    lesson = (root / "docs" / "lessons" / "delay.md").read_text(encoding="utf-8")
    found = reply("us", **{**LESSON, **changed})["results"]
    for name in results:
        shown = found[name]["shown"].lstrip("−").replace("²", "2")
        assert shown in lesson, f"{name} is {shown}"
