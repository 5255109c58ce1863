"""Rules on words: phrases that say nothing, and one name for each thing."""

from __future__ import annotations

from handbook.checking.passages import Page
from handbook.checking.rule import rule
from handbook.checking.words import BANNED, Words
from handbook.phrases import plain
from handbook.problems import Finding, Found


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
        for found, instead in BANNED.found(passage.text):
            said = f"“{plain(found[0])}” says too little; {instead}"
            yield Finding(passage.line_of(found.start()), "banned-phrase", said)


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
    for passage in page.passages:
        for found, name in words.instead.found(passage.text):
            said = f"“{plain(found[0])}” is called “{name}” in this book"
            yield Finding(passage.line_of(found.start()), "term", said)
