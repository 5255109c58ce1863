"""Other people's work that the site hands on: name, version, licence in full, and where its source is."""

from __future__ import annotations

import json
from importlib.metadata import distribution, version
from pathlib import Path

import material

from handbook.console import Stop
from handbook.engine import Part
from handbook.engine.licences import engine_parts
from handbook.settings import node_modules

FONT = "@fontsource-variable/atkinson-hyperlegible-next"


def parts() -> list[Part]:
    """Every part, the engine's first. Raises `Stop` where a licence's text is missing."""
    pyodide = node_modules() / "pyodide"
    lock_info = json.loads(_text(pyodide / "pyodide-lock.json"))["info"]
    found = [*engine_parts(pyodide, lock_info), *_theme_parts(), _font(), _database()]
    for part in found:
        if len(part.text.strip()) < 100:
            raise Stop(
                f"The licence text of {part.name} {part.version} is missing; nothing is handed on without it."
            )
    return found


def _theme_parts() -> list[Part]:
    icons = Path(material.__file__).parent / "templates" / ".icons" / "material" / "LICENSE"
    theme = version("mkdocs-material")
    return [
        _from_package("mkdocs-material", "MIT", "https://github.com/squidfunk/mkdocs-material"),
        Part(
            "Material Design Icons, in the theme",
            f"as in mkdocs-material {theme}",
            "Apache-2.0",
            # Their own file names the licence and leaves its text to the web.
            _text(icons) and f"{_text(icons)}\n\n{_text(LICENCES / 'apache-2.0.txt')}",
            "https://github.com/Templarian/MaterialDesign",
        ),
        _from_package("mkdocs", "BSD-2-Clause", "https://github.com/mkdocs/mkdocs"),
        *(
            Part(name, f"as in mkdocs-material {theme}", licence, _text(LICENCES / f"{file}.txt"), source)
            for name, licence, file, source in BUNDLED
        ),
    ]


LICENCES = Path(__file__).parent / "licence_texts"
BUNDLED = (  # what the theme's own scripts carry inside them
    ("Lunr, in the theme's search", "MIT", "lunr", "https://github.com/olivernn/lunr.js"),
    ("RxJS, in the theme's script", "Apache-2.0", "rxjs", "https://github.com/ReactiveX/rxjs"),
    ("clipboard.js, in the theme's script", "MIT", "clipboard", "https://github.com/zenorocha/clipboard.js"),
    ("escape-html, in the theme's script", "MIT", "escape-html", "https://github.com/component/escape-html"),
    ("tslib, in the theme's script", "0BSD", "tslib", "https://github.com/microsoft/tslib"),
    ("focus-visible, in the theme's script", "W3C", "focus-visible", "https://github.com/WICG/focus-visible"),
    (
        "material-design-color, in the theme's styles",
        "MIT",
        "material-design-color",
        "https://github.com/mrmlnc/material-design-color",
    ),
)


def _font() -> Part:
    source = "https://github.com/googlefonts/atkinson-hyperlegible-next"
    return _from_npm(FONT, "Atkinson Hyperlegible Next", "OFL-1.1", source)


def _database() -> Part:
    return _from_npm(
        "idb", "idb, which speaks with the browser's database", "ISC", "https://github.com/jakearchibald/idb"
    )


def _from_npm(package: str, name: str, licence: str, source: str) -> Part:
    folder = node_modules() / package
    described = json.loads(_text(folder / "package.json") or "{}")
    return Part(name, described.get("version", ""), licence, _text(folder / "LICENSE"), source)


def _from_package(name: str, licence: str, source: str) -> Part:
    files = distribution(name).files or []
    found = [file for file in files if "LICENSE" in file.name.upper() and ".dist-info" in str(file)]
    return Part(name, version(name), licence, found[0].read_text() if found else "", source)


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ""


def licences_page() -> str:
    """The page, as Markdown."""
    lines = ["---", "title: Licenses", "kind: reference", "---", "", "# Licenses", "", OWN, ""]
    for part in parts():
        lines += [
            f"## {part.name}",
            "",
            f"Version {part.version}. License: {part.licence}. Source: <{part.source}>",
            "",
        ]
        lines += ["~~~~~ text", part.text.strip(), "~~~~~", ""]
    return "\n".join(lines)


OWN = (
    "Furrowbook itself is under the MIT license, in the file LICENSE of its source. "
    "It hands on the work of others, with thanks, under these licenses."
)
