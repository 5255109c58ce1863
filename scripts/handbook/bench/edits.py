"""How soon what is saved shows in the preview's page, beside a build of all pages by plain MkDocs."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from playwright.sync_api import Page

from handbook.bench.browsers import Browsers
from handbook.bench.growth import plain_build
from handbook.console import Stop
from handbook.copying import PROGRAMS, copy_book, copy_engine, previewed
from handbook.measured import Part, Table, verdict
from handbook.settings import ROOT

ROUNDS = 3
AIM = 2.0  # s
PATIENCE = 60_000  # ms
SETTLED = 1500  # ms that a preview is left alone after it has shown something


@dataclass(frozen=True)
class Edit:
    """What a trainer saves: in which file, what becomes what, and what then stands on which page."""

    what: str
    file: str
    old: str
    new: str
    page: str
    shown: str
    beforehand: tuple[str, str] = ("", "")  # a file that has to be there first, and what is in it


LESSON, FIRST_LINE = "docs/lessons/rate.md", "The machine cannot see the rate."
MISTAKE = "1 mistake: this page shows the last good book"
NEW_PAGE = """\
---
title: Another
kind: lesson
summary: A page to measure with.
---

This page is new.
"""
EDITS = (
    Edit(
        "a line of a lesson",
        LESSON,
        FIRST_LINE,
        "It is blind to it.",
        "lessons/rate.html",
        "It is blind to it.",
    ),
    Edit(
        "a step that is copied for each machine",
        "docs/procedures/standing-test.md",
        "1. Put the tractor in park.",
        "1. Put the tractor into park.",
        "machines/prairie-four/standing-test.html",
        "Put the tractor into park.",
    ),
    Edit(
        "a figure of a machine",
        "docs/machines/prairie-four.yml",
        "planned: 5 mph",
        "planned: 5.37 mph",
        "machines/prairie-four/index.html",
        "5.37 mph",
    ),
    Edit(
        "the chance of a cause",
        "docs/faults/chances.yml",
        "no-job: {chance: 18 %",
        "no-job: {chance: 19 %",
        "faults/nothing-starts.html",
        "19 % of such calls",
    ),
    Edit(
        "a mistake in a lesson", LESSON, FIRST_LINE, "It is `5 mhp`{.q} fast.", "lessons/rate.html", MISTAKE
    ),
    Edit(
        "a new page, by its line in the menu",
        "mkdocs.yml",
        "- lessons/rate.md\n",
        "- lessons/rate.md\n      - lessons/another.md\n",
        "lessons/another.html",
        "This page is new.",
        beforehand=("docs/lessons/another.md", NEW_PAGE),
    ),
)


@dataclass(frozen=True)
class Shown:
    """An edit, and the seconds from its being saved to its being seen, each time."""

    what: str
    seconds: Sequence[float]


def edited(browsers: Browsers, folder: Path, edits: Sequence[Edit] = EDITS) -> tuple[list[Shown], float]:
    """What each edit took in a copy of the book, and a build by plain MkDocs; `folder` is an empty one."""
    book = copy_book(ROOT, folder / "book", *PROGRAMS)
    copy_engine(ROOT, book)
    taken: dict[str, list[float]] = {one.what: [] for one in edits}
    with previewed(book) as (address, _):
        page = browsers.kept.new_page()
        page.set_default_timeout(PATIENCE)
        for _ in range(ROUNDS):
            for one in edits:
                taken[one.what].append(_shown(page, address, book, one))
    seconds = plain_build(book, folder / "plain")
    return [Shown(what, those) for what, those in taken.items()], seconds


def edited_table(found: Sequence[Shown], plain: float) -> list[Part]:
    """A row an edit, and whether the aim is met."""
    rows = tuple((one.what, f"{median(one.seconds):.1f}", f"{max(one.seconds):.1f}") for one in found)
    met = all(median(one.seconds) <= AIM for one in found)
    return [
        f"Seconds from saving to seeing it in an open page, of {ROUNDS} times:",
        Table(("what is saved", "median", "longest"), rows),
        f"Asked are {AIM:.0f} s: {verdict(met)}.",
        f"Plain MkDocs, which builds every page at each change, takes {plain:.1f} s.",
    ]


def _shown(page: Page, address: str, book: Path, edit: Edit) -> float:
    """Save an edit, see it, and take it back; the seconds from saving to seeing."""
    page.goto(f"{address}{edit.page}")
    page.wait_for_timeout(SETTLED)
    path = book / edit.file
    text = path.read_text("utf-8")
    if text.count(edit.old) != 1:
        raise Stop(f"{edit.file} does not say “{edit.old}” once; edits.py has to say something else.")
    name, first = edit.beforehand
    if name:
        (book / name).write_text(first, encoding="utf-8", newline="\n")
        page.wait_for_timeout(SETTLED)
    seen = page.get_by_text(edit.shown).filter(visible=True).first
    began = time.perf_counter()
    path.write_text(text.replace(edit.old, edit.new), encoding="utf-8", newline="\n")
    seen.wait_for()
    taken = time.perf_counter() - began
    path.write_text(text, encoding="utf-8", newline="\n")
    if name:
        (book / name).unlink()
    seen.wait_for(state="detached")
    page.wait_for_timeout(SETTLED)
    return taken
