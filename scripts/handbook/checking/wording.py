"""Rules on words: phrases that say nothing, and one name for each thing."""

from __future__ import annotations

from handbook.checking.passages import Page
from handbook.checking.rule import Found, rule
from handbook.checking.words import BANNED, BANNED_FINDER, Words, finder
from handbook.problems import Finding


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


@rule(
    id="banned-phrase",
    asks="A phrase that leaves the reader to decide what is meant is not written.",
    why="“As required” asks the new hire for what only the writer knew. Say when, how much, or how it looks.",
    source="ASD-STE100 Simplified Technical English; checklist practice after Degani and Wiener (1990)",
    wrong="Fill the tank as required.",
    right="Fill the tank to the lower edge of the window.",
)
def banned_phrase(page: Page, words: Words) -> Found:
    """Every passage."""
    for passage in page.passages:
        for found in BANNED_FINDER.finditer(passage.text):
            phrase = _plain(found[0])
            yield Finding(
                passage.line_of(found.start()),
                "banned-phrase",
                f"“{phrase}” says too little; {BANNED[phrase]}",
            )


@rule(
    id="term",
    asks="A thing has one name in the book, that of the glossary.",
    why="Two names are taken for two things, by people and by the search.",
    source="ASD-STE100 Simplified Technical English, rules on words; common practice for glossaries",
    wrong="Clean the metering unit.",
    right="Clean the meter.",
)
def term(page: Page, words: Words) -> Found:
    """Names that the glossary lists as not to be written."""
    if not words.instead:
        return
    instead = {_plain(other): name for other, name in words.instead.items()}
    instead |= {f"{other}s": f"{name}s" for other, name in instead.items() if not other.endswith("s")}
    names = finder(instead)
    for passage in page.passages:
        for found in names.finditer(passage.text):
            name = instead[_plain(found[0])]
            yield Finding(
                passage.line_of(found.start()),
                "term",
                f"“{_plain(found[0])}” is called “{name}” in this book",
            )
