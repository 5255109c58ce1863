"""A machine's whole book as a PDF: all its pages, a foot on each sheet, no hazard cut, no way out of it.

Sources: the pages as the browser shows them; ISO 32000 for what a link is in a PDF, as pypdf reads it.
"""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

from handbook.book import read
from handbook.console import Stop
from handbook.paper import write_pdf
from tests.browser.conftest import hosted_only
from tests.browser.test_print import bare
from tests.browser.unsteady import build_of

ID = "ridge-mixed"  # it has every kind of page
HAZARDS = """hazards => hazards.map((one) => [one.innerText,
    one.nextElementSibling?.matches("ol") ? one.nextElementSibling.children[0].innerText : ""])"""


@pytest.fixture(scope="module")
def pdf(root: Path, site: Path, tmp_path_factory: pytest.TempPathFactory) -> PdfReader:
    """The book of one machine."""
    path = tmp_path_factory.mktemp("paper") / "book.pdf"
    write_pdf(root, site, build_of(site), ID, path)
    return PdfReader(path)


@pytest.fixture(scope="module")
def sheets(pdf: PdfReader) -> list[str]:
    """The words of each sheet."""
    texts = (unicodedata.normalize("NFKC", sheet.extract_text()) for sheet in pdf.pages)
    return [re.sub(r"\s+", " ", text) for text in texts]


def test_each_sheet_says_the_machine_the_build_and_the_day(sheets: list[str], site: Path) -> None:
    assert len(sheets) > 20
    for number, sheet in enumerate(sheets, start=1):
        assert re.search(rf"Ridge Mixed, Furrowbook build {build_of(site)}, \d{{4}}-\d{{2}}-\d{{2}}", sheet)
        assert f"{number} / {len(sheets)}" in sheet


def test_nothing_leads_out_and_no_place_of_this_machine_is_told(pdf: PdfReader, root: Path) -> None:
    for sheet in pdf.pages:
        assert not [one for one in sheet.get("/Annots", []) if one.get_object().get("/Subtype") == "/Link"]
    told = str(pdf.metadata) + "".join(sheet.extract_text() for sheet in pdf.pages)
    assert "file:" not in told
    assert str(root) not in told
    assert pdf.metadata
    assert pdf.metadata.title == "Ridge Mixed"


@hosted_only
def test_every_page_of_the_machine_is_in_it_and_no_hazard_is_cut(
    page: Page, base: str, site: Path, sheets: list[str]
) -> None:
    plain = [bare(sheet) for sheet in sheets]
    whole = "".join(plain)
    at = 0
    sheet = read(Path(__file__).parents[2] / "docs").sheets[ID]
    page.add_init_script(f"localStorage.setItem('furrowbook.units', '{sheet.units}')")
    for path in sorted((site / "machines" / ID).glob("*.html"), key=lambda path: path.stem != "index"):
        page.goto(f"{base}machines/{ID}/{path.name}")
        page.emulate_media(media="print")
        heads = page.locator("article h2:visible").all_inner_texts()
        assert all(bare(head) in whole for head in heads), path.name
        for hazard, step in page.locator(".fb-hazard").evaluate_all(HAZARDS):
            at += 1
            assert any(bare(hazard) in one and bare(step) in one for one in plain), hazard
    assert at > 30


@hosted_only
def test_the_head_of_a_table_stands_again_on_the_next_sheet(page: Page, base: str) -> None:
    """By CSS 2, 17.2, a head repeats where the table is broken; this asks that ours are heads."""
    page.goto(f"{base}machines/{ID}/tanks.html")
    tables = page.locator("article table")
    assert tables.count() > 3
    assert page.locator("article table:not(:has(thead))").count() == 0
    page.emulate_media(media="print")
    assert set(
        page.locator("article thead").evaluate_all("all => all.map((one) => getComputedStyle(one).display)")
    ) == {"table-header-group"}


def test_a_machine_that_is_not_there_is_said(root: Path, site: Path, tmp_path: Path) -> None:
    with pytest.raises(Stop, match=r"There is no machine sheet “ridge-mixd”; did you mean “ridge-mixed”\?"):
        write_pdf(root, site, build_of(site), "ridge-mixd", tmp_path / "x.pdf")
    with pytest.raises(Stop, match="the sheets are marsh-two, prairie-four and ridge-mixed"):
        write_pdf(root, site, build_of(site), "../../etc", tmp_path / "x.pdf")
    assert not (tmp_path / "x.pdf").exists()
