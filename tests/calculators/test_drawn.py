"""What pictures write where there is little room, or little to show: by the words of the docstrings.

The figures are our own; what a picture writes is read out of it, and counted by hand.
"""

from __future__ import annotations

import json
import re
from itertools import pairwise
from typing import Any

import pytest

from calc import units as u
from calc.chart import Plot, shortened
from calc.quantity import Units
from calc.record.history import Point, Series, drawn
from calc.reply import respond
from calc.tanks.refill_pictures import one_in
from tests.calculators.pictures import looked_at

TEXT = re.compile(r"<text ([^>]*)>([^<]*)</text>")


def answered(calculator: str, **given: Any) -> dict[str, Any]:
    reply = respond(json.dumps({"calculator": calculator, "given": given, "units": "metric"}))
    assert reply["ok"], reply
    return reply


def chart(reply: dict[str, Any], place: int = 0) -> str:
    svg: str = reply["charts"][place]["svg"]
    looked_at(svg)
    return svg


def written(svg: str, *, bold: bool = False, anchor: str = "") -> list[str]:
    """The numbers that a picture writes, plain or bold, and held where it is said."""
    return [
        text
        for how, text in TEXT.findall(svg)
        if text.isdigit() and ("font-weight" in how) is bold and anchor in how
    ]


def height(drawn_as: str, name: str = "y") -> float:
    """How far down a text or a dot stands, out of its attributes."""
    found = re.search(rf'\b{name}="([\d.]+)"', drawn_as)
    assert found
    return float(found[1])


def catches(count: int, mass: float = 100.0, step: float = 1.0) -> list[dict[str, str]]:
    return [{"run": str(n), "mass": f"{mass + step * (n % 3)} g"} for n in range(1, count + 1)]


def test_a_name_is_cut_by_the_width_of_its_letters() -> None:
    assert shortened("Tank", 4) == "Tank"
    assert shortened("WWWWWW", 4) == "WWWW…"
    assert shortened("nnnnnnnnnn", 4) == "nnnnnn…"  # 6 · 0.62 = 3.72
    assert shortened("WW WWWW", 3) == "WW…"  # no space before the dots


def test_what_a_curve_is_stands_at_its_end() -> None:
    plot = Plot(Units(), (u.SPEED, 0.0, 4.0, "Ground speed"), (u.TURNING_SPEED, 0.0, 1.3, "Meter speed"))
    points = [(0.0, 0.0), (1.0, 0.2), (2.0, 0.6), (3.0, 1.0)]
    plot.curve(points, label="a rate")
    [how] = [how for how, text in TEXT.findall(plot.svg("A", "B")) if text == "a rate"]
    assert f'x="{plot.x.at(3.0) + 5:g}"' in how


@pytest.mark.parametrize(
    ("count", "step"), [(60, 1), (61, 2), (120, 2), (121, 5), (300, 5), (301, 10), (601, 20), (1201, 50)]
)
def test_of_many_lines_one_in_so_many_is_drawn(count: int, step: int) -> None:
    assert one_in(count, 60) == step


def test_runs_are_numbered_as_far_as_there_is_room() -> None:
    for count in (5, 12, 40, 80, 200):
        svg = chart(answered("evenness", catches=catches(count)))
        numbers = [int(one) for one in written(svg, anchor="middle")]
        steps = {b - a for a, b in pairwise(numbers)}
        assert numbers[0] == 1 and len(steps) == 1
        every = steps.pop()
        assert every in (1, 2, 5, 10, 20, 50)
        assert every == 1 or count / every <= 40


def test_the_ends_are_numbered_where_runs_differ() -> None:
    differing = chart(answered("evenness", catches=catches(5)))
    assert len(written(differing, bold=True)) == 2
    alike = chart(answered("evenness", catches=catches(5, step=0.0)))
    assert written(alike, bold=True) == []


def test_the_catches_of_a_sampling_are_counted_from_none() -> None:
    assert written(chart(answered("sampling", cv="2 %", error="1 %")))[0] == "0"


def test_few_passes_are_all_numbered() -> None:
    tanks = [{"name": "Seed", "mass": "300 kg", "rate": "100 kg/ha"}]
    given = {"tanks": tanks, "width": "10 m", "pass_length": "1000 m", "field_area": "4 ha"}
    reply = answered("refill-plan", **given)
    assert any(written(one["svg"], anchor="middle") == ["1", "2", "3", "4"] for one in reply["charts"])


def test_no_pass_is_numbered_that_the_field_does_not_have() -> None:
    tanks = [{"name": "Seed", "mass": "3000 kg", "rate": "100 kg/ha"}]
    given = {"tanks": tanks, "width": "10 m", "pass_length": "1000 m", "field_area": "99 ha"}
    numbers = [written(one["svg"], anchor="middle") for one in answered("refill-plan", **given)["charts"]]
    assert ["1", "20", "40", "60", "80"] in numbers


def test_a_field_of_one_pass_is_not_less_than_one() -> None:
    tanks = [{"name": "Seed", "mass": "300 kg", "rate": "100 kg/ha"}]
    codes = {}
    for area in ("0.99 ha", "1 ha"):
        given = {"tanks": tanks, "width": "10 m", "pass_length": "1000 m", "field_area": area}
        codes[area] = {note["code"] for note in answered("refill-plan", **given)["notes"]}
    assert codes["0.99 ha"] - codes["1 ha"]


def test_where_a_hopper_ends_is_written_inside_the_plot() -> None:
    given = {"body": "box", "length": "4 m", "width": "2 m", "height": "3 m", "hopper": "wedge"}
    reply = answered("bin-capacity", **given, hopper_depth="0.5 m", outlet_length="0.3 m")
    places = {text: how for svg in reply["charts"] for how, text in TEXT.findall(svg["svg"])}
    highest = min(float(y) for svg in reply["charts"] for y in re.findall(r"M[\d.]+,([\d.]+)H", svg["svg"]))
    assert height(places["top of hopper"]) > highest


def test_a_lot_is_written_above_its_point() -> None:
    points = [Point("2027-04-01T10:00:00Z", "1 kg/rev", 1.0, "L7"), Point("2027-04-02", "2", 2.0, "")]
    svg = drawn(Series("Seed", u.MASS_PER_TURN, points), Units())
    [how] = [how for how, text in TEXT.findall(svg) if text == "L7"]
    assert height(how) < height(svg[svg.index("<circle") :], "cy")
