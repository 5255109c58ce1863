"""Links between the book's pages: whether what they lead to is there, said with its line."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterator, Mapping

from markdown import Markdown

from calc.errors import nearest
from handbook.problems import Finding
from handbook.scanner import CODE_SPAN, Scan

LINK = re.compile(r"(?<!!)\[[^\]]*\]\(\s*<?(?P<target>[^)\s>]+)>?(?:\s+\"[^\"]*\")?\s*\)")
OUTSIDE = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
HEADING = re.compile(r"#{1,6}\s+\S.*")
GENERATED = (
    "licences.md",
    "reference/coverage.md",
    "reference/glossary.md",
    "reference/hazards.md",
    "reference/limits.md",
    "reference/machine-sheet.md",
    "reference/rules.md",
)  # pages that the build adds


class Links:
    """The pages that may be linked to, by their path below `docs`, the places in them, and other files."""

    def __init__(self, pages: Mapping[str, Scan], files: Collection[str] = ()) -> None:
        self.pages = pages
        self.files = {*files, *GENERATED}
        self._places: dict[str, set[str]] = {}

    def problems(self, page: str) -> Iterator[Finding]:
        """Every link of a page that leads nowhere, with its line."""
        for line, text in self.pages[page].prose:
            for found in LINK.finditer(CODE_SPAN.sub("", text)):
                if said := self._fault(page, found["target"]):
                    yield Finding(line, "link", said)

    def _fault(self, page: str, target: str) -> str | None:
        if OUTSIDE.match(target):
            return None
        path, _, place = target.partition("#")
        if path.startswith("/"):
            return f"the link “{target}” begins with /; write the way from this page, such as ../index.md"
        led_to = posixpath.normpath(posixpath.join(posixpath.dirname(page), path)) if path else page
        if led_to not in self.pages:
            return None if led_to in self.files else self._missing(page, path)
        if place and place not in self.places(led_to):
            meant = nearest(place, self.places(led_to))
            hint = f"; did you mean “#{meant}”?" if meant else ""
            return f"the link “{target}” leads to a heading that is not there{hint}"
        return None

    def _missing(self, page: str, path: str) -> str:
        here = posixpath.dirname(page) or "."
        ways = {posixpath.relpath(other, here) for other in (*self.pages, *GENERATED)}
        same_name = [way for way in ways if posixpath.basename(way) == posixpath.basename(path)]
        meant = same_name[0] if len(same_name) == 1 else nearest(path, ways)
        hint = f"did you mean “{meant}”?" if meant else "the way begins at this page and ends in .md"
        return f"the link “{path}” leads to no page; {hint}"

    def places(self, page: str) -> set[str]:
        """The names of a page's headings, as the renderer makes them."""
        if page not in self._places:
            headings = [text for _, text in self.pages[page].prose if HEADING.fullmatch(text)]
            reader = Markdown(extensions=["toc", "attr_list"])
            reader.convert("\n\n".join(headings))
            self._places[page] = set(_ids(getattr(reader, "toc_tokens", [])))
        return self._places[page]


def _ids(tokens: list[Mapping[str, object]]) -> Iterator[str]:
    for token in tokens:
        yield str(token["id"])
        children = token["children"]
        if isinstance(children, list):
            yield from _ids(children)
