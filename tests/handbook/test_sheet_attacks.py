"""Words of a machine sheet stay words: whatever they are, the machine's pages have the same elements."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest

from handbook.machines.pages import figures_script, machine_pages
from handbook.machines.reading import read_sheet
from handbook.machines.sheet import Sheet
from tests.browser.attacks import attacks

ID = "trial-two"
COPIED = "procedures/prime-and-delays.md"  # goes through tanks, and names the machine
PLACES = {  # what stands in the sheet now, and what takes the attack
    "name": "name: Trial Two",
    "note": "note: An invented machine for tests.",
    "tank": "- name: Front",
    "product": "product: wheat",
    "control": "name: Master",
}


class _Shape(HTMLParser):
    """Which elements there are, with the names of their attributes, and where addresses lead."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: Counter[tuple[str, ...]] = Counter()
        self.leads: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements[(tag, *sorted(name for name, _ in attrs))] += 1
        self.leads |= {(value or "").partition(":")[0] for name, value in attrs if name in ("href", "src")}


def shape(html: str) -> _Shape:
    read = _Shape()
    read.feed(html)
    read.close()
    return read


@pytest.fixture
def pages(root: Path, render: Callable[..., str]) -> Callable[[Sheet], str]:
    texts = {COPIED: (root / "docs" / COPIED).read_text(encoding="utf-8")}

    def rendered(sheet: Sheet) -> str:
        made = machine_pages(ID, sheet, texts)
        return "".join(render(text, path.replace(".md", ".html"), sheet) for path, text in made)

    return rendered


@pytest.mark.parametrize("place", PLACES)
def test_words_of_a_sheet_stay_words(
    place: str, sheet_text: str, tmp_path: Path, pages: Callable[[Sheet], str]
) -> None:
    plain = _sheet(sheet_text, place, "plain words", tmp_path)
    assert plain
    expected = shape(pages(plain))
    taken = 0
    for attack in attacks()[:: 1 if place == "product" else 4]:
        sheet = _sheet(sheet_text, place, attack, tmp_path)
        if sheet is None:
            continue  # it is refused, in words
        taken += 1
        found = shape(pages(sheet))
        assert found.elements == expected.elements, attack
        assert found.leads == expected.leads, attack
        assert figures_script(ID, sheet).count("\n") == 2, attack  # a file of its own, with one JSON in it
    assert taken > 10


def _sheet(text: str, place: str, words: str, folder: Path) -> Sheet | None:
    was = PLACES[place]
    assert text.count(was) == 1
    path = folder / f"{ID}.yml"
    written = f"{was.partition(': ')[0]}: {json.dumps(words)}"
    path.write_text(text.replace(was, written), encoding="utf-8")
    return read_sheet(path, path.name).value
