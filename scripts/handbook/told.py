"""The blocks of a book, told all that they ask for: by whichever program writes the pages."""

from __future__ import annotations

from handbook.blocks import BookExtension
from handbook.book import Book
from handbook.machines.pages import copied
from handbook.navigation import entries
from handbook.practice_blocks import practice_pages


def book_blocks(book: Book, settings: str) -> BookExtension:
    """The blocks of `book`; `settings` is the text of mkdocs.yml, for the order of the menu."""
    menu = [entry.path for entry in entries(settings)]
    practised = practice_pages(book.texts, menu)
    return BookExtension(book.sheets, book.glossary, copied(book.texts), book.chances, practised)
