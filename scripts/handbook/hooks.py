"""Adapts the generator to MkDocs: each event does one call and holds no logic of its own."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import CombinedEvent, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from handbook.blocks import BookExtension
from handbook.book import Book, read_book
from handbook.excuses import without_excuses
from handbook.finding import found_by, sought
from handbook.generated import generated_pages
from handbook.problems import BookError
from handbook.settings import theme_context
from handbook.told import book_blocks

_book: Book
_blocks: BookExtension
_whole: str | None  # a page's content, while the search reads a part of it


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Read the book first: a mistake stops the build before anything is rendered."""
    global _book, _blocks
    try:
        _book = read_book(Path(config.docs_dir))
    except BookError as error:
        raise PluginError(str(error)) from error
    _blocks = book_blocks(_book, Path(config.config_file_path).read_text("utf-8-sig"))
    config.markdown_extensions.append(_blocks)
    config.extra["furrowbook"] = theme_context()
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages that are made from what is packed and declared, and from the glossary."""
    for name, content in generated_pages(_book):
        files.append(File.generated(config, name, content=content))
    return files


def on_page_markdown(markdown: str, page: Page, **_: Any) -> str:
    """Blocks need to know on which page they stand; what speaks to the checker is no reader's."""
    _blocks.start_page(page.url)
    page.meta.update(found_by(page.url, markdown))
    return "\n".join(without_excuses(markdown.split("\n")))


@event_priority(100)
def _before_the_search(context: dict[str, Any], /, page: Page, **_: Any) -> dict[str, Any]:
    """The search reads a page's content here, and need not read all of it."""
    global _whole
    _whole = page.content
    page.content = sought(_whole or "")
    return context


@event_priority(-100)
def _after_the_search(context: dict[str, Any], /, page: Page, **_: Any) -> dict[str, Any]:
    """The page itself shows all."""
    page.content = _whole
    return context


on_page_context = CombinedEvent(_before_the_search, _after_the_search)
