"""The book's blocks as an extension that the successor loads by its name, page by page."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from markdown import Extension, Markdown
from markdown.preprocessors import Preprocessor

from handbook.blocks import BookExtension
from handbook.book import read_book
from handbook.excuses import without_excuses
from handbook.told import book_blocks

CONTEXT = "rendering_context"  # where the successor says which page it is at
BEFORE_ALL_OTHERS = 1000


class _Unexcused(Preprocessor):
    """Takes out what speaks to the checker; it is no reader's."""

    def run(self, lines: list[str]) -> list[str]:
        return without_excuses(lines)


class SuccessorExtension(Extension):
    """The blocks of the book of the folder `root`."""

    def __init__(self, root: str) -> None:
        super().__init__()
        self._root = Path(root)

    def extendMarkdown(self, md: Markdown) -> None:  # the library's name
        """Start the page that is rendered, and register the blocks."""
        page: Any = md.preprocessors[CONTEXT]
        blocks = _blocks_of(self._root)
        blocks.start_page(page.page.url)
        md.preprocessors.register(_Unexcused(md), "book-excuses", BEFORE_ALL_OTHERS)
        blocks.extendMarkdown(md)


@cache
def _blocks_of(root: Path) -> BookExtension:
    """Read once for all pages, which come one after another."""
    return book_blocks(read_book(root / "docs"), (root / "mkdocs.yml").read_text("utf-8-sig"))


def makeExtension(**options: Any) -> SuccessorExtension:  # the library's name
    """What the successor calls for each page."""
    return SuccessorExtension(options["root"])
