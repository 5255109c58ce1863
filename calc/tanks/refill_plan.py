"""How far one fill goes, where to stop for the next, and how to fill so that all tanks end together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from calc import usual
from calc.declare import (
    Also,
    Chart,
    Choice,
    Column,
    Found,
    Input,
    Name,
    Output,
    Rows,
    Source,
    Table,
    calculator,
    say,
    words,
)
from calc.errors import listed
from calc.number import settle
from calc.quantity import Amount
from calc.tanks.refill_cases import CASES, EXAMPLE, OURS
from calc.tanks.refill_pictures import draw_field, draw_reach, draw_short
from calc.tanks.refill_rows import field_row, refuse_reserve, tank_row
from calc.tanks.refill_sums import Tank, plan_of
from calc.tanks.refill_words import ENDS, NOTES, VERDICTS, notes_of, verdict_of
from calc.units import AREA, COUNT, DISTANCE, MASS, RATIO, SHARE

CLOSE = Source("Less than 2 % of a fill in hand at a stop is too little", basis="common practice")
LAST = Source("The last of a hopper is kept back: it may not flow evenly", basis="common practice")


@calculator(
    id="refill-plan",
    title="Refill plan",
    asks="Which tank ends first, after which pass do I stop to fill, and how full must the others be?",
    inputs=[
        Rows(
            "tanks",
            "Tanks",
            Tank,
            [
                Name("name", "Tank", "Urea", "Product or place: your own name for it."),
                replace(usual.MASS_IN_TANK, low="0.1 kg"),
                replace(usual.RATE, example="120 lb/ac", takes=("speed-window.tanks.rate_high",)),
            ],
            example=EXAMPLE,
            each="tank",
            hint="Every tank that runs in the same pass.",
            most=12,
        ),
        usual.WIDTH,
        Input(
            "pass_length",
            "Pass length",
            DISTANCE,
            "5280 ft",
            "10 m",
            "20 km",
            "With the openers down, from one end of the field to the other.",
            measured=True,
        ),
        Input(
            "field_area",
            "Area of the field",
            AREA,
            "320 ac",
            "0.01 ha",
            "20000 ha",
            "What is left to seed, without what is left out.",
            measured=True,
        ),
        Input(
            "reserve",
            "Reserve in each tank",
            MASS,
            "300 lb",
            "0 kg",
            "50 t",
            "Kept back where the last of a hopper flows unevenly. A mass, or a share of each fill in %.",
            default="0 kg",
            also=Also(SHARE, "0 %", "90 %"),
        ),
        Choice(
            "ends",
            "Where the truck waits",
            {"both": "At both ends of the field", "one": "At one end, where the first pass starts"},
            "both",
            "At one end the machine must come back: only whole pairs of passes count.",
            default="both",
        ),
        Input(
            "overlap",
            "Overlap",
            SHARE,
            "2 %",
            "0 %",
            "50 %",
            "Share of the width that runs on seeded ground and seeds it again. "
            "0 % if sections shut off there: then give the width without it.",
            default="0 %",
        ),
    ],
    outputs=[
        Output("first_empty", "First to end", says={"tanks": words("{tanks}")}),
        Output("area_per_fill", "Area per fill", AREA, main=True),
        Output("passes_per_fill", "Whole passes per fill", COUNT, main=True),
        Output("fills", "Fills for the field, the first one included", COUNT, main=True),
        Output("lasts", "Passes until the first tank ends", RATIO),
        Output("ends_at", "It ends", says=ENDS),
        Output("land_per_fill", "New ground per fill, without the overlap", AREA),
        Output("field_passes", "Passes in the field", COUNT),
        Output("least_fills", "Fills if you fill wherever a tank ends", COUNT),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "tanks",
            "Each tank: how far it goes, what is left at the first stop, and its matched fill",
            [
                Column("tank", "Tank"),
                Column("area", "Goes by itself", AREA),
                Column("passes", "Passes", RATIO),
                Column("left", "Left at first stop", MASS),
                Column("matched", "Matched fill", MASS),
                Column(
                    "part",
                    "In the plan",
                    says={"first": words("ends first"), "later": words("ends later")},
                ),
            ],
        ),
        Table(
            "field",
            "What the field takes, without the reserve, and what to fill to for its last part",
            [
                Column("tank", "Tank"),
                Column("product", "Product", MASS),
                Column("loads", "Loads of this tank", RATIO),
                Column("last_fill", "Last fill, with reserve", MASS),
            ],
        ),
    ],
    charts=[
        Chart(
            "field",
            "The passes and the stops",
            words(
                "The field, to scale in passes from left to right: {passes}. Lines drawn: {lines}. "
                "The first pass goes up. A stop to fill comes after each {every}; dots drawn: {dots}. "
                "A ring, if there is one, marks where {tanks} would end without a stop. "
                "Where all stops are drawn, every other fill is shaded.",
                passes=COUNT,
                lines=COUNT,
                every=COUNT,
                dots=COUNT,
            ),
            draw_field,
        ),
        Chart(
            "short",
            "Where the first tank ends",
            words(
                "The field, to scale in passes from left to right: {passes}. Lines drawn: {lines}. "
                "The first pass goes up. "
                "A ring marks where {tanks} would end: {distance} into pass {number}.",
                passes=COUNT,
                lines=COUNT,
                distance=DISTANCE,
                number=COUNT,
            ),
            draw_short,
        ),
        Chart(
            "reach",
            "How far each tank goes",
            words(
                "A bar for the area that each tank does on its fill; a point at its end means that it goes "
                "further than is drawn. A broken line marks {area}, where {tanks} would end.",
                area=AREA,
            ),
            draw_reach,
        ),
    ],
    notes=NOTES,
    equation=(
        "Area per fill A = least of (mass − reserve) / rate. Passes = A / (W · L), with width W and pass "
        "length L, cut to whole ones, or whole pairs. Passes in the field = F / (W · (1 − overlap) · L), "
        "rounded up, with field F; fills = those ÷ whole passes per fill, rounded up. "
        "Matched fill = A · rate + reserve."
    ),
    assumes=[
        "Every tank is filled to its mass at each stop. The reserve stays in it throughout.",
        "All passes are as long as the pass length. Turning at the ends takes no product.",
        "Overlap is a share of the working width, and product goes out over the whole width all the same.",
        "So a pass uses W · L · rate, and gains only W · (1 − overlap) · L of new ground.",
        "The last pass counts as a whole one, even where the field needs only a piece of it.",
        "Where one fill does the field, what is left at the first stop is what is left at the field's end.",
        "The rates are kept: what goes out was calibrated, and checked after a known area.",
    ],
    cautions=[
        "Before you fill: stop, set the brake, and keep everyone clear of the conveyor or auger.",
        "Look up before you raise one. Keep the distance from lines that their owner and the law ask for.",
        "Never enter a tank. Running or bridged product can bury you.",
        "Check the load against what road, tires and papers allow before you drive with full tanks.",
        "Local law, the machine's own papers and licensed practice come first.",
    ],
    leaves_out=[
        "Headlands, point rows and passes of other lengths. Work them out as a field of their own.",
        "Rate maps: give each tank the mean rate of the map.",
        "The time that the truck and the filling take, and where the truck can stand.",
        "How the load and its balance change while the tanks run down.",
    ],
    sources=[OURS, CLOSE, LAST],
    cases=CASES,
    then=("road-load", "field-work"),
)
def refill_plan(
    tanks: Sequence[Tank],
    width: float,
    pass_length: float | None,
    field_area: float | None,
    reserve: Amount,
    ends: str,
    overlap: float,
) -> Found:
    """How far one fill goes, after which pass to stop, and what the field takes.

    `tanks` as in `Tank`, `width` and `pass_length` m, `field_area` m², `reserve` a mass (kg) or a share of
    each tank's mass, `ends` both or one, `overlap` a share of the width. Finds areas in m², counts, and
    sentences; a row a tank in kg. What needs a pass length or a field area is None without it.
    Raises `InputError` where the reserve leaves nothing of a tank. Source: the definition of a rate.
    """
    refuse_reserve(tanks, reserve)
    plan = plan_of(
        {
            "tanks": tanks,
            "width": width,
            "pass_length": pass_length,
            "field_area": field_area,
            "reserve": reserve,
            "ends": ends,
            "overlap": overlap,
        }
    )
    lasting, ground = plan.lasting, plan.ground
    least = None if ground.worked is None else math.ceil(settle(ground.worked / plan.area))
    return Found(
        {
            "first_empty": say("tanks", tanks=listed(plan.first, "and")),
            "area_per_fill": plan.area,
            "passes_per_fill": lasting.to_stop if lasting else None,
            "fills": plan.fills,
            "lasts": lasting.lasts if lasting else None,
            "ends_at": say("in-pass", distance=lasting.into, number=lasting.last) if lasting else None,
            "land_per_fill": plan.area * ground.gained,
            "field_passes": ground.passes,
            "least_fills": least,
            "verdict": verdict_of(plan.first, plan.area, lasting, plan.fills),
        },
        notes=notes_of(plan),
        tables={
            "tanks": [tank_row(tank, plan) for tank in tanks],
            **({} if ground.worked is None else {"field": [field_row(tank, plan) for tank in tanks]}),
        },
    )
