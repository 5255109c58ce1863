"""A page on paper, as a reader prints it."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from playwright.sync_api import Page
from pypdf import PdfReader


def paper(page: Page, **how: Any) -> PdfReader:
    """What comes out of the printer, the letters being there as they are for whoever has read the page."""
    page.evaluate("async () => { await document.fonts.ready; }")
    return PdfReader(BytesIO(page.pdf(**how)))
