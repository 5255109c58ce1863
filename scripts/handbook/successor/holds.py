"""Builds the book with the theme's successor, and says what holds."""

from __future__ import annotations

import time
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

from handbook import build
from handbook.measured import Part, Words
from handbook.settings import ROOT
from handbook.successor.compare import differences
from handbook.successor.opened import opened
from handbook.successor.trial import build_there, finish, write_book

SHOWN = 5


def tried_successor(folder: Path) -> list[Part]:
    """Try it in an empty folder; a line of each thing that was tried. Raises `Stop` where it cannot build."""
    said = tuple(
        ("no" if wrong else "yes", f"{what}{f': {wrong}' if wrong else ''}") for what, wrong in _tried(folder)
    )
    return [
        f"The book under Zensical {version('zensical')}, the successor of Material for MkDocs:",
        Words(said),
    ]


def _tried(folder: Path) -> Iterator[tuple[str, str]]:
    """What was tried, each with what is wrong with it, or nothing."""
    build.fix_date()
    theirs, ours = folder / "theirs", folder / "ours"
    theirs.mkdir()
    write_book(ROOT, theirs)
    began = time.perf_counter()
    build_there(theirs)
    taken = time.perf_counter() - began
    began = time.perf_counter()
    build.write_pages(ROOT, ours)
    beside = time.perf_counter() - began
    yield f"it builds, in {taken / beside:.2f} times the time of MkDocs", ""
    finish(ROOT, theirs / "site")
    yield "engine, policy and the list of what a device keeps can be added", ""
    build.finish(ROOT, ours)
    different = differences(ours, theirs / "site")
    pages = len(list(ours.rglob("*.html")))
    some = "; ".join(f"{name}: {what}" for name, what in list(different.items())[:SHOWN])
    yield f"{pages - len(different)} of {pages} pages say the same, with the same parts", some
    yield from opened(theirs / "site")
