"""Pages that nobody writes: made of what is packed and declared, of the glossary and of the rules."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from calc.declare import catalogue
from handbook.checking.page import PLACE as RULES_PAGE
from handbook.checking.page import rules_page
from handbook.glossary import PAGE, Glossary, glossary_page
from handbook.licences import licences_page
from handbook.reference import PLACE, reference_page


def generated_pages(glossary: Glossary) -> Iterator[tuple[str, str]]:
    """Where each page stands, and its Markdown."""
    yield f"{PAGE}.md", glossary_page(glossary)
    yield from _of_the_program()


@cache
def _of_the_program() -> tuple[tuple[str, str], ...]:
    """Pages that no file of the book can change."""
    about = [(f"{PLACE}/{one.id}.md", reference_page(one)) for one in catalogue().values()]
    return ("licences.md", licences_page()), (RULES_PAGE, rules_page()), *about
