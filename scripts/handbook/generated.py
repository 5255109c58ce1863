"""Pages that nobody writes: made of what is packed and declared, of the glossary and of the rules."""

from __future__ import annotations

from collections.abc import Iterator

from calc.declare import catalogue
from handbook.checking.page import PLACE as RULES_PAGE
from handbook.checking.page import rules_page
from handbook.glossary import PAGE, Glossary, glossary_page
from handbook.licences import licences_page
from handbook.reference import PLACE, reference_page


def generated_pages(glossary: Glossary) -> Iterator[tuple[str, str]]:
    """Where each page stands, and its Markdown."""
    yield "licences.md", licences_page()
    yield f"{PAGE}.md", glossary_page(glossary)
    yield RULES_PAGE, rules_page()
    for calculator in catalogue().values():
        yield f"{PLACE}/{calculator.id}.md", reference_page(calculator)
