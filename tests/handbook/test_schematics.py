"""Pictures of the ways of air and oil: all that the sheet says is in them, and all of it can be read.

Sources: the sheet itself, by definition; that air carries product from the meters to the heads and on to the
runs, and that a case drain has a free line of its own, is common practice.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calc.quantity import Units
from calc.reply import reply
from calc.units import SYSTEMS
from handbook.machines.reading import read_sheet
from handbook.machines.schematics import Drawing, air_path, oil_path
from handbook.machines.sheet import Air, Oil, Sheet
from tests.calculators.pictures import SVG, box_of, looked_at
from tests.handbook.conftest import ReadSheet

OIL = Oil(
    displacement="1.5 in3/rev",
    volumetric_efficiency="95 %",
    pressure="2200 psi",
    tractor_flow="40 gpm",
    meters_flow="6 gpm",
    hose_bore="1 in",
)
PLAIN = {  # words in a picture that are no name and no figure
    "air",
    "Fan",
    "meter",
    "gives",
    "free, no pressure",
    "Which stream goes where: see the machine's papers",
}
Points = list[tuple[float, float]]


@pytest.fixture
def machine(sheet: ReadSheet, sheet_text: str) -> Sheet:
    """The tests' own machine, with its hoses and its oil."""
    return sheet(sheet_text).model_copy(update={"air": Air(hoses="6", hose_bore="2.5 in"), "oil": OIL})


def with_tanks(machine: Sheet, *tanks: tuple[str, str, str]) -> Sheet:
    """The machine with these tanks: name, product and stream."""
    made = [
        machine.tanks[0].model_copy(update={"name": name, "product": product, "stream": stream})
        for name, product, stream in tanks
    ]
    return machine.model_copy(update={"tanks": tuple(made)})


def root_of(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(drawing.picture.svg(drawing.title, drawing.description))


def words_in(drawing: Drawing) -> list[str]:
    return [text.text or "" for text in root_of(drawing).iter(f"{SVG}text")]


def points_of(shape: ElementTree.Element) -> Points:
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in shape.attrib["points"].split())]


def lines_in(root: ElementTree.Element, width: str) -> list[tuple[Points, str]]:
    """The lines of a width: their points and their dash."""
    found = (line for line in root.iter(f"{SVG}polyline") if line.attrib["stroke-width"] == width)
    return [(points_of(line), line.get("stroke-dasharray", "")) for line in found]


def arrows_in(root: ElementTree.Element) -> Points:
    """The tips of the arrow heads."""
    solid = (area for area in root.iter(f"{SVG}polygon") if area.attrib["fill-opacity"] == "1")
    return [points_of(area)[0] for area in solid]


def text_at(root: ElementTree.Element, words: str) -> list[tuple[float, float]]:
    """Where these words stand."""
    found = (text for text in root.iter(f"{SVG}text") if text.text == words)
    return [(float(text.attrib["x"]), float(text.attrib["y"])) for text in found]


def crosses(one: tuple[float, float], other: tuple[float, float], box: Sequence[float]) -> bool:
    """Whether the way from one point to the other enters a box (Liang and Barsky's clipping)."""
    left, top, right, bottom = box
    (x, y), (to_x, to_y) = one, other
    enters, leaves = 0.0, 1.0
    for step, low, high in ((to_x - x, left - x, right - x), (to_y - y, top - y, bottom - y)):
        if step == 0:
            if low > 0 or high < 0:
                return False
            continue
        first, last = sorted((low / step, high / step))
        enters, leaves = max(enters, first), min(leaves, last)
    return enters <= leaves


def check_legible(drawing: Drawing) -> None:
    """Words keep apart, stay inside, are large enough, and no line, arrow head or ring runs through them."""
    root = looked_at(drawing.picture.svg(drawing.title, drawing.description)).root
    shapes = [*root.iter(f"{SVG}polyline")]
    shapes += [area for area in root.iter(f"{SVG}polygon") if area.attrib["fill-opacity"] == "1"]
    paths = [points_of(shape) for shape in shapes]
    rings = [
        tuple(float(ring.attrib[name]) for name in ("cx", "cy", "r")) for ring in root.iter(f"{SVG}circle")
    ]
    for text in root.iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        assert size >= 14
        left, top, right, bottom = box_of(text)
        box = (left, top + 0.2 * size, right, bottom + 0.2 * size)  # from the tallest letter to the lowest
        for path in paths:
            assert not any(crosses(*ends, box) for ends in pairwise(path)), text.text
        for x, y, radius in rings:
            nearest = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
            assert math.dist((x, y), nearest) >= radius, text.text


def test_the_air_path_holds_what_the_sheet_says(machine: Sheet) -> None:
    tanks = ("Tank 1", "urea", "side band"), ("Tank 2", "wheat", "seed row"), ("Tank 3", "oats", "seed row")
    drawing = air_path(with_tanks(machine, *tanks), Units("us"))
    seen = words_in(drawing)
    for words in ("Tank 1", "urea", "Tank 2", "wheat", "Tank 3", "oats", "side band", "seed row"):
        assert seen.count(words) == 1
    assert {"3600 rpm", "6 hoses, 2.5 in inside", "6 heads", "48 runs", "10 in apart"} <= set(seen)
    assert drawing.title == "Trial Two: the way of the air"
    assert drawing.description == (
        "The fan, at 3600 rpm, blows air into 2 streams: “side band” and “seed row”. "
        "In order from the front, the meter of “Tank 1” drops urea into “side band”, "
        "the meter of “Tank 2” drops wheat into “seed row” and "
        "the meter of “Tank 3” drops oats into “seed row”. "
        "Through 6 hoses, 2.5 in inside, air and product go on to 6 heads, and from there to 48 runs, "
        "10 in apart. The machine's papers say which hoses and heads belong to which stream."
    )


def test_figures_are_in_the_readers_units(machine: Sheet) -> None:
    # An inch is 25.4 mm and a US gallon 231 in³, by definition: 40 gpm is 151.4 L/min, 2200 psi 15 170 kPa.
    assert {"6 hoses, 63.5 mm inside", "254 mm apart"} <= set(words_in(air_path(machine, Units("metric"))))
    seen = words_in(oil_path(machine, Units("metric")))
    assert {"151.4 L/min", "take 22.71 L/min", "at 15\u2009170 kPa", "25.4 mm inside"} <= set(seen)


def test_the_oil_path_holds_what_the_sheet_says(machine: Sheet) -> None:
    # 1.5 in³ a turn, 3600 turns a minute, 231 in³ to the gallon and 95 % of it used: 24.61 gpm, by hand.
    drawing = oil_path(machine, Units("us"))
    assert {"Tractor", "40 gpm", "Fan motor", "3600 rpm", "takes 24.61 gpm", "at 2200 psi"} <= set(
        words_in(drawing)
    )
    assert {"pressure hose", "1 in inside", "case drain", "free, no pressure"} <= set(words_in(drawing))
    assert {"Meter drives", "take 6 gpm"} <= set(words_in(drawing))
    assert words_in(drawing).count("return") == 2
    assert drawing.title == "Trial Two: the way of the oil"
    assert drawing.description == (
        "The tractor gives 40 gpm of oil. Through the pressure hose, 1 in inside, it goes to the fan motor, "
        "which takes 24.61 gpm at 3600 rpm and 2200 psi, and comes back by the return. "
        "The case drain goes from the motor back to the tractor by a line of its own, "
        "free and without pressure. "
        "The meter drives take 6 gpm from the same pressure line, and have a return too."
    )


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_motor_takes_what_the_calculator_says(machine: Sheet, system: str) -> None:
    given_ = {
        "displacement": OIL.displacement,
        "shaft_speed": machine.fan.working,
        "volumetric_efficiency": OIL.volumetric_efficiency,
        "pressure": OIL.pressure,
    }
    shown = reply("oil", given_, system)["results"]["flow"]["shown"]
    assert f"takes {shown}" in words_in(oil_path(machine, Units(system)))


def test_meters_without_oil(machine: Sheet) -> None:
    oil = OIL.model_copy(update={"meters_flow": None, "hose_bore": None})
    drawing = oil_path(machine.model_copy(update={"oil": oil}), Units("us"))
    assert "Meter drives" not in words_in(drawing)
    assert words_in(drawing).count("return") == 1
    assert drawing.description.endswith("The meters of this machine are not driven by oil.")
    assert "Through the pressure hose it goes to the fan motor" in drawing.description
    assert not any("inside" in words for words in words_in(drawing))
    check_legible(drawing)


def test_a_sheet_without_oil_has_no_way_of_the_oil(machine: Sheet) -> None:
    with pytest.raises(ValueError, match="Trial Two says nothing of its oil"):
        oil_path(machine.model_copy(update={"oil": None}), Units("us"))


def test_a_sheet_without_hoses_has_a_way_of_the_air(machine: Sheet) -> None:
    drawing = air_path(machine.model_copy(update={"air": None}), Units("us"))
    assert "hoses to the heads" in words_in(drawing)
    assert "Through hoses, air and product go on to 6 heads" in drawing.description
    check_legible(drawing)


def test_what_the_air_does_not_carry_is_left_out_and_said(root: Path) -> None:
    mixed = read_sheet(root / "docs" / "machines" / "ridge-mixed.yml", "ridge-mixed.yml").value
    assert mixed
    said = air_path(mixed, Units("us")).description
    assert said.endswith("The picture leaves out the liquid and the ammonia.")
    only = mixed.model_copy(update={"ammonia": None})
    assert air_path(only, Units("us")).description.endswith("The picture leaves out the liquid.")


@pytest.mark.parametrize("streams", [1, 2, 3, 4, 5, 8])
def test_product_goes_into_its_own_stream(machine: Sheet, streams: int) -> None:
    """Each meter's arrow ends on the line that bears the name of its tank's stream, and bows over others."""
    named = with_tanks(machine, *((f"T{i}", f"P{i}", f"S{i % streams}") for i in range(8)))
    root = root_of(air_path(named, Units("us")))
    lanes = [path for path, _ in lines_in(root, "3.5") if len(path) == 3]
    assert len(lanes) == streams
    meters = [ring for ring in root.iter(f"{SVG}circle") if ring.attrib["r"] == "10"]
    assert len(meters) == 8
    for tank, meter in zip(named.tanks, meters, strict=True):
        ((x, y),) = text_at(root, tank.stream)
        # The stream's name stands over its line, at the side on which it runs down.
        (own,) = (path for path in lanes if abs(path[0][1] - y) < 12 and abs(path[1][0] - x) < 20)
        lane, height = own[1][0], float(meter.attrib["cy"])
        (tip,) = (tip for tip in arrows_in(root) if tip[1] == pytest.approx(height))
        assert tip[0] == pytest.approx(lane, abs=3)
        outlet = float(meter.attrib["cx"])
        between = [path for path in lanes if min(lane, outlet) < path[1][0] < max(lane, outlet)]
        (feed,) = (
            path
            for path, _ in lines_in(root, "2")
            if path[0][1] == path[-1][1] == pytest.approx(height) and abs(path[0][0] - outlet) < 11
        )
        assert len(feed) == 2 + 9 * len(between)
        for path in between:
            assert min(math.dist(path[1][:1], (point[0],)) for point in feed[1:-1]) < 1


@pytest.mark.parametrize("streams", [2, 3, 4])
def test_streams_are_told_apart_without_colour(machine: Sheet, streams: int) -> None:
    named = with_tanks(machine, *((f"T{i}", f"P{i}", f"S{i}") for i in range(streams)))
    root = root_of(air_path(named, Units("us")))
    assert len({dash for path, dash in lines_in(root, "3.5") if len(path) == 3}) == streams


def test_oil_runs_as_its_arrows_say(machine: Sheet) -> None:
    """Pressure away from the tractor, return and case drain back to it: common practice."""
    root = root_of(oil_path(machine, Units("us")))
    ((tractor, _),) = text_at(root, "Tractor")
    ((motor, _),) = text_at(root, "Fan motor")
    lines = {"pressure hose": motor, "return": tractor, "case drain": tractor}
    for words, toward in lines.items():
        for x, y in text_at(root, words):
            (tip,) = (tip for tip in arrows_in(root) if abs(tip[1] - y) < 12)
            assert (tip[0] > x) == (toward > x)
    (drain,) = (path for path, dash in lines_in(root, "2") if dash)
    assert len(drain) == 2  # nothing else joins it


@pytest.mark.parametrize("heads", [1, 2, 8, 12, 20])
@pytest.mark.parametrize("runs", [1, 40, 72, 200])
def test_heads_and_runs_are_counted(machine: Sheet, heads: int, runs: int) -> None:
    drawing = air_path(machine.model_copy(update={"heads": str(heads), "runs": str(runs)}), Units("us"))
    check_legible(drawing)
    root = root_of(drawing)
    for count, one in ((heads, "head"), (runs, "run")):
        words = f"{count} {one}{'s' * (count > 1)}"
        assert words in words_in(drawing)
        assert words in drawing.description
    rings = [ring for ring in root.iter(f"{SVG}circle") if ring.attrib["r"] == "8"]
    assert len(rings) == (heads if heads <= 12 else 0)
    ticks = [
        path for path, _ in lines_in(root, "1.5") if len(path) == 2 and abs(path[1][1] - path[0][1]) == 12
    ]
    assert len(ticks) == (runs if runs <= 72 else 0)


def test_names_that_are_too_long_are_cut(machine: Sheet) -> None:
    name, product, stream = "N" + "ame " * 9 + "end", "P" + "roduct " * 6 + "end", "S" + "tream " * 6 + "e"
    tanks = (name, product, stream), ("Rear", "oats", "seed row")
    drawing = air_path(with_tanks(machine, *tanks), Units("us"))
    for whole in (name, product, stream):
        (shown,) = (
            words for words in words_in(drawing) if whole.startswith(words[:1]) and words.endswith("…")
        )
        assert whole.startswith(shown[:-1])
        assert len(shown) > 15
        assert whole in drawing.description


@pytest.mark.parametrize("name", ["marsh-two", "prairie-four", "ridge-mixed"])
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_books_machines_can_be_read(root: Path, name: str, system: str) -> None:
    found = read_sheet(root / "docs" / "machines" / f"{name}.yml", f"{name}.yml").value
    assert found
    for draw in (air_path, oil_path):
        drawing = draw(found, Units(system))
        check_legible(drawing)
        assert not any(words.endswith("…") for words in words_in(drawing))


LETTERS = "abc defghijklmnopqrstuvwxyzMWN-é小"
NAMES = st.text(LETTERS, min_size=1, max_size=40).map(str.strip).filter(bool)


@st.composite
def tanks_of(draw: st.DrawFn) -> list[tuple[str, str, str]]:
    """One to eight tanks in one to four streams."""
    streams = draw(st.lists(NAMES, min_size=1, max_size=4, unique=True))
    names = draw(st.lists(NAMES, min_size=1, max_size=8, unique=True))
    return [(name, draw(NAMES), draw(st.sampled_from(streams))) for name in names]


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    tanks=tanks_of(),
    heads=st.integers(1, 20),
    runs=st.integers(1, 200),
    hoses=st.none() | st.integers(1, 24),
    meters=st.none() | st.just("24.75 gpm"),
    system=st.sampled_from(SYSTEMS),
)
def test_every_machine_can_be_read(
    machine: Sheet,
    tanks: list[tuple[str, str, str]],
    heads: int,
    runs: int,
    hoses: int | None,
    meters: str | None,
    system: str,
) -> None:
    air = Air(hoses=str(hoses), hose_bore="2.375 in") if hoses else None
    oil = OIL.model_copy(update={"meters_flow": meters, "pressure": "2150 psi", "hose_bore": "0.875 in"})
    parts = {"heads": str(heads), "runs": str(runs), "air": air, "oil": oil, "spacing": "7.25 in"}
    made = with_tanks(machine.model_copy(update=parts), *tanks)
    for draw in (air_path, oil_path):
        drawing = draw(made, Units(system))
        check_legible(drawing)
        check_one_colour(root_of(drawing))
        check_described(drawing)


def check_one_colour(root: ElementTree.Element) -> None:
    """Everything is drawn in the colour of the text around it."""
    used = {shape.get(name) for shape in root.iter() for name in ("fill", "stroke")} - {None}
    assert used == {"none", "currentColor"}
    assert not any({"style", "class", "color"} & set(shape.attrib) for shape in root.iter())


def check_described(drawing: Drawing) -> None:
    """Every name and figure of the picture is in its description, which is made of whole sentences."""
    for words in set(words_in(drawing)) - PLAIN:
        said = re.sub("^at |…$| to the heads$", "", words)
        assert said.lower() in drawing.description.lower(), words
    assert drawing.description.endswith(".")
    assert drawing.description[0].isupper()
