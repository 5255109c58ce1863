"""What a catch over a measured distance shows: its picture, its verdict, and what else to know."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from calc.chart import Picture, short
from calc.declare import Found, Say, say
from calc.errors import Problem, problem
from calc.metering.catch_picture import broken, shade
from calc.metering.catch_sums import against
from calc.metering.even_findings import number_notes
from calc.metering.run_bars import Bar, Lines, bar_mark, draw_runs
from calc.metering.run_sums import Run, RunCatch, beyond, blocked, by_run, cv_of, middle_of, off
from calc.number import settle
from calc.quantity import Amount, Units
from calc.units import DISTANCE, SHARE, TURNS

TARGET_IN_SIGHT = 0.5  # a target farther from the mean than this would flatten the bars


class RowCatch(NamedTuple):
    """One catch of one run: the number of the run, and what it gave (kg)."""

    run: float
    mass: float


def distance_of(turns: float | None, wheel_diameter: float | None, distance: float | None) -> float:
    """The distance (m), measured or rolled by a wheel. Raises TypeError unless given in just one way."""
    if distance is not None and turns is None and wheel_diameter is None:
        return distance
    if distance is None and turns is not None and wheel_diameter is not None:
        return turns * math.pi * wheel_diameter
    raise TypeError("give either turns and wheel_diameter, or distance")


def runs_of(catches: Sequence[RowCatch]) -> list[Run]:
    """The runs with their repeats together."""
    return by_run([RunCatch(catch.run, catch.mass, None) for catch in catches])


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """A wheel without its turns, or turns without their wheel."""
    turns, wheel, distance = given["turns"], given["wheel_diameter"], given["distance"]
    if turns is not None and wheel is None:
        return [
            problem(
                "wheel_diameter", "needed-with", other="turns", value=Amount(turns, TURNS), example="32 in"
            )
        ]
    if turns is None and wheel is not None and distance is not None:
        return [problem("wheel_diameter", "not-used", other="distance", value=Amount(distance, DISTANCE))]
    return []


def draw_catch(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """A bar for each run against the mean, between its limits; None where there is nothing to compare."""
    runs = runs_of(given["catches"])
    middle, rate, target = middle_of(runs), found.values["rate"], given["target"]
    if len(runs) < 2 or middle == 0 or not isinstance(rate, float):
        return None
    shown = None if target is None else against(target, rate)
    if shown is not None and abs(shown) > TARGET_IN_SIGHT:
        shown = None
    bars = [Bar(run.number, off(run, middle)) for run in runs]
    key = [("one run", bar_mark), (f"limits, ±{short(given['band'], SHARE, units)}", shade)]
    if shown is not None:
        key.append(("what the target asks", broken))
    low, high = found.values["row_low"], found.values["row_high"]
    assert isinstance(low, float) and isinstance(high, float)
    outside = len([bar for bar in bars if beyond(bar.share, given["band"])])
    parts = {"count": len(runs), "mean": middle, "low": low, "high": high, "outside": outside}
    return draw_runs(bars, Lines(given["band"], {}, target=shown), key, units, parts)


def part_of(run: Run, middle: float, band: float) -> Say:
    """Whether a run lies within the limits, below or above."""
    difference = off(run, middle)
    return say(("low" if difference < 0 else "high") if beyond(difference, band) else "within")


def verdict_of(runs: Sequence[Run], rate: float, target: float | None, band: float) -> Say:
    """Whether the drill is accepted on both counts, or which decides."""
    middle = middle_of(runs)
    if middle == 0:
        return say("nothing")
    difference = None if target is None else against(rate, target)
    wrong = difference is not None and beyond(difference, band)
    parts: dict[str, float | str] = {"band": band, "rate": rate, "difference": difference or 0.0}
    if len(runs) == 1:
        return say(
            "one-run" if difference is None else f"one-run-{'outside' if wrong else 'within'}", **parts
        )
    farthest = max(runs, key=lambda run: settle(abs(off(run, middle))))
    outside = len([run for run in runs if beyond(off(run, middle), band)])
    parts |= {"count": outside, "run": str(farthest.number)}
    if not outside:
        return say("runs-accepted" if difference is None else "rate" if wrong else "accepted", **parts)
    return say("runs-only" if difference is None else "both" if wrong else "runs", **parts)


def notes_of(
    runs: Sequence[Run],
    rate: float,
    target: float | None,
    band: float,
    wanted: float | None,
    by_wheel: float | None,
) -> list[Say]:
    """What the reader should know: the gravest first."""
    notes = []
    if few := blocked(runs, middle_of(runs)):
        notes.append(say("blocked", count=len(few), run=str(few[0].number)))
    elif target is not None and rate > 0 and beyond(against(rate, target), band):
        notes.append(say("rate-off", factor=rate / target))
    notes.append(say("give-target") if wanted is None else say("wanted", mass=wanted))
    if by_wheel is not None:
        notes.append(say("by-wheel", distance=by_wheel))
    if len(runs) > 1 and cv_of([run.mass for run in runs]) == 0:
        notes.append(say("all-alike"))
    return notes + number_notes(runs)
