"""Whether two builds of the book say the same on every page, and hold the same parts of ours."""

from __future__ import annotations

from collections import Counter
from html.parser import HTMLParser
from pathlib import Path
from typing import NamedTuple

OURS = "fb-"
UNREAD = ("script", "style", "title")


class Said(NamedTuple):
    """The words of a page's article, and how often each class of ours stands in the page."""

    words: list[str]
    parts: Counter[str]


class _Article(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.text: list[str] = []
        self.parts: Counter[str] = Counter()
        self._inside = 0
        self._unread = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside += tag == "article"
        self._unread += tag in UNREAD
        names = (dict(attrs).get("class") or "").split()
        self.parts.update(name for name in names if name.startswith(OURS))

    def handle_endtag(self, tag: str) -> None:
        self._inside -= tag == "article"
        self._unread -= tag in UNREAD

    def handle_data(self, data: str) -> None:
        if self._inside and not self._unread:
            self.text.append(data)


def said(page: Path) -> Said:
    """What a built page says."""
    reader = _Article()
    reader.feed(page.read_text(encoding="utf-8"))
    return Said("".join(reader.text).split(), reader.parts)


def differences(ours: Path, theirs: Path) -> dict[str, str]:
    """Each page that is not the same in both builds, with what differs first."""
    found = {}
    for path in sorted(ours.rglob("*.html")):
        name = path.relative_to(ours).as_posix()
        other = theirs / name
        difference = _difference(said(path), said(other)) if other.is_file() else "it is not there"
        if difference:
            found[name] = difference
    for path in sorted(theirs.rglob("*.html")):
        name = path.relative_to(theirs).as_posix()
        if not (ours / name).is_file():
            found[name] = "it is there too many"
    return found


def _difference(ours: Said, theirs: Said) -> str:
    for place, (one, other) in enumerate(zip(ours.words, theirs.words, strict=False)):
        if one != other:
            near = " ".join(ours.words[max(0, place - 4) : place + 4])
            return f"near “{near}” it says “{other}”"
    if len(ours.words) != len(theirs.words):
        return f"{len(ours.words)} words have become {len(theirs.words)}"
    for name in sorted(ours.parts.keys() | theirs.parts.keys()):
        if ours.parts[name] != theirs.parts[name]:
            return f"{ours.parts[name]} of .{name} have become {theirs.parts[name]}"
    return ""
