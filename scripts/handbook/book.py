"""The book before it is rendered: its machine sheets, and everything wrong with its pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from handbook.problems import BookError, Problem
from handbook.scanner import scan
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
    for path in sorted(docs.rglob("*.md")):
        problems += _page_problems(path, _shown(path, docs), sheets, faulty)
    if problems:
        raise BookError(problems)
    return Book(sheets)


def _page_problems(path: Path, shown: str, sheets: Mapping[str, Sheet], faulty: set[str]) -> list[Problem]:
    try:
        page = scan(path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError:
        return [Problem(shown, 1, "this is not UTF-8 text; save it as UTF-8")]
    return [
        Problem(shown, line, text)
        for line, text in page_problems(page, sheets)
        # a sheet that is itself wrong is not also missing
        if not any(f"no machine sheet “{name}”" in text for name in faulty)
    ]


def _shown(path: Path, docs: Path) -> str:
    return path.relative_to(docs.parent).as_posix()
