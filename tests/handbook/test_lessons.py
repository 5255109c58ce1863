"""Figures that a lesson states are those that the calculators give for the same case."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from calc.declare import catalogue
from calc.reply import reply
from handbook.book import read_book
from handbook.machines.presets import presets

MACHINE = "prairie-four"
CANOLA = [
    {"turns": "20", "gross": f"{gross} lb", "meter_speed": f"{rpm} rpm"}
    for rpm, masses in (("15", ("2.24", "2.26", "2.25")), ("45", ("2.13", "2.12", "2.14")))
    for gross in masses
]
UREA = [{"turns": "20", "gross": f"{gross} lb"} for gross in ("28.10", "28.40", "27.80", "28.20", "28.00")]

# calculator and lesson, tank, what the lesson changes, and the results it states
STATED: list[tuple[str, str, dict[str, Any], list[str]]] = [
    ("rate", "Tank 1", {}, ["meter_speed", "flow"]),
    ("rate", "Tank 1", {"speed": "4 mph"}, ["meter_speed"]),
    ("rate", "Tank 2", {"rate": None, "meter_speed": "40 rpm"}, ["rate"]),
    ("rate", "Tank 4", {"rate": "3 lb/ac", "speed": None, "meter_speed": "12 rpm"}, ["speed"]),
    ("calibration", "Tank 1", {"catches": UREA[:3]}, ["mass_per_turn", "spread"]),
    ("calibration", "Tank 1", {"catches": UREA}, ["mass_per_turn"]),
    ("calibration", "Tank 4", {"catches": CANOLA}, ["low_high"]),
    ("speed-window", "", {}, ["speed_from", "speed_to", "slow_limit", "fast_limit"]),
    ("bin-capacity", "Tank 3", {}, ["level_volume", "mass", "area"]),
    ("bin-capacity", "Tank 3", {"depth": "4.5 ft"}, ["area"]),
    ("bin-capacity", "Tank 3", {"lid": "central", "heap_angle": "16 deg"}, ["heap_volume"]),
]


def answer(root: Path, name: str, tank: str, changed: dict[str, Any]) -> dict[str, Any]:
    """The reply to a case: the machine's sheet, with what the lesson changes."""
    sheet = read_book(root / "docs").sheets[MACHINE]
    given = {**presets(sheet, catalogue()[name], tank), **changed}
    return reply(name, given, "us")


@pytest.mark.parametrize(("name", "tank", "changed", "results"), STATED)
def test_lesson_states_what_the_calculator_gives(
    root: Path, name: str, tank: str, changed: dict[str, Any], results: list[str]
) -> None:
    lesson = (root / "docs" / "lessons" / f"{name}.md").read_text(encoding="utf-8")
    found = answer(root, name, tank, changed)["results"]
    for result in results:
        cell = found[result]
        shown = cell if isinstance(cell, str) else cell["shown"].replace("\u2009", " ").lstrip("−")
        assert shown in lesson.replace("\u2009", " "), f"{result} is {shown}"


def test_the_larger_element_opens_the_window_again(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "speed-window.md").read_text(encoding="utf-8")
    sheet = read_book(root / "docs").sheets[MACHINE]
    given = presets(sheet, catalogue()["speed-window"])
    first, *others = given["tanks"]
    for mass_per_turn in ("1.4 lb/rev", "2 lb/rev"):
        tanks = [{**first, "rate_high": "300 lb/ac", "mass_per_turn": mass_per_turn}, *others]
        made = reply("speed-window", {**given, "tanks": tanks}, "us")
        assert made["results"]["speed_to"]["shown"] in lesson
    *others, last = given["tanks"]
    wide = [*others, {**last, "rate_low": "1 lb/ac", "rate_high": "10 lb/ac"}]
    made = reply("speed-window", {**given, "tanks": wide}, "us")
    assert made["results"]["speed_to"] is None
    spans = made["tables"][0]["rows"][-1]
    assert [cell["shown"] for cell in spans[5:7]] == ["10.00", "9.167"]
    assert "10 times" in lesson and "9.167 times" in lesson
