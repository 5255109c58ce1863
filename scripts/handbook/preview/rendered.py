"""A page as it was rendered, and what it asked for meanwhile, so that it can be put back."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cached_property
from html import unescape
from typing import Any, Concatenate

from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents

from handbook.facts import Ask, Facts, Of, Told

TAG = re.compile(r"<[^>]*>")
WORD = re.compile(r"\w+")


Question = tuple[Callable[..., Any], tuple[Any, ...], tuple[tuple[str, Any], ...]]
"""What was asked, and about what."""


class Asked:
    """Asks, and notes what was asked and what the answer was."""

    def __init__(self, ask: Ask) -> None:
        self._ask = ask
        self.answers: dict[Question, Any] = {}

    def begin(self) -> None:
        """Begin a new list of what is asked."""
        self.answers = {}

    def still(self, answers: Mapping[Question, Any]) -> bool:
        """Whether the answers would be the same again."""
        return all(
            self._ask(question, *about, **dict(more)) == answer
            for (question, about, more), answer in answers.items()
        )

    def __call__(
        self, question: Callable[Concatenate[Facts, Of], Told], *about: Of.args, **more: Of.kwargs
    ) -> Told:
        """The answer to a question."""
        answer = self._ask(question, *about, **more)
        self.answers[question, about, tuple(more.items())] = answer
        return answer


def words_of(text: str) -> str:
    """The words of a text and nothing else, with a space around each."""
    return f" {' '.join(WORD.findall(text.casefold()))} "


@dataclass(frozen=True)
class Rendered:
    """A page between its Markdown and the theme: what it was made from, and what came of it."""

    source: str
    answers: Mapping[Question, Any]
    markdown: str | None
    content: str | None
    meta: dict[str, Any]
    title: str | None
    heading: str | None
    toc: TableOfContents
    places: set[str] | None
    links: Mapping[str, dict[str, str]]

    @classmethod
    def of(cls, page: Page, source: str, answers: Mapping[Question, Any]) -> Rendered:
        """What MkDocs has made of a page."""
        return cls(
            source=source,
            answers=answers,
            markdown=page.markdown,
            content=page.content,
            meta=dict(page.meta),
            title=page.title,
            heading=page._title_from_render,
            toc=page.toc,
            places=page.present_anchor_ids,
            # By name, for the files of another build are others.
            links={file.src_uri: places for file, places in (page.links_to_anchors or {}).items()},
        )

    def put_back(self, page: Page, files: Files) -> None:
        """Make a page what it would be if it were read and rendered again."""
        page.markdown, page.content = self.markdown, self.content
        page.meta, page.toc = dict(self.meta), self.toc
        page._title_from_render = self.heading
        page.present_anchor_ids = self.places
        found = {files.get_file_from_path(name): places for name, places in self.links.items()}
        page.links_to_anchors = {file: places for file, places in found.items() if file}

    @cached_property
    def _words(self) -> str:
        return words_of(unescape(TAG.sub(" ", self.content or "")))

    def mentions(self, phrases: Collection[str]) -> bool:
        """Whether any of these, each made by `words_of`, stands in the page."""
        return any(phrase in self._words for phrase in phrases)

    def looks_like(self, other: Rendered) -> bool:
        """Whether a reader could not tell one from the other."""
        return (self.content, self.meta, self.title) == (other.content, other.meta, other.title)
