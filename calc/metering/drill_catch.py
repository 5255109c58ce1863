"""The rate of a drill from what its runs gave over a measured distance, and whether it is accepted."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from calc import usual
from calc.declare import Chart, Column, Found, Input, Output, Rows, Table, calculator, words
from calc.metering.drill_findings import (
    RowCatch,
    distance_of,
    draw_catch,
    notes_of,
    part_of,
    runs_of,
    verdict_of,
    wrong_together,
)
from calc.metering.drill_words import (
    CASES,
    FIELD_AND_LONG,
    GRAIN_SA,
    KENTUCKY,
    NOTES,
    OURS,
    PARTS,
    SOIL_HEALTH,
    VERDICTS,
)
from calc.metering.run_sums import cv_of, middle_of, off
from calc.units import (
    COUNT,
    DISTANCE,
    MASS_PER_AREA,
    SHARE,
    SHORT_LENGTH,
    SMALL_AREA,
    SMALL_MASS,
    TURNS,
)


@calculator(
    id="drill-catch",
    title="Catch over a distance",
    asks="What rate did the runs give over this distance, and is the drill accepted?",
    inputs=[
        Input(
            "turns",
            "Turns of the drive wheel",
            TURNS,
            "50",
            "0.5",
            "10000",
            "Where the meter is driven by a wheel. Give its diameter too.",
        ),
        Input(
            "wheel_diameter",
            "Wheel diameter",
            SHORT_LENGTH,
            "32 in",
            "10 cm",
            "3 m",
            "As it rolls under load: the distance of ten turns ÷ 31.416.",
            measured=True,
        ),
        Input(
            "distance",
            "Distance",
            DISTANCE,
            "300 ft",
            "1 m",
            "20 km",
            "In place of the wheel: measured on the ground, for each catch.",
            measured=True,
        ),
        replace(usual.SPACING, example="7.5 in"),
        Rows(
            "catches",
            "Catches",
            RowCatch,
            [
                usual.RUN,
                usual.MASS_CAUGHT,
            ],
            example=CASES[0].given["catches"],
            each="Catch",
            hint="Each over the whole distance. Write a run again for each repeat: they are averaged.",
            most=240,
        ),
        replace(usual.RATE, name="target", title="Target rate", example="90 lb/ac"),
        Input(
            "band",
            "Limits, ±",
            SHARE,
            "5 %",
            "0.5 %",
            "50 %",
            "For the rate against the target, and for each run against the mean. 5 % is published.",
            default="5 %",
        ),
    ],
    one_of=("turns", "distance"),
    outputs=[
        Output("rate", "Rate", MASS_PER_AREA, main=True),
        Output("cv", "CV from run to run", SHARE),
        Output("rate_low", "Rate accepted from", MASS_PER_AREA, absent="give a target"),
        Output("rate_high", "Rate accepted to", MASS_PER_AREA, absent="give a target"),
        Output("row_low", "Each run accepted from", SMALL_MASS),
        Output("row_high", "Each run accepted to", SMALL_MASS),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "sums",
            "What was caught, and on what area",
            [
                Column("distance", "Distance", DISTANCE),
                Column("area", "Area of these runs", SMALL_AREA),
                Column("total", "All runs", SMALL_MASS),
                Column("mean", "Mean of the runs", SMALL_MASS),
                Column("wanted", "Wanted of each run", SMALL_MASS),
            ],
        ),
        Table(
            "runs",
            "Each run",
            [
                Column("run", "Run", COUNT),
                Column("catches", "Catches", COUNT),
                Column("mass", "Mean", SMALL_MASS),
                Column("difference", "Against the mean", SHARE),
                Column("rate", "Rate of this run", MASS_PER_AREA),
                Column("part", "Within the limits", says=PARTS),
            ],
        ),
    ],
    charts=[
        Chart(
            "runs",
            "The runs against their mean",
            words(
                "A bar for each of {count} runs, up or down from their mean of {mean}. "
                "The shaded band of the limits goes from {low} to {high}. Runs outside it: {outside}.",
                count=COUNT,
                mean=SMALL_MASS,
                low=SMALL_MASS,
                high=SMALL_MASS,
                outside=COUNT,
            ),
            draw_catch,
        )
    ],
    notes=NOTES,
    equation=(
        "R = mean of the runs / (spacing · distance), with distance = turns · π · wheel diameter. "
        "CV = s / mean, with n − 1. Limits: target ± band for the rate, mean ± band for each run."
    ),
    assumes=[
        "Every run was caught over the whole distance, and repeats over the same distance each.",
        "The runs that were caught stand for those that were not.",
        "The wheel does not slip, and its diameter is the one under load.",
        "Each run counts once, however often it was caught.",
    ],
    cautions=[
        "Nobody walks or rides beside a moving drill: hang bags or bins, stop, and then take them off.",
        "A wheel that is jacked up to be turned can fall: block the frame before anyone comes near.",
        "Stop the fan and isolate the meter drive before you hang or take off a container.",
        "Treated seed and fertilizer dust can harm: wear what the label or the safety data sheet asks for.",
    ],
    leaves_out=[
        "Overlap, skips and tracks left unseeded change what the field gets on average.",
        "Other speeds and rates: a drill that is right here may be wrong there.",
        "Spacing along the row and depth.",
    ],
    sources=[OURS, FIELD_AND_LONG, SOIL_HEALTH, KENTUCKY, GRAIN_SA],
    cases=CASES,
    together=wrong_together,
    then=("evenness", "sampling"),
)
def drill_catch(
    turns: float | None,
    wheel_diameter: float | None,
    distance: float | None,
    spacing: float,
    catches: Sequence[RowCatch],
    target: float | None,
    band: float,
) -> Found:
    """The `rate` (kg/m²) that the runs gave, their `cv`, limits of both, and whether the drill is accepted.

    `turns` of a wheel of `wheel_diameter` (m), or `distance` (m); `spacing` m, masses of `catches` in kg,
    `target` kg/m² or None, `band` a share. Raises TypeError unless the distance is given in just one way.
    Source: Field and Long, SI drill problem.
    """
    runs = runs_of(catches)
    gone = distance_of(turns, wheel_diameter, distance)
    strip = spacing * gone
    middle = middle_of(runs)
    rate = middle / strip
    cv = cv_of([run.mass for run in runs])
    wanted = None if target is None else target * strip
    return Found(
        {
            "rate": rate,
            "cv": cv,
            "rate_low": None if target is None else target * (1 - band),
            "rate_high": None if target is None else target * (1 + band),
            "row_low": middle * (1 - band),
            "row_high": middle * (1 + band),
            "verdict": verdict_of(runs, rate, target, band),
        },
        notes=notes_of(runs, rate, target, band, wanted, None if turns is None else gone),
        tables={
            "sums": [[gone, strip * len(runs), math.fsum(run.mass for run in runs), middle, wanted]],
            "runs": [
                [
                    run.number,
                    len(run.masses),
                    run.mass,
                    off(run, middle) if middle else None,
                    run.mass / strip,
                    part_of(run, middle, band) if middle else None,
                ]
                for run in runs
            ],
        },
    )
