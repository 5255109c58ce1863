"""What stands out among runs and heads: which to look at first, the verdict, and the notes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

from calc.declare import Say, Value, say
from calc.errors import listed
from calc.metering.catch_sums import against
from calc.metering.run_sums import (
    Head,
    Run,
    beyond,
    blocked,
    caught_more_often,
    cv_of,
    median,
    missing,
    off,
    scatter_of_repeats,
    share_of_heads,
)
from calc.number import settle
from calc.statistics import mean

MOST_NAMED = 6  # runs that are named one by one in a sentence
MOST_LOOKED_AT = 6
FEW_RUNS = 10
MOSTLY, HARDLY = 0.5, 0.25  # of the scatter between heads: our own limits for where the trouble lies


class Grades(NamedTuple):
    """Limits, as shares: the CV that is very good, the one that is usable, and a head's difference."""

    good: float
    usable: float
    head_band: float


def end_of(runs: Sequence[Run], middle: float, pick: Callable[[Iterable[float]], float]) -> Say | None:
    """Which run or runs are the lowest or the highest; None for a single run."""
    if len(runs) < 2:
        return None
    if len({run.mass for run in runs}) == 1:
        return say("alike")
    mass = pick(run.mass for run in runs)
    numbers = [str(run.number) for run in runs if run.mass == mass]
    parts: dict[str, float | str] = {"mass": mass, "difference": against(mass, middle)}
    if len(numbers) == 1:
        return say("run", run=numbers[0], **parts)
    if len(numbers) <= MOST_NAMED:
        return say("runs", runs=listed(numbers, "and"), **parts)
    return say("many", count=len(numbers), run=numbers[0], **parts)


def part_of(head: Head, middle: float, band: float) -> Say:
    """How a head lies: inside the band, off as a whole, or pulled off by some of its runs."""
    difference = against(mean(head.masses), middle)
    if not beyond(difference, band):
        return say("inside")
    side = "low" if difference < 0 else "high"
    usual = against(median(head.masses), middle)
    if len(head.runs) < 3 or ((usual < 0) == (difference < 0) and beyond(usual, band)):
        return say(side)
    culprit = (min if side == "low" else max)(head.runs, key=lambda run: run.mass)
    return say(f"few-{side}", run=str(culprit.number))


def outside(heads: Sequence[Head], middle: float, band: float) -> list[Head]:
    """The heads whose mean is outside the band, the farthest first; none while only one is known."""
    if len(heads) < 2 or middle == 0:
        return []
    far = [head for head in heads if beyond(against(mean(head.masses), middle), band)]
    return sorted(far, key=lambda head: -settle(abs(against(mean(head.masses), middle))))


def verdict_of(
    runs: Sequence[Run], heads: Sequence[Head], middle: float, cv: float | None, grades: Grades
) -> Say:
    """The first test that fails decides: a blocked run, the CV, the heads; then the grade of the CV."""
    if middle == 0:
        return say("nothing")
    if cv is None:
        return say("one-run")
    if few := blocked(runs, middle):
        code = "blocked" if len(few) == 1 else "some-blocked"
        return say(code, count=len(few), run=str(few[0].number))
    if beyond(cv, grades.usable):
        return say("uneven", cv=cv, usable=grades.usable)
    if far := outside(heads, middle, grades.head_band):
        parts: dict[str, float | str] = {"cv": cv, "band": grades.head_band, "head": str(far[0].number)}
        if len(far) > 1:
            return say("heads", count=len(far), **parts)
        return say("head", difference=against(mean(far[0].masses), middle), **parts)
    if beyond(cv, grades.good):
        return say("usable", cv=cv, good=grades.good, usable=grades.usable)
    return say("good", cv=cv, good=grades.good)


def look_rows(runs: Sequence[Run], heads: Sequence[Head], middle: float, grades: Grades) -> list[list[Value]]:
    """What to look at first: blocked runs, heads off as a whole, then runs far from the mean."""
    if middle == 0 or len(runs) < 2:
        return []
    few = blocked(runs, middle)
    rows: list[list[Value]] = [[_run(run), off(run, middle), say("blocked-run")] for run in few]
    whole = {
        head.number: part.code
        for head in outside(heads, middle, grades.head_band)
        if (part := part_of(head, middle, grades.head_band)).code in ("low", "high")
    }
    known = {head.number: head for head in heads}
    for number, code in whole.items():
        difference = against(mean(known[number].masses), middle)
        rows.append([say("head", number=str(number)), difference, say(f"{code}-head")])
    base = {number: median(known[number].masses) for number in whole}
    rest = [run for run in runs if run not in few]
    far = [(against(run.mass, base.get(run.head or 0) or middle), run) for run in rest]
    for difference, run in sorted(far, key=lambda one: (-settle(abs(one[0])), one[1].number)):
        if beyond(difference, grades.good):
            code = "low-run" if difference < 0 else "high-run"
            rows.append([_run(run), off(run, middle), say(code)])
    return rows[:MOST_LOOKED_AT]


def _run(run: Run) -> Say:
    return say("run", number=str(run.number))


def head_rows(heads: Sequence[Head], middle: float, band: float) -> list[list[Value]]:
    """A row a head: its runs, their mean, that against the mean of all, their CV, and how the head lies."""
    return [
        [
            head.number,
            len(head.runs),
            mean(head.masses),
            against(mean(head.masses), middle) if middle else None,
            cv_of(head.masses),
            part_of(head, middle, band) if middle else None,
        ]
        for head in heads
    ]


def run_rows(runs: Sequence[Run], middle: float) -> list[list[Value]]:
    """A row a run: its head, how often it was caught, its mean, and that against the mean of all."""
    return [
        [run.number, run.head, len(run.masses), run.mass, off(run, middle) if middle else None]
        for run in runs
    ]


def notes_of(
    runs: Sequence[Run], heads: Sequence[Head], middle: float, cv: float | None, grades: Grades
) -> list[Say]:
    """What the reader should know: the gravest first."""
    notes = []
    few = blocked(runs, middle) if cv is not None else []
    without = cv_of([run.mass for run in runs if run not in few])
    if few and without is not None:
        notes.append(say("blocked-counted", cv=without))
    if cv is not None and (beyond(cv, grades.good) or outside(heads, middle, grades.head_band)):
        notes += where_it_lies(heads)
    notes += _head_notes(runs, heads)
    if cv == 0:
        notes.append(say("all-alike"))
    if cv and len(runs) < FEW_RUNS:
        notes.append(say("few-runs", count=len(runs), share=1 / math.sqrt(2 * (len(runs) - 1))))
    notes += number_notes(runs)
    if cv:
        notes += _repeat_notes(runs, middle)
    return [*notes, say("same-time")]


def where_it_lies(heads: Sequence[Head]) -> list[Say]:
    """Whether the trouble lies between heads, within them, or both ways; nothing where it cannot be told."""
    share = share_of_heads(heads)
    if share is None:
        return []
    if settle(share) >= MOSTLY:
        return [say("between-heads", share=share)]
    return [say("within-heads" if settle(share) <= HARDLY else "both", share=share)]


def _head_notes(runs: Sequence[Run], heads: Sequence[Head]) -> list[Say]:
    if not heads:
        return [say("give-heads")]
    notes = [say("one-head")] if len(heads) == 1 else []
    if without := [run for run in runs if run.head is None]:
        notes.append(say("some-without-head", count=len(without)))
    return notes


def number_notes(runs: Sequence[Run]) -> list[Say]:
    """What the numbers of the runs give away: some left out, some perhaps written twice."""
    found: list[tuple[str, list[Any]]] = [
        ("missing", missing(runs)),
        ("caught-more", caught_more_often(runs)),
    ]
    return [say(code, count=len(numbers), run=str(numbers[0])) for code, numbers in found if numbers]


def _repeat_notes(runs: Sequence[Run], middle: float) -> list[Say]:
    """Whether chance in the catches themselves explains how runs differ."""
    repeats = scatter_of_repeats(runs)
    if repeats is None:
        return [say("caught-once")]
    scatter, share = repeats
    code = "repeats-scatter" if settle(share) >= MOSTLY else "repeats-agree"
    return [say(code, cv=scatter / middle, share=share)]
