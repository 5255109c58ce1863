"""Practice on paper: a sheet and its key as PDF, the same for the same number, its answers a calculator's.

Sources: the calculators natively; the printed sheets as pypdf reads them.
"""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path

import pytest
from pypdf import PdfReader

from calc.quantity import Units
from handbook.book import read
from handbook.console import Stop
from handbook.practising import asked_times
from handbook.worksheet import tasks_of, write_worksheet
from tests.browser.unsteady import build_of

BOOK = read(Path(__file__).parents[2] / "docs")
PRACTICE = {
    Path(name).stem: page
    for name, page in BOOK.pages.items()
    if any(block.name == "practice" for block in page.blocks)
}


def words(path: Path) -> str:
    texts = (unicodedata.normalize("NFKC", sheet.extract_text()) for sheet in PdfReader(path).pages)
    return re.sub(r"\s+", " ", " ".join(texts))


def test_a_sheet_and_its_key_are_printed(root: Path, site: Path, tmp_path: Path) -> None:
    made = write_worksheet(root, site, build_of(site), "rate", 7, "us", tmp_path)
    assert [path.name for path in made] == ["rate-7.pdf", "rate-7-key.pdf"]
    sheet, key = map(words, made)
    for number, task in enumerate(tasks_of(PRACTICE["rate"], 7, Units("us")), start=1):
        assert f"{number}. {task.title}" in sheet
        assert f"{number}. {task.title}" in key
        assert f"Answer: {unicodedata.normalize('NFKC', task.answer)}" in key
    assert "Answer:" not in sheet
    assert f"sheet 7, Furrowbook build {build_of(site)}" in sheet
    assert str(root) not in sheet + key


@pytest.mark.parametrize("name", sorted(PRACTICE))
def test_every_page_with_practice_makes_a_sheet_and_no_mark_is_left_in_it(name: str) -> None:
    page = PRACTICE[name]
    tasks = list(tasks_of(page, 1, Units("metric")))
    blocks = [block for block in page.blocks if block.name == "practice"]
    asked = [asked_times({n: option.value for n, option in block.options.items()}) for block in blocks]
    assert len(tasks) == sum(asked)
    for task in tasks:
        assert not re.search(r"[{}`]|\]\(|\*\*", "".join(task.case)), task.case


def test_a_number_gives_the_same_sheet_and_another_gives_another() -> None:
    first, again, other = (list(tasks_of(PRACTICE["rate"], seed, Units("us"))) for seed in (3, 3, 4))
    assert first == again
    assert first != other
    assert len({task.answer for task in first[:3]}) == 3


def test_a_page_without_practice_is_said(root: Path, site: Path, tmp_path: Path) -> None:
    with pytest.raises(Stop, match=r"There is no practice “rat”; did you mean “rate”\?"):
        write_worksheet(root, site, build_of(site), "rat", 1, "us", tmp_path)
    with pytest.raises(Stop, match="the pages with practice are "):
        write_worksheet(root, site, build_of(site), "../../etc", 1, "us", tmp_path)
    assert list(tmp_path.iterdir()) == []
