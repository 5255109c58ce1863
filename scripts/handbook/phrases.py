"""Phrases in running text, found as whole words, whatever the case and the white space in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Generic, TypeVar

Meant = TypeVar("Meant")


def plain(phrase: str) -> str:
    """A phrase without regard to case and white space."""
    return " ".join(phrase.casefold().split())


def any_of(phrases: Iterable[str], flags: re.RegexFlag = re.IGNORECASE) -> re.Pattern[str]:
    """Any of these as whole words, the longest first, whatever the case and the white space."""
    longest = sorted(phrases, key=len, reverse=True)
    parts = [r"\s+".join(map(re.escape, phrase.split())) for phrase in longest]
    return re.compile(rf"(?<![\w-])(?:{'|'.join(parts) or '(?!)'})(?![\w-])", flags)


class Phrases(Generic[Meant]):
    """Phrases, each with what is meant by it."""

    def __init__(self, meant: Mapping[str, Meant]) -> None:
        self._meant = {plain(phrase): one for phrase, one in meant.items()}
        self._pattern = any_of(self._meant)
        # Most texts hold none of them, which is seen several times sooner where letters have one case.
        self._folded = any_of(self._meant, re.NOFLAG)

    def found(self, text: str) -> Iterator[tuple[re.Match[str], Meant]]:
        """Each phrase in the text, with what is meant by it."""
        if not self._folded.search(text.casefold()):
            return
        for found in self._pattern.finditer(text):
            meant = self._meant.get(plain(found[0]))
            if meant is not None:  # else by a letter that is another one only for some languages
                yield found, meant
