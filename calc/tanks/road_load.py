"""What a machine weighs on the road with what is in its tanks, and which tanks to empty first."""

from __future__ import annotations

from collections.abc import Sequence

from calc import usual
from calc.declare import (
    Case,
    Chart,
    Column,
    Found,
    Input,
    Name,
    Output,
    Rows,
    Source,
    Table,
    Value,
    calculator,
    say,
    words,
)
from calc.tanks.road_pictures import draw_load
from calc.tanks.road_sums import Load, Tank, tanks_to_empty
from calc.tanks.road_words import (
    EMPTY_FIRST,
    NOTES,
    SET_BY,
    VERDICTS,
    empty_first,
    notes_of,
    set_by,
    verdict_of,
)
from calc.units import MASS

OURS = Source(
    "Arithmetic: a sum of masses against the least of the limits; no printed example was found",
    basis="our own invention",
)
FEWEST = Source(
    "Empty the fewest tanks, and of those ways the one with the least product", basis="our own invention"
)
DOUBT = Source("A mass of product that was not weighed may be 5 % off", basis="common practice")

EXAMPLE = [
    {"name": "Urea", "mass": "12000 lb"},
    {"name": "Phosphate", "mass": "7500 lb"},
    {"name": "Wheat", "mass": "12400 lb"},
]
METRIC = [
    {"name": "Front", "mass": "3 t"},
    {"name": "Middle", "mass": "2 t"},
    {"name": "Rear", "mass": "4 t"},
]

# No printed figure is among the cases: a limit is a matter of the place, the machine and its tires, and no
# published sum of a machine with its tanks was found. Every figure here is added up by hand.
CASES = [
    Case(
        "Three full tanks, over the limit",
        given={"empty_mass": "24500 lb", "tanks": EXAMPLE, "limit": "46000 lb", "tyre_limit": "48000 lb"},
        source=OURS,
        printed={
            "mass": "56400 lb",
            "spare": "−10400 lb",
            "allowed": "46000 lb",
            "mass_after": "44400 lb",
            "tanks[1].without": "44400 lb",
            "tanks[2].without": "48900 lb",
            "tanks[3].without": "44000 lb",
        },
        pinned={
            "empty_first": "tanks",
            "set_by": "limit",
            "verdict": "over",
            "tanks[1].part": "empty",
            "tanks[2].part": "stay",
            "tanks[1].alone": "enough",
            "tanks[2].alone": "not-enough",
            "tanks[3].alone": "enough",
        },
        notes=["stay-off", "fewest", "weigh"],
    ),
    Case(
        "Within, with the tires as the limit",
        given={"empty_mass": "9 t", "tanks": METRIC, "limit": "24 t", "tyre_limit": "20 t"},
        source=OURS,
        printed={"mass": "18000 kg", "spare": "2000 kg", "allowed": "20000 kg", "mass_after": "18000 kg"},
        pinned={"empty_first": "nothing", "set_by": "tires", "verdict": "within", "tanks[1].part": "stay"},
        notes=["weigh"],
    ),
    Case(
        "No one tank is enough: the two that leave most on board",
        given={"empty_mass": "9 t", "tanks": METRIC, "limit": "13.5 t"},
        source=OURS,
        printed={
            "spare": "−4500 kg",
            "mass_after": "13000 kg",
        },  # front and middle, 5 t, are the least that do
        pinned={"empty_first": "tanks", "tanks[3].part": "stay", "tanks[3].alone": "not-enough"},
        notes=["stay-off", "fewest", "weigh", "give-tires"],
    ),
    Case(
        "Exactly at the limit",
        given={"empty_mass": "9 t", "tanks": METRIC, "limit": "18 t", "tyre_limit": "18 t"},
        source=OURS,
        printed={"spare": "0 kg"},
        pinned={"verdict": "within", "set_by": "both", "empty_first": "nothing"},
        notes=["close", "weigh"],
    ),
    Case(
        "Over with every tank empty",
        given={"empty_mass": "21 t", "tanks": [{"name": "Seed", "mass": "0 kg"}], "limit": "20 t"},
        source=OURS,
        printed={"spare": "−1000 kg"},
        pinned={
            "mass_after": None,
            "empty_first": "not-enough",
            "verdict": "over-empty",
            "tanks[1].alone": "no-product",
            "tanks[1].part": "no-product",
        },
        notes=["stay-off", "too-heavy-empty", "weigh", "give-tires"],
    ),
]


@calculator(
    id="road-load",
    title="Load on the road",
    asks="Is the machine within its limits on the road, and if not, which tanks do I empty first?",
    inputs=[
        Input(
            "empty_mass",
            "Empty machine",
            MASS,
            "24500 lb",
            "100 kg",
            "100 t",
            "Without product, with all that was added: a scale ticket, or the machine's papers.",
            measured=True,
        ),
        Rows(
            "tanks",
            "Tanks",
            Tank,
            [
                Name("name", "Tank", "Urea", "Product or place: your own name for it."),
                usual.MASS_IN_TANK,
            ],
            example=EXAMPLE,
            each="tank",
            hint="Every tank on the machine, liquid and small ones too.",
            most=12,
        ),
        Input(
            "limit",
            "Limit for the whole machine",
            MASS,
            "46000 lb",
            "100 kg",
            "200 t",
            "The least that road law, the machine's papers and the tractor's papers allow.",
        ),
        Input(
            "tyre_limit",
            "What the tires carry together",
            MASS,
            "48000 lb",
            "100 kg",
            "200 t",
            "All tires added up, at their pressure and your road speed: the tire maker's table.",
        ),
    ],
    outputs=[
        Output("mass", "Mass on the road", MASS, main=True),
        Output("spare", "Spare (minus: over)", MASS, main=True),
        Output("empty_first", "Empty first", says=EMPTY_FIRST, main=True),
        Output("mass_after", "Mass with those empty", MASS, absent="still over"),
        Output("allowed", "Allowed", MASS),
        Output("set_by", "Set by", says=SET_BY),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "tanks",
            "Each tank, and what emptying it alone would do",
            [
                Column("tank", "Tank"),
                Column("mass", "Product", MASS),
                Column("without", "Machine without it", MASS),
                Column(
                    "alone",
                    "By itself",
                    says={
                        "enough": words("enough"),
                        "not-enough": words("not enough"),
                        "no-need": words("no need"),
                        "no-product": words("holds nothing"),
                    },
                ),
                Column(
                    "part",
                    "What to do",
                    says={
                        "empty": words("empty it"),
                        "stay": words("may stay full"),
                        "no-product": words("is empty"),
                    },
                ),
            ],
        )
    ],
    charts=[
        Chart(
            "load",
            "The load, part by part",
            words(
                "A bar for the empty machine and one for each tank, each beginning where the one before it "
                "ends: {mass} in all. Tanks to empty first are hollow. "
                "A broken line marks what is allowed, {allowed}.",
                mass=MASS,
                allowed=MASS,
            ),
            draw_load,
        )
    ],
    notes=NOTES,
    equation="Mass = empty machine + product in all tanks. Spare = least of the limits − mass.",
    assumes=[
        "All limits are for the whole machine, and all of its mass is taken to stand on its own tires.",
        "A tank that is to be emptied is emptied whole: how much is left in a part load is hard to judge.",
        "The fewest tanks are named that will do. Of those ways it is the one with the least product.",
    ],
    leaves_out=[
        "How the mass lies on each axle, each tire and the hitch. One can be over while the sum is within.",
        "Whether brakes, tractor, chain and slopes on the way are fit for this mass.",
        "Bridges, seasonal limits, permits, width, height, lights and speed.",
        "How the balance changes: an empty front tank can lift the hitch of some machines.",
    ],
    cautions=[
        "The machine's papers, road law and the tires decide, whichever allows least. This sum does not.",
        "Weigh the loaded machine before you rely on it.",
        "If the machine's papers say to travel empty, travel empty.",
        "Set the tire pressure for the load and speed. Overloaded tires burst, and brakes fade.",
        "Local law, the machine's own papers and licensed practice come first.",
    ],
    sources=[OURS, FEWEST, DOUBT],
    cases=CASES,
    then=("refill-plan",),
)
def road_load(empty_mass: float, tanks: Sequence[Tank], limit: float, tyre_limit: float | None) -> Found:
    """The mass (kg) of a machine with its tanks, what is spare, and which tanks to empty to be within.

    All in kg; `tyre_limit` may be None. `spare` is below zero where it is over. The fewest tanks are named
    that bring it within, and of those ways the one with the least product. Source: a sum.
    """
    load = Load(empty_mass, tanks, limit, tyre_limit)
    to_empty = tanks_to_empty(load)
    return Found(
        {
            "mass": load.mass,
            "spare": load.spare,
            "empty_first": empty_first(to_empty),
            "mass_after": None if to_empty is None else load.mass_without(to_empty),
            "allowed": load.allowed,
            "set_by": set_by(load),
            "verdict": verdict_of(load, to_empty),
        },
        notes=notes_of(load, to_empty),
        tables={"tanks": [_row(tank, load, to_empty) for tank in tanks]},
    )


def _row(tank: Tank, load: Load, to_empty: list[str] | None) -> list[Value]:
    if not tank.mass:
        return [tank.name, tank.mass, load.mass, say("no-product"), say("no-product")]
    if load.within_without([]):
        alone = "no-need"
    else:
        alone = "enough" if load.within_without([tank.name]) else "not-enough"
    part = say("empty" if to_empty is None or tank.name in to_empty else "stay")
    return [tank.name, tank.mass, load.mass_without([tank.name]), say(alone), part]
