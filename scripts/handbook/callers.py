"""What people say of a fault or in an emergency, for the search: it finds a page by these words first."""

from __future__ import annotations

from handbook.scanner import scan
from handbook.vocabulary import as_list

SAID_IN = {"fault": "words", "pause-card": "trigger"}


def callers_words(markdown: str) -> list[str]:
    """Everything that the faults and cards of a page say a caller says, or sees."""
    words: list[str] = []
    for block in scan(markdown).blocks:
        option = block.options.get(SAID_IN.get(block.name, ""))
        if option:
            words += [block.argument, *as_list(option.value)]
    return words
