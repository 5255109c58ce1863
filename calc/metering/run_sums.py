"""What the catches of single runs say: a mean for each run, each head, and where the unevenness lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from calc.metering.catch_sums import against
from calc.number import settle
from calc.statistics import deviation, mean

BLOCKED = 0.5  # a run that gave less than this share of the mean counts as blocked


class RunCatch(NamedTuple):
    """One catch of one run: the number of the run, what it gave (kg), and the number of its head."""

    run: float
    mass: float
    head: float | None


class Run(NamedTuple):
    """A run with all that was caught of it (kg), its head if that is known, and the mean of its catches.

    The mean is settled, so that equal runs are equal and not a bit apart.
    """

    number: int
    masses: tuple[float, ...]
    head: int | None
    mass: float


class Head(NamedTuple):
    """A head and its runs."""

    number: int
    runs: tuple[Run, ...]

    @property
    def masses(self) -> list[float]:
        """What each of its runs gave, kg."""
        return [run.mass for run in self.runs]


def by_run(catches: Sequence[RunCatch]) -> list[Run]:
    """The catches of each run together, in the order of their numbers; one row is enough to tell its head."""
    masses: dict[int, list[float]] = {}
    heads: dict[int, int] = {}
    for catch in catches:
        masses.setdefault(int(catch.run), []).append(catch.mass)
        if catch.head is not None:
            heads[int(catch.run)] = int(catch.head)
    return [
        Run(number, tuple(caught), heads.get(number), settle(mean(caught)))
        for number, caught in sorted(masses.items())
    ]


def by_head(runs: Sequence[Run]) -> list[Head]:
    """The heads by number, with their runs; runs whose head is not known are left out."""
    known = sorted({run.head for run in runs if run.head is not None})
    return [Head(number, tuple(run for run in runs if run.head == number)) for number in known]


def middle_of(runs: Sequence[Run]) -> float:
    """The mean of the runs, kg: each counts once, however often it was caught."""
    return settle(mean([run.mass for run in runs]))


def cv_of(masses: Sequence[float]) -> float | None:
    """The CV; None for a single figure, or where nothing was caught at all."""
    middle = mean(masses)
    return deviation(masses) / middle if len(masses) > 1 and middle > 0 else None


def beyond(share: float, limit: float) -> bool:
    """Whether a share, of either sign, is above its limit."""
    return settle(abs(share)) > settle(limit)


def blocked(runs: Sequence[Run], middle: float) -> list[Run]:
    """The runs that gave less than half the mean, the least first."""
    few = [run for run in runs if settle(run.mass) < settle(BLOCKED * middle)]
    return sorted(few, key=lambda run: (run.mass, run.number))


def median(values: Sequence[float]) -> float:
    """The middle one, or the mean of the two middle ones."""
    ordered, half = sorted(values), len(values) // 2
    return ordered[half] if len(values) % 2 else (ordered[half - 1] + ordered[half]) / 2


def share_of_heads(heads: Sequence[Head]) -> float | None:
    """Which part of the runs' variance is between heads, beyond what chance would put there; at least 0.

    That is 1 − (mean square within heads) / (mean square of all). None with fewer than two heads, with
    fewer than two runs a head on average, or where all runs are alike.
    """
    masses = [mass for head in heads for mass in head.masses]
    freedom = len(masses) - len(heads)
    if len(heads) < 2 or freedom < len(heads) or deviation(masses) == 0:
        return None
    means = {head.number: mean(head.masses) for head in heads}
    squares = [(run.mass - means[head.number]) ** 2 for head in heads for run in head.runs]
    return max(0.0, 1 - math.fsum(squares) / freedom / deviation(masses) ** 2)


def scatter_of_repeats(runs: Sequence[Run]) -> tuple[float, float] | None:
    """The standard deviation (kg) of repeats of one run, and the part of the runs' variance that it explains.

    The repeats of all runs are pooled. None where no run was caught twice, or where all runs are alike.
    """
    freedom = len([mass for run in runs for mass in run.masses]) - len(runs)
    spread = deviation([run.mass for run in runs]) if len(runs) > 1 else 0.0
    if freedom == 0 or spread == 0:
        return None
    squares = math.fsum((mass - mean(run.masses)) ** 2 for run in runs for mass in run.masses) / freedom
    of_means = squares * math.fsum(1 / len(run.masses) for run in runs) / len(runs)
    return math.sqrt(squares), min(1.0, of_means / spread**2)


def missing(runs: Sequence[Run]) -> list[int]:
    """The numbers between the first and the last run that were not caught."""
    caught = {run.number for run in runs}
    return [number for number in range(min(caught), max(caught)) if number not in caught]


def caught_more_often(runs: Sequence[Run]) -> list[int]:
    """The runs that were caught more often than most: a number may have been written twice."""
    counts = [len(run.masses) for run in runs]
    usual = max(sorted(set(counts)), key=counts.count)
    return [run.number for run in runs if len(run.masses) > usual]


def off(run: Run, middle: float) -> float:
    """A run against the mean of all, as a share."""
    return against(run.mass, middle)
