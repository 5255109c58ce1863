"""The pictures of the field's calculators at any input: words apart and in the box, and what they show."""

from __future__ import annotations

import math
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.declare import Input, catalogue
from calc.quantity import exact
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

IDS = ("field-work", "ground-speed", "field-check", "delay")
SPELT = {  # an SI unit of each kind that these calculators ask for
    "length": "m",
    "distance": "m",
    "speed": "m/s",
    "time": "s",
    "share": "%",
    "area": "m2",
    "mass": "kg",
    "mass_per_area": "g/m2",
    "mass_per_turn": "kg/rev",
    "turning_speed": "rev/s",
}
SIZE = {"share": 0.01, "mass_per_area": 0.001}


@st.composite
def anything(draw: Any, id: str) -> dict[str, str]:
    """Any figures within the bounds of a calculator, small and large ones alike; some are left out."""
    made = {}
    for one in catalogue()[id].inputs:
        assert isinstance(one, Input)
        if one.name in catalogue()[id].optional and draw(st.booleans()):
            continue
        low, high = (float(exact(end, one.kind)) for end in (one.low, one.high))
        places = st.floats(math.log(max(low, high * 1e-7)), math.log(high))
        value = math.exp(draw(places)) if low or draw(st.integers(0, 9)) else 0.0
        value = min(max(value, low), high)
        made[one.name] = f"{value / SIZE.get(one.kind.id, 1):.8g} {SPELT[one.kind.id]}"
    return made


def drawn(made: dict[str, Any]) -> ElementTree.Element:
    [chart] = made["charts"]
    return looked_at(chart["svg"]).root


@pytest.mark.parametrize("id", IDS)
@settings(max_examples=examples(120))
@given(st.data(), st.sampled_from(["metric", "us", "us,speed=metric"]))
def test_every_valid_input_has_a_finite_answer_and_a_picture_that_can_be_read(
    id: str, data: st.DataObject, units: str
) -> None:
    chosen = data.draw(anything(id))
    made = respond(compact({"calculator": id, "given": chosen, "units": units}))
    if not made["ok"]:
        # The only mistakes between values: a speed that no machine goes at, and openers the wrong way round.
        codes = {(error["field"], error["code"]) for error in made["errors"]}
        assert codes <= {("time", "not-a-field-speed"), ("near_time", "low-above-high")}
        return
    drawn(made)


@pytest.mark.parametrize("id", IDS)
@pytest.mark.parametrize("units", ["metric", "us", "imperial"])
def test_every_case_has_a_picture_that_can_be_read(id: str, units: str) -> None:
    for case in catalogue()[id].cases:
        made = respond(compact({"calculator": id, "given": case.given, "units": units}))
        assert made["ok"]
        drawn(made)
        assert made["charts"][0]["description"].count("{") == 0


def tops_and_feet(root: ElementTree.Element) -> list[tuple[float, float, float, float]]:
    """The filled rectangles of a picture: left, top, right, foot."""
    found = []
    for shape in root.iter(f"{SVG}polygon"):
        points = [tuple(map(float, point.split(","))) for point in shape.attrib["points"].split()]
        if len(points) == 4:
            xs, ys = [x for x, _ in points], [y for _, y in points]
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


@settings(max_examples=examples(80))
@given(
    st.floats(0, 12).map(lambda s: round(s, 2)),
    st.floats(0, 12).map(lambda s: round(s, 2)),
    st.floats(0, 12).map(lambda s: round(s, 2)),
    st.floats(4, 25).map(lambda m: round(m, 1)),
)
def test_the_headland_is_to_scale(on: float, off: float, both_set: float, width: float) -> None:
    """From the line to where a pass is seeded, over the width of a pass: as the distance to the width."""
    chosen = {
        "on_time": f"{on} s",
        "off_time": f"{off} s",
        "on_set": f"{both_set} s",
        "off_set": f"{both_set} s",
        "speed": "2.5 m/s",
        "width": f"{width} m",
    }
    made = respond(compact({"calculator": "delay", "given": chosen, "units": "metric"}))
    root = drawn(made)
    headland, start, stop = tops_and_feet(root)
    if not any("all to one scale" in (text.text or "") for text in root.iter(f"{SVG}text")):
        assert start[2] - start[0] == pytest.approx(24)  # as narrow as is drawn, and it says so
        return
    scale = (start[2] - start[0]) / width
    line = headland[1]
    rounding = {"rel": 5e-4, "abs": 0.02}  # places have two decimals, and a pass is at least 24 wide
    assert line - start[3] == pytest.approx(scale * (on - both_set) * 2.5, **rounding)
    assert stop[3] - line == pytest.approx(scale * (off - both_set) * 2.5, **rounding)
    assert stop[2] - stop[0] == pytest.approx(start[2] - start[0])


def test_the_headland_says_what_is_bare_and_what_is_seeded_twice() -> None:
    late = {"on_time": "4 s", "off_time": "3 s", "speed": "9 km/h", "width": "12 m"}
    words = [t.text for t in drawn(reply_to("delay", late)).iter(f"{SVG}text")]
    assert "10 m past the line" in words and "7.5 m past the line" in words
    assert words.index("unseeded strip") < words.index("End of a pass") < words.index("seeded twice")
    early = {**late, "on_set": "6 s", "off_set": "6 s"}
    words = [t.text for t in drawn(reply_to("delay", early)).iter(f"{SVG}text")]
    assert "5 m before the line" in words and "7.5 m before the line" in words
    assert words.index("seeded twice") < words.index("End of a pass") < words.index("unseeded strip")
    right = {**late, "on_set": "4 s", "off_set": "3 s"}
    words = [t.text for t in drawn(reply_to("delay", right)).iter(f"{SVG}text")]
    assert words.count("on the line") == words.count("as it should be") == 2


def test_single_openers_are_drawn_only_where_both_are_given() -> None:
    given_ = {"on_time": "4 s", "off_time": "3 s", "speed": "9 km/h", "width": "12 m", "near_time": "3 s"}
    assert "opener" not in reply_to("delay", given_)["charts"][0]["svg"].partition("</desc>")[2]
    both = reply_to("delay", {**given_, "far_time": "5 s"})["charts"][0]["svg"].partition("</desc>")[2]
    assert [both.count(f"{which} opener starts") for which in ("nearest", "middle", "farthest")] == [1, 1, 1]
    # Each is drawn across the pass and once more in the key, by dashes of its own.
    assert both.count('stroke-dasharray="2 4"') == both.count('stroke-dasharray="9 5"') == 2


def reply_to(id: str, given_: dict[str, str], units: str = "metric") -> dict[str, Any]:
    made = respond(compact({"calculator": id, "given": given_, "units": units}))
    assert made["ok"], made
    return made


@pytest.mark.parametrize(
    ("used", "beyond"), [("1000 kg", False), ("2190 kg", False), ("2500 kg", True), ("5 kg", False)]
)
def test_the_scale_of_errors_has_a_dot_or_points_beyond_its_end(used: str, beyond: bool) -> None:
    given_ = {"area": "10 ha", "used": used, "target": "100 kg/ha", "mass_per_turn": "500 g/rev"}
    svg = reply_to("field-check", given_)["charts"][0]["svg"]
    assert svg.count("<circle") == (0 if beyond else 1)
    triangles = [points for points in re.findall(r'<polygon points="([^"]*)"', svg) if points.count(",") == 3]
    assert len(triangles) == (1 if beyond else 0)


def test_lines_of_field_work_stop_at_a_whole_efficiency() -> None:
    given_ = {"width": "12 m", "speed": "8 km/h"}
    assert labels(reply_to("field-work", {**given_, "efficiency": "70 %"})) == ["70 %", "52.5 %", "87.5 %"]
    assert labels(reply_to("field-work", {**given_, "efficiency": "90 %"})) == ["90 %", "67.5 %"]
    assert labels(reply_to("field-work", {**given_, "efficiency": "80 %"})) == ["80 %", "60 %", "100 %"]


def labels(made: dict[str, Any]) -> list[str]:
    return [t.text or "" for t in drawn(made).iter(f"{SVG}text") if (t.text or "").endswith("%")]
