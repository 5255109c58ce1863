"""Doubts about a sheet: each is found where it stands, at its bound, and as the calculator has it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from calc.declare import catalogue
from calc.reply import reply
from handbook.checking.checker import check
from handbook.machines.consistency import doubts
from handbook.machines.presets import presets
from handbook.machines.sheet import Sheet
from tests.handbook.conftest import ReadSheet

RATES = "rate: {low: 80 lb/ac, set: 100 lb/ac, high: 150 lb/ac, step: 5 lb/ac}"
OIL = "oil: {displacement: 1.5 in3/rev, volumetric_efficiency: 95 %, pressure: 2200 psi, tractor_flow: 2 gpm}"
MPH = 0.44704  # m/s: NIST Special Publication 811
Place = tuple[str | int, ...]


def found(sheet: Sheet) -> list[tuple[str, Place]]:
    return [(one.rule, one.place) for one in doubts(sheet)]


def test_a_sheet_that_fits_together_has_none(sheet: ReadSheet, sheet_text: str) -> None:
    assert doubts(sheet(sheet_text)) == []


@pytest.mark.parametrize(
    ("old", "new", "rule", "place"),
    [
        ("runs: 48", "runs: 49", "sheet-width", ("width",)),
        ("runs: 48", "runs: 48\nsections: [13 ft, 13 ft, 13 ft]", "sheet-sections", ("sections",)),
        (RATES, RATES.replace("low: 80", "low: 15"), "sheet-window", ("tanks", 0, "rate")),
        ("high: 110 rpm", "high: 40 rpm", "sheet-window", ("tanks", 0, "rate")),
        ("tanks:\n", f"{OIL}\ntanks:\n", "sheet-oil", ("oil", "tractor_flow")),
        ("planned: 5 mph", "planned: 4.2 mph", "sheet-planned", ("speed", "planned")),
    ],
)
def test_each_doubt_is_found_where_it_stands(
    sheet: ReadSheet, sheet_text: str, old: str, new: str, rule: str, place: Place
) -> None:
    assert old in sheet_text
    assert found(sheet(sheet_text.replace(old, new, 1))) == [(rule, place)]


@pytest.mark.parametrize(
    ("width", "doubted"),
    # 48 runs at 10 in are 480 in; half a spacing is 5 in, whose ends belong to it.
    [("475.1 in", False), ("484.9 in", False), ("474.9 in", True), ("485.1 in", True)],
)
def test_a_width_may_differ_by_half_a_spacing(
    sheet: ReadSheet, sheet_text: str, width: str, doubted: bool
) -> None:
    machine = sheet(sheet_text.replace("width: 40 ft", f"width: {width}", 1))
    assert [rule for rule, _ in found(machine)] == ["sheet-width"] * doubted


def test_the_words_give_both_figures_in_the_units_of_the_sheet(sheet: ReadSheet, sheet_text: str) -> None:
    (doubt,) = doubts(sheet(sheet_text.replace("runs: 48", "runs: 49")))
    assert doubt.what == "49 runs at a spacing of 10 in make 40.83 ft, and the width is 40 ft"


def test_a_tanks_window_is_that_of_the_calculator(sheet: ReadSheet, sheet_text: str) -> None:
    """Source: the answer of `speed-window` for one tank, with and without the machine's speeds."""
    met: set[str] = set()
    for low in range(10, 151, 7):
        rates = RATES.replace("low: 80", f"low: {low}").replace("set: 100", "set: 150")
        for planned in (4.0, 4.5, 5.0, 5.5, 6.0):
            text = sheet_text.replace(RATES, rates).replace("planned: 5 mph", f"planned: {planned} mph")
            machine = sheet(text)
            within = presets(machine, catalogue()["speed-window"])
            within["tanks"] = within["tanks"][:1]
            own = {name: within[name] for name in ("width", "tanks")}
            said = {one.rule for one in doubts(machine) if "Front" in one.what}
            closed = window(within)["speed_from"] is None
            assert ("sheet-window" in said) == closed
            if not closed:
                slow, fast = (window(own)[name]["si"] / MPH for name in ("speed_from", "speed_to"))
                inside = 1.1 * slow <= planned <= 0.9 * fast
                assert ("sheet-planned" in said) == (not inside)
            met |= said or {"none"}
    assert met == {"none", "sheet-window", "sheet-planned"}


def window(given: Mapping[str, Any]) -> dict[str, Any]:
    results: dict[str, Any] = reply("speed-window", given, "us")["results"]
    return results


def test_a_doubt_stops_no_build_and_may_be_excused(tmp_path: Path, sheet_text: str) -> None:
    docs = tmp_path / "docs"
    (docs / "machines").mkdir(parents=True)
    (docs / "index.md").write_text(
        "---\ntitle: First\nkind: reference\nsummary: The first page.\n---\n\nOne machine.\n", "utf-8"
    )
    (docs / "reference").mkdir()
    (docs / "reference" / "glossary.yml").write_text(
        "format: 1\nnote: Words.\nverbs: []\nterms: []\n", "utf-8"
    )
    (tmp_path / "mkdocs.yml").write_text("docs_dir: docs\nnav:\n  - index.md\n", "utf-8")
    path = docs / "machines" / "odd.yml"
    odd = sheet_text.replace("width: 40 ft", "width: 41 ft")
    path.write_text(odd, "utf-8")
    (problem,) = [one for one in check(tmp_path).problems if one.path.endswith("odd.yml")]
    assert problem.with_rule == (
        "docs/machines/odd.yml:5: width: 48 runs at a spacing of 10 in make 40.00 ft, "
        "and the width is 41 ft; correct one of the three [sheet-width]"
    )
    path.write_text(odd.replace("41 ft", "41 ft # excuse sheet-width: a half opener at each end"), "utf-8")
    report = check(tmp_path)
    assert [one for one in report.problems if one.path.endswith("odd.yml")] == []
    (excused,) = report.excused
    assert (excused.path, excused.line, excused.rule, excused.reason) == (
        "docs/machines/odd.yml", 5, "sheet-width", "a half opener at each end",
    )  # fmt: skip
