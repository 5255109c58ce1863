"""The book before it is rendered: its machine sheets, its glossary, and everything wrong with its pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from handbook.chances import FILE as CHANCES
from handbook.chances import NONE, Chances, read_chances
from handbook.glossary import EMPTY, FILE, Glossary, read_glossary
from handbook.links import Links
from handbook.machines.pages import copied, page_names
from handbook.machines.reading import read_sheet
from handbook.machines.sheet import Sheet
from handbook.problems import NOT_UTF8, BookError, Problem
from handbook.registers import NONE as NO_REGISTERS
from handbook.registers import Registers, read_registers
from handbook.scanner import Scan, scan
from handbook.typed_yaml import Typed
from handbook.vocabulary import page_problems


@dataclass(frozen=True)
class Book:
    """What the pages are rendered with."""

    sheets: Mapping[str, Sheet]
    glossary: Glossary = EMPTY
    texts: Mapping[str, str] = field(default_factory=dict)
    """What is written on each page, by its path below `docs`."""
    chances: Chances = NONE
    registers: Registers = NO_REGISTERS


@dataclass
class Reading:
    """All of a book as it is written, and what is wrong with how it is written."""

    machines: dict[str, Typed[Sheet]] = field(default_factory=dict)
    """Each sheet that can be read, with its text and its lines."""
    glossary: Glossary = EMPTY
    pages: dict[str, Scan] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    """What is written on each page, by its path below `docs`."""
    chances: Chances = NONE
    registers: Registers = NO_REGISTERS
    problems: list[Problem] = field(default_factory=list)

    @property
    def sheets(self) -> dict[str, Sheet]:
        """The sheets themselves, by the names of their files."""
        return {name: read.value for name, read in self.machines.items() if read.value}


def read_book(docs: Path) -> Book:
    """Read every sheet and page below `docs`. Raises `BookError` with every problem in them."""
    reading = read(docs)
    if reading.problems:
        raise BookError(reading.problems)
    return Book(reading.sheets, reading.glossary, reading.texts, reading.chances, reading.registers)


def read(docs: Path) -> Reading:
    """Read every sheet and page below `docs`, whatever is wrong with them."""
    found = Reading()
    for path in sorted(docs.glob("machines/*.yml")):
        sheet = read_sheet(path, shown(path, docs))
        found.problems += sheet.problems
        if sheet.value:
            found.machines[path.stem] = sheet
    faulty = {Path(problem.path).stem for problem in found.problems}
    glossary, faults = read_glossary(docs / FILE, shown(docs / FILE, docs))
    found.problems += faults
    found.glossary = glossary or EMPTY
    for path in sorted(docs.rglob("*.md")):
        name = path.relative_to(docs).as_posix()
        try:
            found.texts[name] = path.read_text(encoding="utf-8-sig")
            found.pages[name] = scan(found.texts[name])
        except UnicodeDecodeError:
            found.problems.append(Problem(shown(path, docs), 1, NOT_UTF8, "utf-8"))
    found.chances, faults = read_chances(docs / CHANCES, shown(docs / CHANCES, docs), found.pages)
    found.problems += faults
    found.registers, faults = read_registers(docs, found.pages)
    found.problems += faults
    files = [path.relative_to(docs).as_posix() for path in docs.rglob("*") if path.is_file()]
    sheets = found.sheets
    copies = [file for file, _ in copied(found.texts)]
    files += [page for id, sheet in sheets.items() for page in page_names(id, sheet, copies)]
    links = Links(found.pages, files)
    for name, page in found.pages.items():
        for line, rule, text in (*page_problems(page, sheets), *links.problems(name)):
            # a sheet that is itself wrong is not also missing, nor are the pages that would be made of it
            said = "/{}/" if rule == "link" else "no machine sheet “{}”"
            if not any(said.format(sheet) in text for sheet in faulty):
                found.problems.append(Problem(shown(docs / name, docs), line, text, rule))
    return found


def shown(path: Path, docs: Path) -> str:
    """A file as the trainer knows it: from the top of the book."""
    return path.relative_to(docs.parent).as_posix()
