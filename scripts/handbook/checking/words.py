"""The words that the rules know: what is banned, how steps begin, and the glossary's names for things."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from handbook.glossary import Term

HERE = Path(__file__).parent
# Each with what to write instead. From the house style; ASD-STE100 and checklist practice ask for the same.
BANNED = {
    "be careful": "say what can happen and what to do about it",
    "use caution": "say what can happen and what to do about it",
    "take care": "say what to do",
    "as necessary": "say when",
    "if necessary": "say when",
    "as required": "say when, or how much",
    "as needed": "say when, or how much",
    "as appropriate": "say which",
    "properly": "say how it is when it is right",
    "correctly": "say how it is when it is right",
    "adequate": "give the figure",
    "adequately": "give the figure",
    "sufficient": "give the figure",
    "ensure that": "say what to do or to measure",
    "ensure": "say what to do or to measure",
    "make sure": "say what to do or to measure",
    "and/or": "write “or”, or name both",
    "etc.": "name them all, or say what they have in common",
    "and so on": "name them all, or say what they have in common",
    "utilize": "write “use”",
    "prior to": "write “before”",
    "in order to": "write “to”",
    "please": "leave it out",
    "simply": "leave it out",
}
# What may stand before the verb of a step: when or where it is to be done.
CONDITIONS = frozenset(
    (
        "after",
        "as",
        "at",
        "before",
        "between",
        "by",
        "during",
        "each",
        "every",
        "for",
        "from",
        "if",
        "in",
        "instead",
        "of",
        "on",
        "once",
        "per",
        "unless",
        "until",
        "when",
        "where",
        "while",
        "with",
        "within",
        "without",
    )
)
# Two verbs that are one movement.
ONE_MOVEMENT = ("press and hold", "isolate and tag", "lock and tag", "stop and wait")


@dataclass(frozen=True)
class Words:
    """The glossary's terms, and the verbs that a step may begin with."""

    terms: tuple[Term, ...] = ()
    own_verbs: frozenset[str] = field(default_factory=frozenset)

    @cached_property
    def verbs(self) -> frozenset[str]:
        """The verbs of the list beside this module, and the glossary's own."""
        listed = (HERE / "verbs.txt").read_text("utf-8").split()
        return frozenset(listed) | self.own_verbs

    @cached_property
    def instead(self) -> Mapping[str, str]:
        """Each name that is not written, with the one that is."""
        return {other: term.name for term in self.terms for other in term.instead_of}


def finder(phrases: Mapping[str, str]) -> re.Pattern[str]:
    """Finds any of these as whole words, the longest first, whatever the case and the white space."""
    longest = sorted(phrases, key=len, reverse=True)
    parts = [r"\s+".join(map(re.escape, phrase.split())) for phrase in longest]
    return re.compile(rf"(?<![\w-])(?:{'|'.join(parts)})(?![\w-])", re.I)


BANNED_FINDER = finder(BANNED)
