"""The book's page of results: what each measurement printed, on what it ran, and why an aim is missed."""

from __future__ import annotations

import os
import platform
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from handbook.measured import MISSED, Part, as_markdown
from handbook.settings import ROOT

KEPT = ROOT / ".furrowbook" / "results"
PAGE = ROOT / "docs" / "reference" / "results.md"


@dataclass(frozen=True)
class Measurement:
    """A measurement: its name, its title on the page, what stands beside it, and why it misses an aim."""

    name: str
    title: str
    beside: str
    misses: str = ""


MEASUREMENTS = (
    Measurement(
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
    Measurement(
        "pages",
        "How long a build takes",
        "The same Markdown is built by MkDocs alone, with the same theme. It shows our blocks as text.",
        "The build of a small book misses its aim: our own programs and templates take half a second to "
        "read, whatever its size. And a page with blocks holds twice as much as the same page with their "
        "text. Tried: a search that reads no forms and no drawings, and a faster reader of options. A page "
        "that nothing has to be found in is not looked at twice.",
    ),
    Measurement(
        "edits",
        "How soon an edit shows",
        "Each is saved while its page is open in the preview. A build by plain MkDocs stands beside it.",
        "A figure of a machine misses the aim. Some two dozen pages are made of it, and all are rendered "
        "before the first one shows. What helped: only pages that had asked for what is new are rendered "
        "again. Not tried: to render the page that is open before the others.",
    ),
    Measurement(
        "machines", "How a book grows with its machines", "A book of one machine stands in the first line."
    ),
    Measurement(
        "record", "How soon a long record opens", "A bare write to the browser's store stands beside it."
    ),
    Measurement(
        "mutants", "What the tests of the sums notice", "Each change is tried on the tests that run its line."
    ),
    Measurement(
        "compared", "The sums beside other libraries", "Inputs are drawn at random; none may differ."
    ),
    Measurement(
        "fed", "Readers fed with broken texts", "A reader takes a text or says what is wrong with it."
    ),
    Measurement("successor", "The next theme", "Every page is compared with that of today's build."),
)
HEAD = """\
---
title: Results
kind: reference
summary: What was measured of this book, on which machine, and beside what.
---

Each part was written by one command, as it was measured. Times are those of one machine.
Only what stands beside something in the same run carries over to another.
"""


def keep(name: str, said: Sequence[Part]) -> None:
    """Keep what a measurement says for the page, below a line of when and where."""
    KEPT.mkdir(parents=True, exist_ok=True)
    when = datetime.now(UTC).strftime("%Y-%m-%d")
    system = f"{platform.system()} on {platform.machine()}, {os.cpu_count()} processors"
    head = f"Measured on {when}, {system}, Python {platform.python_version()}."
    (KEPT / f"{name}.md").write_text(f"{as_markdown([head, *said])}\n", encoding="utf-8")


def write_page(page: Path = PAGE) -> list[str]:
    """Write the page of all that is kept; the names of the parts that were never measured here."""
    parts, missing = [HEAD.rstrip()], []
    for one in MEASUREMENTS:
        path = KEPT / f"{one.name}.md"
        if not path.is_file():
            missing.append(one.name)
            continue
        said = path.read_text(encoding="utf-8").rstrip()
        why = [one.misses] if one.misses and MISSED in said else []
        parts += [f"## {one.title}", one.beside, *why, said]
    page.write_text("\n\n".join(parts) + "\n", encoding="utf-8", newline="\n")
    return missing
