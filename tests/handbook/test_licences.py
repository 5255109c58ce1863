"""What the site hands on of others: each part with its version, its licence in full and where its source is.

Sources: the installed packages themselves (their own licence files, versions and the notices in the theme's
scripts); the words a licence is known by: SPDX License List (from memory).
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from importlib.metadata import distribution, version
from pathlib import Path
from xml.etree import ElementTree

import material
import pytest

from handbook import licences
from handbook.console import Stop
from handbook.engine import Part
from handbook.scanner import scan
from handbook.vocabulary import page_problems

Render = Callable[..., str]
Tree = Callable[[str], ElementTree.Element]

WORDS = {
    "MIT": "Permission is hereby granted, free of charge",
    "BSD-2-Clause": "Redistributions in binary form must reproduce",
    "BSD-3-Clause": "Neither the name",
    "Apache-2.0": "END OF TERMS AND CONDITIONS",  # its last words: named alone, it would not be given in full
    "Apache-2.0 WITH LLVM-exception": "LLVM Exceptions to the Apache 2.0 License",
    "MPL-2.0": "Mozilla Public License",
    "PSF-2.0": "PYTHON SOFTWARE FOUNDATION LICENSE",
    "OFL-1.1": "SIL OPEN FONT LICENSE",
    "0BSD": "Permission to use, copy, modify, and/or distribute",
    "ISC": "provided that the above copyright notice and this permission notice appear in all copies",
    "W3C": "W3C",
    "Zlib": "altered source versions must be plainly marked",
    "bzip2-1.0.6": "Altered source versions must be plainly marked",
    "public domain": "public domain",
}


@pytest.fixture
def parts(node_modules: Path) -> list[Part]:
    assert node_modules.is_dir()
    return licences.parts()


def squeezed(text: str) -> str:
    return " ".join(text.split())


def test_every_part_says_what_it_is(parts: list[Part]) -> None:
    names = [part.name for part in parts]
    assert len(set(names)) == len(names)
    for part in parts:
        assert part.version
        assert re.fullmatch(r"https://[\w.-]+(/\S*)?", part.source), part.name
        assert WORDS[part.licence].lower() in squeezed(part.text).lower(), (part.name, part.licence)


def test_versions_are_those_installed(parts: list[Part], node_modules: Path) -> None:
    said = {part.name: part.version for part in parts}
    for name in ("mkdocs-material", "mkdocs"):
        assert said[name] == version(name)
    for name, package in (("Pyodide", "pyodide"), ("Atkinson Hyperlegible Next", licences.FONT)):
        assert (
            said[name] == json.loads((node_modules / package / "package.json").read_text("utf-8"))["version"]
        )


@pytest.mark.parametrize("name", ["mkdocs-material", "mkdocs"])
def test_texts_of_packages_are_their_own(parts: list[Part], name: str) -> None:
    (own,) = (f for f in distribution(name).files or [] if re.search(r"\.dist-info/.*LICENSE", str(f)))
    (text,) = (part.text for part in parts if part.name == name)
    assert text == Path(str(own.locate())).read_text("utf-8")


def test_what_the_themes_scripts_carry_is_named(parts: list[Part]) -> None:
    known = " ".join(part.name for part in parts).lower()
    scripts = Path(material.__file__).parent / "templates" / "assets" / "javascripts"
    found = {
        path.name: path.read_text("utf-8") for path in scripts.rglob("*.min.js") if "lunr" not in path.parts
    }
    assert found
    notices = [
        note
        for text in found.values()
        for note in re.findall(r"/\*!.*?\*/|/\*[^*]*@license.*?\*/", text, re.S)
    ]
    named = {
        name
        for note in notices
        for name in re.findall(r"\b(lunr|clipboard\.js|escape-html|rxjs)\b", note.lower())
    }
    assert named >= {"lunr", "clipboard.js", "escape-html"}
    assert all(name in known for name in named)


def test_the_page_shows_each_part_and_its_whole_text(parts: list[Part], render: Render, tree: Tree) -> None:
    page = licences.licences_page()
    found = scan(page)
    assert list(page_problems(found, {})) == []
    head, body = page.split("\n---\n", 1)
    assert head.startswith("---\n")
    root = tree(render(body))
    headings = [one.text for one in root.iter("h2")]
    assert headings == [part.name for part in parts]
    texts = ["".join(one.itertext()).strip() for one in root.iter("pre")]
    assert texts == [part.text.strip() for part in parts]
    links = {one.get("href") for one in root.iter("a")}
    assert links >= {part.source for part in parts}
    shown = squeezed("".join(root.itertext()))
    for part in parts:
        assert f"Version {part.version}. License: {part.licence}. Source: {part.source}" in shown


@pytest.mark.parametrize("text", ["", "   \n", "MIT"])
def test_a_part_without_its_text_stops_the_build(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr(
        licences, "_font", lambda: Part("Some font", "1.2", "OFL-1.1", text, "https://example.org")
    )
    with pytest.raises(Stop, match=r"licence text of Some font 1\.2 is missing"):
        licences.parts()


def test_a_font_that_comes_without_its_licence_stops_the_build(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, node_modules: Path
) -> None:
    (tmp_path / "pyodide").symlink_to(node_modules / "pyodide")
    font = tmp_path / licences.FONT
    font.mkdir(parents=True)
    (font / "package.json").write_text('{"version": "9.9"}', "utf-8")
    monkeypatch.setenv("FURROWBOOK_NODE_MODULES", str(tmp_path))
    with pytest.raises(Stop, match=r"Atkinson Hyperlegible Next 9\.9 is missing"):
        licences.parts()
