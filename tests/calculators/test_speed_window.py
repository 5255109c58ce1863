"""`speed-window` against sources, brute force, `pint`, `shapely` and the other calculators."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString

from calc.declare import Found, Say
from calc.metering.rate import rate
from calc.metering.speed_window import speed_window
from calc.metering.window_cases import EXAMPLE, tank
from calc.metering.window_sums import Tank
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

POSITIVE = {"allow_nan": False, "allow_infinity": False}
MANY = settings(derandomize=True, max_examples=examples(300), deadline=None)


@st.composite
def some_tank(draw: Any, name: str) -> Tank:
    """A tank in SI with any sensible figures: about a third of them can have no window."""
    rate_low = draw(st.floats(0.0005, 0.03, **POSITIVE))
    meter_low = draw(st.floats(0.05, 0.5, **POSITIVE))
    return Tank(
        name,
        rate_low,
        rate_low * draw(st.floats(1, 8, **POSITIVE)),
        draw(st.floats(0.02, 1.5, **POSITIVE)),
        meter_low,
        meter_low * draw(st.floats(1.5, 15, **POSITIVE)),
    )


@st.composite
def some_tanks(draw: Any, least: int = 1) -> list[Tank]:
    return [draw(some_tank(f"Tank {number}")) for number in range(draw(st.integers(least, 8)))]


SPEEDS = st.none() | st.floats(0.5, 4, **POSITIVE)
WIDTHS = st.floats(3, 25, **POSITIVE)


def work_out(width: float, tanks: list[Tank], low: float | None = None, high: float | None = None) -> Found:
    return speed_window(width=width, speed_low=low, speed_high=high, tanks=tanks)


def ends(found: Found) -> tuple[float, float] | None:
    first, last = found.values["speed_from"], found.values["speed_to"]
    assert (first is None) == (last is None)
    return None if first is None or last is None else (first, last)  # type: ignore[return-value]


def holds(tank: Tank, width: float, speeds: Any) -> Any:
    """Whether the meter stays in its range at both rates: the question itself, speed by speed."""
    slow_turning = tank.rate_low * width * speeds / tank.mass_per_turn
    fast_turning = tank.rate_high * width * speeds / tank.mass_per_turn
    return (slow_turning >= tank.meter_low) & (fast_turning <= tank.meter_high)


def ask(given: dict[str, Any], units: str = "metric") -> dict[str, Any]:
    return respond(compact({"calculator": "speed-window", "given": given, "units": units}))


def errors(given: dict[str, Any]) -> list[tuple[str, str]]:
    made = ask(given)
    assert not made["ok"]
    return [(e["field"], e["code"]) for e in made["errors"]]


def code(value: Any) -> str:
    assert isinstance(value, Say)
    return value.code


# Against the sources


def test_a_turn_of_eight_feet_takes_the_printed_mass_and_speed() -> None:
    # Soil Health Labs, drill calibration: 8 ft of wheel a turn, a row of 0.625 ft, 20 turns at 25 lb/ac
    # catch 0.0574 lb. So a meter of 0.0574/20 lb a turn, at one turn a second, goes with 8 ft/s.
    one = tank("Row", ("25 lb/ac", "25 lb/ac"), "0.00287 lb/rev", ("1 rev/s", "1 rev/s"))
    made = ask({"width": "0.625 ft", "tanks": [one]})
    feet = made["results"]["speed_from"]["si"] / 0.3048
    assert f"{feet:.0f}" == "8"
    assert f"{20 * 0.625 * feet:.0f}" == "100"  # square feet, as printed


@pytest.mark.parametrize(("spacing", "grams"), [("6 in", "0.78"), ("7.5 in", "0.98")])
def test_printed_grams_of_a_row_keep_the_rate_over_150_feet(spacing: str, grams: str) -> None:
    # University of Kentucky, Wheat seeding rate and drill calibration: grams in 150 ft for each lb/ac.
    # The printed grams have two digits: 150 ft lies between the answers to half a step either way.
    seen = []
    for step in (-0.005, 0.005):
        mass = f"{float(grams) + step:.4f} g/rev"
        one = tank("Row", ("1 lb/ac", "1 lb/ac"), mass, ("0.1 rev/s", "0.1 rev/s"))
        made = ask({"width": spacing, "tanks": [one]})
        seen.append(made["results"]["speed_from"]["si"] / 0.3048 * 10)  # feet in the ten seconds of a turn
    assert seen[0] < 150 < seen[1]


def test_worked_example_by_pint() -> None:
    # The example's figures in US units through pint. Its acre is the survey acre: 43 560 ft² is written out.
    unit = pint.UnitRegistry()
    acre = 43560 * unit.foot**2
    speeds = []
    for row in EXAMPLE:
        mass = float(row["mass_per_turn"].split()[0]) * unit.pound
        for turning, per_area in (("meter_low", "rate_low"), ("meter_high", "rate_high")):
            turns = float(row[turning].split()[0]) / unit.minute
            rate_asked = float(row[per_area].split()[0]) * unit.pound / acre
            speeds.append((turns * mass / (rate_asked * 60 * unit.foot)).to("mile/hour").magnitude)
    made = ask({"width": "60 ft", "speed_low": "3 mph", "speed_high": "6 mph", "tanks": EXAMPLE}, "us")
    rows = made["tables"][0]["rows"]
    shown = [cell["si"] / 0.44704 for row in rows for cell in row[1:3]]
    assert shown == pytest.approx(speeds, rel=1e-8)  # settled to ten digits, and pint's own rounding
    assert made["results"]["speed_from"]["si"] / 0.44704 == pytest.approx(max(speeds[0::2]), rel=1e-8)
    assert made["results"]["speed_to"]["si"] / 0.44704 == pytest.approx(min(speeds[1::2]), rel=1e-8)
    assert made["results"]["slow_limit"] == "Inoculant"
    assert made["results"]["fast_limit"] == "Urea"


# Against brute force and an independent library


@MANY
@given(WIDTHS, some_tanks(), SPEEDS, SPEEDS)
def test_window_is_where_every_speed_tried_holds(
    width: float, tanks: list[Tank], low: float | None, high: float | None
) -> None:
    # Brute force: 4000 speeds from 1 cm/s to 100 m/s, each tried on every tank.
    if low is not None and high is not None and low > high:
        low, high = high, low
    speeds = np.geomspace(0.01, 100, 4000)
    good = np.ones_like(speeds, dtype=bool)
    for one in tanks:
        good &= holds(one, width, speeds)
    if low is not None:
        good &= speeds >= low
    if high is not None:
        good &= speeds <= high
    window = ends(work_out(width, tanks, low, high))
    if window is None:
        assert not good.any()
    else:
        sure = (speeds > window[0] * (1 + 1e-9)) & (speeds < window[1] * (1 - 1e-9))
        outside = (speeds < window[0] * (1 - 1e-9)) | (speeds > window[1] * (1 + 1e-9))
        assert good[sure].all()
        assert not good[outside].any()


@MANY
@given(WIDTHS, some_tanks())
def test_overlap_agrees_with_shapely(width: float, tanks: list[Tank]) -> None:
    # shapely intersects each tank's speeds as pieces of one line; a tank without any gives nothing.
    rows = work_out(width, tanks).tables["tanks"]
    pieces = [LineString([(row[1], 0), (row[2], 0)]) if row[1] < row[2] else LineString() for row in rows]  # type: ignore[operator]
    common = pieces[0]
    for piece in pieces[1:]:
        common = common.intersection(piece)
    window = ends(work_out(width, tanks))
    if common.is_empty:
        assert window is None or window[0] == pytest.approx(window[1])
    else:
        assert window == pytest.approx((common.bounds[0], common.bounds[2]), rel=1e-12)


@MANY
@given(WIDTHS, some_tanks(), SPEEDS, SPEEDS)
def test_masses_per_turn_open_a_closed_window(
    width: float, tanks: list[Tank], low: float | None, high: float | None
) -> None:
    # Property: with any of the masses per turn that are named, the tanks that can have a window share one,
    # and just outside them a tank does not hold its rates at that speed.
    if low is not None and high is not None and low > high:
        low, high = high, low
    found = work_out(width, tanks, low, high)
    assert ("mass_per_turn" in found.tables) == any(
        note.code in ("at-middle", "at-halfway", "at-operating") for note in found.notes
    )
    if "mass_per_turn" not in found.tables:
        return
    speed = next(note.parts["speed"] for note in found.notes if "speed" in note.parts)
    assert isinstance(speed, float)
    for place in (1, 2):
        fitted = []
        for one, row in zip(tanks, found.tables["mass_per_turn"], strict=True):
            if code(row[3]) == "never":
                assert row[1] is row[2] is None
                continue
            least, most = row[1], row[2]
            assert isinstance(least, float) and isinstance(most, float)
            # design's own formula: from v · R_high · W / meter_high to v · R_low · W / meter_low
            assert least == pytest.approx(speed * one.rate_high * width / one.meter_high)
            assert most == pytest.approx(speed * one.rate_low * width / one.meter_low)
            fitted.append(one._replace(mass_per_turn=(least, most)[place - 1]))
            assert not holds(one._replace(mass_per_turn=least * 0.999), width, speed)
            assert not holds(one._replace(mass_per_turn=most * 1.001), width, speed)
            told = {"keep": 0, "larger": 1, "smaller": -1}[code(row[3])]
            assert told == (one.mass_per_turn < least * (1 - 1e-9)) - (one.mass_per_turn > most * (1 + 1e-9))
        window = ends(work_out(width, fitted, low, high))
        assert window is not None
        assert window[0] * (1 - 1e-9) <= speed <= window[1] * (1 + 1e-9)


# Properties


@MANY
@given(WIDTHS, some_tanks(least=2), SPEEDS)
def test_a_window_never_widens_when_a_tank_is_added(
    width: float, tanks: list[Tank], low: float | None
) -> None:
    fewer, more = ends(work_out(width, tanks[:-1], low)), ends(work_out(width, tanks, low))
    if more is not None:
        assert fewer is not None
        assert fewer[0] <= more[0] and more[1] <= fewer[1]


@MANY
@given(WIDTHS, some_tanks())
def test_twice_the_width_is_half_the_speeds(width: float, tanks: list[Tank]) -> None:
    one, two = work_out(width, tanks), work_out(2 * width, tanks)
    window, half = ends(one), ends(two)
    assert (window is None) == (half is None)
    if window is not None and half is not None:
        assert half == pytest.approx((window[0] / 2, window[1] / 2), rel=1e-12)
    for row, half_row in zip(one.tables["tanks"], two.tables["tanks"], strict=True):
        assert half_row[5:7] == row[5:7]  # spans do not depend on the width


@MANY
@given(WIDTHS, some_tanks())
def test_ends_fed_back_into_rate_return_the_meters_limits(width: float, tanks: list[Tank]) -> None:
    # The other calculator, `rate`, must say that the tank named at an end is there at its limit.
    found = work_out(width, tanks)
    window = ends(found)
    if window is None:
        return
    for row, one in zip(found.tables["tanks"], tanks, strict=True):
        slow = rate(width=width, rate=one.rate_low, speed=window[0], mass_per_turn=one.mass_per_turn)
        fast = rate(width=width, rate=one.rate_high, speed=window[1], mass_per_turn=one.mass_per_turn)
        turning = (slow.values["meter_speed"], fast.values["meter_speed"])
        assert turning == pytest.approx((row[3], row[4]))
        part = code(row[7])
        if part in ("slow-end", "both-ends"):
            assert turning[0] == pytest.approx(one.meter_low)
        if part in ("fast-end", "both-ends"):
            assert turning[1] == pytest.approx(one.meter_high)
        assert turning[0] >= one.meter_low * (1 - 1e-9) and turning[1] <= one.meter_high * (1 + 1e-9)  # type: ignore[operator]


@MANY
@given(WIDTHS, some_tanks(), SPEEDS, SPEEDS)
def test_limits_and_verdict_say_which_end_is_whose(
    width: float, tanks: list[Tank], low: float | None, high: float | None
) -> None:
    if low is not None and high is not None and low > high:
        low, high = high, low
    found = work_out(width, tanks, low, high)
    slow = max(one.meter_low * one.mass_per_turn / one.rate_low / width for one in tanks)
    fast = min(one.meter_high * one.mass_per_turn / one.rate_high / width for one in tanks)
    assert code(found.values["slow_limit"]) == ("operating-speed" if low and low > slow else "tank")
    assert code(found.values["fast_limit"]) == ("operating-speed" if high and high < fast else "tank")
    never = any(one.rate_high / one.rate_low > one.meter_high / one.meter_low * (1 + 1e-9) for one in tanks)
    verdict = code(found.values["verdict"])
    assert (verdict == "narrow-rates") == never
    if ends(found) is None:
        expected = {
            ("tank", "tank"): "tanks-clash",
            ("tank", "operating-speed"): "above-operating",
            ("operating-speed", "tank"): "below-operating",
        }
        limits = (code(found.values["slow_limit"]), code(found.values["fast_limit"]))
        assert never or verdict == expected[limits]
    else:
        assert verdict in ("open", "one-speed")


@MANY
@given(WIDTHS, some_tank("Tank"))
def test_narrowed_rates_give_a_window(width: float, one: Tank) -> None:
    # Property of the two figures in the note: either alone is just enough, whatever the mass per turn.
    found = work_out(width, [one])
    for note in found.notes:
        if note.code == "narrow-rates":
            for narrowed in (
                one._replace(rate_low=note.parts["low"]),
                one._replace(rate_high=note.parts["high"]),
            ):
                assert ends(work_out(width, [narrowed])) is not None
                assert one.rate_low <= narrowed.rate_low * (1 + 1e-12)
                assert narrowed.rate_high <= one.rate_high * (1 + 1e-12)
            wide = one._replace(rate_low=float(note.parts["low"]) * 0.999)
            assert ends(work_out(width, [wide])) is None


# Edges


def test_planned_speeds_lie_a_tenth_inside_the_meters_limits_alone() -> None:
    # Common practice: 10 % inside. Hand arithmetic: 1.5 to 6 m/s by the meter, so 1.65 to 5.4.
    one = Tank("Wheat", 0.01, 0.01, 0.15, 1.0, 4.0)
    free = work_out(10, [one]).notes[0]
    assert (free.code, settle(free.parts["low"]), settle(free.parts["high"])) == ("plan-inside", 1.65, 5.4)  # type: ignore[arg-type]
    own = work_out(10, [one], 2.0, 5.0).notes[0]
    assert (own.parts["low"], own.parts["high"]) == (2.0, 5.0)  # the operator's own limits need no margin
    assert work_out(10, [one], 5.5, 8.0).notes[0].code == "narrow"
    assert ends(work_out(10, [one], 5.5, 8.0)) == pytest.approx((5.5, 6.0))


def test_a_span_of_rates_equal_to_the_meters_is_open_at_one_speed() -> None:
    # Hand arithmetic: 5 to 1 on both; 10 · 0.6 · 500 / (30 · 12) = 8.333 km/h at either limit.
    one = tank("Urea", ("30 kg/ha", "150 kg/ha"), "500 g/rev", ("10 rpm", "50 rpm"))
    made = ask({"width": "12 m", "tanks": [one]})
    assert made["results"]["speed_from"]["shown"] == made["results"]["speed_to"]["shown"] == "8.333 km/h"
    assert made["results"]["verdict"] == "Open at one speed only, 8.333 km/h."
    just_wider = {**one, "rate_high": "150.001 kg/ha"}
    assert ask({"width": "12 m", "tanks": [just_wider]})["results"]["speed_from"] is None


def test_tanks_that_set_an_end_together_are_all_named() -> None:
    twins = [{**EXAMPLE[2], "name": name} for name in ("Front", "Middle", "Rear")]
    made = ask({"width": "60 ft", "tanks": twins}, "us")
    assert made["results"]["slow_limit"] == "Front, Middle and Rear"
    assert [row[-1] for row in made["tables"][0]["rows"]] == ["sets both ends"] * 3


def test_a_tank_is_named_where_an_operating_speed_is_the_same() -> None:
    # By our own choice; Urea's fast end is 5.5 mph by hand: 120 · 1 · 495 / (180 · 60).
    made = ask({"width": "60 ft", "speed_high": "5.5 mph", "tanks": EXAMPLE}, "us")
    assert made["results"]["fast_limit"] == "Urea"


def test_a_closed_window_says_why_in_the_readers_units() -> None:
    made = ask({"width": "60 ft", "speed_low": "6 mph", "tanks": EXAMPLE}, "us,speed=metric")
    assert made["results"]["speed_from"] is None
    assert made["results"]["verdict"] == (
        "Closed: Urea can have at most 8.851 km/h, below the lowest operating speed, 9.656 km/h."
    )
    assert [table["id"] for table in made["tables"]] == ["tanks", "mass_per_turn"]


# Mistakes


def test_every_crossed_range_is_refused_at_once() -> None:
    bad = {**EXAMPLE[0], "rate_low": "200 lb/ac", "meter_low": "130 rpm"}
    given_ = {"width": "60 ft", "speed_low": "7 mph", "speed_high": "6 mph", "tanks": [EXAMPLE[1], bad]}
    assert errors(given_) == [
        ("speed_low", "low-above-high"),
        ("tanks[2].rate_low", "low-above-high"),
        ("tanks[2].meter_low", "low-above-high"),
    ]


def test_mistakes_in_rows_are_named_by_row_and_column() -> None:
    bad = {**EXAMPLE[0], "rate_low": "90", "mass_per_turn": "nan", "meter_high": "5 mph", "speed": "1"}
    del bad["meter_low"]
    assert errors({"width": "60 ft", "tanks": [EXAMPLE[1], bad]}) == [
        ("tanks[2].rate_low", "missing-unit"),
        ("tanks[2].mass_per_turn", "not-a-number"),
        ("tanks[2].meter_low", "required"),
        ("tanks[2].meter_high", "wrong-kind"),
        ("tanks[2].speed", "unknown-field"),
    ]
    assert errors({"width": "60 ft", "tanks": [*EXAMPLE, EXAMPLE[1]]}) == [("tanks[5].name", "same-name")]


def test_whole_request_mistakes() -> None:
    assert errors({}) == [("width", "required"), ("tanks", "required")]
    assert errors({"width": "60 ft", "tanks": []}) == [("tanks", "row-count")]
    assert errors({"width": "60 ft", "tanks": "four"}) == [("tanks", "not-rows")]
    assert errors({"width": "60 ft", "speed_low": "0 mph", "tanks": EXAMPLE}) == [("speed_low", "too-low")]


# The picture


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("count", range(1, 9))
@pytest.mark.parametrize(
    "speeds", [{}, {"speed_low": "5 mph"}, {"speed_low": "3 mph", "speed_high": "6 mph"}]
)
def test_picture_keeps_its_words_apart_and_in_the_box(count: int, units: str, speeds: dict[str, str]) -> None:
    names = ["A rather long name of a tank", *(f"Tank {n}" for n in range(2, 9))]
    rows = [{**EXAMPLE[n % 4], "name": names[n]} for n in range(count)]
    made = ask({"width": "60 ft", **speeds, "tanks": rows}, units)
    root = looked_at(made["charts"][0]["svg"]).root
    assert len([t for t in root.iter(f"{SVG}text") if (t.text or "").startswith("Tank ")]) == count - 1


def test_picture_shades_the_common_window_only_where_one_is_open() -> None:
    shade = 'fill-opacity="0.12"'
    given_ = {"width": "60 ft", "tanks": EXAMPLE}
    assert ask(given_)["charts"][0]["svg"].count(shade) == 1
    closed = ask({**given_, "speed_low": "6 mph"})
    assert shade not in closed["charts"][0]["svg"]
    assert "no speed" in closed["charts"][0]["svg"]
    assert json.loads(compact(closed)) == closed
