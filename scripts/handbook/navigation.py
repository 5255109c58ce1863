"""The navigation of the book: `nav` in mkdocs.yml, read with its lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import yaml

from calc.errors import nearest
from handbook.links import GENERATED
from handbook.plain_yaml import Unreadable, composed
from handbook.problems import NOT_UTF8, Finding, Found

FILE = "mkdocs.yml"


@dataclass(frozen=True)
class Entry:
    """A page in the navigation: its path below `docs`, the sections it stands in, and its line."""

    path: str
    sections: tuple[str, ...]
    line: int
    column: int


def entries(text: str) -> list[Entry]:
    """Every page that the navigation names, in order. Raises `Unreadable`."""
    root = composed(text)
    if not isinstance(root, yaml.MappingNode):
        return []
    return [one for key, value in root.value if key.value == "nav" for one in _entries(value, ())]


def _entries(node: yaml.Node, sections: tuple[str, ...]) -> Iterator[Entry]:
    if isinstance(node, yaml.ScalarNode):
        yield Entry(node.value, sections, node.start_mark.line + 1, node.start_mark.column)
    elif isinstance(node, yaml.SequenceNode):
        for one in node.value:
            yield from _entries(one, sections)
    elif isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _entries(value, (*sections, key.value))


def navigation_problems(root: Path) -> Found:
    """What is named and not there, named twice, or there and not named; found in mkdocs.yml."""
    try:
        named = entries((root / FILE).read_text("utf-8-sig"))
    except UnicodeDecodeError:
        yield Finding(1, "utf-8", NOT_UTF8)
        return
    except Unreadable as error:
        yield Finding(error.line + 1, "navigation", f"this is not readable as YAML: {error}")
        return
    pages = {path.relative_to(root / "docs").as_posix() for path in (root / "docs").rglob("*.md")}
    known = {*pages, *GENERATED}
    seen: set[str] = set()
    for one in named:
        if one.path not in known and "://" not in one.path:
            meant = nearest(one.path, known)
            hint = f"did you mean “{meant}”?" if meant else "take it out, or write the page"
            yield Finding(one.line, "navigation", f"there is no page docs/{one.path}; {hint}")
        if one.path in seen:
            yield Finding(one.line, "navigation", f"{one.path} stands twice; keep one")
        seen.add(one.path)
    last = named[-1].line if named else 1
    for name in sorted(pages - seen):
        yield Finding(last, "navigation", f"docs/{name} is in no menu; add “- {name}” below its section")
