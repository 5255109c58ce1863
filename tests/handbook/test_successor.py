"""The book under the successor of its theme: every page says the same there, with the same parts of ours."""

from __future__ import annotations

from pathlib import Path

import pytest

from handbook.build import fix_date
from handbook.successor.compare import differences
from handbook.successor.trial import build_there, write_book

PAGE = '<article class="a"><p class="fb-was">Stop the <b>f</b>an.</p></article><p>the foot</p>'


def test_every_page_says_the_same(root: Path, site: Path, tmp_path: Path) -> None:
    fix_date()
    write_book(root, tmp_path)
    assert "No issues found" in build_there(tmp_path)
    assert differences(site, tmp_path / "site") == {}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (PAGE, ""),
        (PAGE.replace("foot", "bottom").replace("<p class", "\n<p class"), ""),
        (PAGE.replace("an.", "ans."), "near “Stop the fan.” it says “fans.”"),
        (PAGE.replace("an.", "an. Wait."), "3 words have become 4"),
        (PAGE.replace("fb-was", "was"), "1 of .fb-was have become 0"),
    ],
)
def test_what_differs_is_told(text: str, told: str, tmp_path: Path) -> None:
    for name, content in (("ours", PAGE), ("theirs", text)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.html").write_text(content, encoding="utf-8")
    assert differences(tmp_path / "ours", tmp_path / "theirs") == ({"a.html": told} if told else {})


def test_a_page_less_or_more_is_told(tmp_path: Path) -> None:
    for name in ("ours/a", "theirs/b"):
        (tmp_path / name).parent.mkdir()
        (tmp_path / f"{name}.html").write_text(PAGE, encoding="utf-8")
    found = differences(tmp_path / "ours", tmp_path / "theirs")
    assert found == {"a.html": "it is not there", "b.html": "it is there too many"}
