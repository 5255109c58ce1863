"""`drill-catch` against Field and Long, other sources, pint and `rate`, and with what is wrong in it."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from calc.declare import Found, Say
from calc.metering.drill_catch import drill_catch
from calc.metering.drill_findings import RowCatch
from calc.metering.even_cases import ROWS, caught
from calc.metering.rate import rate
from calc.number import settle
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

UNITS = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
UNITS.define("field_acre = 43560 * foot ** 2")
SPELT = {"g": "gram", "oz": "ounce", "lb": "pound", "m": "meter", "ft": "foot", "in": "inch", "cm": "cm"}
MANY = settings(max_examples=examples(80))


def ask(units: str = "metric", **given_: Any) -> dict[str, Any]:
    return respond(compact({"calculator": "drill-catch", "given": given_, "units": units}))


def wrong(**given_: Any) -> list[tuple[str, str]]:
    made = ask(**given_)
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def of(masses: Sequence[float], target: float | None = None, band: float = 0.05, strip: float = 1.0) -> Found:
    """Runs counted from 1, over a distance and a spacing that make a strip of `strip` m²."""
    rows = [RowCatch(number, mass) for number, mass in enumerate(masses, 1)]
    return drill_catch(None, None, strip / 0.25, 0.25, rows, target, band)


def code(value: Any) -> str:
    assert isinstance(value, Say)
    return value.code


def codes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


# --- published figures


def test_field_and_long() -> None:
    """Field and Long, SI drill problem: total 270.9 g, mean 22.575, limits 23.7 and 21.4, accepted on both.

    Not asserted are its rate of 8.9 (8.98 cut off) and its upper limit of the rate of 9.4 (9.45 cut off).
    """
    made = ask(
        turns="50", wheel_diameter="0.80 m", spacing="0.20 m", catches=caught(*ROWS), target="9.0 kg/ha"
    )
    results, sums = made["results"], made["tables"][0]["rows"][0]
    assert f"{1e3 * sums[2]['si']:.1f}" == "270.9" and f"{1e3 * sums[3]['si']:.3f}" == "22.575"
    assert f"{1e3 * results['row_high']['si']:.1f}" == "23.7"
    assert f"{1e3 * results['row_low']['si']:.1f}" == "21.4"
    assert results["rate_low"]["si"] * 1e4 == pytest.approx(8.55) and results["rate_low"]["shown"] == (
        "8.550 kg/ha"
    )
    assert results["verdict"].startswith("Accepted: the rate is −0.1966 %")
    # Recalculated with exact constants: 301.593 m², 8.982 kg/ha.
    assert f"{sums[1]['si']:.3f}" == "301.593" and f"{1e4 * results['rate']['si']:.3f}" == "8.982"


@pytest.mark.parametrize(("spacing", "grams"), [("6 in", "0.78"), ("7.5 in", "0.98")])
def test_kentucky_grams_of_a_row(spacing: str, grams: str) -> None:
    """University of Kentucky (Bitzer and Herbek): grams of each row over 150 ft for each lb/ac."""
    made = ask(distance="150 ft", spacing=spacing, catches=caught("1"), target="1 lb/ac")
    assert f"{1e3 * made['tables'][0]['rows'][0][4]['si']:.2f}" == grams


def test_soil_health_labs() -> None:
    """Soil Health Labs, drill calibration: 8 ft · 20 turns · 0.625 ft is 100 ft²; 25 lb/ac, 0.0574 lb."""
    wheel = f"{8 / math.pi:.9f} ft"
    made = ask(turns="20", wheel_diameter=wheel, spacing="0.625 ft", catches=caught("30"), target="25 lb/ac")
    _, area, _, _, wanted = made["tables"][0]["rows"][0]
    assert f"{area['si'] / 0.3048**2:.0f}" == "100" and f"{wanted['si'] / 0.45359237:.4f}" == "0.0574"


@pytest.mark.parametrize(("spacing", "feet"), [("48 in", 85), ("44 in", 93)])
def test_north_carolina_row_lengths(spacing: str, feet: int) -> None:
    """NC State Extension, Duplin County 2014: rows of 85 and 93 ft, to the foot, are 1/128 acre."""
    areas = []
    for end in (-0.5, 0.5):
        made = ask(distance=f"{feet + end} ft", spacing=spacing, catches=caught("1"))
        areas.append(made["tables"][0]["rows"][0][1]["si"] / (43560 * 0.3048**2))
    assert areas[0] < 1 / 128 < areas[1]


@given(st.integers(1, 5000), st.integers(5, 100))
def test_grain_sa_rule(tenths: int, centimetres: int) -> None:
    """Grain SA, Grain Guide 2018: grams caught over 10 m ÷ row spacing in m is the rate in kg/ha."""
    made = ask(distance="10 m", spacing=f"{centimetres} cm", catches=caught(f"{tenths / 10}"))
    assert 1e4 * made["results"]["rate"]["si"] == pytest.approx(tenths / 10 / (centimetres / 100), rel=1e-9)


# --- independent libraries

MASSES = st.lists(st.integers(1, 9000).map(lambda n: n / 10), min_size=1, max_size=24)
FIGURE = st.integers(40, 900).map(lambda n: n / 10)


@MANY
@given(
    MASSES,
    st.sampled_from(["g", "oz"]),
    st.tuples(FIGURE, st.sampled_from(["m", "ft"])),
    st.tuples(FIGURE, st.sampled_from(["cm", "in"])),
    st.floats(0.01, 0.3),
)
def test_rate_and_limits_agree_with_pint(
    masses: list[float], unit: str, gone: tuple[float, str], spacing: tuple[float, str], band: float
) -> None:
    band = settle(band)
    wide = (min(spacing[0], 78.0), spacing[1])
    made = ask(
        distance=f"{gone[0]} {gone[1]}",
        spacing=f"{wide[0]} {wide[1]}",
        catches=caught(*map(str, masses), unit=unit),
        target="100 lb/ac",
        band=f"{100 * band:.8f} %",
    )
    assert made["ok"], made
    middle = UNITS.Quantity(float(np.mean(masses)), SPELT[unit])
    strip = UNITS.Quantity(gone[0], SPELT[gone[1]]) * UNITS.Quantity(wide[0], SPELT[wide[1]])
    results = made["results"]
    assert results["rate"]["si"] == pytest.approx((middle / strip).to("kg/m**2").magnitude, rel=1e-9)
    asked = UNITS.Quantity(100, "pound/field_acre").to("kg/m**2").magnitude
    for end, sign in (("low", -1), ("high", 1)):
        assert results[f"rate_{end}"]["si"] == pytest.approx(asked * (1 + sign * band), rel=1e-7)
        assert results[f"row_{end}"]["si"] == pytest.approx(
            middle.to("kg").magnitude * (1 + sign * band), rel=1e-7
        )
    wanted = made["tables"][0]["rows"][0][4]["si"]
    assert wanted == pytest.approx(asked * strip.to("m**2").magnitude, rel=1e-9)
    if len(masses) > 1:
        assert results["cv"]["si"] == pytest.approx(stats.variation(masses, ddof=1), rel=1e-6, abs=1e-9)


@MANY
@given(st.lists(st.floats(0.8, 1.2), min_size=2, max_size=20), st.floats(0.8, 1.2), st.floats(0.01, 0.2))
def test_verdict_is_what_numpy_counts(masses: list[float], target: float, band: float) -> None:
    values = np.array(masses)
    outside = np.abs(values / values.mean() - 1)
    off = abs(values.mean() / target - 1)
    if min(abs(outside - band).min(), abs(off - band)) < 1e-7:
        return  # within rounding of the limit, where the settled figure decides
    found = of(masses, target, band)
    expected = {
        (False, False): "accepted",
        (True, False): "rate",
        (False, True): "runs",
        (True, True): "both",
    }
    count = int((outside > band).sum())
    assert code(found.values["verdict"]) == expected[bool(off > band), count > 0]
    verdict = found.values["verdict"]
    assert isinstance(verdict, Say)
    if count:
        assert verdict.parts["count"] == count
        assert outside[int(str(verdict.parts["run"])) - 1] == pytest.approx(outside.max())
    parts = [code(row[5]) for row in found.tables["runs"]]  # type: ignore[union-attr]
    assert sum(part != "within" for part in parts) == count


# --- what must hold


@given(st.floats(0.5, 500), st.floats(0.2, 2.5), st.floats(0.1, 1))
def test_a_wheel_rolls_its_circumference(turns: float, wheel: float, spacing: float) -> None:
    rows = [RowCatch(1, 0.5)]
    rolled = drill_catch(turns, wheel, None, spacing, rows, None, 0.05)
    measured = drill_catch(None, None, turns * wheel * math.pi, spacing, rows, None, 0.05)
    assert rolled.values["rate"] == pytest.approx(measured.values["rate"], rel=1e-12)
    assert "by-wheel" in codes(rolled) and "by-wheel" not in codes(measured)


@given(st.floats(0.01, 5), st.floats(1, 500), st.floats(0.1, 1))
def test_the_other_calculator_finds_the_same_rate(mass: float, distance: float, spacing: float) -> None:
    """`rate`: a meter that gives this catch in one turn a distance, at 1 m/s over one row."""
    found = drill_catch(None, None, distance, spacing, [RowCatch(1, mass)], None, 0.05)
    other = rate(width=spacing, speed=1.0, meter_speed=1 / distance, mass_per_turn=settle(mass))
    assert found.values["rate"] == pytest.approx(other.values["rate"], rel=1e-9)


@MANY
@given(st.lists(st.floats(0.1, 2), min_size=1, max_size=20), st.floats(1, 100))
def test_rate_times_area_is_what_was_caught(masses: list[float], strip: float) -> None:
    found = of(masses, strip=strip)
    [[_, area, total, middle, wanted]] = found.tables["sums"]  # type: ignore[misc]
    assert found.values["rate"] * area == pytest.approx(total, rel=1e-9)  # type: ignore[operator]
    assert total == pytest.approx(middle * len(masses), rel=1e-9) and wanted is None  # type: ignore[operator]
    each: Any = [row[4] for row in found.tables["runs"]]  # type: ignore[union-attr]
    assert np.mean(each) == pytest.approx(found.values["rate"], rel=1e-9)


@given(st.lists(st.floats(0.1, 2), min_size=2, max_size=12), st.floats(0.2, 5))
def test_a_rate_as_wanted_is_on_target_and_twice_as_much_is_not(masses: list[float], strip: float) -> None:
    met = of(masses, strip=strip).values["rate"]
    assert isinstance(met, float)
    assert code(of(masses, met, 0.05, strip).values["verdict"]) in ("accepted", "runs")
    twice = of(masses, met / 2, 0.05, strip)
    assert code(twice.values["verdict"]) in ("rate", "both")
    factors = [note.parts["factor"] for note in twice.notes if note.code == "rate-off"]
    assert factors == ([] if "blocked" in codes(twice) else [pytest.approx(2)])


def test_repeats_are_averaged_first() -> None:
    rows = [RowCatch(1, 1.0), RowCatch(1, 1.2), RowCatch(2, 0.9)]
    found = drill_catch(None, None, 1.0, 1.0, rows, None, 0.15)
    assert found.values["rate"] == pytest.approx(1.0)
    assert [row[:3] for row in found.tables["runs"]] == [[1, 2, 1.1], [2, 1, 0.9]]  # type: ignore[union-attr]
    assert found.tables["sums"][0][1] == pytest.approx(2.0)  # type: ignore[index]


# --- verdicts at their limits


@pytest.mark.parametrize(
    ("masses", "target", "verdict"),
    [
        ([0.0, 0.0], 1.0, "nothing"),
        ([1.0], None, "one-run"),
        ([1.05], 1.0, "one-run-within"),
        ([1.051], 1.0, "one-run-outside"),
        ([0.95, 1.05], 1.0, "accepted"),  # 5 % exactly, on both
        ([0.949, 1.051], 1.0, "runs"),
        ([1.05, 1.05], 1.0, "accepted"),
        ([0.949, 0.949], 1.0, "rate"),
        ([0.8, 1.0], 1.0, "both"),
        ([0.95, 1.05], None, "runs-accepted"),
        ([0.9, 1.1], None, "runs-only"),
    ],
)
def test_both_counts_decide(masses: list[float], target: float | None, verdict: str) -> None:
    assert code(of(masses, target).values["verdict"]) == verdict


def test_a_plugged_run_is_cleared_before_anything_is_set() -> None:
    found = of([1.0, 1.0, 0.0, 1.0], 1.0)
    assert codes(found) == ["blocked", "wanted"]
    assert code(found.values["verdict"]) == "both"


def test_notes() -> None:
    assert codes(of([1.0, 1.01])) == ["give-target"]
    assert codes(of([1.0, 1.0], 1.0)) == ["wanted", "all-alike"]
    rows = [RowCatch(number, 1.0 + number / 1000) for number in (1, 2, 5)]
    assert codes(drill_catch(None, None, 1.0, 1.0, rows, None, 0.05)) == ["give-target", "missing"]


# --- mistakes

GOOD: dict[str, Any] = {"distance": "300 ft", "spacing": "7.5 in", "catches": caught("6.1", "6.2", unit="oz")}
WHEEL = {"turns": "50", "wheel_diameter": "32 in", **{k: v for k, v in GOOD.items() if k != "distance"}}


@pytest.mark.parametrize(
    ("given_", "expected"),
    [
        ({**WHEEL, "distance": "300 ft"}, [("turns", "only-one-of"), ("distance", "only-one-of")]),
        ({**WHEEL, "turns": None}, [("turns", "one-of"), ("distance", "one-of")]),
        ({**WHEEL, "wheel_diameter": None}, [("wheel_diameter", "needed-with")]),
        ({**GOOD, "wheel_diameter": "32 in"}, [("wheel_diameter", "not-used")]),
        ({**GOOD, "distance": None}, [("turns", "one-of"), ("distance", "one-of")]),
        ({**WHEEL, "wheel_diameter": "32"}, [("wheel_diameter", "missing-unit")]),
        ({**WHEEL, "turns": "50 rev"}, [("turns", "not-bare")]),
        ({**WHEEL, "turns": "0"}, [("turns", "too-low")]),
        ({**GOOD, "distance": "0 m"}, [("distance", "too-low")]),
        ({**GOOD, "spacing": "7.5 ft"}, [("spacing", "too-high")]),
        ({**GOOD, "spacing": None}, [("spacing", "required")]),
        ({**GOOD, "target": "90 lb"}, [("target", "wrong-kind")]),
        ({**GOOD, "band": "5"}, [("band", "missing-unit")]),
        ({**GOOD, "catches": []}, [("catches", "row-count")]),
        ({**GOOD, "catches": [{"run": "1"}]}, [("catches[1].mass", "required")]),
        ({**GOOD, "catches": [{"run": "x", "mass": "6 oz"}]}, [("catches[1].run", "not-a-number")]),
        (
            {**GOOD, "catches": [{"run": "1", "mass": "6 oz", "head": "1"}]},
            [("catches[1].head", "unknown-field")],
        ),
    ],
)
def test_each_mistake_is_on_its_field(given_: Any, expected: list[tuple[str, str]]) -> None:
    assert ask(**GOOD)["ok"] and ask(**WHEEL)["ok"]
    assert wrong(**given_) == expected


def test_a_lacking_wheel_is_asked_for_in_words() -> None:
    made = ask(**{**WHEEL, "wheel_diameter": None})
    assert made["errors"][0]["problem"] == "this is needed with turns = 50; write it like 32 in"


@pytest.mark.parametrize(
    "ways",
    [
        {"turns": None, "wheel_diameter": None, "distance": None},
        {"turns": 5.0, "wheel_diameter": None, "distance": None},
        {"turns": None, "wheel_diameter": 1.0, "distance": None},
        {"turns": 5.0, "wheel_diameter": 1.0, "distance": 5.0},
    ],
)
def test_the_function_itself_wants_the_distance_in_one_way(ways: dict[str, float | None]) -> None:
    with pytest.raises(TypeError, match="either"):
        drill_catch(**ways, spacing=0.2, catches=[RowCatch(1, 1.0)], target=None, band=0.05)


# --- the lesson


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    """Figures in docs/lessons/evenness.md, by the same catches in US units."""
    lesson = (root / "docs" / "lessons" / "evenness.md").read_text(encoding="utf-8")
    rows = caught("6.6", "6.8", "6.7", "6.9", "6.5", "6.7", unit="oz")
    assert all(f"{{run: {row['run']}, mass: {row['mass']}}}" in lesson for row in rows)
    made = ask("us", distance="200 ft", spacing="10 in", target="110 lb/ac", catches=rows)
    assert made["results"]["verdict"].startswith("Accepted")
    _, area, total, middle, _ = made["tables"][0]["rows"][0]
    assert area["shown"].replace("²", "2") in lesson
    assert all(cell["shown"] in lesson for cell in (total, middle, made["results"]["rate"]))
    more = ask("us", distance="200 ft", spacing="10 in", target="120 lb/ac", catches=rows)
    off = re.search(r"the rate decides: it is −([\d.]+ %)", more["results"]["verdict"])
    assert off and f"{off[1]} below the target" in lesson


# --- the picture


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("count", [2, 5, 12, 48, 120, 240])
@pytest.mark.parametrize("target", [None, "0.1 kg/ha", "12 kg/ha", "20 kg/ha", "5000 kg/ha"])
def test_picture_keeps_its_words_apart_and_in_the_box(count: int, target: str | None, units: str) -> None:
    """Our own check: at 0.6 of its size for a letter, no text overlaps another or leaves the box."""
    rows = caught(*(f"{30 + 4 * math.sin(7.0 * place):.1f}" for place in range(count)), first=200)
    made = ask(units, distance="100 m", spacing="25 cm", catches=rows, target=target, band="12.25 %")
    assert made["ok"], made
    looked_at(made["charts"][0]["svg"])


def test_the_picture_says_what_it_shows() -> None:
    made = ask(**GOOD, target="90 lb/ac", units="us")
    [chart] = made["charts"]
    assert "2 runs" in chart["description"] and "Runs outside it: 0." in chart["description"]
    assert ">what the target asks<" in chart["svg"]
    assert ">what the target asks<" not in ask(**GOOD, target="9 lb/ac")["charts"][0]["svg"]
    assert ask(**{**GOOD, "catches": caught("6")})["charts"] == []
