"""What a tank or bin holds, full or to a depth, in volume, in mass and in land that it seeds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from calc import usual
from calc.chart import round_values
from calc.declare import (
    Chart,
    Choice,
    Column,
    Field,
    Found,
    Input,
    Note,
    Output,
    Say,
    Table,
    calculator,
    say,
    words,
)
from calc.quantity import Units
from calc.tanks.bin_cases import CASES, SOURCES
from calc.tanks.bin_pictures import draw_curve, draw_side
from calc.tanks.bin_sizes import wrong_together
from calc.tanks.shapes import Lying, Upright, tank_of
from calc.units import ANGLE, AREA, DENSITY, LENGTH, MASS, SHARE, SHORT_LENGTH, VOLUME

DIP_ROWS = 24
UPRIGHT = {"body": ("box", "upright-cylinder")}


INPUTS: list[Field] = [
    Choice(
        "body",
        "Body",
        {"box": "Box", "upright-cylinder": "Upright cylinder", "lying-cylinder": "Lying cylinder, flat ends"},
        "box",
        "The straight-walled part, above any hopper.",
    ),
    Input(
        "length",
        "Inside length",
        LENGTH,
        "7 ft",
        "0.1 m",
        "20 m",
        "Of a box or a lying cylinder.",
        only_with={"body": ("box", "lying-cylinder")},
        needed=True,
        measured=True,
    ),
    Input(
        "width",
        "Inside width",
        LENGTH,
        "6 ft",
        "0.1 m",
        "20 m",
        "Of a box.",
        only_with={"body": ("box",)},
        needed=True,
        measured=True,
    ),
    Input(
        "height",
        "Height of the body",
        LENGTH,
        "4 ft",
        "1 mm",
        "30 m",
        "Straight walls only, without the hopper.",
        only_with=UPRIGHT,
        needed=True,
        measured=True,
    ),
    Input(
        "diameter",
        "Inside diameter",
        LENGTH,
        "2.4 m",
        "0.1 m",
        "30 m",
        "Circumference ÷ 3.1416, less the walls.",
        only_with={"body": ("upright-cylinder", "lying-cylinder")},
        needed=True,
        measured=True,
    ),
    Choice(
        "hopper",
        "Hopper",
        {"none": "None, flat floor", "cone": "Cone", "wedge": "Wedge to a slot", "pyramid": "Pyramid"},
        "pyramid",
        "A cone goes under an upright cylinder. A wedge slopes on two sides of a box, a pyramid on four.",
        default="none",
        only_with=UPRIGHT,
    ),
    Input(
        "hopper_depth",
        "Hopper depth",
        LENGTH,
        "3 ft",
        "1 mm",
        "20 m",
        "Straight down from body to outlet.",
        only_with={"hopper": ("cone", "wedge", "pyramid")},
        needed=True,
        measured=True,
    ),
    Input(
        "outlet_diameter",
        "Outlet diameter",
        SHORT_LENGTH,
        "250 mm",
        "0 mm",
        "30 m",
        "0 mm for a full point.",
        only_with={"hopper": ("cone",)},
        needed=True,
        measured=True,
    ),
    Input(
        "outlet_length",
        "Outlet length",
        SHORT_LENGTH,
        "24 in",
        "0 mm",
        "20 m",
        "Along the inside length of the box.",
        only_with={"hopper": ("wedge", "pyramid")},
        needed=True,
        measured=True,
    ),
    Input(
        "outlet_width",
        "Outlet width",
        SHORT_LENGTH,
        "10 in",
        "0 mm",
        "20 m",
        "Across; a wedge's slot is full width.",
        only_with={"hopper": ("pyramid",)},
        needed=True,
        measured=True,
    ),
    Choice(
        "lid",
        "Lid",
        {"none": "None: open top, heap on it", "central": "Central: slopes down to the walls"},
        "central",
        "Through a lid in the middle, product runs down to the walls and leaves room above them.",
        default="none",
        only_with=UPRIGHT,
    ),
    Input(
        "heap_angle",
        "Filling angle of the heap",
        ANGLE,
        "20 deg",
        "0 deg",
        "60 deg",
        "Slope to level after filling: atan of rise ÷ run on your own heap.",
        only_with=UPRIGHT,
        measured=True,
    ),
    Input(
        "depth",
        "Depth of product",
        LENGTH,
        "4.5 ft",
        "0 m",
        "50 m",
        "Levelled, straight up from the outlet, or from a flat floor.",
        measured=True,
    ),
    Input(
        "bulk_density",
        "Bulk density",
        DENSITY,
        "46.5 lb/ft³",
        "50 kg/m³",
        "3000 kg/m³",
        "Weigh a known volume of this lot.",
        measured=True,
        takes=("bulk-density.density",),
    ),
    replace(usual.RATE, takes=("nutrient.product_rate",)),
]


def _notes(given: Mapping[str, Any], tank: Upright | Lying) -> list[Say]:
    """What is missing, and what the figures leave out."""
    central, angle, depth = given["lid"] == "central", given["heap_angle"], given["depth"]
    notes = []
    if isinstance(tank, Upright):
        if angle is None:
            notes.append(say("give-angle-for-lid" if central else "give-angle-for-heap"))
        else:
            if depth is not None:
                notes.append(say("level-to-depth", depth=depth))
            if central and not tank.round and angle > 0:
                notes.append(say("lid-over-ridge"))
    if given["bulk_density"] is None:
        notes.append(say("give-density"))
    if given["rate"] is None:
        notes.append(say("give-rate"))
    return notes


def dip_table(tank: Upright | Lying, bulk_density: float | None, units: Units) -> list[list[float | None]]:
    """Depth, volume, mass and share of level full, at round depths of the reader's unit, and at the top."""
    full = tank.volume_to(tank.depth)
    rows: list[list[float | None]] = []
    for depth in [*round_values(tank.depth, LENGTH, units, DIP_ROWS), tank.depth]:
        volume = tank.volume_to(depth)
        rows.append([depth, volume, volume * bulk_density if bulk_density else None, volume / full])
    return rows


@calculator(
    id="bin-capacity",
    title="Tank and bin capacity",
    asks="How much does this tank hold, full or to a depth, and how much land does that seed?",
    inputs=INPUTS,
    outputs=[
        Output("level_volume", "Volume level full", VOLUME),
        Output("heap_volume", "Heap above level (minus: room lost under the lid)", VOLUME),
        Output("volume", "Volume of product", VOLUME, main=True),
        Output("mass", "Mass of product", MASS, main=True),
        Output("area", "Area it seeds at this rate", AREA, main=True),
    ],
    tables=[
        Table(
            "dip",
            "Dip table: what is held, leveled, to a depth above the outlet",
            [
                Column("depth", "Depth", LENGTH),
                Column("volume", "Volume", VOLUME),
                Column("mass", "Mass", MASS),
                Column("share", "Share of level full", SHARE),
            ],
        )
    ],
    charts=[
        Chart(
            "curve",
            "What is held against depth",
            words(
                "The line rises from empty at the outlet to {volume}, level full at {depth}. "
                "A broken line marks the top of a hopper, and a dot the depth given.",
                volume=VOLUME,
                depth=LENGTH,
            ),
            draw_curve,
        ),
        Chart(
            "side",
            "The tank to scale",
            words(
                "The tank's outline, shaded where product lies: {volume}. "
                "A broken line marks {filled} above the outlet.",
                volume=VOLUME,
                filled=LENGTH,
            ),
            draw_side,
        ),
    ],
    notes=[
        Note(
            "give-angle-for-heap",
            "info",
            words("This is level full. Give a filling angle to add the heap on top."),
        ),
        Note(
            "give-angle-for-lid",
            "check",
            words("This is level full. Give a filling angle to take off the room lost under the lid."),
        ),
        Note(
            "level-to-depth",
            "info",
            words("The product is taken as level to {depth}; no heap is in its volume.", depth=LENGTH),
        ),
        Note(
            "lid-over-ridge",
            "check",
            words(
                "The box is taken as filled along its whole ridge. One small lid leaves more room empty, "
                "most of all in a long box."
            ),
        ),
        Note("give-density", "info", words("Give the bulk density of this lot to see mass and area.")),
        Note("give-rate", "info", words("Give a rate to see the area it seeds.")),
    ],
    equation=(
        "Hopper h/6 · (A₁ + 4 A_middle + A₂). "
        "Lying cylinder to depth h: L · (r² acos((r − h)/r) − (r − h) √(2 r h − h²)). "
        "Heap on a cylinder π r³ tan φ / 3; on a box W² tan φ (3 L − W)/12, W the lesser side."
    ),
    assumes=[
        "All sizes are inside sizes, and nothing inside takes up room: ladders, augers and braces come off.",
        "The outlet lies in the middle, and the walls are straight and do not bulge.",
        "A heap slopes alike on every side. Under a central lid its ridge just reaches the top of the walls.",
        "Product lies in the hopper without bridging, and its density is the same at every depth.",
    ],
    cautions=[
        "Never enter a tank to measure, level or free product. Running or bridged product can bury you.",
        "The air in a tank may not keep you alive, and you get no warning.",
        "Measure from outside with a stick or tape, every drive stopped, isolated and locked.",
        "Local law, the machine's own papers and licensed practice come first.",
        "A legal bushel weight is not your lot's density. Weigh a known volume of the lot.",
        "Product lies flatter when filled in than when drawn out, so published angles can promise too much.",
        "Measure your own filling angle. Without one no heap is counted.",
        "Check the mass against what axles, tires, hitch and road allow before you fill.",
    ],
    leaves_out=[
        "Whether the whole depth can be used: the last of a hopper may not flow to the meter evenly.",
        "How much product settles and packs on the road or under its own height.",
        "Walls that bulge, and shapes other than these: give those in parts.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
    then=("refill-plan", "road-load"),
)
def bin_capacity(
    body: str,
    length: float | None = None,
    width: float | None = None,
    height: float | None = None,
    diameter: float | None = None,
    hopper: str = "none",
    hopper_depth: float | None = None,
    outlet_diameter: float | None = None,
    outlet_length: float | None = None,
    outlet_width: float | None = None,
    lid: str = "none",
    heap_angle: float | None = None,
    depth: float | None = None,
    bulk_density: float | None = None,
    rate: float | None = None,
) -> Found:
    """What a tank holds level full, heaped and to a depth, and the mass and area of that.

    Sizes and `depth` (above the outlet) in m, `heap_angle` in radians, `bulk_density` in kg/m³, `rate` in
    kg/m². Finds volumes in m³, mass in kg and area in m². The sizes must be those that the shape needs and
    must fit, as `wrong_together` checks. Source: the rules in `calc.tanks.shapes`, with worked examples.
    """
    given = dict(locals())  # the values by their names, as they were taken
    tank = tank_of(given)
    level = tank.volume_to(tank.depth)
    heap: float | None = 0.0
    if isinstance(tank, Upright):
        heap = (
            None
            if heap_angle is None
            else -tank.void(heap_angle)
            if lid == "central"
            else tank.heap(heap_angle)
        )
    volume = level + (heap or 0.0) if depth is None else tank.volume_to(depth)
    mass = volume * bulk_density if bulk_density else None
    return Found(
        {
            "level_volume": level,
            "heap_volume": heap,
            "volume": volume,
            "mass": mass,
            "area": mass / rate if mass is not None and rate else None,
        },
        notes=_notes(given, tank),
        tables={"dip": lambda units: dip_table(tank, bulk_density, units)},
    )
