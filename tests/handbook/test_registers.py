"""The lists of the book: hazards, limits, phases; each agrees with the pages, and no orphan either way.

Source: the pages of a small invented book, and the book's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from handbook.book import read
from handbook.checking.checker import check
from handbook.registers import PAGES, disagreements, hazard_blocks, read_registers, register_pages
from handbook.scanner import scan

HAZARDS = """format: 1
note: All of them.
hazards:
  - name: Parts that turn
    lines:
      - A meter can start
      - Rollers turn
"""
PHASES = "format: 1\nnote: The job.\nphases: {'1': Delivery, '2': Oil}\n"
PAGE = """---
title: Open the meter
kind: procedure
phase: '{phase}'
---

//// procedure | Open the meter

/// warning | {line}
    consequence: It cuts.
    avoid: Keep away.
///

1. Read the oil pressure.

    /// measure | Oil pressure
        low: 300 psi
        high: 600 psi
        source: machine plate
        outside: Stop.
    ///

////
"""
GOOD = {
    "procedures/one.md": PAGE.format(phase=1, line="A meter can start"),
    "procedures/two.md": PAGE.format(phase=2, line="Rollers turn").replace("Open the meter", "Oil"),
}


def found(
    tmp_path: Path, pages: Mapping[str, str], hazards: str = HAZARDS, phases: str = PHASES
) -> list[str]:
    for name, text in (("reference/hazards.yml", hazards), ("procedures/phases.yml", phases)):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    registers, problems = read_registers(tmp_path, {name: scan(text) for name, text in pages.items()})
    return [str(one) for one in (*problems, *disagreements(registers))]


def test_where_all_agree_nothing_is_said(tmp_path: Path) -> None:
    assert found(tmp_path, GOOD) == []


def test_a_hazard_that_is_in_no_list_and_one_that_is_on_no_page_are_said(tmp_path: Path) -> None:
    pages = {**GOOD, "procedures/two.md": PAGE.format(phase=2, line="Belts turn")}
    assert found(tmp_path, pages) == [
        (
            "docs/procedures/two.md:9: docs/reference/hazards.yml does not know “Belts turn”; "
            "add the line to its hazard there"
        ),
        (
            "docs/reference/hazards.yml:7: no page warns so: “Rollers turn”; take it out, or write it on the "
            "page that meets it"
        ),
    ]


def test_a_line_of_two_hazards_is_said(tmp_path: Path) -> None:
    twice = f"{HAZARDS}  - {{name: Other, lines: [Rollers turn]}}\n"
    assert found(tmp_path, GOOD, twice) == [
        "docs/reference/hazards.yml:8: “Rollers turn” stands twice; keep one"
    ]


def test_a_phase_without_a_page_and_a_page_without_a_phase_are_said(tmp_path: Path) -> None:
    pages = {**GOOD, "procedures/two.md": PAGE.format(phase=3, line="Rollers turn")}
    assert found(tmp_path, pages) == [
        (
            "docs/procedures/two.md:4: there is no phase “3”; docs/procedures/phases.yml has the phases "
            "of the job"
        ),
        (
            "docs/procedures/phases.yml:3: no page carries phase 2; write “phase: '2'” into the head of its "
            "page"
        ),
    ]


def test_what_is_written_wrongly_has_its_line(tmp_path: Path) -> None:
    (one,) = found(
        tmp_path, {}, HAZARDS.replace("    lines:", "    lins:\n      - a\n    lines:"), "format: 2\n"
    )[:1]
    assert one.startswith("docs/reference/hazards.yml:5: hazards.1.lins: is not known in a register")


def test_the_pages_show_what_the_lists_and_pages_hold(tmp_path: Path) -> None:
    assert found(tmp_path, GOOD) == []
    registers, _ = read_registers(tmp_path, {name: scan(text) for name, text in GOOD.items()})
    made = dict(register_pages(registers))
    assert set(made) == set(PAGES)
    both = "[Open the meter](../procedures/one.md), [Oil](../procedures/two.md)"
    assert f"| Parts that turn | WARNING | {both} |" in made["reference/hazards.md"]
    limit = "| Oil pressure | `300 psi`{.q} to `600 psi`{.q} | machine plate |"
    assert made["reference/limits.md"].count(limit) == 2
    assert "| 1 | Delivery | [Open the meter](../procedures/one.md) |" in made["reference/coverage.md"]


# --- the book's own ---


@pytest.fixture(scope="module")
def own(root: Path) -> dict[str, str]:
    """The pages made from the book's own lists."""
    return dict(register_pages(read(root / "docs").registers))


def test_every_phase_of_the_job_has_its_page(root: Path) -> None:
    """Source: the job in its order, from before travel to after the season: 21 phases, common practice."""
    registers = read(root / "docs").registers
    assert registers.phases
    assert registers.phases.value
    assert list(registers.phases.value.phases) == [str(number) for number in range(21)]
    assert [one for one in check(root).problems if one.rule in ("phases", "hazard-register")] == []


def test_every_hazard_of_every_page_is_in_the_register(root: Path, own: dict[str, str]) -> None:
    registers = read(root / "docs").registers
    assert registers.hazards
    assert registers.hazards.value
    lines = {line for hazard in registers.hazards.value.hazards for line in hazard.lines}
    used = {block.argument for page in registers.pages.values() for block in hazard_blocks(page)}
    assert lines == used
    assert len(registers.hazards.value.hazards) >= 30
    assert own["reference/hazards.md"].count("\n| ") == len(registers.hazards.value.hazards) + 2


def test_every_limit_of_every_page_is_in_the_register(root: Path, own: dict[str, str]) -> None:
    pages = read(root / "docs").registers.pages
    limits = sum(block.name == "measure" for page in pages.values() for block in page.blocks)
    rooms = sum(any(block.name == "measure" for block in page.blocks) for page in pages.values())
    assert limits > 100
    assert own["reference/limits.md"].count("\n| ") == limits + 2 * rooms


DEADLY = {**GOOD, "procedures/two.md": GOOD["procedures/two.md"].replace("/// warning", "/// danger")}
PRACTICE = """---
title: Cases
kind: lesson
---

/// practice | Rollers
    hazard: Parts that turn
    right: Isolate the drive.
    because: Then nothing turns.
    wrong:
      - {says: Reach in fast., because: They are faster.}
      - {says: Wear gloves., because: They draw you in.}

A roller is caked.

///
"""


def test_a_danger_that_no_practice_asks_about_is_said(tmp_path: Path) -> None:
    said = "no practice asks about “Parts that turn”; write a case with that name as its “hazard”"
    assert found(tmp_path, DEADLY) == [f"docs/reference/hazards.yml:4: {said}"]
    assert found(tmp_path, {**DEADLY, "lessons/a.md": PRACTICE}) == []


def test_practice_of_a_hazard_that_the_list_lacks_is_said(tmp_path: Path) -> None:
    pages = {**GOOD, "lessons/a.md": PRACTICE.replace("hazard: Parts that turn", "hazard: Part that turns")}
    (said,) = found(tmp_path, pages)
    assert said.startswith(
        "docs/lessons/a.md:7: docs/reference/hazards.yml knows no hazard “Part that turns”"
    )
    assert "did you mean “Parts that turn”?" in said
