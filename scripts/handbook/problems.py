"""A problem in the book, said so that a trainer can mend it: `file:line: what, and what to write instead`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

NOT_UTF8 = "this is not UTF-8 text; save it as UTF-8"


class Finding(NamedTuple):
    """One thing wrong in a file: its line (from 1), the id of the rule it breaks, and the words."""

    line: int
    rule: str
    text: str


Found = Iterator[Finding]


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong: the file as the trainer knows it, its line (from 1), the words, and the rule's id."""

    path: str
    line: int
    text: str
    rule: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.text}"

    @property
    def with_rule(self) -> str:
        """The line, and behind it the rule's id, by which the rule is looked up."""
        return f"{self} [{self.rule}]"


class BookError(Exception):
    """The book cannot be built: everything that is wrong with it, all at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(problem.with_rule for problem in self.problems)
