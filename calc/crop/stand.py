"""The seeding rate that a wanted stand asks for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc import usual
from calc.crop.stand_cases import CASES, SOURCES
from calc.crop.stand_sums import (
    AROUND,
    SOWN,
    both_ways,
    draw_lots,
    leaves_nothing,
    other_lots,
    rate_for,
    short_rule,
    survival_of,
    wrong_together,
)
from calc.declare import (
    Chart,
    Choice,
    Column,
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
from calc.errors import InputError
from calc.number import settle
from calc.units import (
    KERNEL_MASS,
    MASS_PER_AREA,
    PLANTS_PER_AREA,
    RATIO,
    SEEDS_PER_AREA,
    SEEDS_PER_LENGTH,
    SEEDS_PER_MASS,
    SHARE,
)

NOTES = [
    Note(
        "loss-as-share",
        "info",
        words(
            "The loss is taken as a share of what germinates: {survival} of the seeds become plants. "
            "Taken as points it would be {other}, and the rate {rate}.",
            survival=SHARE,
            other=SHARE,
            rate=MASS_PER_AREA,
        ),
    ),
    Note(
        "loss-as-share-only",
        "info",
        words(
            "The loss is taken as a share of what germinates: {survival} of the seeds become plants. "
            "Taken as points it would leave none.",
            survival=SHARE,
        ),
    ),
    Note(
        "loss-as-points",
        "info",
        words(
            "The loss is taken as points off the germination: {survival} of the seeds become plants. "
            "Taken as a share it would be {other}, and the rate {rate}.",
            survival=SHARE,
            other=SHARE,
            rate=MASS_PER_AREA,
        ),
    ),
    Note(
        "no-loss",
        "check",
        words("No loss is counted. Give one: some seeds that germinate never become plants."),
    ),
    Note(
        "few-survive",
        "check",
        words(
            "Only {survival} of the seeds become plants. Check germination and loss, or find a better lot.",
            survival=SHARE,
        ),
    ),
    Note(
        "far-out",
        "check",
        words(
            "No drill sows {rate}. Check the plants wanted, the mass of a thousand seeds and the shares.",
            rate=MASS_PER_AREA,
        ),
    ),
    Note(
        "short-rule",
        "info",
        words(
            "The short rule that divides by 10 would say {figure} lb/ac. That is 4.13 % too much, "
            "where a meter may be 2 % off. It is not used here.",
            figure=RATIO,
        ),
    ),
    Note("give-spacing", "info", words("Give the spacing to see how many seeds lie along a row.")),
]


def _notes(given: Mapping[str, Any], survival: float, rate: float) -> list[Say]:
    """Which way the loss was taken and what the other gives, then what to look at."""
    germination, loss, taken = given["germination"], given["loss"], given["loss_as"]
    sowing = (given["plants"], given["kernel_mass"])
    if settle(loss) == 0:
        notes = [say("no-loss")]
    elif taken == "share" and leaves_nothing(germination, loss):
        notes = [say("loss-as-share-only", survival=survival)]
    else:
        other = survival_of(germination, loss, "points" if taken == "share" else "share")
        other_rate = rate_for(*sowing, other, given["purity"])
        notes = [say(f"loss-as-{taken}", survival=survival, other=other, rate=other_rate)]
    if settle(survival) < 0.5:
        notes.append(say("few-survive", survival=survival))
    if not SOWN[0] <= settle(rate) <= SOWN[1]:
        notes.append(say("far-out", rate=rate))
    notes.append(say("short-rule", figure=short_rule(*sowing, survival, given["purity"])))
    return notes if given["spacing"] is not None else [*notes, say("give-spacing")]


@calculator(
    id="stand",
    title="Seeding rate for a stand",
    asks="What seeding rate gives the stand you want?",
    inputs=[
        Input(
            "plants",
            "Plants wanted",
            PLANTS_PER_AREA,
            "28 plants/ft2",
            "0.5 plants/m2",
            "5000 plants/m2",
            "Standing after emergence. Local advice has the figure for your crop.",
        ),
        usual.KERNEL_MASS,
        Input(
            "germination",
            "Germination",
            SHARE,
            "95 %",
            "5 %",
            "100 %",
            "From a test of this lot, treated as it goes into the tank.",
            measured=True,
        ),
        Input(
            "loss",
            "Loss in the field",
            SHARE,
            "10 %",
            "0 %",
            "95 %",
            "Seeds that germinate but give no plant. Your own counts know best.",
            default="0 %",
        ),
        Choice(
            "loss_as",
            "The loss is",
            {"share": "a share of what germinates", "points": "points off the germination"},
            "share",
            "Of 90 % germination, 10 % as a share leaves 81 %, as points 80 %.",
            default="share",
        ),
        Input(
            "purity",
            "Purity",
            SHARE,
            "99 %",
            "5 %",
            "100 %",
            "The share of the lot's mass that is this seed. From the seed tag.",
            default="100 %",
        ),
        usual.SPACING,
    ],
    outputs=[
        Output("rate", "Rate", MASS_PER_AREA, main=True),
        Output("seeds_per_area", "Seeds per area", SEEDS_PER_AREA, main=True),
        Output("seeds_per_mass", "Seeds in a mass of pure seed", SEEDS_PER_MASS),
        Output("seeds_per_row", "Seeds along a row", SEEDS_PER_LENGTH),
    ],
    tables=[
        Table(
            "losses",
            "The loss taken either way",
            [
                Column(
                    "way",
                    "The loss is",
                    says={
                        "share": words("a share of what germinates"),
                        "points": words("points off the germination"),
                    },
                ),
                Column("survival", "Seeds that become plants", SHARE),
                Column("seeds_per_area", "Seeds per area", SEEDS_PER_AREA),
                Column("rate", "Rate", MASS_PER_AREA),
                Column("taken", "Taken here", says={"taken": words("yes"), "not-taken": words("no")}),
            ],
        ),
        Table(
            "lots",
            "Rate for heavier and lighter seed, and for other stands",
            [
                Column("kernel_mass", "A thousand seeds", KERNEL_MASS),
                Column("rate", "Rate", MASS_PER_AREA, across=PLANTS_PER_AREA),
            ],
        ),
    ],
    charts=[
        Chart(
            "lots",
            "Rate against the mass of a thousand seeds",
            words(
                "Straight lines: heavier seed needs a higher rate. A dot marks {kernel_mass} and {rate}. "
                "The broken lines are for a quarter fewer and a quarter more plants.",
                kernel_mass=KERNEL_MASS,
                rate=MASS_PER_AREA,
            ),
            draw_lots,
        )
    ],
    notes=NOTES,
    equation=(
        "Seeds per area = plants / survival. "
        "Rate = seeds per area · mass of a thousand seeds / 1000 / purity. "
        "Survival = germination · (1 − loss), or with the loss in points germination − loss."
    ),
    assumes=[
        "Seed mass, germination and purity are those of this lot as it goes into the tank.",
        "What is not pure seed goes through the meter too, and counts in the rate.",
        "Every run gets the same.",
    ],
    leaves_out=[
        "How large the loss will be. Count plants after emergence, and keep your own figures.",
        "How many plants are best for your crop, place and date. Local advice decides.",
    ],
    cautions=[
        "Treated seed gives off harmful dust. Wear what the seed tag asks for when you count and weigh it.",
        "Local law, the machine's own papers and licensed practice come first.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
    then=("rate", "run-flow", "bin-capacity"),
)
def stand(
    plants: float,
    kernel_mass: float,
    germination: float,
    loss: float = 0.0,
    loss_as: str = "share",
    purity: float = 1.0,
    spacing: float | None = None,
) -> Found:
    """The rate (kg/m²) that gives `plants` per m², and the seeds that it means.

    `kernel_mass` is that of a thousand seeds, kg; `germination`, `loss` and `purity` are fractions;
    `loss_as` is share or points; `spacing` m. Seeds per area (1/m²), mass (1/kg) and row (1/m) are pure seed.
    Raises InputError where a loss in points leaves nothing. Source: the definition, with printed examples.
    """
    given = dict(locals())  # the values by their names, as they were taken
    if problems := wrong_together(given):
        raise InputError(problems)
    survival = survival_of(germination, loss, loss_as)
    rate = rate_for(plants, kernel_mass, survival, purity)
    seeds_per_area = plants / survival
    tables: dict[str, Any] = {"lots": other_lots(plants, kernel_mass, survival, purity)}
    if settle(loss) > 0:
        tables["losses"] = both_ways(given)
    return Found(
        {
            "rate": rate,
            "seeds_per_area": seeds_per_area,
            "seeds_per_mass": 1000 / kernel_mass,
            "seeds_per_row": None if spacing is None else seeds_per_area * spacing,
        },
        notes=_notes(given, survival, rate),
        tables=tables,
        across={"lots": [share * plants for share in AROUND]},
    )
