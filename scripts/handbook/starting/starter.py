"""Makes a new page or machine from a small right one, files it, and puts it in the navigation."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from handbook.console import Stop
from handbook.glossary import place_of
from handbook.navigation import FILE, entries
from handbook.plain_yaml import Unreadable
from handbook.problems import NOT_UTF8
from handbook.templating import template

LONGEST = 60  # letters of a name; what is longer no menu shows


@dataclass(frozen=True)
class Starter:
    """What a kind of page starts from: its folder below `docs`, its section in the menu, its file's end.

    What is no page has no section: a machine's pages are made of its sheet, and its room lists them.
    """

    folder: str
    section: str = ""
    end: str = ".md"


STARTERS = {
    "lesson": Starter("lessons", "Learn"),
    "procedure": Starter("procedures", "Do"),
    "pause-card": Starter("cards", "Do"),
    "fault": Starter("faults", "Do"),
    "machine": Starter("machines", end=".yml"),
}


@dataclass(frozen=True)
class Made:
    """What was made: the file, below the top of the book, and its line of the menu if it has one."""

    file: str
    line: int | None


def start(root: Path, kind: str, name: str) -> Made:
    """Make the file of a new page or machine. Raises `Stop` where one is there, or the name is none."""
    starter = STARTERS[kind]
    title = " ".join(name.split())
    stem = place_of(title)
    _check_name(title, stem)
    path = root / "docs" / starter.folder / f"{stem}{starter.end}"
    if path.exists():
        raise Stop(f"{_shown(path, root)} is there already; choose another name, or change that file.")
    menu = _with_page(root, starter, stem) if starter.section else None
    path.parent.mkdir(parents=True, exist_ok=True)
    text = template(f"starters/{kind}{path.suffix}").render(title=title, stem=stem)
    path.write_text(f"{text.rstrip()}\n", encoding="utf-8", newline="\n")
    if menu:
        (root / FILE).write_text(menu[0], encoding="utf-8", newline="\n")
    return Made(_shown(path, root), menu[1] if menu else None)


def _with_page(root: Path, starter: Starter, stem: str) -> tuple[str, int]:
    """The text of mkdocs.yml with the new page, and its line. Raises `Stop`."""
    try:
        menu = (root / FILE).read_text("utf-8")
        return with_entry(menu, starter.section, f"{starter.folder}/{stem}.md")
    except UnicodeDecodeError as error:
        raise Stop(f"{FILE}:1: {NOT_UTF8}") from error
    except Unreadable as error:
        raise Stop(f"{FILE}:{error.line + 1}: this is not readable as YAML: {error}") from error


def _check_name(title: str, stem: str) -> None:
    if not stem or not re.search(r"[^\W\d_]", title):
        raise Stop(f"“{title}” is no name for a page; write a few words, such as “Wet seed”.")
    if len(title) > LONGEST:
        raise Stop(f"The name has {len(title)} letters; write one of {LONGEST} at most.")
    if set(title) & set("\"'`*_<>[]{}|\\/:#&"):
        raise Stop(f"“{title}” holds a sign that a title cannot have; write letters, figures and spaces.")
    if stem == "index":
        raise Stop("“index” is the name of a room's first page; choose another.")


def with_entry(menu: str, section: str, path: str) -> tuple[str, int]:
    """The text of mkdocs.yml with one more page at the end of a section of its menu; and its line."""
    there = [one for one in entries(menu) if one.sections[:1] == (section,)]
    if not there:
        raise Stop(f"The menu in {FILE} has no section “{section}”; add it, or add “- {path}” by hand.")
    # The page's own room first, so that it stands beside its like; a part of a section may follow it.
    alike = [one for one in there if one.path.partition("/")[0] == path.partition("/")[0]] or there
    last = alike[-1]
    lines = menu.split("\n")
    lines.insert(last.line, f"{' ' * (last.column - 2)}- {path}")
    return "\n".join(lines), last.line + 1


def _shown(path: Path, root: Path) -> str:
    return path.relative_to(root).as_posix()
