"""Quantities that are marked in prose: `` `5 mph`{.q} ``."""

from __future__ import annotations

import xml.etree.ElementTree as etree

from markdown.treeprocessors import Treeprocessor

from handbook.quantities import quantity_html


class QuantityTreeprocessor(Treeprocessor):
    """Turns `` `5 mph`{.q} `` into the quantity in every system of units."""

    def run(self, root: etree.Element) -> None:
        """Replace each marked code element by a span."""
        for element in root.iter("code"):
            if "q" in element.get("class", "").split():
                html = quantity_html("".join(element.itertext()))
                tail = element.tail
                element.clear()
                element.tag, element.text, element.tail = "span", self.md.htmlStash.store(html), tail
