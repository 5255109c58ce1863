"""The pictures of `liquid` and `ammonia`: what they say, and that their words keep apart and in the box."""

from __future__ import annotations

import itertools
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import LETTER, SVG, looked_at

OUTLET = {
    "rate": "15 gal/ac",
    "speed": "5 mph",
    "spacing": "10 in",
    "density": "10.65 lb/gal",
    "known_flow": "0.14 gpm",
    "known_pressure": "30 psi",
}
TANK = {"nitrogen_rate": "80 lb/ac", "width": "40 ft", "speed": "5 mph", "tank_volume": "1000 L"}


def draw(calculator: str, units: str = "metric", **given_: str) -> dict[str, Any] | None:
    made = respond(compact({"calculator": calculator, "given": given_, "units": units}))
    return {**made["charts"][0], "made": made} if made["ok"] else None


def check_words(svg: str) -> None:
    """At 0.6 of its size for a letter, no text overlaps another or leaves the box, and no shape leaves it."""
    seen = looked_at(svg)
    assert seen.points


def label_and_dot(svg: str) -> tuple[tuple[float, float], tuple[float, float], list[tuple[float, float]]]:
    """The right end of the bold label on its line, the filled dot, and the points of the curve."""
    root = ElementTree.fromstring(svg)
    [label] = [text for text in root.iter(f"{SVG}text") if text.get("font-weight") == "bold"]
    [dot] = [c for c in root.iter(f"{SVG}circle") if c.get("fill") == "currentColor"]
    [curve] = [line for line in root.iter(f"{SVG}polyline") if line.get("stroke-width") == "2.5"]
    wide = 0.6 * float(label.attrib["font-size"]) * len(label.text or "")
    right = float(label.attrib["x"]) + (1 - LETTER[label.attrib["text-anchor"]]) * wide
    points = [(float(x), float(y)) for x, y in re.findall(r"([\d.]+),([\d.]+)", curve.attrib["points"])]
    return (
        (right, float(label.attrib["y"])),
        (float(dot.attrib["cx"]), float(dot.attrib["cy"])),
        points,
    )


def check_label(svg: str) -> None:
    """The dot lies on the curve, and the curve runs below the label."""
    (right, base), (x, y), points = label_and_dot(svg)
    (before, after) = next(
        p for p in itertools.pairwise(points) if p[0][0] <= x + 0.01 and x <= p[1][0] + 0.01
    )
    share = (x - before[0]) / (after[0] - before[0])
    assert abs(before[1] + share * (after[1] - before[1]) - y) < 1
    assert all(height > base + 3 for across, height in points if across <= right)


RATES = st.floats(0.05, 3)


@settings(max_examples=examples(120))
@given(
    st.sampled_from(["metric", "us", "imperial"]),
    st.floats(5, 400),
    RATES,
    st.none() | RATES,
    st.none() | RATES,
    st.floats(0.05, 20),
    st.floats(5, 2000),
)
def test_liquid_words_keep_apart_whatever_is_given(
    units: str, size: float, rate: float, low: float | None, high: float | None, times: float, known: float
) -> None:
    """Rates within and without their range, and outlets far from the one that is wanted."""
    rates = {"rate": rate, "rate_low": low, "rate_high": high}
    flow = size * rate * times / 50  # L/min at 12 km/h and 1 m
    made = draw(
        "liquid",
        units,
        speed="12 km/h",
        spacing="1 m",
        density="1.28 kg/L",
        known_flow=f"{flow:.6g} L/min",
        known_pressure=f"{known:.6g} kPa",
        **{name: f"{share * size:.6g} L/ha" for name, share in rates.items() if share is not None},
    )
    if made is None:
        return
    check_words(made["svg"])
    check_label(made["svg"])
    shaded = 'fill-opacity="0.12"' in made["svg"]
    assert shaded == (low is not None and high is not None)
    assert made["svg"].count('fill="none" stroke="currentColor" stroke-width="2"/>') == sum(
        one is not None for one in (low, high)
    )


@pytest.mark.parametrize("pressure", ["5 kPa", "2000 kPa"])
@pytest.mark.parametrize("flow", ["0.00102 L/min", "200 L/min"])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_liquid_words_at_the_ends_of_what_is_answered(units: str, flow: str, pressure: str) -> None:
    rates = {"0.00102 L/min": "1.5 L/ha", "200 L/min": "3000 L/ha"}
    speeds = {"0.00102 L/min": ("10 km/h", "1 m"), "200 L/min": ("40 km/h", "5 m")}
    speed, spacing = speeds[flow]
    outlet = {"known_flow": flow, "known_pressure": pressure, "density": "1.3 kg/L"}
    made = draw("liquid", units, rate=rates[flow], speed=speed, spacing=spacing, **outlet)
    assert made is not None
    check_words(made["svg"])


@settings(max_examples=examples(60))
@given(st.sampled_from(["metric", "us", "imperial"]), st.floats(-30, 50))
def test_ammonia_words_keep_apart_at_every_temperature(units: str, temperature: float) -> None:
    made = draw("ammonia", units, **TANK, temperature=f"{temperature:.3f} °C")
    assert made is not None
    check_words(made["svg"])
    check_label(made["svg"])
    assert made["made"]["results"]["tank_pressure"]["shown"] in made["description"]


def test_the_pictures_say_what_they_show() -> None:
    made = draw("liquid", "us", **OUTLET, rate_low="10 gal/ac", rate_high="18 gal/ac")
    assert made is not None
    assert "At 5.000 mph, 15.00 gal/ac takes 31.14 psi" in made["description"]
    assert ">31.1 psi<" in made["svg"] and ">shaded: lowest to highest rate<" in made["svg"]
    tank = draw("ammonia", "us", **TANK, temperature="50 °F")
    assert tank is not None
    assert "At 50.00 °F the pressure is 74.47 psi" in tank["description"] and ">74.5 psi<" in tank["svg"]


def test_without_a_known_outlet_there_is_no_picture() -> None:
    bare = {name: text for name, text in OUTLET.items() if not name.startswith("known")}
    made = respond(compact({"calculator": "liquid", "given": bare, "units": "us"}))
    assert made["ok"] and made["charts"] == []
