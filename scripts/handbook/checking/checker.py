"""Checks a whole book: everything wrong with it at once, and every place that is excused."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from calc.errors import nearest
from handbook.book import Reading, read, shown
from handbook.checking.passages import Page
from handbook.checking.rules import RULES
from handbook.checking.words import Words
from handbook.excuses import Excuse, excuses_in
from handbook.machines.consistency import doubts
from handbook.navigation import FILE, navigation_problems
from handbook.problems import Problem
from handbook.registers import disagreements
from handbook.typed_yaml import named


@dataclass(frozen=True)
class Excused:
    """A place that breaks a rule for a reason: where, which rule, why, and what would have been said."""

    path: str
    line: int
    rule: str
    reason: str
    text: str


@dataclass(frozen=True)
class Report:
    """What is wrong with a book, what is excused, and how many pages were read."""

    problems: tuple[Problem, ...]
    excused: tuple[Excused, ...]
    pages: int


def check(root: Path) -> Report:
    """Read the book of `root` and look after every rule in it."""
    docs = root / "docs"
    reading = read(docs)
    problems = list(reading.problems)
    problems += [Problem(FILE, line, text, rule) for line, rule, text in navigation_problems(root)]
    problems += disagreements(reading.registers)
    words = Words(reading.glossary)
    excused: list[Excused] = []
    for path, found, excuses in chain(_in_pages(reading, docs, words), _in_sheets(reading)):
        kept, let_pass = _excused(path, found, excuses)
        problems += kept
        excused += let_pass
    return Report(tuple(sorted(set(problems))), tuple(excused), len(reading.pages))


Looked = tuple[str, list[Problem], Sequence[Excuse]]
"""A file as the trainer knows it, what is found in it, and the excuses that stand in it."""


def _in_pages(reading: Reading, docs: Path, words: Words) -> Iterator[Looked]:
    for name, scan in reading.pages.items():
        page, path = Page(name, scan), shown(docs / name, docs)
        found = [
            Problem(path, line, text, rule.id)
            for rule in RULES.values()
            if rule.look
            for line, _, text in rule.look(page, words)
        ]
        yield path, found, scan.excuses


def _in_sheets(reading: Reading) -> Iterator[Looked]:
    for sheet in reading.machines.values():
        found = [
            Problem(
                sheet.path, sheet.line(one.place), f"{named(one.place)}: {one.what}; {one.mend}", one.rule
            )
            for one in (doubts(sheet.value) if sheet.value else ())
        ]
        yield sheet.path, found, excuses_in(sheet.text.splitlines())


def _excused(
    path: str, found: Sequence[Problem], excuses: Sequence[Excuse]
) -> tuple[list[Problem], list[Excused]]:
    """The problems of a file that stand, with what is wrong with its excuses; and those that are excused."""
    let_pass: list[Excused] = []
    kept: list[Problem] = []
    used: set[Excuse] = set()
    good = [one for one in excuses if one.reason and one.rule in RULES and not RULES[one.rule].stops]
    for problem in found:
        excuse = next((e for e in good if e.rule == problem.rule and problem.line in e.covers), None)
        if excuse is None:
            kept.append(problem)
        else:
            used.add(excuse)
            let_pass.append(Excused(path, problem.line, problem.rule, excuse.reason, problem.text))
    kept += [Problem(path, excuse.line, _fault(excuse), "excuse") for excuse in excuses if excuse not in used]
    return kept, let_pass


def _fault(excuse: Excuse) -> str:
    """What is wrong with an excuse that lets nothing pass."""
    if excuse.rule not in RULES:
        meant = nearest(excuse.rule, RULES)
        return f"there is no rule “{excuse.rule}”; " + (
            f"did you mean “{meant}”?" if meant else "write its id, as this checker prints it"
        )
    if RULES[excuse.rule].stops:
        return f"“{excuse.rule}” cannot be excused, for the book cannot be built with it; mend the place"
    if not excuse.reason:
        return f"this excuse gives no reason; write “excuse {excuse.rule}: …”"
    return f"nothing here breaks “{excuse.rule}”; take this excuse out"
