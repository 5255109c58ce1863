"""Blocks that write into the record of a device, and that show what stands in it."""

from __future__ import annotations

import xml.etree.ElementTree as etree

from calc.record.kinds import KINDS
from handbook.block import BookBlock, NamedBlock, options
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


class OpensBlock(BookBlock):
    """`/// opens | Simulated ground speed is on`: a change for a time, which the step puts on the list."""

    NAME = "opens"

    def dress(self, element: etree.Element) -> None:
        """Name the change, for the record."""
        element.set(f"data-{self.NAME}", self.argument)

    def html(self) -> str:
        """What goes onto the list, or off it."""
        return template("change.html").render(change=self.argument, opens=self.NAME == "opens")


class ClosesBlock(OpensBlock):
    """`/// closes | Simulated ground speed is on`: what was changed for a time and is put back."""

    NAME = "closes"


class SkillsBlock(NamedBlock):
    """`/// skills | Who may do what`: the sheets that were signed on this device, by work and by person."""

    NAME = "skills"

    def html(self) -> str:
        """What stands there until a script has looked."""
        return template("skills.html").render(top=self.book.link(""))


class RecordBlock(NamedBlock):
    """`/// record | The yard record`: the record of a job on this device, its signatures, and files of it."""

    NAME = "record"

    def html(self) -> str:
        """What stands there until a script has looked."""
        fields = {one.name: one for one in KINDS["signed"].fields}
        return template("record.html").render(
            id=self.book.prefix("record"),
            fields=[fields["role"]],
            signed=fields["name"],
            schema=self.book.link("record/record.schema.json"),
        )


class HistoryBlock(NamedBlock):
    """`/// history | Over time`: what was found on a machine, by tank and lot, as a picture."""

    NAME = "history"

    def html(self) -> str:
        """What stands there until a script has looked."""
        return template("history.html").render()
