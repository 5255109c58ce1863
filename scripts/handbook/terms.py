"""Words of the glossary in the text of a page: the first use of each leads to its place in the glossary."""

from __future__ import annotations

import xml.etree.ElementTree as etree
from collections.abc import Iterator
from typing import TYPE_CHECKING

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor

from handbook.glossary import PAGE, Glossary, Term
from handbook.phrases import Phrases, any_of, plain

if TYPE_CHECKING:
    from handbook.blocks import BookExtension

# What holds running text; and what no word is marked in, since it leads elsewhere or is no prose.
TEXT = frozenset(["p", "li", "td", "dd"])
LEFT_OUT = frozenset(["a", "button", "code", "nav", "pre", "th", "h1", "h2", "h3", "h4", "h5", "h6"])
AFTER_ALL_OTHERS = -10  # addresses are then as they will be, and quantities are put away


class Finder:
    """Finds the words of a glossary in a text."""

    def __init__(self, glossary: Glossary) -> None:
        self._phrases = Phrases(
            {
                plain(phrase): term
                for term in reversed(glossary.terms)  # of two that one phrase could mean, the first has it
                for phrase in term.only_in or term.names
            }
        )
        self._names = {term.name: any_of(term.names) for term in glossary.terms}

    def uses(self, text: str) -> Iterator[tuple[int, int, Term]]:
        """Each use of a word: where its name begins and ends, and the term."""
        for found, term in self._phrases.found(text):
            # The check of the glossary saw to it that a phrase holds a name; of several the last is meant.
            *_, name = self._names[term.name].finditer(found[0])
            yield found.start() + name.start(), found.start() + name.end(), term


class TermTreeprocessor(Treeprocessor):
    """Makes the first use of each word on a page a link to the glossary, which has none itself."""

    def __init__(self, md: Markdown, book: BookExtension) -> None:
        super().__init__(md)
        self.book = book
        self.finder = Finder(book.glossary)

    def run(self, root: etree.Element) -> None:
        """Mark the words of a page."""
        if self.book.glossary.terms and self.book.page_url != f"{PAGE}.html":
            self._look_into(root, False, set())

    def _look_into(self, element: etree.Element, is_text: bool, met: set[str]) -> None:
        """Mark words in an element, in the order in which they are read."""
        is_text = is_text or element.tag in TEXT
        parts: list[etree.Element] = []
        if is_text:
            element.text, parts = self._marked(element.text, met)
        for child in list(element):
            parts.append(child)
            if child.tag not in LEFT_OUT:
                self._look_into(child, is_text, met)
            if is_text:
                child.tail, links = self._marked(child.tail, met)
                parts += links
        element[:] = parts

    def _marked(self, text: str | None, met: set[str]) -> tuple[str | None, list[etree.Element]]:
        """The text up to the first word that is marked, and links that each carry the text behind them."""
        links: list[etree.Element] = []
        done = 0
        before = text
        for start, end, term in self.finder.uses(text or ""):
            if term.name in met:
                continue
            met.add(term.name)
            assert text is not None
            if links:
                links[-1].tail = text[done:start]
            else:
                before = text[:start]
            links.append(self._link(text[start:end], term))
            links[-1].tail = text[end:]
            done = end
        return before, links

    def _link(self, word: str, term: Term) -> etree.Element:
        link = etree.Element("a", {"class": "fb-term", "data-name": term.name, "data-means": term.means})
        link.set("href", self.book.link(f"{PAGE}.html#{term.place}"))
        link.text = word
        return link
