"""`run-flow` against `pint`, its sources, other calculators and itself, and with what is wrong in it."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.crop.run_flow import AROUND, run_flow
from calc.crop.stand import stand
from calc.declare import catalogue
from calc.metering.rate import rate
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

PINT = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
PINT.define("field_acre = 43560 * foot ** 2")
RATES = {"kg/ha": "kg/hectare", "lb/ac": "pound/field_acre", "g/m2": "g/m**2"}
AREAS = {"m2": "m**2", "ft2": "foot**2", "ha": "hectare", "ac": "field_acre"}
LENGTHS = {"mm": "mm", "cm": "cm", "in": "inch", "ft": "foot"}
SPEEDS = {"km/h": "km/hour", "mph": "mile/hour", "m/s": "m/s"}
GOOD = {"rate": "110 lb/ac", "kernel_mass": "36 g", "spacing": "10 in", "speed": "5 mph"}


def reply(units: str = "metric", **given_: str | None) -> dict[str, Any]:
    return respond(compact({"calculator": "run-flow", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    assert made["ok"], made
    return [note["code"] for note in made["notes"]]


@st.composite
def typed(draw: st.DrawFn, spelt: dict[str, str], low: float, high: float, si: str) -> tuple[str, Any]:
    """A figure's number and unit as they are typed, and the same as a quantity of pint."""
    unit = draw(st.sampled_from(sorted(spelt)))
    one = PINT.Quantity(1.0, spelt[unit]).to(si).magnitude
    text = f"{draw(st.floats(low, high)) / one:.8f}"
    return f"{text} {unit}", PINT.Quantity(float(text), spelt[unit])


SPACING, SPEED = typed(LENGTHS, 0.1, 1, "m"), typed(SPEEDS, 0.5, 8, "m/s")


@settings(max_examples=examples(120))
@given(typed(RATES, 0.001, 0.05, "kg/m**2"), st.floats(0.5, 400), SPACING, SPEED)
def test_a_rate_agrees_with_pint(rate_: Any, grams: float, spacing: Any, speed: Any) -> None:
    """Mass per time is rate · spacing · speed, and a seed has its mass: `pint` carries the units."""
    made = reply(rate=rate_[0], kernel_mass=f"{grams:.8f} g", spacing=spacing[0], speed=speed[0])
    assert made["ok"], made
    seed = PINT.Quantity(float(f"{grams:.8f}"), "g") / 1000
    flow = rate_[1] * spacing[1] * speed[1]
    expected = {
        "seeds_per_second": (flow / seed).to("1/s"),
        "mass_per_second": flow.to("kg/s"),
        "seeds_per_row": (rate_[1] / seed * spacing[1]).to("1/m"),
    }
    assert list(made["results"]) == list(expected)
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=1e-7), name


@settings(max_examples=examples(120))
@given(
    typed({f"seeds/{area}": f"1/{unit}" for area, unit in AREAS.items()}, 5, 900, "1/m**2"),
    st.floats(0.5, 400),
    SPACING,
    SPEED,
)
def test_seeds_agree_with_pint(seeds: Any, grams: float, spacing: Any, speed: Any) -> None:
    made = reply(seeds=seeds[0], kernel_mass=f"{grams:.8f} g", spacing=spacing[0], speed=speed[0])
    assert made["ok"], made
    a_second = seeds[1] * spacing[1] * speed[1]
    expected = {
        "seeds_per_second": a_second.to("1/s"),
        "mass_per_second": (a_second * PINT.Quantity(float(f"{grams:.8f}"), "g") / 1000).to("kg/s"),
        "seeds_per_row": (seeds[1] * spacing[1]).to("1/m"),
    }
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=1e-7), name


def test_the_inverse_that_iowa_prints() -> None:
    # Iowa State University, Agronomy 212 (Gibson, 2003): 5 seeds/ft in 15 in rows are 174 240 seeds/ac.
    made = reply(seeds="174240 seeds/ac", spacing="15 in", speed="5 mph")
    assert f"{made['results']['seeds_per_row']['si'] * 0.3048:.6f}" == "5.000000"


# University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek): grams of each row over
# 150 ft for each lb/ac, 0.78 at 6 in and 0.98 at 7.5 in; here over any time that it takes.
@pytest.mark.parametrize(("spacing", "grams"), [("6 in", "0.78"), ("7.5 in", "0.98")])
@pytest.mark.parametrize("speed", [2.0, 4.572, 9.0])
def test_kentucky_grams_per_row(spacing: str, grams: str, speed: float) -> None:
    made = reply(rate="1 lb/ac", spacing=spacing, speed=f"{speed} m/s")
    seconds = 150 * 0.3048 / speed
    assert f"{made['results']['mass_per_second']['si'] * 1000 * seconds:.2f}" == grams


# Against the other calculators


@given(st.floats(0.001, 0.05), st.floats(0.1, 1), st.floats(0.5, 8), st.integers(1, 120))
def test_all_runs_together_are_the_flow_of_the_tank(
    asked: float, spacing: float, speed: float, runs: int
) -> None:
    one = run_flow(asked, None, None, spacing, speed).values["mass_per_second"]
    whole = rate(width=runs * spacing, rate=asked, speed=speed, mass_per_turn=0.5, runs=runs).values
    assert one == pytest.approx(whole["run_flow"], rel=1e-12)


@given(st.floats(5, 600), st.floats(0.001, 0.4), st.floats(0.5, 1), st.floats(0.1, 1), st.floats(0.5, 8))
def test_a_stand_handed_on_gives_the_same_row_and_rate(
    plants: float, mass: float, germination: float, spacing: float, speed: float
) -> None:
    wanted = stand(plants, mass, germination, spacing=spacing).values
    by_seeds = run_flow(None, wanted["seeds_per_area"], mass, spacing, speed).values  # type: ignore[arg-type]
    by_rate = run_flow(wanted["rate"], None, mass, spacing, speed).values  # type: ignore[arg-type]
    assert by_seeds["seeds_per_row"] == pytest.approx(wanted["seeds_per_row"], rel=1e-12)
    for name, value in by_seeds.items():
        assert value == pytest.approx(by_rate[name], rel=1e-12), name


def test_seeds_take_what_a_stand_found() -> None:
    declared = catalogue()["run-flow"].input("seeds")
    assert list(declared.takes) == ["stand.seeds_per_area"]  # type: ignore[union-attr]
    assert "run-flow" in catalogue()["stand"].then


# Properties


@given(st.floats(5, 900), st.floats(0.001, 0.4), st.floats(0.1, 1), st.floats(0.5, 8), st.floats(0.1, 10))
def test_what_passes_is_in_proportion(
    seeds: float, mass: float, spacing: float, speed: float, by: float
) -> None:
    before = run_flow(None, seeds, mass, spacing, speed).values
    faster = run_flow(None, seeds, mass, spacing, by * speed).values
    assert faster["seeds_per_row"] == before["seeds_per_row"]
    for name in ("seeds_per_second", "mass_per_second"):
        assert faster[name] == pytest.approx(by * before[name], rel=1e-12)  # type: ignore[operator]
        thicker = run_flow(None, by * seeds, mass, spacing, speed).values[name]
        assert thicker == pytest.approx(by * before[name], rel=1e-12)  # type: ignore[operator]
    heavier = run_flow(None, seeds, by * mass, spacing, speed).values
    assert heavier["seeds_per_second"] == before["seeds_per_second"]
    assert before["seeds_per_second"] == pytest.approx(before["seeds_per_row"] * speed, rel=1e-12)  # type: ignore[operator]


def test_the_table_goes_through_speeds_around_the_one_given() -> None:
    made = reply("us", **GOOD)
    [table] = made["tables"]
    for share, row in zip(AROUND, table["rows"], strict=True):
        for cell, whole in zip(
            row,
            (made["used"]["speed"], made["results"]["seeds_per_second"], made["results"]["mass_per_second"]),
            strict=True,
        ):
            assert math.isclose(cell["si"], share * whole["si"], rel_tol=1e-9)


# Notes and edges


def test_what_needs_the_seed_mass_is_unknown_without_it_and_asked_for() -> None:
    by_rate = reply(**{**GOOD, "kernel_mass": None})
    assert by_rate["results"]["seeds_per_second"] is by_rate["results"]["seeds_per_row"] is None
    assert codes(by_rate) == ["give-kernel-mass-for-seeds"]
    assert [row[1] for row in by_rate["tables"][0]["rows"]] == [None] * len(AROUND)
    by_seeds = reply(seeds="33 seeds/ft2", spacing="10 in", speed="5 mph")
    assert by_seeds["results"]["mass_per_second"] is None
    assert codes(by_seeds) == ["give-kernel-mass-for-flow", "seed-gap"]
    assert codes(reply(**GOOD)) == ["seed-gap"]


def test_the_gap_between_seeds_is_one_over_their_number() -> None:
    made = reply(seeds="100 seeds/m2", spacing="25 cm", speed="2 m/s")
    assert made["results"]["seeds_per_row"]["shown"] == "25.00 seeds/m"
    assert "40.00 mm apart" in made["notes"][-1]["text"]


def test_more_seeds_than_any_crop_has_are_pointed_out() -> None:
    assert "many-seeds" in codes(reply(**{**GOOD, "kernel_mass": "0.36 g"}))
    assert "many-seeds" not in codes(reply(seeds="20000 seeds/m2", spacing="10 in", speed="5 mph"))


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"rate": None}, [("rate", "one-of"), ("seeds", "one-of")]),
        ({"seeds": "33 seeds/ft2"}, [("rate", "only-one-of"), ("seeds", "only-one-of")]),
        ({"rate": "0.09 kg/ha"}, [("rate", "too-low")]),
        ({"rate": "5001 kg/ha"}, [("rate", "too-high")]),
        ({"rate": None, "seeds": "33 plants/ft2"}, [("seeds", "wrong-kind")]),
        ({"rate": None, "seeds": "0.4 seeds/m2"}, [("seeds", "too-low")]),
        ({"rate": None, "seeds": "20001 seeds/m2"}, [("seeds", "too-high")]),
        ({"kernel_mass": "0 g"}, [("kernel_mass", "too-low")]),
        ({"kernel_mass": "36"}, [("kernel_mass", "missing-unit")]),
        ({"spacing": None}, [("spacing", "required")]),
        ({"spacing": "10 ft"}, [("spacing", "too-high")]),
        ({"speed": "41 km/h"}, [("speed", "too-high")]),
        ({"speed": "0 mph", "spacing": "x"}, [("spacing", "not-a-number"), ("speed", "too-low")]),
        ({"rate": "110 lb/ac ± 5 %"}, [("rate", "give-not-here")]),
        ({"runs": "72"}, [("runs", "unknown-field")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, Any], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


@pytest.mark.parametrize("both", [(None, None), (0.01, 300.0)])
def test_the_function_itself_wants_exactly_one(both: tuple[float | None, float | None]) -> None:
    with pytest.raises(TypeError, match="exactly one"):
        run_flow(*both, 0.036, 0.25, 2.0)


@pytest.mark.parametrize("rate_", ["0.1 kg/ha", "5000 kg/ha"])
@pytest.mark.parametrize("mass", ["0.05 g", "3000 g"])
@pytest.mark.parametrize("run", [("25 mm", "0.1 km/h"), ("2 m", "40 km/h")])
def test_a_bound_itself_is_allowed(rate_: str, mass: str, run: tuple[str, str]) -> None:
    assert reply(rate=rate_, kernel_mass=mass, spacing=run[0], speed=run[1])["ok"]


# The picture


@settings(max_examples=examples(150))
@given(
    st.floats(-0.3, 4.3).map(lambda power: 10.0**power),
    st.floats(-1.6, 0.3).map(lambda power: 10.0**power),
    st.floats(-1, 1.6).map(lambda power: 10.0**power),
    st.booleans(),
    st.sampled_from(["metric", "us"]),
)
def test_picture_keeps_its_words_apart_and_in_the_box(
    amount: float, spacing: float, speed: float, by_rate: bool, units: str
) -> None:
    what = {"rate": f"{amount / 4:.6g} kg/ha"} if by_rate else {"seeds": f"{amount:.6g} seeds/m2"}
    made = reply(units, **what, spacing=f"{spacing:.4g} m", speed=f"{min(speed, 40):.4g} km/h")
    assert made["ok"] or {code for _, code in wrong(made)} <= {"too-low", "too-high"}
    for chart in made.get("charts", []):
        looked_at(chart["svg"])


def test_the_picture_is_of_seeds_or_else_of_product() -> None:
    [of_seeds] = reply("us", **GOOD)["charts"]
    assert "5.000 mph" in of_seeds["description"] and "194 seeds/s" in of_seeds["description"]
    [of_product] = reply("us", **{**GOOD, "kernel_mass": None})["charts"]
    assert "0.926 lb/min" in of_product["description"] and ">0.926 lb/min<" in of_product["svg"]
    assert reply(rate="5000 kg/ha", kernel_mass="0.05 g", spacing="2 m", speed="40 km/h")["charts"] == []
