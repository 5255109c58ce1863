"""What a rule of the book is: its id, why it is there and where it comes from, and an example both ways.

A rule is declared once. Its page, its test and its place in what `check.py` prints follow from that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from textwrap import dedent
from typing import TypeVar

from handbook.checking.passages import Page
from handbook.checking.words import Words
from handbook.problems import Found

Look = Callable[[Page, Words], Found]
Made = TypeVar("Made", bound=Look)
EXAMPLE = "lessons/example.md"


@dataclass(frozen=True)
class Rule:
    """A rule: what it asks, why, by whose word, and a page that breaks it beside the same page set right.

    `module` is where it is declared, which is the part of the rules it belongs to. `stops` is true of what
    cannot be rendered: then there is no book to look at, and no excuse.
    `file` is where the examples stand; where they are pages, they need no head.
    """

    id: str
    asks: str
    why: str
    source: str
    wrong: str
    right: str
    module: str
    stops: bool = False
    file: str = EXAMPLE
    look: Look | None = field(default=None, compare=False)


RULES: dict[str, Rule] = {}
"""Every rule by its id, in the order in which the reference page shows them."""


def declare(module: str, **parts: object) -> Rule:
    """Add a rule; without `look` it is found elsewhere: while a page, a sheet or the navigation is read."""
    texts = {
        name: dedent(part).strip("\n") if isinstance(part, str) else part for name, part in parts.items()
    }
    made = Rule(module=module, **texts)  # type: ignore[arg-type]
    if made.id in RULES:
        raise ValueError(f"the rule {made.id} is declared twice")
    RULES[made.id] = made
    return made


def rule(**parts: object) -> Callable[[Made], Made]:
    """Declare the rule that a function looks after; it yields what it finds in one page."""

    def take(look: Made) -> Made:
        declare(look.__module__, **parts, look=look)
        return look

    return take
