"""The book's page of results: what each measurement printed, on what it ran, and why an aim is missed."""

from __future__ import annotations

import os
import platform
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from handbook.settings import ROOT

KEPT = ROOT / ".furrowbook" / "results"
MISSED = "not met"
PAGE = ROOT / "docs" / "reference" / "results.md"


@dataclass(frozen=True)
class Part:
    """A measurement: its name, its title on the page, what stands beside it, and why it misses an aim."""

    name: str
    title: str
    beside: str
    misses: str = ""


PARTS = (
    Part(
        "starts",
        "How soon a page answers",
        "Each stands beside a bare start of Pyodide and a page of PyScript, in the same browser and run.",
        "The start over http misses its aim where the browser has kept what it compiled of bare Pyodide. "
        "For the first half second a trace shows both processors busy. One worker unpacks the snapshot, "
        "another unpacks and checks Python's program, and the page is laid out. After that one worker "
        "starts the program and copies memory. Nothing there waits, so the floor is the work.\n\n"
        "What helped: no standard library, and a form that asks once Python is up. Tried without gain: a "
        "worker's text within the page, scripts first, and small programs compiled once. A program kept "
        "unpacked would start sooner. But the book would then weigh more than a phone should keep.\n\n"
        "The longest block after an answer is the theme's script. It has the styles of the whole page worked "
        "out four times. Before an answer it is style and layout of the page. They take half as long while "
        "no worker is busy.",
    ),
    Part(
        "pages",
        "How long a build takes",
        "The same Markdown is built by MkDocs alone, with the same theme. It shows our blocks as text.",
        "The build of a small book misses its aim: our own programs and templates take half a second to "
        "read, whatever its size. And a page with blocks holds twice as much as the same page with their "
        "text. Tried: a search that reads no forms and no drawings, and a faster reader of options. A page "
        "that nothing has to be found in is not looked at twice.",
    ),
    Part("machines", "How a book grows with its machines", "A book of one machine stands in the first line."),
    Part("record", "How soon a long record opens", "A bare write to the browser's store stands beside it."),
    Part(
        "mutants", "What the tests of the sums notice", "Each change is tried on the tests that run its line."
    ),
    Part("compared", "The sums beside other libraries", "Inputs are drawn at random; none may differ."),
    Part("fed", "Readers fed with broken texts", "A reader takes a text or says what is wrong with it."),
    Part("successor", "The next theme", "Every page is compared with that of today's build."),
)
HEAD = """\
---
title: Results
kind: reference
summary: What was measured of this book, on which machine, and beside what.
---

Each part was printed by one command and is shown as it was printed. Times are those of one machine.
Only what stands beside something in the same run carries over to another.
"""


def keep(name: str, printed: str) -> str:
    """Keep what a measurement printed for the page, below a line of when and where; and hand it back."""
    KEPT.mkdir(parents=True, exist_ok=True)
    when = datetime.now(UTC).strftime("%Y-%m-%d")
    system = f"{platform.system()} on {platform.machine()}, {os.cpu_count()} processors"
    head = f"{when}, {system}, Python {platform.python_version()}"
    (KEPT / f"{name}.txt").write_text(f"{head}\n\n{printed.rstrip()}\n", encoding="utf-8")
    return printed


def write_page(page: Path = PAGE) -> list[str]:
    """Write the page of all that is kept; the names of the parts that were never measured here."""
    lines, missing = [HEAD], []
    for part in PARTS:
        path = KEPT / f"{part.name}.txt"
        if not path.is_file():
            missing.append(part.name)
            continue
        printed = path.read_text(encoding="utf-8").rstrip()
        told = f"{part.beside}\n\n{part.misses}" if part.misses and MISSED in printed else part.beside
        lines += [f"## {part.title}", "", told, "", "```text", printed, "```", ""]
    page.write_text("\n".join(lines), encoding="utf-8", newline="\n")
    return missing
