"""The words that the rules know: what is banned, how steps begin, and the glossary's names for things."""

from __future__ import annotations

import re
from pathlib import Path

from handbook.glossary import Glossary
from handbook.phrases import Phrases, plain

HERE = Path(__file__).parent
# Each with what to write instead. From the house style; ASD-STE100 and checklist practice ask for the same.
BANNED = Phrases(
    {
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
)
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
# What follows a verb that is one, and not a noun of the same letters.
FOLLOWS = (
    r"(?:the|a|an|each|every|all|both|it|them|him|her|one|no|its|their|your|this|that|these|those|any|what|"
    r"whether|until|for|to|in|on|off|out|up|down|into|back|at|from|over|with|away|again)\b|[.,;]|$"
)
# Two verbs that are one movement.
ONE_MOVEMENT = ("press and hold", "isolate and tag", "lock and tag", "stop and wait")


class Words:
    """What the glossary tells the rules: the verbs that a step may begin with, and the names not written.

    Made once for a book, for what is looked for on every page.
    """

    def __init__(self, glossary: Glossary) -> None:
        self.verbs = frozenset((HERE / "verbs.txt").read_text("utf-8").split()) | glossary.verbs
        self.second_verb = re.compile(
            rf"(?:\band(?:\s+then)?|\bthen|;(?:\s+then)?)\s+(?P<verb>{'|'.join(sorted(self.verbs))})"
            rf"\s*(?:{FOLLOWS})",
            re.I,
        )
        instead = {plain(other): term.name for term in glossary.terms for other in term.instead_of}
        more = {f"{other}s": f"{name}s" for other, name in instead.items() if not other.endswith("s")}
        self.instead = Phrases(instead | more)
