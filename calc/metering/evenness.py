"""How evenly the runs of a machine share the product: run against run, and head against head."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from calc import usual
from calc.chart import Picture, short
from calc.declare import (
    Chart,
    Column,
    Found,
    Input,
    Output,
    Rows,
    Source,
    Table,
    calculator,
    words,
)
from calc.errors import InputError, Problem, problem
from calc.metering.catch_picture import broken, shade
from calc.metering.even_cases import CASES, EXAMPLE, FIELD_AND_LONG
from calc.metering.even_findings import (
    Grades,
    end_of,
    head_rows,
    look_rows,
    notes_of,
    run_rows,
    verdict_of,
)
from calc.metering.even_words import ENDS, LOOK, NOTES, PARTS, VERDICTS
from calc.metering.run_bars import Bar, Lines, bar_mark, draw_runs, thick
from calc.metering.run_sums import RunCatch, by_head, by_run, cv_of, middle_of, off
from calc.quantity import Amount, Units
from calc.statistics import mean
from calc.units import COUNT, SHARE, SMALL_MASS

GRADES = Source(
    "A CV of up to 10 % is very good: the view of test centers, as quoted in the farm press",
    where="the grade; up to 15 % as usable, and ±5 % for heads, are common practice",
)
STRICTER = Source(
    "DB32/T 1026-2007, a Chinese provincial standard for rapeseed drills",
    where="from row to row a CV of at most 5.2 %: stricter than the grades taken here",
)
BENCH = Source("ISO 7256-2, the bench test of drills", where="its abstract; it sets no grades")
COMMON = Source("A CV of up to 15 % is usable; each head within ±5 % of the mean", basis="common practice")
OURS = Source("A run under half the mean counts as blocked", basis="our own invention")
VARIANCE = Source(
    "Analysis of variance, one way: mean square within heads ÷ mean square of all", basis="from memory"
)


def draw_evenness(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """A bar for each run against the mean; None where there is nothing to compare."""
    runs = by_run(given["catches"])
    middle = middle_of(runs)
    if len(runs) < 2 or middle == 0:
        return None
    heads = by_head(runs)
    bars = [Bar(run.number, off(run, middle), run.head) for run in runs]
    lowest, highest = min(bars, key=lambda bar: bar.share), max(bars, key=lambda bar: bar.share)
    key = [("one run", bar_mark), (f"±{short(given['good'], SHARE, units)} of the mean", shade)]
    lines = Lines(given["good"], {head.number: mean(head.masses) / middle - 1 for head in heads})
    if heads:
        lines = lines._replace(head_limit=given["head_band"])
        band = f"band of heads, ±{short(given['head_band'], SHARE, units)}"
        key += [("mean of a head", thick), (band, broken)]
    parts = {
        "count": len(runs),
        "mean": middle,
        "low": str(lowest.number),
        "high": str(highest.number),
        "low_share": lowest.share,
        "high_share": highest.share,
        "limit": given["good"],
    }
    return draw_runs(bars, lines, key, units, parts)


@calculator(
    id="evenness",
    title="Evenness from run to run",
    asks="Does every run get the same, and which head or run should I look at first?",
    inputs=[
        Rows(
            "catches",
            "Catches",
            RunCatch,
            [
                usual.RUN,
                replace(usual.MASS_CAUGHT, example="70.2 g"),
                Input("head", "Head", COUNT, "1", "1", "100", "The head that feeds this run."),
            ],
            example=EXAMPLE,
            each="Catch",
            hint="Every run, over the same time. Write a run again for each repeat: they are averaged.",
            most=240,
        ),
        Input(
            "good",
            "Very good up to a CV of",
            SHARE,
            "10 %",
            "0.5 %",
            "50 %",
            "The farm press quotes test centers with 10 %.",
            default="10 %",
        ),
        Input(
            "usable",
            "Usable up to a CV of",
            SHARE,
            "15 %",
            "0.5 %",
            "100 %",
            "Common practice is 15 %.",
            default="15 %",
        ),
        Input(
            "head_band",
            "Band for heads, ±",
            SHARE,
            "5 %",
            "0.5 %",
            "50 %",
            "How far a head's mean may lie from the mean of all runs. Common practice is 5 %.",
            default="5 %",
        ),
    ],
    outputs=[
        Output("mean", "Mean of the runs", SMALL_MASS),
        Output("cv", "CV from run to run", SHARE, main=True),
        Output("lowest", "Lowest", says=ENDS),
        Output("highest", "Highest", says=ENDS),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "look",
            "Look here first",
            [
                Column("what", "What", says={"head": words("head {number}"), "run": words("run {number}")}),
                Column("difference", "Against the mean", SHARE),
                Column("look", "What to look for", says=LOOK),
            ],
        ),
        Table(
            "heads",
            "Each head",
            [
                Column("head", "Head", COUNT),
                Column("runs", "Runs", COUNT),
                Column("mean", "Mean of its runs", SMALL_MASS),
                Column("difference", "Against the mean", SHARE),
                Column("cv", "CV of its runs", SHARE),
                Column("part", "How it lies", says=PARTS),
            ],
        ),
        Table(
            "runs",
            "Each run",
            [
                Column("run", "Run", COUNT),
                Column("head", "Head", COUNT),
                Column("catches", "Catches", COUNT),
                Column("mass", "Mean", SMALL_MASS),
                Column("difference", "Against the mean", SHARE),
            ],
        ),
    ],
    charts=[
        Chart(
            "runs",
            "The runs against their mean",
            words(
                "A bar for each of {count} runs, up or down from their mean of {mean}. "
                "The lowest is run {low}, at {low_share}; the highest is run {high}, at {high_share}. "
                "The shaded band is ±{limit}.",
                count=COUNT,
                mean=SMALL_MASS,
                low_share=SHARE,
                high_share=SHARE,
                limit=SHARE,
            ),
            draw_evenness,
        )
    ],
    notes=NOTES,
    equation=(
        "Each run is the mean of its catches. CV = s / mean, with s over the runs and n − 1. "
        "A head is the mean of its runs, against the mean of all. "
        "Scatter between heads: 1 − (mean square within heads) / (mean square of all)."
    ),
    assumes=[
        "Every run was caught over the same time or the same turns, in containers that lose nothing.",
        "Rate, product, fan speed and slope were those of the job, and oil and fan were up to speed.",
        "Each run counts once, however often it was caught.",
        "A run that gave less than half the mean counts as blocked, and that decides first.",
        "A run is looked at first where it lies farther from the mean than the CV that is very good.",
        "Where its head is off as a whole, a run is held against the middle one of its head.",
    ],
    cautions=[
        "Product and stones fly out of open runs: keep eyes covered and everyone else away.",
        "Stop the fan and isolate the meter drive before you hang or take off a container.",
        "Keep out from under raised frames and wings unless they are locked up.",
        "Treated seed and fertilizer dust can harm: wear what the label or the safety data sheet asks for.",
    ],
    leaves_out=[
        "The rate: every run may get the same, and all too much.",
        "Spacing along the row, depth, and what the opener and the soil do.",
        "Other rates, products and fan speeds: what shares well at one may not at another.",
        "Runs that were not caught.",
    ],
    sources=[GRADES, COMMON, STRICTER, BENCH, OURS, VARIANCE, FIELD_AND_LONG],
    cases=CASES,
    then=("drill-catch",),
)
def evenness(catches: Sequence[RunCatch], good: float, usable: float, head_band: float) -> Found:
    """How runs and heads differ, with what to look at first.

    `catches` with masses in kg; `good` and `usable` are limits of the CV, `head_band` of a head's mean, all
    as shares. Finds the `mean` of the runs (kg), their `cv`, which is `lowest` and `highest`, and a verdict.
    Raises `InputError` where a run stands under two heads, or `good` above `usable`.
    """
    if wrong := [*_other_heads(catches), *_crossed(good, usable)]:
        raise InputError(wrong)
    runs = by_run(catches)
    heads = by_head(runs)
    middle, cv = middle_of(runs), cv_of([run.mass for run in runs])
    grades = Grades(good, usable, head_band)
    look = look_rows(runs, heads, middle, grades)
    return Found(
        {
            "mean": middle,
            "cv": cv,
            "lowest": end_of(runs, middle, min),
            "highest": end_of(runs, middle, max),
            "verdict": verdict_of(runs, heads, middle, cv, grades),
        },
        notes=notes_of(runs, heads, middle, cv, grades),
        tables={
            **({"look": look} if look else {}),
            **({"heads": head_rows(heads, middle, head_band)} if heads else {}),
            "runs": run_rows(runs, middle),
        },
    )


def _other_heads(catches: Sequence[RunCatch]) -> list[Problem]:
    """Every catch whose run stood under another head further up."""
    first: dict[float, float] = {}
    wrong = []
    for number, catch in enumerate(catches, start=1):
        if catch.head is None:
            continue
        if (before := first.setdefault(catch.run, catch.head)) != catch.head:
            parts = {"run": int(catch.run), "first": int(before), "second": int(catch.head)}
            wrong.append(problem(f"catches[{number}].head", "other-head", **parts))
    return wrong


def _crossed(good: float, usable: float) -> list[Problem]:
    """Whether the better grade reaches further than the worse."""
    if good <= usable:
        return []
    return [problem("good", "low-above-high", low=Amount(good, SHARE), high=Amount(usable, SHARE))]
