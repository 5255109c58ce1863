"""`bin-capacity` against published figures, independent libraries and what must hold for any tank."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import trimesh
from fluids.geometry import TANK, A_partial_circle
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.spatial import ConvexHull, HalfspaceIntersection
from shapely.geometry import Point, box

from calc.declare import Found
from calc.number import settle
from calc.quantity import Units
from calc.reply import compact, respond
from calc.tanks.bin_capacity import bin_capacity
from calc.tanks.shapes import Lying, Sides, Upright, circle_segment
from calc.units import FOOT, INCH, US_BUSHEL, US_GALLON
from tests.calculators.many import examples

INCHES, GALLONS = float(INCH), float(US_GALLON)
SIZE = st.floats(0.2, 6.0)
SHARE = st.floats(0.0, 1.0)
ANGLE = st.floats(math.radians(1), math.radians(55))
many = settings(derandomize=True, max_examples=examples(150), deadline=None)


@st.composite
def boxes(draw: st.DrawFn) -> Upright:
    top = Sides(draw(SIZE), draw(SIZE))
    outlet = Sides(top.length * draw(SHARE), top.width * draw(st.one_of(SHARE, st.just(1.0))))
    return Upright(top, draw(st.floats(0.1, 5.0)), outlet, draw(st.floats(0.1, 4.0)))


@st.composite
def bins(draw: st.DrawFn) -> Upright:
    diameter = draw(SIZE)
    outlet = diameter * draw(SHARE)
    height, hopper = draw(st.floats(0.1, 8.0)), draw(st.floats(0.1, 4.0))
    return Upright(Sides(diameter, diameter), height, Sides(outlet, outlet), hopper, round=True)


tanks = st.one_of(boxes(), bins(), st.builds(Lying, SIZE, SIZE))


def corners(sides: Sides, z: float) -> list[tuple[float, float, float]]:
    return [(x * sides.length / 2, y * sides.width / 2, z) for x in (-1, 1) for y in (-1, 1)]


def hull(points: list[tuple[float, float, float]]) -> float:
    """Volume of a convex solid by trimesh, from its corners."""
    return float(trimesh.convex.convex_hull(np.array(points)).volume)


def values(**given: Any) -> dict[str, Any]:
    found = bin_capacity(**given)
    assert isinstance(found, Found)
    return dict(found.values)


# --- published figures -----------------------------------------------------------------------------------


def test_circle_of_d_jones() -> None:
    # D. Jones, tank volumes, in the documentation of fluids: D 96, depth 22 prints an area of 1251.2018
    assert f"{circle_segment(96, 22):.4f}" == "1251.2018"


def test_lying_tank_with_conical_ends_of_d_jones() -> None:
    # Same source, inches to US gallons: D 108, L 156, cones 42 deep, depth 36 prints 2041.19. Our part is the
    # cylinder; the ends are added here, slice by slice, each a circle about the same axis.
    def slice_of_cone(along: float) -> float:
        radius = 54 * (1 - along / 42)
        wet = 36 - 54 + radius
        return circle_segment(2 * radius, wet) if wet > 0 else 0.0

    ends = 2 * quad(slice_of_cone, 0, 42, points=[28.0], epsabs=1e-9)[0]
    assert f"{(Lying(108, 156).volume_to(36) + ends) / 231:.2f}" == "2041.19"


def test_lying_tank_on_which_three_libraries_agree() -> None:
    # Computed for the reference list: D 48 in, L 96 in, depth 19.2 in is 280.9035 of 752.0238 US gal
    found = values(body="lying-cylinder", diameter=48 * INCHES, length=96 * INCHES, depth=19.2 * INCHES)
    assert f"{found['volume'] / GALLONS:.4f}" == "280.9035"
    assert f"{found['level_volume'] / GALLONS:.4f}" == "752.0238"


def test_grain_pile_frustum_of_willis() -> None:
    # B. Willis: h 3.5 m, radii 2.5 and 4.9 m prints "about 5 500 ft³"; exactly 155.807 m³ = 5 502.3 ft³
    tank = Upright(Sides(9.8, 9.8), 1.0, Sides(5.0, 5.0), 3.5, round=True)
    volume = tank.volume_to(3.5)
    assert f"{volume:.3f}" == "155.807"
    assert f"{volume / float(FOOT) ** 3:.1f}" == "5502.3"
    assert round(volume / float(FOOT) ** 3, -2) == 5500


def test_bushels_in_a_foot_of_round_bin() -> None:
    # Iowa Grain Warehouse Bureau prints 0.7854 · 0.80385 = 0.6313. Its bushels in a cubic foot are 0.03 %
    # high (2150.42 in³ give 0.80356), so its product is checked as arithmetic and ours as 0.63112.
    assert f"{0.7854 * 0.80385:.4f}" == "0.6313"
    foot = float(FOOT)
    found = values(body="upright-cylinder", diameter=foot, height=foot)
    assert f"{found['level_volume'] / float(US_BUSHEL):.5f}" == "0.63112"


@pytest.mark.parametrize(
    ("outlet", "volume"),
    [(Sides(0.4, 1.5), "3.600000"), (Sides(0.4, 0.2), "2.386667")],
    ids=["wedge", "pyramid"],
)
def test_hoppers_that_trimesh_computed(outlet: Sides, volume: str) -> None:
    # Computed with trimesh for the reference list: 2.0 × 1.5 m, 2 m deep, to a slot and to a rectangle
    top = Sides(2.0, 1.5)
    assert f"{Upright(top, 1.0, outlet, 2.0).volume_to(2.0):.6f}" == volume
    assert f"{hull([*corners(top, 2.0), *corners(outlet, 0.0)]):.6f}" == volume


def test_flatter_heap_is_much_smaller() -> None:
    # Reference list: a heap at 16 degrees is 39 % less than one at 25 degrees
    flat, steep = (
        values(body="upright-cylinder", diameter=4.0, height=3.0, heap_angle=math.radians(a))["heap_volume"]
        for a in (16, 25)
    )
    assert f"{1 - flat / steep:.0%}" == "39%"


# --- independent libraries over many tanks ---------------------------------------------------------------


# Of a depth below a millionth fluids takes the arc cosine of nearly 1 and finds less than nothing: 2.5 m wide
# and 1 m long, to 2e-16 of the depth, −6e-9 m³. How ours does there is compared with scipy below.
WET = st.just(0.0) | st.floats(1e-6, 1.0)


@many
@given(SIZE, SIZE, WET)
def test_lying_cylinder_against_fluids_and_shapely(diameter: float, length: float, share: float) -> None:
    depth = diameter * share
    made = Lying(diameter, length).volume_to(depth)
    # fluids: a horizontal tank with flat ends, and the circle's part alone
    other = TANK(D=diameter, L=length, horizontal=True)
    assert made == pytest.approx(other.V_from_h(depth), rel=1e-7, abs=1e-9)
    assert made == pytest.approx(length * A_partial_circle(diameter, depth), rel=1e-7, abs=1e-9)
    # shapely: a circle of 4096 sides cut by a level line; such a circle is 4e-7 smaller
    circle = Point(0, diameter / 2).buffer(diameter / 2, quad_segs=1024)
    wet = circle.intersection(box(-diameter, -1.0, diameter, depth))
    assert made == pytest.approx(length * wet.area, rel=1e-5, abs=2e-6 * length * diameter**2)


def test_small_depth_in_a_circle_keeps_its_digits() -> None:
    # scipy: the chord integrated over depth, with u = √h so that the integrand is smooth at the bottom
    for depth in (1e-12, 1e-8, 1e-4, 0.01, 0.07, 0.12, 0.13, 0.5, 1.0, 1.9, 2.0):
        area = quad(lambda u: 4 * u * u * math.sqrt(2 - u * u), 0, math.sqrt(depth), epsabs=0, epsrel=1e-13)[
            0
        ]
        assert circle_segment(2.0, depth) == pytest.approx(area, rel=1e-11, abs=0)


@many
@given(SIZE, st.floats(0.1, 8.0), st.floats(0.1, 4.0), SHARE)
def test_bin_on_a_pointed_cone_against_fluids(
    diameter: float, height: float, hopper: float, share: float
) -> None:
    made = Upright(Sides(diameter, diameter), height, Sides(0.0, 0.0), hopper, round=True)
    other = TANK(D=diameter, L=height, horizontal=False, sideA="conical", sideA_a=hopper)
    depth = share * (height + hopper)
    assert made.volume_to(depth) == pytest.approx(other.V_from_h(depth), rel=1e-9, abs=1e-12)


@many
@given(bins(), SHARE)
def test_bin_on_a_cone_frustum_against_scipy(tank: Upright, share: float) -> None:
    # scipy: circles integrated up to the depth, with the wall written out here
    def area(z: float) -> float:
        across = tank.outlet.width + (tank.top.width - tank.outlet.width) * min(z / tank.hopper_depth, 1.0)
        return math.pi / 4 * across**2

    depth = share * tank.depth
    pieces = sorted({0.0, min(depth, tank.hopper_depth), depth})
    total = math.fsum(quad(area, a, b)[0] for a, b in pairwise(pieces))
    assert tank.volume_to(depth) == pytest.approx(total, rel=1e-9, abs=1e-12)


@settings(derandomize=True, max_examples=examples(30), deadline=None)
@given(bins())
def test_bin_and_heap_against_a_turned_solid(tank: Upright) -> None:
    # trimesh: the outline turned about its middle in 720 steps; such a circle is 1.3e-5 smaller
    rise = tank.rise(math.radians(30))
    radius, outlet = tank.top.width / 2, tank.outlet.width / 2
    outline = [(0, 0), (outlet, 0), (radius, tank.hopper_depth), (radius, tank.depth), (0, tank.depth + rise)]
    turned = trimesh.creation.revolve(np.array(outline, dtype=float), sections=720)
    made = tank.volume_to(tank.depth) + tank.heap(math.radians(30))
    assert made == pytest.approx(turned.volume, rel=2e-5)


@many
@given(boxes(), SHARE)
def test_box_on_a_hopper_against_trimesh(tank: Upright, share: float) -> None:
    # trimesh: convex hulls of the corners, hopper and body apart
    assume(min(tank.outlet) > 0.01)
    level = share * tank.depth
    assume(level > 0.01)
    into = min(level / tank.hopper_depth, 1.0)
    wet = Sides(*(o + (t - o) * into for o, t in zip(tank.outlet, tank.top, strict=True)))
    volume = hull([*corners(tank.outlet, 0.0), *corners(wet, min(level, tank.hopper_depth))])
    if level > tank.hopper_depth + 1e-6:
        volume += hull([*corners(tank.top, tank.hopper_depth), *corners(tank.top, level)])
    assert tank.volume_to(level) == pytest.approx(volume, rel=1e-6)


@many
@given(SIZE, SIZE, ANGLE)
def test_hipped_heap_against_trimesh(length: float, width: float, angle: float) -> None:
    # trimesh: the hull of four corners and the two ends of the ridge
    tank = Upright(Sides(length, width), 1.0, Sides(length, width), 0.0)
    rise = min(length, width) / 2 * math.tan(angle)
    ridge = (max(length - width, 0) / 2, max(width - length, 0) / 2)
    ends = [(ridge[0], ridge[1], rise), (-ridge[0], -ridge[1], rise)]
    assert tank.heap(angle) == pytest.approx(hull([*corners(tank.top, 0.0), *ends]), rel=1e-6)


@many
@given(boxes(), ANGLE)
def test_room_lost_under_a_lid_against_half_spaces(tank: Upright, angle: float) -> None:
    # scipy: the product is what lies inside all the walls and under the four slopes; its volume is a hull's
    assume(min(tank.outlet) > 0.05)
    length, width = tank.top
    spaces = [[0, 0, 1, -tank.depth], [0, 0, -1, 0]]
    for axis, full, outlet in ((0, length, tank.outlet.length), (1, width, tank.outlet.width)):
        ridge = (full - min(length, width)) / 2
        lean = (full - outlet) / 2 / tank.hopper_depth
        for side in (-1.0, 1.0):
            across = [side, 0.0] if axis == 0 else [0.0, side]
            spaces.append([*across, 0, -full / 2])
            spaces.append([*across, -lean, -outlet / 2])
            spaces.append([*(a * math.tan(angle) for a in across), 1, -tank.depth - ridge * math.tan(angle)])
    inside = np.array([0.0, 0.0, min(tank.depth, 0.02) / 2])
    solid = ConvexHull(HalfspaceIntersection(np.array(spaces, dtype=float), inside).intersections)
    held = tank.volume_to(tank.depth) - tank.void(angle)
    assert held == pytest.approx(solid.volume, rel=1e-6)


@many
@given(bins(), ANGLE)
def test_room_lost_in_a_round_bin_against_scipy(tank: Upright, angle: float) -> None:
    # scipy: rings between the slope and the wall or floor, integrated over the radius
    radius, outlet = tank.top.width / 2, tank.outlet.width / 2

    def ring(r: float) -> float:
        floor = 0.0 if r <= outlet else (r - outlet) / (radius - outlet) * tank.hopper_depth
        return 2 * math.pi * r * max(tank.depth - r * math.tan(angle) - floor, 0.0)

    steep = tank.hopper_depth / (radius - outlet) if radius > outlet else math.inf
    met = (tank.depth + outlet * steep) / (math.tan(angle) + steep) if radius > outlet else radius
    stops = sorted({r for r in (0.0, outlet, met, tank.depth / math.tan(angle), radius) if r <= radius})
    held = math.fsum(quad(ring, a, b)[0] for a, b in pairwise(stops))
    assert tank.volume_to(tank.depth) - tank.void(angle) == pytest.approx(held, rel=1e-7)


# --- what must hold for any tank -------------------------------------------------------------------------


@many
@given(tanks, SHARE, SHARE)
def test_volume_rises_with_depth(tank: Upright | Lying, one: float, other: float) -> None:
    low, high = sorted((one * tank.depth, other * tank.depth))
    assert tank.volume_to(0.0) == 0.0
    assert settle(tank.volume_to(low)) <= settle(tank.volume_to(high))
    if high - low > 0.01 * tank.depth:
        assert tank.volume_to(low) < tank.volume_to(high)


@many
@given(st.one_of(boxes(), bins()), ANGLE)
def test_heap_and_room_lost_belong_together(tank: Upright, angle: float) -> None:
    assert tank.heap(0.0) == tank.void(0.0) == 0.0
    assert 0 < tank.void(angle) <= tank.volume_to(tank.depth) * (1 + 1e-12)
    if tank.rise(angle) <= tank.height:  # heap and room lost then fill a slab as high as the heap
        slab = tank.area(tank.top) * tank.rise(angle)
        assert tank.heap(angle) + tank.void(angle) == pytest.approx(slab, rel=1e-12)
    assert tank.void(angle) < tank.void(angle + 0.05)
    # as good as a thin slab less a thin heap, to as many digits as are shown
    thin = angle * 1e-9
    slab = tank.area(tank.top) * tank.rise(thin)
    assert tank.void(thin) == pytest.approx(slab - tank.heap(thin), rel=1e-10, abs=0)


@many
@given(boxes(), ANGLE)
def test_turning_a_box_changes_nothing(tank: Upright, angle: float) -> None:
    turned = Upright(Sides(*tank.top[::-1]), tank.height, Sides(*tank.outlet[::-1]), tank.hopper_depth)
    assert turned.volume_to(tank.depth * 0.7) == pytest.approx(tank.volume_to(tank.depth * 0.7), rel=1e-12)
    assert turned.heap(angle) == pytest.approx(tank.heap(angle), rel=1e-12)
    assert turned.void(angle) == pytest.approx(tank.void(angle), rel=1e-12)


@many
@given(SIZE, SIZE, SIZE, st.floats(100, 1500), st.floats(0.001, 0.4))
def test_mass_area_and_dip_table_follow_the_volume(
    length: float, width: float, height: float, density: float, rate: float
) -> None:
    found = bin_capacity(
        body="box", length=length, width=width, height=height, heap_angle=0.3, bulk_density=density, rate=rate
    )
    made: dict[str, Any] = dict(found.values)
    assert made["volume"] == made["level_volume"] + made["heap_volume"]
    assert made["mass"] == pytest.approx(made["volume"] * density, rel=1e-12)
    assert made["area"] * rate == pytest.approx(made["mass"], rel=1e-12)
    rows: Any = found.rows("dip", Units())
    assert 8 <= len(rows) <= 25
    assert all(settle(row[0] / rows[0][0]) == round(row[0] / rows[0][0]) for row in rows[:-1])
    assert f"{rows[0][0]:.0e}"[0] in "125"  # round steps of the reader's own unit
    assert [row[0] for row in rows] == sorted(row[0] for row in rows)
    assert rows[-1] == [height, made["level_volume"], made["level_volume"] * density, 1.0]
    for depth, volume, mass, share in rows:
        assert volume == pytest.approx(length * width * depth, rel=1e-12)
        assert mass == pytest.approx(volume * density, rel=1e-12)
        assert share == pytest.approx(depth / height, rel=1e-12)


def test_full_depth_is_level_full() -> None:
    # 3 ft of hopper and 4 ft of body are 7 ft, though not in the last bit: no “too deep”
    sizes: dict[str, Any] = {"body": "box", "length": 2.0, "width": 1.5, "height": 4 * 0.3048}
    sizes |= {"hopper": "pyramid", "hopper_depth": 3 * 0.3048, "outlet_length": 0.3, "outlet_width": 0.2}
    found = values(**sizes, depth=7 * 0.3048)
    assert settle(found["volume"]) == settle(found["level_volume"])
    assert values(**sizes)["volume"] == found["level_volume"]


# --- what a person gives wrong ---------------------------------------------------------------------------

BOX = {"body": "box", "length": "2 m", "width": "1.5 m", "height": "1 m"}
BIN = {"body": "upright-cylinder", "diameter": "3 m", "height": "4 m"}
LYING = {"body": "lying-cylinder", "diameter": "1.2 m", "length": "3 m"}
CONE = {"hopper": "cone", "hopper_depth": "1 m", "outlet_diameter": "200 mm"}


@pytest.mark.parametrize(
    ("given", "wrong"),
    [
        ({"body": "box"}, {"length": "needed-with", "width": "needed-with", "height": "needed-with"}),
        ({"body": "upright-cylinder"}, {"height": "needed-with", "diameter": "needed-with"}),
        ({"body": "lying-cylinder"}, {"length": "needed-with", "diameter": "needed-with"}),
        ({**BOX, "diameter": "1 m"}, {"diameter": "not-used"}),
        ({**BIN, "length": "1 m", "width": "1 m"}, {"length": "not-used", "width": "not-used"}),
        ({**LYING, "height": "1 m"}, {"height": "not-used"}),
        ({**LYING, "hopper": "cone"}, {"hopper": "not-used"}),
        ({**LYING, "lid": "central", "heap_angle": "20 deg"}, {"lid": "not-used", "heap_angle": "not-used"}),
        ({**LYING, "depth": "1.21 m"}, {"depth": "too-deep"}),
        ({**LYING, "hopper": "cone", "depth": "2 m"}, {"hopper": "not-used", "depth": "too-deep"}),
        ({**BIN, "hopper": "wedge", "depth": "9 m"}, {"hopper": "not-with"}),
        ({**BOX, **CONE}, {"hopper": "not-with"}),
        ({**BIN, "hopper": "wedge"}, {"hopper": "not-with"}),
        ({**BIN, "hopper": "cone"}, {"hopper_depth": "needed-with", "outlet_diameter": "needed-with"}),
        (
            {**BOX, "hopper": "pyramid"},
            {"hopper_depth": "needed-with", "outlet_length": "needed-with", "outlet_width": "needed-with"},
        ),
        ({**BOX, "hopper_depth": "1 m"}, {"hopper_depth": "not-used"}),
        (
            {
                **BOX,
                "hopper": "wedge",
                "hopper_depth": "1 m",
                "outlet_length": "0.2 m",
                "outlet_width": "0.1 m",
            },
            {"outlet_width": "not-used"},
        ),
        (
            {
                **BOX,
                "hopper": "pyramid",
                "hopper_depth": "1 m",
                "outlet_length": "2.1 m",
                "outlet_width": "1.6 m",
            },
            {"outlet_length": "outlet-too-big", "outlet_width": "outlet-too-big"},
        ),
        ({**BIN, **CONE, "outlet_diameter": "3.1 m"}, {"outlet_diameter": "outlet-too-big"}),
        ({**BIN, **CONE, "depth": "5.01 m"}, {"depth": "too-deep"}),
        (
            {"body": "box", "length": "2 m", "height": "1 m", "diameter": "1 m", "depth": "2 m"},
            {"width": "needed-with", "diameter": "not-used", "depth": "too-deep"},
        ),
        ({**BOX, "body": "boxx"}, {"body": "misspelt-choice"}),
        ({}, {"body": "required"}),
        ({**BOX, "heap_angle": "70 deg", "rate": "0 kg/ha"}, {"heap_angle": "too-high", "rate": "too-low"}),
        (
            {**BOX, "depth": "-1 m", "bulk_density": "60 lb"},
            {"depth": "too-low", "bulk_density": "wrong-kind"},
        ),
    ],
)
def test_each_mistake_stands_on_its_field(given: dict[str, str], wrong: dict[str, str]) -> None:
    made = respond(compact({"calculator": "bin-capacity", "given": given, "units": "us"}))
    assert not made["ok"]
    assert [(e["field"], e["code"]) for e in made["errors"]] == list(wrong.items())


def test_mistakes_are_said_in_words_a_person_can_act_on() -> None:
    given = {**BOX, **CONE, "diameter": "1 m"}
    made = respond(compact({"calculator": "bin-capacity", "given": given, "units": "us"}))
    assert [e["problem"] for e in made["errors"]] == [
        "this has no place with body = box; leave it out",
        "“cone” does not go with body = box; write none, wedge or pyramid",
    ]
    deep = respond(compact({"calculator": "bin-capacity", "given": {**BOX, "depth": "4 ft"}, "units": "us"}))
    assert deep["errors"][0]["problem"].startswith("4.000 ft is deeper than the tank, 3.281 ft;")


@pytest.mark.parametrize("units", ["metric", "us", "imperial"])
@pytest.mark.parametrize(
    "given",
    [
        {**BOX, "depth": "0 m"},
        {**BIN, **CONE, "depth": "5 m"},
        {**LYING, "depth": "1.2 m"},
        {**LYING, "depth": "0 m", "bulk_density": "800 kg/m³", "rate": "100 kg/ha"},
        {**BOX, "heap_angle": "0 deg", "lid": "central"},
        {**BOX, "heap_angle": "60 deg", "lid": "central"},
        {**BIN, **CONE, "outlet_diameter": "3 m", "heap_angle": "60 deg", "lid": "central"},
        {**BOX, "hopper": "wedge", "hopper_depth": "1 mm", "outlet_length": "0 mm", "height": "1 mm"},
    ],
)
def test_edges_of_every_shape_are_answered(given: dict[str, str], units: str) -> None:
    made = respond(compact({"calculator": "bin-capacity", "given": given, "units": units}))
    assert made["ok"], made
    assert [c["id"] for c in made["charts"]] == ["curve", "side"]
    volume, level = made["results"]["volume"]["si"], made["results"]["level_volume"]["si"]
    if given.get("depth") == "0 m":
        assert volume == 0
    elif "depth" in given:
        assert volume == level
    else:
        assert 0 < volume <= level
