"""The mass per turn of a meter from repeated catches, and how far the catches let it be trusted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from calc import usual
from calc.declare import Chart, Column, Found, Input, Output, Rows, Source, Table, calculator, say, words
from calc.errors import InputError, problem
from calc.metering.calibration_cases import CASES, EXAMPLE, FIELD_AND_LONG, NIST_INTERVAL, NIST_OUTLIER
from calc.metering.catch_picture import draw_catches
from calc.metering.catch_sums import Catch, against, compare, scatter, slow_and_fast
from calc.metering.catch_verdict import NOTES, VERDICTS, scatter_notes, speed_notes, verdict_of
from calc.quantity import Amount
from calc.statistics import mean, outlier, values_needed
from calc.units import COUNT, MASS, MASS_PER_TURN, SHARE, TURNS

COMMON = Source(
    "Habits of the trade: spread at most 3 %, slow against fast at most 3 to 5 %, ±2 % for a meter",
    where="taken here as 1.5 and 2 times the tolerance",
    basis="common practice",
)
SCALE_STEPS = Source(
    "Half a scale step of error in each reading, against 0.25 % of the catch", basis="our own invention"
)


def check_tares(catches: Sequence[Catch]) -> None:
    """Raises `InputError` with every catch whose container weighs as much as the full one."""
    wrong = [
        problem(
            f"catches[{number}].tare",
            "tare-above-gross",
            tare=Amount(catch.tare, MASS),
            gross=Amount(catch.gross, MASS),
        )
        for number, catch in enumerate(catches, start=1)
        if catch.net <= 0
    ]
    if wrong:
        raise InputError(wrong)


@calculator(
    id="calibration",
    title="Meter calibration",
    asks="What mass per turn do these catches give, and are they good enough to enter it?",
    inputs=[
        Rows(
            "catches",
            "Catches",
            Catch,
            [
                Input("turns", "Turns", TURNS, "20", "0.1", "100000", "Count the meter shaft's own turns."),
                Input(
                    "gross",
                    "Mass with the container",
                    MASS,
                    "22.40 lb",
                    "0.1 g",
                    "5000 kg",
                    "As weighed; the product alone if the container was tared on the scale.",
                    measured=True,
                ),
                Input(
                    "tare",
                    "Empty container",
                    MASS,
                    "2.15 lb",
                    "0 kg",
                    "5000 kg",
                    "Leave it out if the container was tared on the scale.",
                    default="0 kg",
                    measured=True,
                ),
                replace(usual.METER_SPEED, example="12 rpm", hint="To compare slow turning with fast."),
            ],
            example=EXAMPLE,
            each="Catch",
            hint="Three or more, some slow and some fast. From six on, a suspect is looked for.",
        ),
        replace(
            usual.MASS_PER_TURN,
            title="Mass per turn in use",
            example="0.96 lb/rev",
            hint="What the machine's control works with now, to see the change.",
            measured=False,
            takes=("field-check.mass_per_turn",),
        ),
        Input(
            "tolerance",
            "Tolerance of the mean, ±",
            SHARE,
            "2 %",
            "0.1 %",
            "20 %",
            "Common practice is 2 % for a meter. The limits for spread and for slow against fast go with it.",
            default="2 %",
        ),
    ],
    outputs=[
        Output("mass_per_turn", "Mass per turn", MASS_PER_TURN, main=True),
        Output("spread", "Spread, largest less smallest", SHARE),
        Output("cv", "CV of the catches", SHARE),
        Output("interval_low", "95 % interval of the mean, from", MASS_PER_TURN),
        Output("interval_high", "95 % interval of the mean, to", MASS_PER_TURN),
        Output("change", "Change against the figure in use", SHARE),
        Output("low_high", "Fast turning against slow", SHARE),
        Output("suspect", "Suspect catch, by its number", COUNT, absent="none"),
        Output("more_catches", "More catches needed", COUNT),
        Output(
            "verdict",
            "Verdict",
            says=VERDICTS,
            main=True,
        ),
    ],
    tables=[
        Table(
            "catches",
            "Each catch",
            [
                Column("catch", "Catch", COUNT),
                Column("net", "Product", MASS),
                Column("mass_per_turn", "Mass per turn", MASS_PER_TURN),
                Column("difference", "Against the mean", SHARE),
            ],
        )
    ],
    charts=[
        Chart(
            "catches",
            "The catches and their mean",
            words(
                "{count} catches about a mean of {mean}. The 95 % interval of the mean goes from {low} to "
                "{high}, the tolerance about it from {band_low} to {band_high}.",
                count=COUNT,
                mean=MASS_PER_TURN,
                low=MASS_PER_TURN,
                high=MASS_PER_TURN,
                band_low=MASS_PER_TURN,
                band_high=MASS_PER_TURN,
            ),
            draw_catches,
        )
    ],
    notes=NOTES,
    equation=(
        "m = mean of (gross − tare) / turns; spread = (largest − smallest) / m; CV = s / m; "
        "interval m ± t · s / √n, with t for 95 % and n − 1"
    ),
    assumes=[
        "The scale reads true, and every turn of the meter was counted.",
        "The catches are independent, and nothing but chance and the meter speed differs between them.",
        "Slow and fast are told apart at the widest step between the meter speeds given.",
        "That step must be at least a quarter, and wider than the range of speeds on either side of it.",
        "Limits are common practice: 1.5 times the tolerance for the spread, twice for slow against fast.",
        "Slow against fast decides only where chance cannot explain it: two catches at each, t test, 5 %.",
        "Fan and tank pressure during the catch are as in work. If not, the field check decides.",
    ],
    leaves_out=[
        "A scale or a count of turns that is wrong the same way each time: the catches still agree.",
        "Another lot, moisture, blend or metering element: each asks for catches of its own.",
        "How the product is shared among the runs.",
    ],
    then=("rate", "speed-window", "field-check", "sampling"),
    cautions=[
        "Stop the meter and isolate its drive before you put a hand near it.",
        "Open no meter or lid under pressure: stop the fan and let the tank vent first.",
        "Product dust can harm: wear what the label or the safety data sheet asks for.",
    ],
    sources=[NIST_INTERVAL, NIST_OUTLIER, FIELD_AND_LONG, COMMON, SCALE_STEPS],
    cases=CASES,
)
def calibration(catches: Sequence[Catch], mass_per_turn: float | None, tolerance: float) -> Found:
    """Mean mass per turn of repeated catches, their scatter, and whether it is good enough to enter.

    `catches` in kg, turns and turns per second; `mass_per_turn` in use in kg per turn; `tolerance` a share
    of the mean. Returns the results with a row a catch; raises `InputError` where a tare leaves no product.
    Source: NIST/SEMATECH e-Handbook 1.3.5.2 and 1.3.5.17.1.
    """
    check_tares(catches)
    values = [catch.mass_per_turn for catch in catches]
    middle = mean(values)
    found = scatter(values) if len(values) > 1 else None
    needed = values_needed(found.cv, tolerance) if found else None
    change = None if mass_per_turn is None else against(middle, mass_per_turn)
    groups = slow_and_fast(catches)
    slow_fast = compare(values, groups) if groups else None
    rejected = outlier(values)
    suspect = None if rejected is None else rejected + 1
    more = None if needed is None else max(0, needed - len(values))
    notes = [
        *scatter_notes(found, suspect, len(values), more),
        *([say("give-in-use")] if change is None else [say("change-sign")]),
        *speed_notes(catches, groups, slow_fast, tolerance),
        say("scale-steps-two-readings" if any(catch.tare for catch in catches) else "scale-steps-tared"),
    ]
    return Found(
        values={
            "mass_per_turn": middle,
            "spread": found.spread if found else None,
            "cv": found.cv if found else None,
            "interval_low": middle * (1 - found.half) if found else None,
            "interval_high": middle * (1 + found.half) if found else None,
            "change": change,
            "low_high": slow_fast[0] if slow_fast else None,
            "suspect": suspect,
            "more_catches": more,
            "verdict": verdict_of(found, tolerance, slow_fast, suspect, more, change),
        },
        notes=notes,
        tables={
            "catches": [
                [number, catch.net, catch.mass_per_turn, against(catch.mass_per_turn, middle)]
                for number, catch in enumerate(catches, start=1)
            ]
        },
    )
