"""The words of a page as a reader meets them, passage by passage, each with its place in the file.

Markdown is read by markdown-it-py. The lines that open, close and set blocks are blanked first, so that every
line keeps its number; the texts in the options of a block are passages too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from markdown_it import MarkdownIt
from markdown_it.token import Token

from handbook.checking.sentences import QUANTITY_SPACE
from handbook.machines.copies import PARTS
from handbook.scanner import Block, Scan, pieces
from handbook.vocabulary import SIGNAL_WORDS

Kind = Literal["paragraph", "step", "item", "heading", "cell", "hazard", "consequence", "avoid", "option"]
"""“avoid” is whatever an option tells someone to do."""
MARKDOWN = MarkdownIt("commonmark").enable("table")
ATTRIBUTES = re.compile(r"^\{:?[^}]*\}")
# What a block says in its options, and as what. A hazard's argument is what can happen.
OPTIONS: dict[str, Kind] = {
    "consequence": "consequence",
    "avoid": "avoid",
    "outside": "avoid",
    "fix": "avoid",
    "right": "avoid",  # what to do in a case of a practice
}
_PLAIN_OPTIONS = ("needs", "trigger", "items", "shows", "check", "says", "because", "behaviors", "ends")


@dataclass(frozen=True)
class Passage:
    """A piece of text that is read in one go: its kind, its words, and the line it begins at.

    A line end in the file is one in the text, so that a place in the text leads to a line of the file.
    """

    kind: Kind
    text: str
    line: int
    code: tuple[tuple[int, int], ...] = ()  # what was set as code: quantities, names of files, commands

    def in_code(self, place: int) -> bool:
        """Whether a place in the text was set as code."""
        return any(start <= place < end for start, end in self.code)

    def line_of(self, place: int) -> int:
        """The line of the file that a place in the text stands on."""
        return self.line + self.text.count("\n", 0, place)


@dataclass(frozen=True)
class Picture:
    """A picture: its address, the text that stands for it, and its line."""

    address: str
    text: str
    line: int


@dataclass(frozen=True)
class Link:
    """A link: its address, its words, and its line."""

    address: str
    words: str
    line: int


class Page:
    """One page of the book, read for its words."""

    def __init__(self, path: str, scan: Scan) -> None:
        self.path = path
        self.scan = scan
        self.pictures: list[Picture] = []
        self.links: list[Link] = []
        self.headings: list[tuple[int, int, str]] = []  # level, line, words
        # Every passage, in the order of the file.
        self.passages = sorted([*self._written(), *self._options()], key=lambda one: one.line)

    @property
    def kind(self) -> str:
        """What kind of page it says it is."""
        return str(self.scan.front["kind"].value) if "kind" in self.scan.front else ""

    def blocks(self, *names: str) -> list[Block]:
        """The blocks of these names."""
        return [block for block in self.scan.blocks if block.name in names]

    def block_at(self, line: int) -> Block | None:
        """The innermost block that a line stands in."""
        inside = [block for block in self.scan.blocks if block.line < line < block.end]
        return inside[-1] if inside else None

    def _masked(self) -> str:
        """The text without its blocks' own lines and its head: what is left is Markdown."""
        return "\n".join(self.scan.markdown.get(n, "") for n in range(1, self.scan.length + 1))

    def _written(self) -> Iterator[Passage]:
        """The passages of the Markdown; pictures, links and headings are noted by the way."""
        lists: list[str] = []
        heading = 0
        for token in MARKDOWN.parse(self._masked()):
            match token.type:
                case "ordered_list_open" | "bullet_list_open":
                    lists.append(token.type.partition("_")[0])
                case "ordered_list_close" | "bullet_list_close":
                    lists.pop()
                case "heading_open":
                    heading = int(token.tag[1:])
                case "heading_close":
                    heading = 0
                case "inline" if token.map:
                    line = token.map[0] + 1
                    text, code = self._spoken(token, line)
                    if heading:
                        self.headings.append((heading, line, text))
                    yield Passage(self._kind_of(line, lists, heading), text, line, code)

    def _kind_of(self, line: int, lists: list[str], heading: int) -> Kind:
        if heading:
            return "heading"
        block = self.block_at(line)
        if lists == ["ordered"] and block and block.name in ("procedure", *PARTS):
            return "step"
        if lists:
            return "item"
        return "cell" if self.scan.markdown[line].lstrip().startswith("|") else "paragraph"

    def _spoken(self, token: Token, line: int) -> tuple[str, tuple[tuple[int, int], ...]]:
        """The words of a passage without the marks of Markdown, and where among them code stands."""
        code: list[tuple[int, int]] = []
        said: list[str] = []
        after_code = False
        opened: list[tuple[str, int, int]] = []
        for part in token.children or []:
            at = line + sum(one.count("\n") for one in said)
            if part.type == "code_inline":
                start = sum(map(len, said))
                code.append((start, start + len(part.content)))
                said.append(part.content.replace(" ", QUANTITY_SPACE))
            elif part.type in ("softbreak", "hardbreak"):
                said.append("\n")
            elif part.type == "image":
                self.pictures.append(Picture(str(part.attrs["src"]), part.content, at))
                said.append(part.content)
            elif part.type == "link_open":
                opened.append((str(part.attrs["href"]), at, len(said)))
            elif part.type == "link_close":
                address, where, first = opened.pop()
                self.links.append(Link(address, "".join(said[first:]), where))
            elif part.type == "text":
                said.append(ATTRIBUTES.sub("", part.content) if after_code else part.content)
            after_code = part.type in ("code_inline", "image", "link_close")
        return "".join(said), tuple(code)

    def _options(self) -> Iterator[Passage]:
        """What blocks say in their options."""
        for block in self.scan.blocks:
            if block.name in SIGNAL_WORDS and block.argument:
                yield Passage("hazard", block.argument, block.line)
            for name, line, text in block.texts():
                if name in OPTIONS or name in _PLAIN_OPTIONS:
                    said, code = _unmarked(text)
                    yield Passage(OPTIONS.get(name, "option"), said, line, code)


def _unmarked(text: str) -> tuple[str, tuple[tuple[int, int], ...]]:
    """The text of an option without the marks of its quantities, and where these stand in it."""
    said, code = "", []
    for piece in pieces(text):
        start, shown = len(said), piece.text
        if piece.quantity:
            shown = shown.replace(" ", QUANTITY_SPACE)
            code.append((start, start + len(shown)))
        said += shown
    return said, tuple(code)
