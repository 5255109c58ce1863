"""How many catches fix a mean as closely as wanted, and how heavy each must be for the scale."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from calc.chart import Picture, Plot, short
from calc.declare import (
    Chart,
    Column,
    Found,
    Input,
    Output,
    Say,
    Table,
    calculator,
    say,
    words,
)
from calc.metering.sampling_words import CASES, NIST, NOTES, SCALE_STEPS, T_TABLE
from calc.number import settle
from calc.quantity import Units
from calc.statistics import t_quantile, values_needed
from calc.units import COUNT, MASS, RATIO, SHARE

COUNTS = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20)  # catches that the table goes through
AROUND = (0.1, 0.25, 0.5, 0.75, 0.9, 1.0, 1.1, 1.25, 1.5)  # of those needed, where these are more
READING = 0.5  # scale steps that a reading may be off
FEWEST = 3  # below this a slip cannot be told from a good catch


def half_of(cv: float, count: int, confidence: float) -> float:
    """Half the interval of a mean of `count` values, as a share of it. Source: NIST e-Handbook 1.3.5.2."""
    return t_quantile((1 - confidence) / 2, count - 1) * cv / math.sqrt(count)


def steps_needed(reading_error: float) -> float:
    """Scale steps of a catch that one reading, off by half a step, gives to within `reading_error`."""
    return READING / reading_error


def counts_for(needed: int | None) -> list[int]:
    """The numbers of catches to look at: round ones, the one that is needed, and some on both sides of it."""
    if needed is None or needed < COUNTS[-1]:
        return sorted({*COUNTS, needed or COUNTS[0]})
    return sorted({*COUNTS[:2], *(round(needed * share) for share in AROUND)})


def draw_halves(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """What so many catches leave open, with the error wanted across it; None where no number would do."""
    needed, error = found.values["catches"], given["error"]
    if not isinstance(needed, int):
        return None
    last, top = max(10, math.ceil(1.5 * needed)), 3 * error
    halves: dict[Any, Any] = {row[0]: row[1] for row in found.rows("halves", units)}
    plot = Plot(
        units,
        (COUNT, 0.0, float(last), "Catches"),
        (SHARE, 0.0, top, "The mean is known to ±"),
        parts={"catches": needed, "half": halves[needed], "error": error},
    )
    level = plot.y.at(error)
    plot.line([(plot.left, level), (plot.right, level)], dash="9 5")
    plot.text(plot.right, level - 7, f"wanted: ±{short(error, SHARE, units)}", anchor="end")
    seen = [(count, half) for count, half in halves.items() if count <= last and half <= top]
    if len(seen) > 1:
        plot.curve(seen)
    plot.dot(plot.x.at(needed), plot.y.at(halves[needed]), radius=6)
    return plot


@calculator(
    id="sampling",
    title="How many catches, and how heavy",
    asks="How many catches do I need, and how heavy must each one be for my scale?",
    inputs=[
        Input(
            "cv",
            "CV of the catches",
            SHARE,
            "1.2 %",
            "0 %",
            "100 %",
            "As the calibration finds it. From run to run, to see how many runs to catch for a rate.",
        ),
        Input(
            "error",
            "Error allowed for the mean, ±",
            SHARE,
            "1 %",
            "0.01 %",
            "50 %",
            "How far the mean of all catches may be from the truth.",
            takes=("calibration.tolerance", "drill-catch.band"),
        ),
        Input(
            "confidence",
            "Confidence",
            SHARE,
            "95 %",
            "50 %",
            "99.9 %",
            "How often the mean shall lie within that error. 95 % is 19 times in 20.",
            default="95 %",
        ),
        Input(
            "scale_step",
            "Scale step",
            MASS,
            "0.02 lb",
            "0.001 g",
            "50 kg",
            "The smallest change that the scale shows, to see how heavy a catch must be.",
        ),
        Input(
            "reading_share",
            "Share of the error left to the scale's reading",
            SHARE,
            "25 %",
            "1 %",
            "100 %",
            "A quarter leaves the rest to the catches. With ±1 % allowed, readings are good to 0.25 %.",
            default="25 %",
        ),
    ],
    outputs=[
        Output("catches", "Catches needed", COUNT, main=True, absent="over 10 000"),
        Output("least_mass", "Least product in a catch, container tared", MASS, main=True),
    ],
    tables=[
        Table(
            "halves",
            "How well so many catches fix the mean",
            [Column("catches", "Catches", COUNT), Column("half", "The mean is known to ±", SHARE)],
        ),
        Table(
            "weighing",
            "How heavy a catch must be",
            [
                Column(
                    "way",
                    "How it is weighed",
                    says={
                        "tared": words("container tared on the scale: one reading"),
                        "two-readings": words("full and empty weighed apart: two readings"),
                    },
                ),
                Column("steps", "Scale steps of product", RATIO),
                Column("least_mass", "Least product", MASS),
            ],
        ),
    ],
    charts=[
        Chart(
            "halves",
            "How well so many catches fix the mean",
            words(
                "The line falls with each further catch. A dot marks {catches} catches, "
                "where the mean is known to ±{half}; a broken line marks the ±{error} wanted.",
                catches=COUNT,
                half=SHARE,
                error=SHARE,
            ),
            draw_halves,
        )
    ],
    notes=NOTES,
    equation=(
        "n = (t · CV / E)², with t for the confidence and n − 1, so n is tried upward from 2. "
        "Least product = ½ step / (reading share · E); with two readings, twice that."
    ),
    assumes=[
        "The catches are independent, and scatter as those did that the CV came from.",
        "A reading is off by half a scale step at most. A container tared on the scale takes one reading.",
        "Full and empty weighed apart take two readings, each off the worst way.",
        "The reading error is held against each single catch, though the mean of several does better.",
    ],
    cautions=[
        "Heavy catches are lifted by hand: split them, or weigh them where they hang.",
        "Stop the meter and isolate its drive before you put a hand near it.",
    ],
    leaves_out=[
        "A scale that reads wrong, or turns that are counted wrong, the same way each time.",
        "A meter that gives less when it turns fast: calibrate slow and fast to see that.",
        "How a product changes from lot to lot, and in the tank through the day.",
    ],
    sources=[NIST, T_TABLE, SCALE_STEPS],
    cases=CASES,
)
def sampling(
    cv: float, error: float, confidence: float, scale_step: float | None, reading_share: float
) -> Found:
    """The fewest catches whose mean is known to `error`, and the least product that a scale weighs well.

    `cv`, `error`, `confidence` and `reading_share` are shares, `scale_step` kg or None. Finds `catches`, a
    count or None above 10 000, and `least_mass` in kg. Source: NIST/SEMATECH e-Handbook 1.3.5.2.
    """
    needed = values_needed(cv, error, confidence)
    steps = steps_needed(reading_share * error)
    least = None if scale_step is None else steps * scale_step
    return Found(
        {"catches": needed, "least_mass": least},
        notes=_notes(cv, needed, least),
        tables={
            "halves": [[count, half_of(cv, count, confidence)] for count in counts_for(needed)],
            "weighing": [
                [say("tared"), steps, least],
                [say("two-readings"), 2 * steps, None if least is None else 2 * least],
            ],
        },
    )


def _notes(cv: float, needed: int | None, least: float | None) -> list[Say]:
    """What is missing, and what the figures rest on."""
    notes = []
    if needed is None:
        notes.append(say("too-many"))
    elif settle(cv) == 0:
        notes.append(say("no-scatter"))
    if needed is not None and needed < FEWEST:
        notes.append(say("make-three"))
    elif needed is not None:
        notes.append(say("work-out-again"))
    if least is None:
        return [*notes, say("give-scale-step")]
    return [*notes, say("two-readings", mass=2 * least), say("prove-scale", mass=least)]
