"""Quantities that are marked in prose and in the options of blocks: `` `5 mph`{.q} ``."""

from __future__ import annotations

import xml.etree.ElementTree as etree

from markdown.treeprocessors import Treeprocessor
from markupsafe import Markup, escape

from handbook.quantities import quantity_html
from handbook.scanner import pieces


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


def marked_html(text: str) -> Markup:
    """The text of an option as HTML: marked quantities in every system of units, and all else as written."""
    made = (Markup(quantity_html(one.text)) if one.quantity else escape(one.text) for one in pieces(text))
    return Markup("").join(made)
