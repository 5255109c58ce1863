"""Pages that nobody writes: made of what is packed and declared, of the glossary and of the rules."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache

from calc.declare import catalogue
from calc.record.entry import schema
from handbook.book import Book
from handbook.checking.page import PLACE as RULES_PAGE
from handbook.checking.page import rules_page
from handbook.glossary import PAGE, glossary_page
from handbook.licences import licences_page
from handbook.machines.pages import figures_script, machine_pages
from handbook.machines.schema import PAGE as SHEET_PAGE
from handbook.machines.schema import sheet_page
from handbook.reference import PLACE, reference_page
from handbook.registers import register_pages


def generated_pages(book: Book) -> Iterator[tuple[str, str]]:
    """Where each file stands, and its text; but for those that stand in the book as they are written."""
    for place, text in _pages(book):
        if place not in book.texts:
            yield place, text


def _pages(book: Book) -> Iterator[tuple[str, str]]:
    yield f"{PAGE}.md", glossary_page(book.glossary)
    yield from _of_the_program()
    yield from register_pages(book.registers)
    for id, sheet in book.sheets.items():
        yield from machine_pages(id, sheet, book.texts)
        yield f"machines/{id}/figures.js", figures_script(id, sheet)


RECORD = "record/record.schema.json"
"""What a file of a record holds, for whoever reads one with a program of their own."""


def _schema() -> str:
    return json.dumps(schema(), ensure_ascii=True, indent=1) + "\n"


@cache
def _of_the_program() -> tuple[tuple[str, str], ...]:
    """Pages that no file of the book can change."""
    about = [(f"{PLACE}/{one.id}.md", reference_page(one)) for one in catalogue().values()]
    own = (
        ("licences.md", licences_page()),
        (RULES_PAGE, rules_page()),
        (SHEET_PAGE, sheet_page()),
        (RECORD, _schema()),
    )
    return *own, *about
