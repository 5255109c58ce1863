"""Renders the blocks of the book, and quantities in prose. Mistakes were found before: see `scanner`."""

from __future__ import annotations

import xml.etree.ElementTree as etree
from collections.abc import Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

import yaml
from markdown import Markdown
from pymdownx import blocks as library
from pymdownx.blocks import BlocksExtension

from calc.declare import Rows, catalogue
from handbook.block import BookBlock, NamedBlock, options
from handbook.calculators import calculator_html
from handbook.chances import NONE, Chances, best_order, expected_time
from handbook.facts import (
    Ask,
    Facts,
    causes,
    figures,
    machine_name,
    machines,
    menu,
    preset,
    reading,
)
from handbook.glossary import EMPTY, Glossary
from handbook.machines.copies import EACH, ONLY
from handbook.machines.expected import STEPS
from handbook.machines.sheet import Sheet
from handbook.plain_yaml import FAST
from handbook.practice_blocks import DueBlock, PracticeBlock
from handbook.quantities import duration_html, limit_html, quantity_html
from handbook.quantity_marks import QuantityTreeprocessor
from handbook.record_blocks import (
    ClosesBlock,
    HistoryBlock,
    ObservedBlock,
    OpensBlock,
    RecordBlock,
    SkillsBlock,
)
from handbook.recording import asked, job_fields, mark_steps
from handbook.templating import template
from handbook.terms import AFTER_ALL_OTHERS, TermTreeprocessor
from handbook.vocabulary import CALCULATOR_OPTIONS, SIGNAL_WORDS, as_list
from handbook.wide_tables import AFTER_NAMES, TableTreeprocessor


class BookExtension(BlocksExtension):  # type: ignore[misc]  # the library has no types
    """All blocks of the book, and its words; `sheets` are the machines that calculators are preset from."""

    def __init__(
        self,
        sheets: Mapping[str, Sheet],
        glossary: Glossary = EMPTY,
        copied: Sequence[tuple[str, str]] = (),
        chances: Chances = NONE,
        practised: Sequence[tuple[str, str]] = (),
        **options: Any,
    ) -> None:
        self.glossary = glossary
        self.ask: Ask = Facts(sheets, tuple(copied), chances, tuple(practised)).ask
        self.page_url = ""
        self.seen: dict[str, int] = {}
        super().__init__(**options)

    def start_page(self, url: str) -> None:
        """Begin a page at this address below the site: ids and links are its own."""
        self.page_url = url
        self.seen.clear()

    def extendMarkdownBlocks(self, md: Markdown, blocks: Any) -> None:  # the library's name
        """Register every block of the vocabulary; the tables, quantities and glossary's words in prose."""
        for made in (*PLAIN, *HAZARDS):
            blocks.register(made, {"book": self})
        md.treeprocessors.register(TableTreeprocessor(md), "book-tables", AFTER_NAMES)
        md.treeprocessors.register(QuantityTreeprocessor(md), "book-quantities", 5)
        md.treeprocessors.register(TermTreeprocessor(md, self), "book-terms", AFTER_ALL_OTHERS)

    @property
    def page(self) -> str:
        """The name of the page's file, without its folder and its ending."""
        return PurePosixPath(self.page_url).stem

    @property
    def machine(self) -> str:
        """The machine that the page is about, if it is about one."""
        parts = PurePosixPath(self.page_url).parts
        return parts[1] if parts[:1] == ("machines",) and len(parts) == 3 else ""

    def prefix(self, name: str) -> str:
        """The beginning of the ids of one more block of this name on the page; no heading's id begins so."""
        self.seen[name] = self.seen.get(name, 0) + 1
        return f"fb-{name}-" if self.seen[name] == 1 else f"fb-{name}-{self.seen[name]}-"

    def link(self, target: str) -> str:
        """The way from this page to another address below the site."""
        return "../" * self.page_url.count("/") + target


def _read_options(text: str) -> dict[str, Any] | None:
    """The options of a block, which the scanner has found to be right; None where they are none."""
    try:
        read = yaml.load(text, FAST) or {}
    except yaml.YAMLError:
        return None
    return read if isinstance(read, dict) else None


library.get_frontmatter = _read_options  # does the same as the library's own, in a tenth of the time


class CalculatorBlock(BookBlock):
    """`/// calculator | rate`: a form with its worked example."""

    NAME = "calculator"
    OPTIONS = options(
        *CALCULATOR_OPTIONS, *dict.fromkeys(i.name for made in catalogue().values() for i in made.inputs)
    )

    def html(self) -> str:
        """The form, preset from the machine sheet and then from the options."""
        calculator = catalogue()[self.argument]
        machine = self.options["machine"]
        known = {**self.book.ask(preset, machine, calculator.id, self.options["tank"])}
        for one in calculator.inputs:
            given = self.options[one.name]
            if given != "":
                known[one.name] = (
                    [{key: str(text) for key, text in row.items()} for row in given]
                    if isinstance(one, Rows)
                    else str(given)
                )
        name = self.book.ask(machine_name, machine)
        return calculator_html(calculator, known, name, self.book.prefix(calculator.id), self.book.link)


class FiguresBlock(BookBlock):
    """`/// figures | tanks`: what is computed from a machine sheet, for all its tanks or for one."""

    NAME = "figures"
    OPTIONS = options(*CALCULATOR_OPTIONS)

    def html(self) -> str:
        """The tables, the drawing or the answer."""
        if not self.options["machine"]:
            return template("of-each-machine.html").render(
                href=self.book.link("machines/index.html"), file=self.book.page
            )
        return self.book.ask(figures, self.options["machine"], self.argument, self.options["tank"])


class DoorsBlock(NamedBlock):
    """`/// doors | Where to go`: a list of ways on, large."""

    NAME = "doors"

    def element(self) -> str:
        """A way to other pages."""
        return "nav"

    def html(self) -> str:
        """Nothing before the list."""
        return ""


class StoredBlock(NamedBlock):
    """`/// stored | On this device`: how the book is kept on the reader's device, and what to do about it."""

    NAME = "stored"

    def html(self) -> str:
        """What stands there until a script knows more."""
        return template("stored.html").render()


class ProcedureBlock(NamedBlock):
    """`/// procedure | Title`: numbered steps."""

    NAME = "procedure"
    OPTIONS = options("id", "needs", "people")

    def dress(self, element: etree.Element) -> None:
        """Name the part, for readers and for the record."""
        super().dress(element)
        element.set("data-procedure", str(self.options["id"] or ""))
        element.set("data-people", str(self.options["people"] or 1))
        element.set("data-page", self.book.page_url)

    def html(self) -> str:
        """What is needed, and the way to keep a record."""
        needs = self.options["needs"]
        return template("procedure.html").render(
            needs=as_list(needs) if needs else [],
            fields=job_fields(),
            id=self.book.prefix("job"),
            machine=self.book.machine,
            name=self.book.ask(machine_name, self.book.machine),
        )

    def on_end(self, block: etree.Element) -> None:
        """Give every step and every hazard a name of its own, by which a record knows it again."""
        mark_steps(block)


class MeasureBlock(BookBlock):
    """`/// measure | Meter speed`: a value to read, its limits, and what to do outside them."""

    NAME = "measure"
    OPTIONS = options(
        "low", "high", "source", "outside", "calculator", "expected", "within", *CALCULATOR_OPTIONS
    )

    def html(self) -> str:
        """The limits, in the reader's units."""
        told = {name: str(self.options[name]) for name in ("low", "high", "source", "outside", "within")}
        machine, tank, expected = (str(self.options[name]) for name in ("machine", "tank", "expected"))
        found = self.book.ask(reading, machine, tank, expected, told["within"]) if expected else None
        if found:
            told |= dict(zip(("low", "high", "middle"), found, strict=True))
        else:
            told |= {name: told[name] and limit_html(told[name]) for name in ("low", "high")} | {"middle": ""}
        calculator = catalogue().get(self.options["calculator"])
        return template("measure.html").render(
            what=self.argument,
            asked=asked(self.argument, self.options, found),
            expected_asked=asked("Expected", self.options, None),
            id=self.book.prefix("measured"),
            calculator=calculator,
            calculator_title=calculator.title if calculator else "",
            calculator_url=self.book.link(f"calculators/{calculator.id}.html") if calculator else "",
            expected=STEPS[expected].title.lower() if expected else "",
            **told,
        )


class EachBlock(BookBlock):
    """`/// each | tank`: steps that are done for every tank, or for every way of every control."""

    NAME = "each"

    def html(self) -> str:
        """Nothing before its steps are known."""
        return ""

    def on_end(self, block: etree.Element) -> None:
        """Say at its top which steps they are."""
        lists = list(block.iter("ol"))
        if lists:
            first = int(lists[0].get("start", "1"))
            last = int(lists[-1].get("start", "1")) + sum(1 for one in lists[-1] if one.tag == "li") - 1
            lead = etree.Element("p", {"class": "fb-lead"})
            which = f"steps {first} to {last}" if last > first else f"step {first}"
            lead.text = f"Do {which} for {EACH[self.argument]}."
            block.insert(0, lead)


class OnlyBlock(BookBlock):
    """`/// only | ammonia`: steps that are for some machines alone."""

    NAME = "only"

    def html(self) -> str:
        """For which."""
        return template("only.html").render(machines=ONLY[self.argument])


class MachineBlock(BookBlock):
    """`/// machine | ID`: the menu of a machine's pages, and a way to choose it."""

    NAME = "machine"

    def html(self) -> str:
        """The menu."""
        id, ask = self.argument, self.book.ask
        pages = [(title, self.book.link(url), url == self.book.page_url) for title, url in ask(menu, id)]
        return template("machine-menu.html").render(id=id, name=ask(machine_name, id), pages=pages)


class MachinesBlock(NamedBlock):
    """`/// machines | All machines`: every machine, with a way to choose it."""

    NAME = "machines"

    def html(self) -> str:
        """The list."""
        listed = [
            {**one._asdict(), "href": self.book.link(f"machines/{one.id}/index.html")}
            for one in self.book.ask(machines)
        ]
        return template("machines.html").render(machines=listed)


class PauseCardBlock(NamedBlock):
    """`/// pause-card | Title`: what is read out at one moment before the work goes on."""

    NAME = "pause-card"
    OPTIONS = options("trigger", "items")

    def html(self) -> str:
        """The moment, and the items in their order."""
        return template("pause-card.html").render(
            trigger=str(self.options["trigger"]), items=as_list(self.options["items"])
        )


class FaultBlock(NamedBlock):
    """`/// fault | What a caller says`: around the causes of one fault."""

    NAME = "fault"
    OPTIONS = options("words")

    def html(self) -> str:
        """The words by which callers tell of it, so that the search finds them."""
        return template("fault.html").render(said=[self.argument, *as_list(self.options["words"])])

    def on_end(self, block: etree.Element) -> None:
        """Put the causes into the order that finds the one that is there soonest, and say how soon."""
        known = self.book.ask(causes, self.book.page)
        written = {str(one.get("data-cause")): one for one in block if one.get("data-cause")}
        if known and set(written) == set(known):
            order = best_order(known)
            first = min(list(block).index(one) for one in written.values())
            for one in written.values():
                block.remove(one)
            for place, id in enumerate(order):
                block.insert(first + place, written[id])
            html = template("fault-order.html").render(
                soonest=duration_html(expected_time(order, known)),
                written=duration_html(expected_time(list(written), known)),
                same=order == list(written),
            )
            block.insert(first, self.part(html))


class CauseBlock(BookBlock):
    """`/// cause | The condition that is false`: where it shows, how to check it, and the fix."""

    NAME = "cause"
    OPTIONS = options("id", "shows", "check", "fix")

    def dress(self, element: etree.Element) -> None:
        """Name it, for its figures."""
        element.set("data-cause", str(self.options["id"]))

    def html(self) -> str:
        """The three of them, and how likely it is."""
        told = {name: str(self.options[name]) for name in ("shows", "check", "fix")}
        chance = self.book.ask(causes, self.book.page).get(str(self.options["id"]))
        return template("cause.html").render(
            cause=self.argument,
            chance=quantity_html(chance.chance) if chance else "",
            time=quantity_html(chance.time) if chance else "",
            **told,
        )


class HazardBlock(BookBlock):
    """A hazard under its signal word: what can happen, what it does, how to avoid it."""

    OPTIONS = options("consequence", "avoid")

    def dress(self, element: etree.Element) -> None:
        """Mark it as a hazard."""
        element.set("class", f"fb-hazard fb-{self.NAME}")
        element.set("data-hazard", self.argument)
        element.set("role", "note")

    def html(self) -> str:
        """The signal word and the three statements."""
        return template("hazard.html").render(
            word=self.NAME,
            hazard=self.argument,
            consequence=str(self.options["consequence"]),
            avoid=as_list(self.options["avoid"]),
        )


PLAIN = [
    CalculatorBlock, FiguresBlock, DoorsBlock, StoredBlock, ProcedureBlock, MeasureBlock, EachBlock,
    OnlyBlock, MachineBlock, MachinesBlock, PauseCardBlock, FaultBlock, CauseBlock, PracticeBlock, DueBlock,
    ObservedBlock, SkillsBlock, OpensBlock, ClosesBlock, RecordBlock, HistoryBlock,
]  # fmt: skip
HAZARDS = [type(f"{word.title()}Block", (HazardBlock,), {"NAME": word}) for word in SIGNAL_WORDS]
