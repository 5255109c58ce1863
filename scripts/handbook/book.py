"""The book before it is rendered: its machine sheets, and everything wrong with its pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from handbook.links import Links
from handbook.problems import BookError, Problem
from handbook.scanner import Scan, scan
from handbook.sheets import Sheet, read_sheet
from handbook.vocabulary import page_problems


@dataclass(frozen=True)
class Book:
    """What the pages are rendered with."""

    sheets: Mapping[str, Sheet]


def read_book(docs: Path) -> Book:
    """Read every sheet and page below `docs`. Raises `BookError` with every problem in them."""
    problems: list[Problem] = []
    sheets: dict[str, Sheet] = {}
    for path in sorted(docs.glob("machines/*.yml")):
        sheet, faults = read_sheet(path, _shown(path, docs))
        problems += faults
        if sheet:
            sheets[path.stem] = sheet
    faulty = {Path(problem.path).stem for problem in problems}
    pages: dict[str, Scan] = {}
    for path in sorted(docs.rglob("*.md")):
        try:
            pages[path.relative_to(docs).as_posix()] = scan(path.read_text(encoding="utf-8-sig"))
        except UnicodeDecodeError:
            problems.append(Problem(_shown(path, docs), 1, "this is not UTF-8 text; save it as UTF-8"))
    links = Links(pages, [path.relative_to(docs).as_posix() for path in docs.rglob("*") if path.is_file()])
    for name, page in pages.items():
        for line, text in (*page_problems(page, sheets), *links.problems(name)):
            # a sheet that is itself wrong is not also missing
            if not any(f"no machine sheet “{sheet}”" in text for sheet in faulty):
                problems.append(Problem(_shown(docs / name, docs), line, text))
    if problems:
        raise BookError(problems)
    return Book(sheets)


def _shown(path: Path, docs: Path) -> str:
    return path.relative_to(docs.parent).as_posix()
