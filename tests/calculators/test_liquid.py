"""`liquid` against `pint`, `fluids`, Nebraska's printed factors and itself, and with what is wrong in it."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from fluids.core import K_from_f, dP_from_K
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calc.liquid.liquid import liquid
from calc.liquid.liquid_sums import FARTHEST, WATER
from calc.metering.rate import AROUND
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
# A unit as typed and as pint has it, the smallest and the largest figure drawn, and pint's unit of its SI.
TYPED: dict[str, tuple[dict[str, str], float, float, str]] = {
    "rate": (
        {"L/ha": "liter/hectare", "gal/ac": "gallon/field_acre", "imp gal/ac": "imperial_gallon/field_acre"},
        2e-6,
        5e-5,
        "m**3/m**2",
    ),
    "speed": ({"km/h": "km/hour", "mph": "mile/hour", "m/s": "m/s"}, 1, 8, "m/s"),
    "spacing": ({"mm": "mm", "cm": "cm", "in": "inch", "ft": "foot"}, 0.1, 1.5, "m"),
    "density": ({"kg/L": "kg/liter", "lb/gal": "pound/gallon", "kg/m3": "kg/m**3"}, 800, 1600, "kg/m**3"),
    "known_pressure": ({"kPa": "kPa", "psi": "psi", "bar": "bar"}, 3e4, 8e5, "Pa"),
}
PLAIN = {
    "rate": "15 gal/ac",
    "speed": "5 mph",
    "spacing": "10 in",
    "density": "10.65 lb/gal",
}
GOOD = {**PLAIN, "known_flow": "0.14 gpm", "known_pressure": "30 psi"}


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "liquid", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    assert made["ok"], made
    return [note["code"] for note in made["notes"]]


@st.composite
def typed(draw: st.DrawFn, name: str) -> tuple[str, Any]:
    """A figure as it is typed, and the same as a quantity of pint."""
    spelt, low, high, si = TYPED[name]
    unit, in_pint = draw(st.sampled_from(sorted(spelt.items())))
    size = draw(st.floats(min_value=low, max_value=high))
    text = f"{size / UNITS.Quantity(1.0, in_pint).to(si).magnitude:.6g}"
    return f"{text} {unit}", UNITS.Quantity(float(text), in_pint)


@settings(max_examples=examples(150))
@given(st.data(), st.floats(min_value=0.2, max_value=5))
def test_agrees_with_pint(data: st.DataObject, times: float) -> None:
    """Volume per time is rate · speed · spacing; the rest is ratios. `pint` carries the units."""
    chosen = {name: data.draw(typed(name), name) for name in TYPED}
    q = {name: quantity for name, (_, quantity) in chosen.items()}
    flow = (q["rate"] * q["speed"] * q["spacing"]).to("m**3/s")
    known = f"{flow.to('gallon/minute').magnitude * times:.6g}"
    known_flow = UNITS.Quantity(float(known), "gallon/minute")
    gravity = (q["density"] / UNITS.Quantity(1, "kg/liter")).to("").magnitude
    texts = {name: text for name, (text, _) in chosen.items()}
    made = reply(known_flow=f"{known} gpm", rate_high=texts["rate"], **texts)
    assert made["ok"], made
    pressure = q["known_pressure"] * (flow * gravity**0.5 / known_flow) ** 2
    expected = {
        "outlet_flow": flow,
        "pressure": pressure.to("Pa"),
        "water_rate": (q["rate"] * gravity**0.5).to("m"),
        "water_flow": flow * gravity**0.5,
        "pressure_high": pressure.to("Pa"),
    }
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=2e-9), name
    assert made["results"]["pressure_low"] is None


FIGURES = st.fixed_dictionaries(
    {
        "rate": st.floats(2e-6, 5e-5),
        "speed": st.floats(1, 8),
        "spacing": st.floats(0.1, 1.5),
        "density": st.floats(800, 1600),
    }
)


@given(FIGURES, st.floats(0.2, 5), st.floats(3e4, 8e5), st.floats(1e-7, 1e-5))
def test_pressure_is_that_of_a_fixed_loss_by_fluids(
    figures: dict[str, float], times: float, known_pressure: float, opening: float
) -> None:
    """`fluids`: an opening's loss coefficient, found with water, gives the pressure for the liquid.

    Whatever the size of the opening, for it cancels.
    """
    flow = figures["rate"] * figures["speed"] * figures["spacing"]
    known_flow = flow * times
    one = dP_from_K(K_from_f(fd=1, L=1, D=1), rho=WATER, V=known_flow / opening)
    expected = dP_from_K(known_pressure / one, rho=figures["density"], V=flow / opening)
    found = liquid(**figures, known_flow=known_flow, known_pressure=known_pressure)
    assert math.isclose(found.values["pressure"], expected, rel_tol=1e-9)  # type: ignore[arg-type]


@given(FIGURES, st.floats(0.2, 5), st.floats(3e4, 8e5), st.floats(0.3, 3))
def test_pressure_goes_with_the_square_of_rate_speed_and_spacing(
    figures: dict[str, float], times: float, known_pressure: float, by: float
) -> None:
    known = {
        "known_flow": figures["rate"] * figures["speed"] * figures["spacing"] * times,
        "known_pressure": known_pressure,
    }
    before = liquid(**figures, **known).values
    for name, power in (("rate", 2), ("speed", 2), ("spacing", 2), ("density", 1)):
        after = liquid(**{**figures, name: by * figures[name]}, **known).values
        assert math.isclose(after["pressure"], by**power * before["pressure"], rel_tol=1e-12), name  # type: ignore[arg-type, operator]
    ends = liquid(
        **figures, **known, rate_low=figures["rate"] / (1 + by), rate_high=figures["rate"] * (1 + by)
    )
    assert math.isclose(ends.values["pressure_low"] * (1 + by) ** 2, before["pressure"], rel_tol=1e-12)  # type: ignore[arg-type, operator]
    assert math.isclose(ends.values["pressure_high"], before["pressure"] * (1 + by) ** 2, rel_tol=1e-12)  # type: ignore[arg-type, operator]


@given(FIGURES, st.floats(0.2, 5), st.floats(3e4, 8e5))
def test_the_water_found_shows_the_same_pressure(
    figures: dict[str, float], times: float, known_pressure: float
) -> None:
    """What `water_rate` is for: water at that rate stands at the pressure that the liquid takes."""
    flow = figures["rate"] * figures["speed"] * figures["spacing"]
    known = {"known_flow": flow * times, "known_pressure": known_pressure}
    of_liquid = liquid(**figures, **known).values
    water = {**figures, "rate": of_liquid["water_rate"], "density": WATER}
    of_water = liquid(**water, **known).values  # type: ignore[arg-type]
    assert math.isclose(of_water["pressure"], of_liquid["pressure"], rel_tol=1e-12)  # type: ignore[arg-type]
    assert math.isclose(of_water["outlet_flow"], of_liquid["water_flow"], rel_tol=1e-12)  # type: ignore[arg-type]
    # and what was found, taken as the known outlet, gives itself back
    again = liquid(**water, known_flow=of_water["outlet_flow"], known_pressure=of_water["pressure"])  # type: ignore[arg-type]
    assert math.isclose(again.values["pressure"], of_water["pressure"], rel_tol=1e-12)  # type: ignore[arg-type]


# University of Nebraska, CropWatch 2016, factors by density; .89 at 6.6 lb/gal to 1.20 at 12 lb/gal.
@pytest.mark.parametrize(
    ("density", "factor"), [("6.6", ".89"), ("9", "1.04"), ("11", "1.15"), ("11.4", "1.17"), ("12", "1.20")]
)
def test_nebraskas_factors(density: str, factor: str) -> None:
    made = reply(**{**PLAIN, "density": f"{density} lb/gal"})
    ratio = made["results"]["water_rate"]["si"] / made["used"]["rate"]["si"]
    assert f"{ratio:.2f}".removeprefix("0") == factor
    assert math.isclose(made["results"]["water_flow"]["si"], ratio * made["results"]["outlet_flow"]["si"])


def test_nebraskas_uan() -> None:
    """Printed: 28 % UAN of 10.65 lb/gal has a gravity of 1.28 and a factor of 1.13; 20 gal/ac are 22.6."""
    made = reply(**{**PLAIN, "rate": "20 gal/ac"}, units="us")
    assert f"{made['used']['density']['si'] / WATER:.2f}" == "1.28"
    ratio = made["results"]["water_rate"]["si"] / made["used"]["rate"]["si"]
    assert f"{ratio:.2f}" == "1.13"
    assert made["results"]["water_rate"]["shown"] == "22.59 gal/ac"  # printed to three digits: 22.6


@pytest.mark.parametrize(("rate", "speed", "spacing"), [(15, 5, 10), (3.5, 6.25, 7.5), (40, 4, 30)])
def test_flow_by_the_short_forms_of_the_trade(rate: float, speed: float, spacing: float) -> None:
    """gpm = gal/ac · mph · in / 5940 and L/min = L/ha · km/h · m / 600, both exact by definition."""
    us = reply(**{**PLAIN, "rate": f"{rate} gal/ac", "speed": f"{speed} mph", "spacing": f"{spacing} in"})
    gallon = 231 * 0.0254**3
    gpm = us["results"]["outlet_flow"]["si"] * 60 / gallon
    assert math.isclose(gpm, rate * speed * spacing / 5940, rel_tol=1e-9)
    spaced = {"spacing": f"{spacing} cm"}
    metric = reply(**{**PLAIN, "rate": f"{rate} L/ha", "speed": f"{speed} km/h", **spaced})
    liters = metric["results"]["outlet_flow"]["si"] * 60_000
    assert math.isclose(liters, rate * speed * spacing / 100 / 600, rel_tol=1e-9)


@pytest.mark.parametrize(
    ("given_", "id", "result", "power"),
    [(PLAIN, "flows", "outlet_flow", 1), (GOOD, "pressures", "pressure", 2)],
)
def test_the_table_goes_through_rates_and_speeds(
    given_: dict[str, str], id: str, result: str, power: int
) -> None:
    """Without a known outlet the table is of flows, which follow both shares; with one of pressures."""
    made = reply("us", **given_)
    [table] = made["tables"]
    assert table["id"] == id
    speeds = ["2.500 mph", "3.750 mph", "5.000 mph", "6.250 mph", "7.500 mph"]
    assert [column["title"] for column in table["columns"]] == ["Rate", *speeds]
    rates = ["7.500", "11.25", "15.00", "18.75", "22.50"]
    assert [row[0]["shown"] for row in table["rows"]] == [f"{rate} gal/ac" for rate in rates]
    for share, row in zip(AROUND, table["rows"], strict=True):
        for other, cell in zip(AROUND, row[1:], strict=True):
            working = made["results"][result]["si"]
            assert math.isclose(cell["si"], (share * other) ** power * working, rel_tol=1e-9)


# Notes, each on both sides of where it turns


def test_what_is_not_given_is_null_and_asked_for() -> None:
    bare = reply(**PLAIN)
    assert codes(bare) == ["timed-catch", "give-known"]
    assert [bare["results"][f"pressure{end}"] for end in ("", "_low", "_high")] == [None] * 3
    assert bare["charts"] == []
    # rates alone do not ask for more: without an outlet they show nothing
    assert codes(reply(**PLAIN, rate_low="10 gal/ac", rate_high="20 gal/ac")) == ["timed-catch", "give-known"]
    assert codes(reply(**GOOD)) == ["timed-catch", "compare-papers", "give-rates", "speed-too"]
    assert "give-rates" in codes(reply(**GOOD, rate_low="10 gal/ac"))
    one = reply(**GOOD, rate_low="15 gal/ac", rate_high="15 gal/ac")
    assert codes(one) == ["timed-catch", "compare-papers", "speed-too"]


def test_a_minutes_catch_is_the_flow_and_its_water() -> None:
    made = reply("us", **GOOD)
    note = made["notes"][0]["text"]
    assert made["results"]["outlet_flow"]["shown"].removesuffix("gpm") + "gal" in note
    assert made["results"]["water_flow"]["shown"].removesuffix("gpm") + "gal" in note


def test_a_range_of_twice_the_rate_is_four_times_the_pressure_and_no_more() -> None:
    """Common practice: one outlet up to 4 times the pressure, which is twice the flow."""
    rates = {"rate_low": "9 gal/ac", "rate_high": "18 gal/ac"}
    assert "range" in codes(reply(**GOOD, **rates))
    wide = reply(**GOOD, **{**rates, "rate_high": "18.001 gal/ac"})
    assert "wide-range" in codes(wide) and "range" not in codes(wide)
    text = next(n["text"] for n in wide["notes"] if n["code"] == "wide-range")
    assert text.startswith("At 168.4 L/ha the pressure is 4.000 times that at 84.19 L/ha.")


def test_a_pressure_far_from_the_known_one_is_said_to_be() -> None:
    """Common practice: a chart is trusted from a quarter of its pressure to 4 times."""
    water = {"rate": "100 L/ha", "speed": "12 km/h", "spacing": "300 mm", "density": "1 kg/L"}
    for flow, far in (
        ("0.3 L/min", False),
        ("0.2999 L/min", True),
        ("1.2 L/min", False),
        ("1.201 L/min", True),
    ):
        made = reply(**water, known_flow=flow, known_pressure="400 kPa")
        assert ("far-from-known" in codes(made)) == far, flow


def test_ten_psi_at_the_least() -> None:
    """Common practice, and the lowest rate counts where it is given."""
    water = {"rate": "100 L/ha", "speed": "12 km/h", "spacing": "300 mm", "density": "1 kg/L"}
    for pressure, low in (("10 psi", False), ("9.999 psi", True)):
        made = reply("us", **water, known_flow="0.6 L/min", known_pressure=pressure)
        assert ("low-pressure" in codes(made)) == low
    made = reply("us", **water, known_flow="0.6 L/min", known_pressure="20 psi", rate_low="70 L/ha")
    assert "At 9.800 psi" in next(n["text"] for n in made["notes"] if n["code"] == "low-pressure")


@pytest.mark.parametrize(
    ("rates", "outside"),
    [
        ({"rate_low": "15 gal/ac"}, False),
        ({"rate_low": "15.01 gal/ac"}, True),
        ({"rate_high": "15 gal/ac"}, False),
        ({"rate_high": "14.99 gal/ac"}, True),
    ],
)
def test_a_rate_outside_its_range_is_said_to_be(rates: dict[str, str], outside: bool) -> None:
    assert ("rate-outside" in codes(reply(**GOOD, **rates))) == outside


def test_the_highest_pressure_is_the_one_to_compare() -> None:
    made = reply("us", **GOOD, rate_high="18 gal/ac")
    text = next(n["text"] for n in made["notes"] if n["code"] == "compare-papers")
    assert made["results"]["pressure_high"]["shown"] in text


# Mistakes


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"rate": "0.4 L/ha"}, [("rate", "too-low")]),
        ({"rate": "3001 L/ha"}, [("rate", "too-high")]),
        ({"rate": "100 lb/ac"}, [("rate", "wrong-kind")]),
        ({"spacing": "10 mm"}, [("spacing", "too-low")]),
        ({"spacing": "10 m"}, [("spacing", "too-high")]),
        ({"density": "10.65 kg/L"}, [("density", "too-high")]),
        ({"density": "1.28 lb/gal"}, [("density", "too-low")]),
        ({"density": "1.28"}, [("density", "missing-unit")]),
        ({"known_flow": None}, [("known_flow", "needed-with")]),
        ({"known_pressure": None}, [("known_pressure", "needed-with")]),
        ({"known_flow": "0.14 gal"}, [("known_flow", "wrong-kind")]),
        ({"known_flow": "0.14 L/min", "rate": "150 gal/ac"}, [("known_flow", "no-room")]),
        ({"known_flow": "10 gpm", "rate": None}, [("rate", "required")]),
        ({"known_pressure": "30 bar"}, [("known_pressure", "too-high")]),
        ({"rate_low": "20 gal/ac", "rate_high": "10 gal/ac"}, [("rate_low", "low-above-high")]),
        (
            {"known_flow": None, "rate_low": "20 gal/ac", "rate_high": "10 gal/ac"},
            [("known_flow", "needed-with"), ("rate_low", "low-above-high")],
        ),
        ({"rate": "15 gal/ac ± 1 gal/ac"}, [("rate", "give-not-here")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str | None], fields: list[tuple[str, str]]) -> None:
    given_ = {name: text for name, text in {**GOOD, **changed}.items() if text is not None}
    assert wrong(reply(**given_)) == fields


def test_half_an_outlet_is_told_what_it_lacks_in_the_readers_units() -> None:
    half = {**PLAIN, "known_flow": "0.14 gpm"}
    [error] = reply(**half)["errors"]
    assert error["problem"] == "this is needed with known flow = 0.5300 L/min; write it like 30 psi"
    [error] = reply("us", **PLAIN, known_pressure="200 kPa")["errors"]
    assert error["problem"] == "this is needed with known pressure = 29.01 psi; write it like 0.14 gpm"


@pytest.mark.parametrize("name", ["rate", "rate_low", "rate_high"])
def test_an_outlet_of_another_size_altogether_is_refused(name: str) -> None:
    """Beyond 30 times its flow either way a unit is wrong: no outlet is asked for that."""
    water = {"rate": "100 L/ha", "speed": "12 km/h", "spacing": "300 mm", "density": "1 kg/L"}
    known = {"known_flow": "0.6 L/min", "known_pressure": "200 kPa"}
    just = {"rate": f"{100 * FARTHEST} L/ha", "rate_low": "3.334 L/ha"}
    just["rate_high"] = just["rate"]
    beyond = {"rate": "2.9 L/ha", "rate_low": "3.3 L/ha", "rate_high": "3000.0 L/ha"}
    assert reply(**{**water, **known, name: just[name]})["ok"]
    slow = {"speed": "12.1 km/h"} if name == "rate_high" else {}
    assert wrong(reply(**{**water, **known, **slow, name: beyond[name]})) == [("known_flow", "no-room")]


@given(
    st.sampled_from(["0.5 L/ha", "3000 L/ha"]),
    st.sampled_from(["0.1 km/h", "40 km/h"]),
    st.sampled_from(["20 mm", "5 m"]),
    st.sampled_from(["0.7 kg/L", "2.5 kg/L"]),
    st.sampled_from(["0.001 L/min", "200 L/min", None]),
    st.sampled_from(["5 kPa", "2000 kPa"]),
)
def test_bounds_themselves_are_answered_or_the_outlet_refused(
    rate: str, speed: str, spacing: str, density: str, known_flow: str | None, known_pressure: str
) -> None:
    known = {"known_flow": known_flow, "known_pressure": known_pressure} if known_flow else {}
    made = reply(rate=rate, speed=speed, spacing=spacing, density=density, **known)  # type: ignore[arg-type]
    assert made["ok"] or wrong(made) == [("known_flow", "no-room")]
    if not known:
        assert made["ok"]


@settings(max_examples=examples(30))
@given(FIGURES, st.floats(0.3, 3))
def test_a_give_or_take_of_the_spacing_counts_twice_in_pressure(
    figures: dict[str, float], times: float
) -> None:
    """To first order, a share of the spacing is twice that share of the pressure (the square law)."""
    flow = figures["rate"] * figures["speed"] * figures["spacing"] * 60_000
    assume(flow * times > 0.001)
    made = reply(
        rate=f"{settle(figures['rate'] * 1e7)} L/ha",
        speed=f"{settle(figures['speed'])} m/s",
        spacing=f"{settle(figures['spacing'])} m ± 2 %",
        density=f"{settle(figures['density'])} kg/m3",
        known_flow=f"{settle(flow * times)} L/min",
        known_pressure="200 kPa",
    )
    assert made["ok"], made
    pressure = made["results"]["pressure"]
    assert math.isclose(pressure["give_or_take"]["si"], 0.04 * pressure["si"], rel_tol=1e-3)
