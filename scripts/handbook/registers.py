"""What the book holds, listed: its hazards, its limits, and which page carries which part of the job.

`docs/reference/hazards.yml` names each hazard once, with the lines by which the pages warn of it, and
`docs/procedures/phases.yml` the phases of the job. No hazard of a page is without its name there, and none
there is without a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple, TypeVar

from pydantic import Field

from calc.errors import nearest
from handbook.problems import Problem
from handbook.scanner import Block, Scan
from handbook.templating import template
from handbook.typed_yaml import Part, Text, Typed, read_typed
from handbook.vocabulary import SIGNAL_WORDS

HAZARDS = "reference/hazards.yml"
PHASES = "procedures/phases.yml"
PAGES = ("reference/hazards.md", "reference/limits.md", "reference/coverage.md")


class Hazard(Part):
    """A hazard: its name, and the lines by which pages warn of it."""

    name: Text
    """What it is called in the register."""
    lines: tuple[Text, ...] = Field(min_length=1)
    """The first lines of the blocks that warn of it, word for word."""


class HazardList(Part):
    """All hazards that the book warns of."""

    format: Literal["1"] = "1"
    note: Text
    """Where the list comes from."""
    hazards: tuple[Hazard, ...]
    """The hazards, the most deadly first."""


class PhaseList(Part):
    """The phases of the job, in their order."""

    format: Literal["1"] = "1"
    note: Text
    """Where the list comes from."""
    phases: dict[str, Text]
    """What each phase is, by its number."""


List = TypeVar("List", bound=Part)


@dataclass(frozen=True)
class Registers:
    """The lists of a book as they were read, where it has them, and its pages."""

    hazards: Typed[HazardList] | None = None
    phases: Typed[PhaseList] | None = None
    pages: Mapping[str, Scan] = field(default_factory=dict)


NONE = Registers()


def read_registers(docs: Path, pages: Mapping[str, Scan]) -> tuple[Registers, list[Problem]]:
    """The lists of a book, and what is wrong with how they are written."""
    hazards = _list_in(docs, HAZARDS, HazardList)
    phases = _list_in(docs, PHASES, PhaseList)
    problems = [*(hazards.problems if hazards else ()), *(phases.problems if phases else ())]
    return Registers(hazards, phases, pages), problems


def _list_in(docs: Path, file: str, schema: type[List]) -> Typed[List] | None:
    return read_typed(docs / file, f"docs/{file}", schema, "register") if (docs / file).exists() else None


def disagreements(registers: Registers) -> Iterator[Problem]:
    """Everything in which the lists and the pages do not agree."""
    yield from _orphans(registers)
    yield from _unpractised(registers)
    yield from _unknown_phases(registers)


def _orphans(registers: Registers) -> Iterator[Problem]:
    """Hazards that the list does not name, and lines of it that no page has."""
    read = registers.hazards
    if not read or not read.value:
        return
    told: dict[str, int] = {}
    for number, hazard in enumerate(read.value.hazards):
        for place, line in enumerate(hazard.lines):
            at = read.line(("hazards", number, "lines", place))
            if line in told:
                yield Problem(read.path, at, f"“{line}” stands twice; keep one", "hazard-register")
            told[line] = at
    used = set()
    for name, page in registers.pages.items():
        for block in hazard_blocks(page):
            used.add(block.argument)
            if block.argument and block.argument not in told:
                said = f"docs/{HAZARDS} does not know “{block.argument}”; add the line to its hazard there"
                yield Problem(f"docs/{name}", block.line, said, "hazard-register")
    for line, at in told.items():
        if line not in used:
            said = f"no page warns so: “{line}”; take it out, or write it on the page that meets it"
            yield Problem(read.path, at, said, "hazard-register")


def _unpractised(registers: Registers) -> Iterator[Problem]:
    """Hazards that kill and that no practice asks about, and practice of hazards that the list lacks."""
    read = registers.hazards
    hazards = read.value.hazards if read and read.value else ()
    names = [hazard.name for hazard in hazards]
    blocks = [(name, block) for name, page in registers.pages.items() for block in page.blocks]
    practised = set()
    for name, block in blocks:
        if block.name == "practice" and "hazard" in block.options:
            option = block.options["hazard"]
            practised.add(option.value)
            if option.value not in names:
                meant = nearest(str(option.value), names)
                hint = f"did you mean “{meant}”?" if meant else "write its name there"
                said = f"docs/{HAZARDS} knows no hazard “{option.value}”; {hint}"
                yield Problem(f"docs/{name}", option.line, said, "hazard-practice")
    deadly = {block.argument for _, block in blocks if block.name == "danger"}
    for number, hazard in enumerate(hazards):
        if read and deadly & set(hazard.lines) and hazard.name not in practised:
            said = f"no practice asks about “{hazard.name}”; write a case with that name as its “hazard”"
            yield Problem(read.path, read.line(("hazards", number, "name")), said, "hazard-practice")


def _unknown_phases(registers: Registers) -> Iterator[Problem]:
    """Pages of a phase that is none, and phases that no page carries."""
    read = registers.phases
    if not read or not read.value:
        return
    carried = set()
    for name, page in registers.pages.items():
        phase = page.front.get("phase")
        if phase is None:
            continue
        carried.add(str(phase.value))
        if phase.value not in read.value.phases:
            said = f"there is no phase “{phase.value}”; docs/{PHASES} has the phases of the job"
            yield Problem(f"docs/{name}", phase.line, said, "phases")
    for number in read.value.phases:
        if number not in carried:
            said = f"no page carries phase {number}; write “phase: '{number}'” into the head of its page"
            yield Problem(read.path, read.line(("phases", number)), said, "phases")


def hazard_blocks(page: Scan) -> list[Block]:
    """The blocks of a page that warn of something."""
    return [block for block in page.blocks if block.name in SIGNAL_WORDS]


# --- the pages ---


class Entry(NamedTuple):
    """A page that something stands on, and its title."""

    path: str
    title: str


def register_pages(registers: Registers) -> Iterator[tuple[str, str]]:
    """Where each page stands, and its Markdown."""
    made = (_hazards(registers), _limits(registers), _coverage(registers))
    yield from zip(PAGES, made, strict=True)


def _entry(path: str, page: Scan) -> Entry:
    title = page.front.get("title")
    return Entry(f"../{path}", str(title.value) if title else path)


def _hazards(registers: Registers) -> str:
    listed = registers.hazards.value if registers.hazards else None
    rows = []
    for hazard in listed.hazards if listed else ():
        entries, words = [], set()
        for path, page in registers.pages.items():
            found = [block.name for block in hazard_blocks(page) if block.argument in hazard.lines]
            words.update(found)
            if found:
                entries.append(_entry(path, page))
        rows.append((hazard.name, [word.upper() for word in SIGNAL_WORDS if word in words], entries))
    return template("hazards-register.md").render(rows=rows, note=listed.note if listed else "")


def _limits(registers: Registers) -> str:
    rooms = []
    for path, page in registers.pages.items():
        limits = [block for block in page.blocks if block.name == "measure"]
        if limits:
            rooms.append((_entry(path, page), [_limit(block) for block in limits]))
    return template("limits-register.md").render(rooms=rooms)


def _limit(block: Block) -> dict[str, str]:
    told = {name: str(option.value) for name, option in block.options.items()}
    return {"what": block.argument, **told}


def _coverage(registers: Registers) -> str:
    def said(name: str, value: str) -> list[Entry]:
        """The pages whose head says this."""
        return [
            _entry(path, page)
            for path, page in registers.pages.items()
            if name in page.front and page.front[name].value == value
        ]

    listed = registers.phases.value if registers.phases else None
    phases = [
        (number, title, said("phase", number)) for number, title in (listed.phases.items() if listed else ())
    ]
    return template("coverage.md").render(
        phases=phases, faults=said("kind", "fault"), cards=said("kind", "pause-card")
    )
