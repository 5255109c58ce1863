"""Tables that are written in Markdown: each moves sideways by itself where it is too wide, by keys too."""

from __future__ import annotations

import xml.etree.ElementTree as etree

from markdown.treeprocessors import Treeprocessor
from markdown.util import HTML_PLACEHOLDER_RE

HEADINGS = frozenset(["h1", "h2", "h3", "h4", "h5", "h6"])
AFTER_NAMES = 7  # names in braces are read by then, and quantities of a heading are not yet put away


class TableTreeprocessor(Treeprocessor):
    """Puts each table into a part of the page that keys can reach, named by the heading above it."""

    def run(self, root: etree.Element) -> None:
        """Wrap the tables of a page."""
        self._look_into(root, "Table")

    def _look_into(self, element: etree.Element, heading: str) -> str:
        """Wrap the tables in an element; the heading that stands above what follows it."""
        for at, child in enumerate(list(element)):
            if child.tag == "table" and not child.get("class"):
                element[at] = _wrapped(child, heading)
            elif child.tag in HEADINGS:
                heading = HTML_PLACEHOLDER_RE.sub("", "".join(child.itertext()))
            else:
                heading = self._look_into(child, heading)
        return heading


def _wrapped(table: etree.Element, name: str) -> etree.Element:
    """A table in a part of the page that is reached by keys (axe: scrollable-region-focusable)."""
    part = etree.Element("div", {"class": "fb-table", "role": "group", "tabindex": "0", "aria-label": name})
    part.append(table)
    part.tail, table.tail = table.tail, None
    return part
