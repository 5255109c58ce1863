"""What one run carries: the seeds a sensor on it should count, and the product that passes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from calc import usual
from calc.chart import Picture, Plot, short
from calc.crop.run_flow_cases import CASES, SOURCES
from calc.declare import (
    Chart,
    Column,
    Found,
    Input,
    Note,
    Output,
    Say,
    Source,
    Table,
    calculator,
    say,
    words,
)
from calc.number import settle
from calc.quantity import Units
from calc.units import (
    MASS_FLOW,
    SEEDS_PER_AREA,
    SEEDS_PER_LENGTH,
    SEEDS_PER_TIME,
    SHORT_LENGTH,
    SPEED,
)

AROUND = (0.5, 0.75, 1.0, 1.25, 1.5)  # shares of the ground speed that the table goes through
MOST_SEEDS = "20000 seeds/m2"
MOST_SEEDS_SI = 20_000.0
DRAWN = (1e-3, 1e6)  # figures in the reader's unit that the picture's scale has room for

SIDE_BY_SIDE = Source("A sensor may count seeds that pass side by side as one", basis="common practice")

NOTES = [
    Note(
        "give-kernel-mass-for-seeds",
        "info",
        words("Give the mass of a thousand seeds to see how many seeds pass."),
    ),
    Note(
        "give-kernel-mass-for-flow",
        "info",
        words("Give the mass of a thousand seeds to see the product flow."),
    ),
    Note(
        "many-seeds",
        "check",
        words(
            "That is {seeds}, more than any crop. Check the rate and the mass of a thousand seeds.",
            seeds=SEEDS_PER_AREA,
        ),
    ),
    Note(
        "seed-gap",
        "check",
        words("Dig up a length of row and count: seeds lie {gap} apart on average.", gap=SHORT_LENGTH),
    ),
]


def draw_flow(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """Seeds in a second against ground speed, or product flow where the seeds are not known."""
    seeds, mass, speed = found.values["seeds_per_second"], found.values["mass_per_second"], given["speed"]
    value, kind, title = (
        (mass, MASS_FLOW, "Product flow") if seeds is None else (seeds, SEEDS_PER_TIME, "Seeds")
    )
    unit = units.unit(kind)
    if not isinstance(value, float) or unit is None:
        return None
    if not DRAWN[0] <= settle(value / float(unit.factor)) <= DRAWN[1] / 2:
        return None
    plot = Plot(
        units,
        (SPEED, 0.0, 1.5 * speed, "Ground speed"),
        (kind, 0.0, 1.5 * value, title),
        left=76,
        parts={"speed": speed, "passing": short(value, kind, units)},
    )
    plot.curve([(0.0, 0.0), (1.5 * speed, 1.5 * value)])
    x, y = plot.x.at(speed), plot.y.at(value)
    plot.dot(x, y)
    plot.text(x + 10, y + 18, short(value, kind, units), bold=True)
    return plot


@calculator(
    id="run-flow",
    title="What one run carries",
    asks="How many seeds should the sensor on one run count, and how much product passes it?",
    inputs=[
        replace(usual.RATE, example="110 lb/ac"),
        Input(
            "seeds",
            "Seeds per area",
            SEEDS_PER_AREA,
            "33 seeds/ft2",
            "0.5 seeds/m2",
            MOST_SEEDS,
            "Seeds sown, not plants wanted.",
            takes=("stand.seeds_per_area",),
        ),
        usual.KERNEL_MASS,
        usual.SPACING,
        usual.GROUND_SPEED,
    ],
    one_of=("rate", "seeds"),
    outputs=[
        Output("seeds_per_second", "Seeds in a second, one run", SEEDS_PER_TIME, main=True),
        Output("mass_per_second", "Product flow of one run", MASS_FLOW, main=True),
        Output("seeds_per_row", "Seeds along a row", SEEDS_PER_LENGTH),
    ],
    tables=[
        Table(
            "speeds",
            "One run at other ground speeds",
            [
                Column("speed", "Ground speed", SPEED),
                Column("seeds_per_second", "Seeds in a second", SEEDS_PER_TIME),
                Column("mass_per_second", "Product flow", MASS_FLOW),
            ],
        )
    ],
    charts=[
        Chart(
            "flow",
            "What passes against ground speed",
            words(
                "A straight line from standing still. A dot marks {speed}, where {passing} pass in one run.",
                speed=SPEED,
            ),
            draw_flow,
        )
    ],
    notes=NOTES,
    equation=(
        "Seeds in a second = seeds per area · spacing · ground speed. "
        "Product flow = rate · spacing · ground speed. "
        "Rate = seeds per area · mass of a thousand seeds / 1000."
    ),
    assumes=[
        "One run feeds one row, and every run gets the same.",
        "All that the run carries is seed of this mass: no fertilizer or inoculant goes with it.",
    ],
    leaves_out=[
        "What a sensor makes of seeds that pass side by side: it may count them as one.",
        "Chaff, dust and other seed. With a rate they are counted as seed, with seeds per area not at all.",
    ],
    cautions=[
        "To check a count, dig in the row with the machine parked, the fan and meters stopped and isolated.",
        "Product leaves an open run fast and can blind. Keep out of its way and wear eye protection.",
    ],
    sources=[*SOURCES, SIDE_BY_SIDE],
    cases=CASES,
    then=("rate",),
)
def run_flow(
    rate: float | None,
    seeds: float | None,
    kernel_mass: float | None,
    spacing: float,
    speed: float,
) -> Found:
    """What passes in one run at `speed` (m/s) with rows `spacing` (m) apart.

    One of `rate` (kg/m²) and `seeds` (1/m²) is None; `kernel_mass` (kg of a thousand) joins them, and what
    needs it is None without. Finds seeds per second, kg per second and seeds per meter of row.
    Raises TypeError unless exactly one of the two is None. Source: the definition of a rate.
    """
    if (rate is None) == (seeds is None):
        raise TypeError("give exactly one of rate and seeds")
    if kernel_mass is not None:
        if seeds is None and rate is not None:
            seeds = 1000 * rate / kernel_mass
        elif rate is None and seeds is not None:
            rate = seeds * kernel_mass / 1000
    covered = spacing * speed  # the area that one run covers in a second

    def passing(share: float) -> tuple[float | None, float | None]:
        return (
            None if seeds is None else seeds * covered * share,
            None if rate is None else rate * covered * share,
        )

    seeds_per_second, mass_per_second = passing(1.0)
    return Found(
        {
            "seeds_per_second": seeds_per_second,
            "mass_per_second": mass_per_second,
            "seeds_per_row": None if seeds is None else seeds * spacing,
        },
        notes=_notes(rate, seeds, spacing),
        tables={"speeds": [[share * speed, *passing(share)] for share in AROUND]},
    )


def _notes(rate: float | None, seeds: float | None, spacing: float) -> list[Say]:
    """What to give for more, and what to look at in the row."""
    if seeds is None:
        return [say("give-kernel-mass-for-seeds")]
    notes = [say("give-kernel-mass-for-flow")] if rate is None else []
    if settle(seeds) > MOST_SEEDS_SI:
        notes.append(say("many-seeds", seeds=seeds))
    return [*notes, say("seed-gap", gap=1 / (seeds * spacing))]
