"""Blocks that write into the record of a device, and that show what stands in it."""

from __future__ import annotations

import xml.etree.ElementTree as etree

from handbook.block import NamedBlock, options
from handbook.observing import sheet_parts
from handbook.templating import template


class ObservedBlock(NamedBlock):
    """`/// observed | Making safe`: a sheet on which a trainer marks what was seen."""

    NAME = "observed"
    OPTIONS = options("behaviors", "ends", "licensed")

    def dress(self, element: etree.Element) -> None:
        """Name it, apart from the procedure that it is for."""
        element.set("aria-label", f"Watched: {self.argument}")

    def html(self) -> str:
        """The sheet, to be filled in here or on paper."""
        return template("observed.html").render(
            title=self.argument,
            behaviors=[str(one) for one in self.options["behaviors"]],
            ends=[str(one) for one in self.options["ends"]],
            licensed=str(self.options["licensed"]),
            page=f"procedures/{self.book.page}.html",
            id=self.book.prefix("observed"),
            skills=self.book.link("trainers/skills.html"),
            **sheet_parts(),
        )


class SkillsBlock(NamedBlock):
    """`/// skills | Who may do what`: the sheets that were signed on this device, by work and by person."""

    NAME = "skills"

    def html(self) -> str:
        """What stands there until a script has looked."""
        return template("skills.html").render(top=self.book.link(""))
