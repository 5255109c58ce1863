"""Pictures: well-formed, spoken, in their box, with figures a reader can follow."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import units as u
from calc.chart import DASHES, WIDTH, Axis, Picture, Plot, nice_step, short
from calc.quantity import Units

SVG = "{http://www.w3.org/2000/svg}"
SYSTEMS = [Units("metric"), Units("us"), Units.read("us,speed=metric")]


def parsed(
    picture: Picture, title: str = "A title", description: str = "A description"
) -> ElementTree.Element:
    return ElementTree.fromstring(picture.svg(title, description))


def numbers(svg: str) -> list[str]:
    """Every figure of every attribute that places or draws something."""
    drawn = re.sub(r"<(title|desc|text[^>]*)>[^<]*", r"<\1>", svg)
    return re.findall(r"(?<![\w.])-?\d+(?:\.\d+)?(?:e[+-]?\d+)?", drawn)


def a_plot(units: Units = SYSTEMS[0]) -> Plot:
    plot = Plot(units, (u.SPEED, 0.0, 4.0, "Ground speed"), (u.TURNING_SPEED, 0.0, 1.3, "Meter speed"))
    plot.curve([(0.0, 0.0), (4.0, 1.0)], number=1, label="a rate")
    plot.dot(plot.x.at(2.0), plot.y.at(0.5))
    return plot


def test_a_screen_reader_gets_title_and_description_first() -> None:
    root = parsed(a_plot())
    assert root.tag == f"{SVG}svg" and root.get("role") == "img"
    assert root.get("viewBox") == f"0 0 {WIDTH} 320"
    assert [(child.tag, child.text) for child in root][:2] == [
        (f"{SVG}title", "A title"),
        (f"{SVG}desc", "A description"),
    ]


@pytest.mark.parametrize(
    "name", ["<b>", "Oats & peas", "]]>", "a \"b\" 'c'", "{speed}", "Weizen é 小麦 🌾", "<!--"]
)
def test_names_are_escaped(name: str) -> None:
    picture = Picture(50)
    picture.text(10, 20, name)
    root = parsed(picture, name, name)
    assert [child.text for child in root] == [name, name, name]


@given(st.lists(st.tuples(*[st.floats(min_value=-1e4, max_value=1e4)] * 2), min_size=1, max_size=6))
def test_every_coordinate_has_two_decimals_at_the_most(points: list[tuple[float, float]]) -> None:
    picture = Picture(100.0)
    picture.line(points, dash="9 5", faint=True)
    picture.area(points)
    for x, y in points:
        picture.dot(x, y, hollow=True)
        picture.box(0, 0, x, y, outline=True)
        picture.text(x, y, "word", anchor="end", bold=True)
    svg = picture.svg("t", "d")
    assert all(re.fullmatch(r"-?\d+(\.\d{1,2})?", number) for number in numbers(svg)), svg
    root = ElementTree.fromstring(svg)
    placed = [tuple(map(float, pair.split(","))) for pair in root[2].attrib["points"].split()]
    for (x, y), (shown_x, shown_y) in zip(points, placed, strict=True):
        assert math.isclose(x, shown_x, abs_tol=0.00501) and math.isclose(y, shown_y, abs_tol=0.00501)


def test_no_coordinate_is_a_minus_zero() -> None:
    picture = Picture(10)
    picture.line([(-0.001, -0.0), (1.0, 1.10)])
    assert 'points="0,0 1,1.1"' in picture.svg("t", "d")


def test_a_last_bit_moves_no_coordinate() -> None:
    """12.345 and its neighbors are drawn alike: machines differ by a bit."""
    drawn = set()
    for x in (12.345, math.nextafter(12.345, 99), math.nextafter(12.345, 0)):
        picture = Picture(10)
        picture.dot(x, 1)
        drawn.add(picture.svg("t", "d"))
    assert len(drawn) == 1


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_no_picture_is_made_of_what_is_no_number(wrong: float) -> None:
    with pytest.raises(ArithmeticError):
        Picture(10).dot(wrong, 1)


def test_everything_is_drawn_in_the_text_colour() -> None:
    svg = a_plot().svg("t", "d")
    assert set(re.findall(r'(?:fill|stroke)="([^"]*)"', svg)) <= {"none", "currentColor"}
    assert "style=" not in svg and "<script" not in svg


def test_lines_are_told_apart_by_their_dashes() -> None:
    plot = a_plot()
    for number in range(len(DASHES)):
        plot.curve([(0.0, 0.0), (1.0, 1.0)], number=number)
    lines = parsed(plot).iter(f"{SVG}polyline")
    own = [line.get("stroke-dasharray", "") for line in lines if line.get("stroke-width") == "2.5"]
    assert own[1:] == list(DASHES) and len(set(DASHES)) == len(DASHES)


@given(st.floats(min_value=1e-6, max_value=1e9))
def test_a_nice_step_cuts_into_four_to_ten(span: float) -> None:
    step = nice_step(span)
    digits = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(digits - nice) for nice in (1, 2, 5)) < 1e-9
    assert 4 - 1e-6 <= span / step <= 10 + 1e-6


def test_a_scale_without_extent_still_has_a_step() -> None:
    assert nice_step(0.0) == 1.0
    for value in (0.0, 3.0, 3.7):
        axis = Axis(u.RATIO, Units(), value, value, 0, 100)
        assert axis.low <= value <= axis.high and 0 <= axis.at(value) <= 100


@pytest.mark.parametrize("units", SYSTEMS, ids=str)
@given(
    low=st.floats(min_value=0, max_value=5),
    span=st.floats(min_value=0.01, max_value=30),
)
def test_a_scale_holds_its_range_and_marks_it_evenly(units: Units, low: float, span: float) -> None:
    axis = Axis(u.SPEED, units, low, low + span, 60, 460)
    marks = list(axis.ticks())
    assert 5 <= len(marks) <= 13
    assert math.isclose(marks[0][0], 60) and math.isclose(marks[-1][0], 460)
    gaps = [b[0] - a[0] for a, b in pairwise(marks)]
    assert max(gaps) - min(gaps) < 1e-6
    for value in (low, low + span):
        assert 60 - 1e-6 <= axis.at(value) <= 460 + 1e-6
    # A mark stands where the figure written at it lies, to the two decimals that are drawn.
    unit = axis.unit
    assert unit is not None
    for place, label in marks:
        assert math.isclose(axis.at(float(Fraction(label) * unit.factor)), place, abs_tol=0.005)


def test_marks_below_zero_have_a_minus_sign_and_zero_has_none() -> None:
    axis = Axis(u.SHARE, Units(), -0.003, 0.003, 0, 100)
    labels = [label for _, label in axis.ticks()]
    assert labels == ["−0.3", "−0.2", "−0.1", "0.0", "0.1", "0.2", "0.3"]


@given(st.floats(min_value=-1, max_value=0), st.floats(min_value=0.001, max_value=1))
def test_no_mark_is_a_minus_zero(low: float, high: float) -> None:
    labels = [label for _, label in Axis(u.RATIO, Units(), low, high, 0, 100).ticks()]
    assert not [label for label in labels if label.startswith("−") and not label.strip("−0.")]
    assert len(set(labels)) == len(labels)


def test_scales_carry_the_readers_unit() -> None:
    words = [[t.text for t in parsed(a_plot(units)).iter(f"{SVG}text")] for units in SYSTEMS]
    assert ["Ground speed, km/h" in w for w in words] == [True, False, True]
    assert ["Ground speed, mph" in w for w in words] == [False, True, False]
    assert all("Meter speed, rpm" in w and "a rate" in w for w in words)


def test_all_of_a_plot_lies_in_its_box() -> None:
    root = parsed(a_plot())
    for shape in root:
        xs = [float(shape.get(name, "0")) for name in ("x", "cx")]
        ys = [float(shape.get(name, "0")) for name in ("y", "cy")]
        for pair in shape.get("points", "").split():
            x, y = pair.split(",")
            xs.append(float(x))
            ys.append(float(y))
        assert 0 <= min(xs) and max(xs) <= WIDTH and 0 <= min(ys) and max(ys) <= 320


def test_a_plot_may_have_one_scale_only() -> None:
    plot = Plot(Units(), (u.SPEED, 0.0, 4.0, "Ground speed"), None, height=120, left=100)
    words = [t.text for t in parsed(plot).iter(f"{SVG}text")]
    assert words[-1] == "Ground speed, km/h" and plot.x.start == 100


@pytest.mark.parametrize(
    ("value", "kind", "label"),
    [
        (0.0112085116, u.MASS_PER_AREA, "112 kg/ha"),
        (0.01, u.MASS_PER_AREA, "100 kg/ha"),
        (0.00125, u.MASS_PER_AREA, "12.5 kg/ha"),
        (12_000.0, u.MASS, "12\u2009000 kg"),
        (0.0, u.SPEED, "0 km/h"),
        (2.5, u.RATIO, "2.5"),
        (100.0, u.COUNT, "100"),
    ],
)
def test_labels_are_short(value: float, kind: u.Kind, label: str) -> None:
    assert short(value, kind, Units()) == label


def test_a_picture_is_the_same_each_time() -> None:
    assert len({a_plot().svg("t", "d") for _ in range(3)}) == 1
