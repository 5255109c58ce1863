"""What the tests of the generator share: a tiny book in a temporary folder, and a small invented machine."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml
from markdown import Markdown

from handbook.blocks import BookExtension
from handbook.book import read_book
from handbook.machines.reading import read_sheet
from handbook.machines.sheet import Sheet
from handbook.problems import BookError

# An invented machine: no maker's figures.
TRIAL_TWO = """\
format: 1
name: Trial Two
note: An invented machine for tests.
units: us
width: 40 ft
spacing: 10 in
runs: 48
heads: 6
speed: {low: 4 mph, planned: 5 mph, high: 6 mph}
fan: {least: 2800 rpm, working: 3600 rpm}
tanks:
  - name: Front
    product: wheat
    bulk_density: 48 lb/ft3
    rate: {low: 80 lb/ac, set: 100 lb/ac, high: 150 lb/ac, step: 5 lb/ac}
    meter: {mass_per_turn: 1 lb/rev, low: 12 rpm, high: 110 rpm}
    shape: {body: box, length: 7 ft, width: 6 ft, height: 4 ft}
  - name: Rear
    product: canola
    bulk_density: 40 lb/ft3
    rate: {low: 3 lb/ac, set: 5 lb/ac, high: 8 lb/ac, step: 0.5 lb/ac}
    meter: {mass_per_turn: 0.1 lb/rev, low: 10 rpm, high: 110 rpm}
    shape: {body: upright-cylinder, diameter: 4 ft, height: 3 ft, hopper: cone, hopper_depth: 2 ft,
      outlet_diameter: 1 ft}
controls:
  - {name: Master, ways: [on the screen, by the switch]}
"""

Book = Callable[[Mapping[str, str]], list[str]]
ReadSheet = Callable[[str], Sheet]
Render = Callable[..., str]


@pytest.fixture
def sheet_text() -> str:
    """The sheet of the machine `trial-two`."""
    return TRIAL_TWO


@pytest.fixture
def sheet(tmp_path: Path) -> ReadSheet:
    """Reads a right sheet from its text."""

    def read(text: str) -> Sheet:
        path = tmp_path / "trial-two.yml"
        path.write_text(text, "utf-8")
        found = read_sheet(path, "docs/machines/trial-two.yml")
        assert not found.problems
        assert found.value
        return found.value

    return read


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Reads a book made of these files below `docs`, and gives what is wrong with it, a line each."""

    def read(files: Mapping[str, str]) -> list[str]:
        for name, text in files.items():
            path = tmp_path / "docs" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode("utf-8"))
        try:
            read_book(tmp_path / "docs")
        except BookError as error:
            return [str(problem) for problem in error.problems]
        return []

    return read


class _Tree(HTMLParser):
    """Builds a tree of HTML, and notes what is not closed as it was opened."""

    # HTML Standard, "Void elements".
    VOID = frozenset(
        ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
    )

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = ElementTree.Element("root")
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice"
        made = ElementTree.SubElement(self.open[-1], tag, {name: value or "" for name, value in attrs})
        if tag not in self.VOID:
            self.open.append(made)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in self.VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if len(self.open[-1]):
            self.open[-1][-1].tail = (self.open[-1][-1].tail or "") + data
        else:
            self.open[-1].text = (self.open[-1].text or "") + data


@pytest.fixture(scope="session")
def tree() -> Callable[[str], ElementTree.Element]:
    """Reads HTML into a tree below one root; it fails where elements are not closed in their order."""

    def read(html: str) -> ElementTree.Element:
        parser = _Tree()
        parser.feed(html)
        parser.close()
        assert parser.open == [parser.root]
        return parser.root

    return read


@pytest.fixture(scope="session")
def markdown_extensions(root: Path) -> list[str]:
    """The extensions the book is rendered with: those that mkdocs.yml names, and MkDocs' own three."""
    named = yaml.safe_load((root / "mkdocs.yml").read_text("utf-8"))["markdown_extensions"]
    names = [next(iter(one)) if isinstance(one, dict) else one for one in named]
    return [*dict.fromkeys(["toc", "tables", "fenced_code", *names])]


@pytest.fixture
def render(markdown_extensions: list[str], sheet: ReadSheet, sheet_text: str) -> Render:
    """Renders Markdown as a page of a book that has the machine `trial-two`."""
    machine = sheet(sheet_text)

    def html(text: str, url: str = "lessons/a.html", machine: Sheet = machine) -> str:
        blocks = BookExtension({"trial-two": machine})
        blocks.start_page(url)
        return Markdown(extensions=[*markdown_extensions, blocks]).convert(text)

    return html
