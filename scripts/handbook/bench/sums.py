"""How long each calculator takes, here and in the page, with as many rows as it may be given."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle, islice
from statistics import median

from playwright.sync_api import Page

from calc.declare import Calculator, Name, Rows, catalogue
from calc.reply import answer, compact
from handbook.console import Stop
from handbook.measured import Part, Table
from handbook.settings import DEFAULT_UNITS

TIMES = 15

# From the question to the reply, through the worker and back.
_ASK = """async ([request, times]) => {
    const taken = [];
    let reply = "";
    for (let round = 0; round < times; round += 1) {
        const began = performance.now();
        reply = await window.furrowbook.engine.ask(request);
        taken.push(performance.now() - began);
    }
    return { taken, reply };
}"""


@dataclass(frozen=True)
class Sum:
    """One calculator: its rows at their most, and medians in milliseconds here and in the page."""

    calculator: str
    rows: int
    native: float
    in_page: float


def largest(calculator: Calculator) -> tuple[str, int]:
    """Its worked example with as many rows as may be given, as a request; and how many those are."""
    given = calculator.example
    count = 0
    for one in calculator.inputs:
        if isinstance(one, Rows):
            rows = [dict(row) for row in islice(cycle(given[one.name]), one.most)]
            for column in one.columns:
                if isinstance(column, Name):
                    for number, row in enumerate(rows, start=1):
                        row[column.name] = f"{one.each} {number}"
            given[one.name] = rows
            count += len(rows)
    return compact({"calculator": calculator.id, "given": given, "units": DEFAULT_UNITS}), count


def work_out_all(page: Page, times: int = TIMES) -> list[Sum]:
    """Every calculator in turn, in a page in which Python is up.

    Raises `Stop` where the page replies otherwise than Python here.
    """
    found = []
    for calculator in catalogue().values():
        request, rows = largest(calculator)
        native = [_timed(request) for _ in range(times)]
        asked = page.evaluate(_ASK, [request, times])
        if asked["reply"] != answer(request):
            raise Stop(f"“{calculator.id}” answers otherwise in the page than here.")
        found.append(Sum(calculator.id, rows, median(native), median(asked["taken"])))
    return found


def _timed(request: str) -> float:
    began = time.perf_counter()
    answer(request)
    return (time.perf_counter() - began) * 1000


def sums_table(sums: Sequence[Sum]) -> list[Part]:
    """A row a calculator: rows, milliseconds here and in the page, and how many times longer that is."""
    return [
        f"Each calculator at its most rows, in milliseconds, medians of {TIMES}:",
        Table(
            ("calculator", "rows", "native", "page", "ratio"),
            tuple(
                (
                    one.calculator,
                    f"{one.rows or '-'}",
                    f"{one.native:.2f}",
                    f"{one.in_page:.1f}",
                    f"{one.in_page / one.native:.1f}",
                )
                for one in sums
            ),
        ),
    ]
