"""The order in which to look for the cause of a fault, and how it is shown.

Sources: every order tried one by one; and the sum written out by hand. The faults are our own invention.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown import Markdown

from handbook.blocks import BookExtension
from handbook.chances import Chance, Chances, best_order, expected_time, read_chances
from handbook.scanner import scan

PAGE = """---
title: It will not start
kind: fault
summary: Nothing turns.
---

//// fault | It will not start
    words:
      - dead as a stone

/// cause | The fuse is gone
    id: fuse
    shows: Nowhere.
    check: Look at it.
    fix: Put in another.
///

/// cause | The master is off
    id: master
    shows: On the screen.
    check: Look at it.
    fix: Turn it on.
///

////
"""
FIGURES = """format: 1
note: Invented.
faults:
  will-not-start:
    fuse: {chance: 10 %, time: 2 min}
    master: {chance: 90 %, time: 30 s}
"""


def causes(*figures: tuple[str, str]) -> dict[str, Chance]:
    return {str(n): Chance(chance=chance, time=time) for n, (chance, time) in enumerate(figures)}


# --- the order ---


def test_the_time_by_hand() -> None:
    known = causes(("90 %", "2 min"), ("10 %", "1 min"))
    # 0.9 of two minutes and 0.1 of three; the other way 0.1 of one minute and 0.9 of three.
    assert expected_time(["0", "1"], known) / 60 == pytest.approx(2.1)
    assert expected_time(["1", "0"], known) / 60 == pytest.approx(2.8)
    assert best_order(known) == ["0", "1"]


def test_shares_that_make_no_whole_are_brought_to_one() -> None:
    known = causes(("30 %", "2 min"), ("30 %", "1 min"))
    assert expected_time(["1", "0"], known) / 60 == pytest.approx((1 + 3) / 2)


@given(st.lists(st.tuples(st.integers(1, 100), st.integers(5, 900)), min_size=1, max_size=6))
def test_no_other_order_finds_it_sooner(figures: list[tuple[int, int]]) -> None:
    known = causes(*((f"{chance} %", f"{seconds} s") for chance, seconds in figures))
    whole = sum(chance for chance, _ in figures)

    def found_in(order: tuple[str, ...]) -> float:
        """The mean over which cause it is, each looked for until it is met."""
        mean = 0.0
        for there, (chance, _) in enumerate(figures):
            until = order[: order.index(str(there)) + 1]
            mean += chance / whole * sum(figures[int(one)][1] for one in until)
        return mean

    soonest = min(found_in(order) for order in permutations(known))
    order = best_order(known)
    assert found_in(tuple(order)) == pytest.approx(soonest)
    assert expected_time(order, known) == pytest.approx(soonest)


# --- the figures ---


def problems(tmp_path: Path, figures: str) -> list[str]:
    path = tmp_path / "chances.yml"
    path.write_text(figures, "utf-8")
    _, found = read_chances(path, "docs/faults/chances.yml", {"faults/will-not-start.md": scan(PAGE)})
    return [str(one) for one in found]


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ("will-not-start", "wont-start", "4: wont-start: there is no fault page of this name"),
        (
            "    fuse:",
            "    fuze:",
            "5: will-not-start.fuze: the page names no such cause; take it out, or correct its name",
        ),
        (
            "    fuse: {chance: 10 %, time: 2 min}\n",
            "",
            "4: will-not-start: the cause “fuse” of its page has no figures; write its chance and its time",
        ),
        ("10 %", "10", "5: faults.will-not-start.fuse.chance: “10” is missing its unit; write “10 %”"),
        ("time: 2 min", "tiem: 2 min, time: 2 min", "5: faults.will-not-start.fuse.tiem: is not known"),
        ("2 min", "0 min", "5: faults.will-not-start.fuse.time: “0 min” is not above zero; check the figure"),
    ],
)
def test_what_does_not_fit_is_said_with_its_line(tmp_path: Path, right: str, wrong: str, said: str) -> None:
    assert problems(tmp_path, FIGURES) == []
    found = problems(tmp_path, FIGURES.replace(right, wrong))
    assert any(one.startswith(f"docs/faults/chances.yml:{said}") for one in found), found


def test_the_books_own_faults_all_have_figures(root: Path) -> None:
    pages = {
        path.relative_to(root / "docs").as_posix(): scan(path.read_text("utf-8"))
        for path in (root / "docs" / "faults").glob("*.md")
    }
    chances, found = read_chances(root / "docs" / "faults" / "chances.yml", "chances.yml", pages)
    assert found == []
    faults = {Path(name).stem for name, page in pages.items() if page.front["kind"].value == "fault"}
    assert set(chances.faults) == faults
    assert len(faults) >= 21


# --- on the page ---


def shown(figures: Mapping[str, Mapping[str, Chance]]) -> str:
    blocks = BookExtension({}, chances=Chances(note="Invented.", faults=dict(figures)))
    blocks.start_page("faults/will-not-start.html")
    return str(Markdown(extensions=[blocks]).convert(PAGE.split("---\n", 2)[2]))


def test_the_page_shows_the_soonest_order_and_what_it_saves() -> None:
    known = {
        "fuse": Chance(chance="10 %", time="2 min"),
        "master": Chance(chance="90 %", time="30 s"),
    }
    html = shown({"will-not-start": known})
    assert html.index("The master is off") < html.index("The fuse is gone")
    # 0.9 of half a minute and 0.1 of two and a half; as written 0.1 of two minutes and 0.9 of two and a half.
    assert "It finds the cause in 42 s on average" in html
    assert "in the order as it was written, that is 2.5 min" in html
    assert "90 % of such calls, 30 s to check" in html


def test_a_change_of_figures_is_felt() -> None:
    known = {
        "fuse": Chance(chance="80 %", time="10 s"),
        "master": Chance(chance="20 %", time="30 s"),
    }
    html = shown({"will-not-start": known})
    assert html.index("The fuse is gone") < html.index("The master is off")
    assert "as it was written" not in html


def test_a_fault_without_figures_stands_as_it_was_written() -> None:
    html = shown({})
    assert html.index("The fuse is gone") < html.index("The master is off")
    assert "Look in this order" not in html
