"""Sentences and words of a passage, and how hard a page of prose is to read.

Sentences are told apart by syntok, a segmenter that knows abbreviations and decimal points.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from syntok import segmenter  # type: ignore[import-untyped]

QUANTITY_SPACE = "\u00a0"  # within a quantity, which counts as one word
WORD = re.compile(r"\S*\w\S*")
SENTENCE_END = re.compile(r"[^\w\s,:’–/×%°-]")
# Holds no mark that can end a sentence before its end, so that the segmenter need not be asked.
ONE_SENTENCE = re.compile(r"\w[\w\s,:’–/×%°-]*[.?]?")
LETTER = re.compile(r"[^\W_]")


@dataclass(frozen=True)
class Sentence:
    """A sentence: its words, and its place in the passage."""

    text: str
    place: int

    @property
    def words(self) -> list[str]:
        """Its words."""
        return words_in(self.text)


def words_in(text: str) -> list[str]:
    """The words of a text; a figure with its unit is one."""
    return WORD.findall(text.replace(QUANTITY_SPACE, "_"))


@lru_cache(maxsize=20_000)
def sentences(text: str) -> tuple[Sentence, ...]:
    """The sentences of a passage, in order."""
    return tuple(_sentences(text))


def most_sentences(text: str) -> int:
    """How many sentences a passage has at most: quickly, by the marks that could end one."""
    return len(SENTENCE_END.findall(text)) + 1


def _sentences(text: str) -> Iterator[Sentence]:
    flat = text.replace("\n", " ").replace(QUANTITY_SPACE, "_")
    if ONE_SENTENCE.fullmatch(flat):
        yield Sentence(text.replace("\n", " "), 0)
        return
    for paragraph in segmenter.analyze(flat):
        for tokens in paragraph:
            first, last = tokens[0], tokens[-1]
            yield Sentence(
                text[first.offset : last.offset + len(last.value)].replace("\n", " "), first.offset
            )


def grade(passages: Sequence[str]) -> float:
    """The US school grade that prose is written for, by the Automated Readability Index.

    ARI = 4.71 · letters ÷ words + 0.5 · words ÷ sentences − 21.43, by Smith and Senter, Automated Readability
    Index, AMRL-TR-66-220, 1967; made for technical manuals. It counts letters where others guess syllables.
    """
    said = [sentence for text in passages for sentence in sentences(text)]
    read = [word for sentence in said for word in sentence.words]
    letters = sum(len(LETTER.findall(word)) for word in read)
    return 4.71 * letters / len(read) + 0.5 * len(read) / len(said) - 21.43
