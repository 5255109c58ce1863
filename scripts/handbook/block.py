"""What every block of the book is made from: one element, with HTML of ours at its start."""

from __future__ import annotations

import xml.etree.ElementTree as etree
from typing import TYPE_CHECKING, Any

from pymdownx.blocks.block import Block, type_any

if TYPE_CHECKING:
    from handbook.blocks import BookExtension


def options(*names: str) -> dict[str, list[Any]]:
    """The options of a block, as the library wants them; whether they are right was found out before."""
    return {name: ["", type_any] for name in names}


class BookBlock(Block):  # type: ignore[misc]
    """A block that becomes one element."""

    ARGUMENT = True

    @property
    def book(self) -> BookExtension:
        """The extension this block belongs to."""
        book: BookExtension = self.config["book"]
        return book

    def on_create(self, parent: etree.Element) -> etree.Element:
        """Make the element and its first part."""
        element = etree.SubElement(parent, self.element(), {"class": f"fb-block fb-{self.NAME}"})
        self.dress(element)
        if html := self.html().strip():
            element.append(self.part(html))
        return element

    def part(self, html: str) -> etree.Element:
        """An element that holds HTML of ours."""
        holder = etree.Element("div", {"class": "fb-part"})
        holder.text = self.md.htmlStash.store(html)
        return holder

    def element(self) -> str:
        """The name of the element."""
        return "div"

    def dress(self, element: etree.Element) -> None:
        """Add what only this kind has."""

    def html(self) -> str:
        """The first part's HTML."""
        raise NotImplementedError


class NamedBlock(BookBlock):
    """A block that is a part of the page with a name of its own, which is its argument."""

    def element(self) -> str:
        """A part of the page."""
        return "section"

    def dress(self, element: etree.Element) -> None:
        """Name it."""
        element.set("aria-label", self.argument)
