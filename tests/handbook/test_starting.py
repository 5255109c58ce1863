"""New pages and machines: right from the start, filed, in the menu, and never over what is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from handbook.blocks import BookExtension
from handbook.book import read_book
from handbook.checking.checker import check
from handbook.console import Stop
from handbook.copying import copy_book
from handbook.generated import generated_pages
from handbook.starting.starter import STARTERS, start, with_entry


@pytest.fixture
def copy(root: Path, tmp_path: Path) -> Path:
    """A copy of the book."""
    return copy_book(root, tmp_path)


def listed(menu: str) -> list[str]:
    """Every page in the menu, read by another way than ours."""

    def pages(node: object) -> list[str]:
        if isinstance(node, str):
            return [node]
        parts = node.values() if isinstance(node, dict) else node if isinstance(node, list) else []
        return [page for part in parts for page in pages(part)]

    return pages(yaml.safe_load(menu)["nav"])


@pytest.mark.parametrize("kind", STARTERS)
def test_what_is_started_passes_the_checker_and_stands_in_the_menu(copy: Path, kind: str) -> None:
    before = (copy / "mkdocs.yml").read_text("utf-8")
    made = start(copy, kind, "Wet  seed, again")
    after = (copy / "mkdocs.yml").read_text("utf-8")
    assert check(copy).problems == ()
    page = Path(made.file)
    assert page.stem == "wet-seed-again"
    named = "name" if kind == "machine" else "title"
    assert f"{named}: Wet seed, again\n" in (copy / page).read_text("utf-8")
    if kind == "machine":
        assert made.line is None
        assert after == before
        return
    new = page.relative_to("docs").as_posix()
    assert listed(after) == [
        *listed(before)[: listed(after).index(new)],
        new,
        *listed(before)[listed(after).index(new) :],
    ]
    assert made.line
    lines = after.split("\n")
    assert lines[made.line - 1].strip() == f"- {new}"
    assert [line for line in lines if line != lines[made.line - 1]] == before.split("\n")


@pytest.mark.parametrize("kind", [kind for kind in STARTERS if kind != "machine"])
def test_what_is_started_can_be_rendered(copy: Path, kind: str, markdown_extensions: list[str]) -> None:
    from markdown import Markdown

    made = start(copy, kind, "Wet seed")
    book = read_book(copy / "docs")
    blocks = BookExtension(book.sheets, book.glossary)
    page = Path(made.file)
    blocks.start_page(page.relative_to("docs").with_suffix(".html").as_posix())
    text = (copy / page).read_text("utf-8").split("---\n", 2)[2]
    html = Markdown(extensions=[*markdown_extensions, blocks]).convert(text)
    assert "///" not in html
    assert "fb-" in html


def test_a_machine_that_is_started_gets_its_pages(copy: Path) -> None:
    start(copy, "machine", "Wet seed")
    book = read_book(copy / "docs")
    places = [place for place, _ in generated_pages(book) if place.startswith("machines/wet-seed/")]
    assert "machines/wet-seed/index.md" in places
    assert "machines/wet-seed/standing-test.md" in places


def test_two_of_a_kind_stand_one_below_the_other(copy: Path) -> None:
    start(copy, "lesson", "One")
    start(copy, "lesson", "Two")
    pages = listed((copy / "mkdocs.yml").read_text("utf-8"))
    assert pages.index("lessons/two.md") == pages.index("lessons/one.md") + 1
    assert check(copy).problems == ()


def test_nothing_is_written_over(copy: Path) -> None:
    files = {path: path.read_bytes() for path in copy.rglob("*") if path.is_file()}
    with pytest.raises(Stop, match=r"docs/lessons/rate\.md is there already"):
        start(copy, "lesson", "Rate")
    with pytest.raises(Stop, match=r"docs/machines/prairie-four\.yml is there already"):
        start(copy, "machine", "Prairie Four")
    assert {path: path.read_bytes() for path in copy.rglob("*") if path.is_file()} == files


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "is no name for a page"),
        ("  ", "is no name for a page"),
        ("123", "is no name for a page"),
        ("../up", "holds a sign"),
        ("a: b", "holds a sign"),
        ("<b>", "holds a sign"),
        ("Index", "the name of a room's first page"),
        ("long " * 20, "letters; write one of 60 at most"),
    ],
)
def test_a_name_that_is_none_is_refused(copy: Path, name: str, said: str) -> None:
    with pytest.raises(Stop, match=said):
        start(copy, "lesson", name)


def test_a_menu_without_the_section_is_said() -> None:
    with pytest.raises(Stop, match="has no section “Learn”"):
        with_entry("nav:\n  - index.md\n", "Learn", "lessons/a.md")


@pytest.mark.parametrize(
    ("menu", "said"),
    [
        (b"nav: [\n", r"mkdocs\.yml:2: this is not readable as YAML"),
        (b"nav:\n  - \xff.md\n", r"mkdocs\.yml:1: this is not UTF-8 text"),
    ],
)
def test_a_menu_that_cannot_be_read_is_said(copy: Path, menu: bytes, said: str) -> None:
    (copy / "mkdocs.yml").write_bytes(menu)
    with pytest.raises(Stop, match=said):
        start(copy, "lesson", "Wet seed")
    assert not (copy / "docs" / "lessons" / "wet-seed.md").exists()
    assert re.match(said, str(check(copy).problems[-1]))
