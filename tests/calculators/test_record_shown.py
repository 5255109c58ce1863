"""What people see of a record: its summary for the office, and the picture of what was found over time.

The texts and pictures are our own; what stands in them is checked against the entries, by hand.
"""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from calc.quantity import Units
from calc.record.files import _depth as depth
from calc.record.history import Point, Series, drawn
from calc.record.summary import summary
from calc.units import TURNING_SPEED
from tests.calculators.pictures import looked_at
from tests.calculators.record_entries import example

JOB, OTHER = "11111111-0000-4000-8000-000000000000", "22222222-0000-4000-8000-000000000000"


def made(number: int, kind: str, day: int, job: str = JOB, **more: Any) -> dict[str, Any]:
    entry = example(kind, id=f"{number:08d}-0000-4000-8000-000000000000", **more)
    return entry | {"when": f"2027-04-{day:02d}T13:05:09.120Z"} | ({"job": job} if "job" in entry else {})


def test_a_summary_says_of_each_job_what_was_done_found_left_and_signed() -> None:
    entries = [
        made(1, "begun", 1, name="Prairie Four", serial="A-1027"),
        made(2, "done", 1),
        made(3, "done", 2, who="A. Plough"),
        made(4, "skipped", 2),
        made(5, "measured", 3, value="9 rpm", verdict="outside", action="Closed the valve."),
        made(6, "measured", 3, value="2 rpm", verdict="within"),
        made(7, "opened", 4, change="Simulated ground speed is on"),
        made(8, "opened", 4, change="A practice job is open"),
        made(9, "closed", 4, change="A practice job is open"),
        made(10, "signed", 5, name="T. Furrow", role="operator"),
        made(11, "done", 7, job=OTHER),
    ]
    assert summary(entries).splitlines() == [
        "Entries: 11. Jobs: 2.",
        "",
        "Prairie Four, A-1027: 2027-04-01 to 2027-04-05",
        "  by A. Plough, R. Field",
        "  2 steps done, 2 values, 1 that did not apply",
        "  outside: Meter speed 9 rpm; Closed the valve.",
        "  open: Simulated ground speed is on (R. Field, 2027-04-04)",
        "  signed: T. Furrow, operator, 2027-04-05",
        "",
        "A job of which the beginning is missing: 2027-04-07 to 2027-04-07",
        "  by R. Field",
        "  1 steps done, 0 values, 0 that did not apply",
        "  not signed",
    ]


def test_a_summary_names_sheets_and_numbers_that_were_given_twice() -> None:
    watched = made(1, "watched", 1, level="3", trainee="N. Hand", title="Set the fan", evaluator="T. Furrow")
    lines = summary([watched, watched | {"title": "Set the fan again"}]).splitlines()
    assert lines[0] == "Entries: 2. Jobs: 0."
    assert f"  {watched['date']} N. Hand: Set the fan, 3 alone (T. Furrow)" in lines
    assert lines[-2].startswith("Numbers that entries with different content bear")
    assert lines[-1] == f"  {watched['id']}"


def series(values: list[float], lot: str = "") -> Series:
    points = [
        Point(f"2027-04-{day:02d}T08:00:00.000Z", f"{value} rpm", value / 60, lot and f"{lot}-{day}")
        for day, value in enumerate(values, start=1)
    ]
    return Series("Meter speed", TURNING_SPEED, points)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("count", [2, 3, 5, 6, 11, 12, 13, 40])
@pytest.mark.parametrize("lot", ["", "W"])
def test_a_history_is_drawn_in_order_with_its_days_and_lots(count: int, lot: str, units: str) -> None:
    """The last twelve, evenly spaced, higher where the value is larger; no text lies over another."""
    values = [40.0 + 7 * (day * 5 % 3) for day in range(count)]
    svg = drawn(series(values, lot), Units(units))
    seen = looked_at(svg)
    dots = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg)]
    last = values[-12:]
    assert len(dots) == len(last)
    steps = [after[0] - before[0] for before, after in itertools.pairwise(dots)]
    assert steps == pytest.approx([steps[0]] * len(steps), abs=0.02) and steps[0] > 20
    for one, (_, y) in zip(last, dots, strict=True):
        for other, (_, beside) in zip(last, dots, strict=True):
            assert (one > other) == (y < beside - 1)
    texts = [text.text or "" for text in seen.root.iter("{http://www.w3.org/2000/svg}text")]
    days = [text for text in texts if re.fullmatch(r"27-04-\d\d", text)]
    assert days[0] == f"27-04-{count - len(last) + 1:02d}" and 2 <= len(days) <= 6
    assert len([text for text in texts if text.startswith("W-")]) == (len(last) if lot else 0)


def test_values_that_are_all_alike_lie_in_the_middle() -> None:
    svg = drawn(series([40.0, 40.0, 40.0]), Units("metric"))
    looked_at(svg)
    heights = {float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg)}
    assert len(heights) == 1
    drawn(series([0.0, 0.0]), Units("metric"))


@pytest.mark.parametrize(
    ("text", "deep"), [("", 0), ("[]", 1), ('[[1], [2, {"a": []}]]', 4), ('["[[[[", "}"]', 1), ("]][[", 0)]
)
def test_brackets_are_counted_outside_of_texts(text: str, deep: int) -> None:
    assert depth(text) == deep
