"""How the search finds a page: by what callers say too. What no caller is after comes last."""

from __future__ import annotations

import re
from typing import Any

from handbook.scanner import scan
from handbook.vocabulary import as_list

_SAID_IN = {"fault": "words", "pause-card": "trigger"}
_LAST = ("reference/", "trainers/", "licences")  # what is looked up, and what is taught with
_LATER = 0.3  # of the weight of any other page
_UNSOUGHT = re.compile(r"<(form|svg)\b.*?</\1>", re.DOTALL)  # neither can stand within its own kind


def found_by(url: str, markdown: str) -> dict[str, Any]:
    """What the search is told of a page, as front matter: `tags`, which no page shows, and `boost`."""
    told: dict[str, Any] = {}
    if words := _callers_words(markdown):
        told["tags"] = words
    if url.startswith(_LAST):
        told["search"] = {"boost": _LATER}
    return told


def sought(html: str) -> str:
    """What the search reads of a page: no form, whose figures are only an example, and no drawing."""
    return _UNSOUGHT.sub(" ", html)


def _callers_words(markdown: str) -> list[str]:
    """Everything that the faults and cards of a page say a caller says, or sees."""
    words: list[str] = []
    if not any(f"/ {name} " in markdown for name in _SAID_IN):
        return words  # most pages; to scan one takes a while
    for block in scan(markdown).blocks:
        option = block.options.get(_SAID_IN.get(block.name, ""))
        if option:
            words += [block.argument, *as_list(option.value)]
    return words
