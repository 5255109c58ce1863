"""Pages that nobody writes: they are made from what is packed and from what is declared."""

from __future__ import annotations

from collections.abc import Iterator

from calc.declare import catalogue
from handbook.licences import licences_page
from handbook.reference import PLACE, reference_page


def generated_pages() -> Iterator[tuple[str, str]]:
    """Where each page stands, and its Markdown."""
    yield "licences.md", licences_page()
    for calculator in catalogue().values():
        yield f"{PLACE}/{calculator.id}.md", reference_page(calculator)
