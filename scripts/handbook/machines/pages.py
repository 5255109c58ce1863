"""The pages of a machine: which there are, and their Markdown. One that a trainer writes stands instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import PurePosixPath
from typing import NamedTuple

from calc.declare import catalogue
from calc.reply import compact
from handbook.machines.copies import copy_of, in_a_line, is_copied
from handbook.machines.presets import presets
from handbook.machines.sheet import Sheet
from handbook.quantities import quantity_markdown
from handbook.scanner import lines_of, scan
from handbook.templating import template
from handbook.vocabulary import SIGNAL_WORDS

PLACE = "machines"


class Leaf(NamedTuple):
    """A page of a machine: its file in the machine's folder, and what the machine's menu calls it."""

    file: str
    title: str


LEAVES = (
    Leaf("index", "Overview"),
    Leaf("readings", "Expected readings"),
    Leaf("tanks", "Tanks and refills"),
    Leaf("card", "Cab card"),
)
"""What every machine has."""
SYSTEMS = {
    "liquid": (
        Leaf("liquid", "Liquid"),
        "What each outlet should give, and at which pressure.",
        "Worked out for the planned speed. What an outlet gives of water comes from its maker's table.",
    ),
    "ammonia": (
        Leaf("ammonia", "Ammonia"),
        "What the rate takes, what the gauge should show, and how much land a fill covers.",
        "Worked out for the planned speed and for the temperature in the sheet. The figures change with it.",
    ),
}
"""What only a machine with that part has: the page, its summary, and what its figures are."""


def leaves(sheet: Sheet) -> list[Leaf]:
    """The pages of a machine, in the order of its menu."""
    return [*LEAVES, *(leaf for name, (leaf, _, _) in SYSTEMS.items() if getattr(sheet, name))]


def copied(pages: Mapping[str, str]) -> list[tuple[str, str]]:
    """The procedures that each machine gets a copy of: the file of each and its title."""
    found = []
    for path, text in sorted(pages.items()):
        page = scan(text)
        if is_copied(page):
            title = page.front.get("title")
            found.append((PurePosixPath(path).stem, str(title.value) if title else path))
    return found


def page_names(id: str, sheet: Sheet, copies: Iterable[str]) -> list[str]:
    """Where the pages of a machine stand, below `docs`."""
    return [f"{PLACE}/{id}/{file}.md" for file in (*(leaf.file for leaf in leaves(sheet)), *copies)]


def machine_pages(id: str, sheet: Sheet, pages: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Where each page of a machine stands, and its Markdown; `pages` are those of the book, by their path."""
    for leaf in leaves(sheet):
        title = sheet.name if leaf.file == "index" else f"{sheet.name}: {in_a_line(leaf.title)}"
        parts = {"id": id, "sheet": sheet, "title": title, **_quantities(sheet)}
        if leaf.file in SYSTEMS:
            _, summary, text = SYSTEMS[leaf.file]
            hazards = hazards_of(pages.get(f"calculators/{leaf.file}.md", ""))
            made = template("machine/system.md").render(
                parts, calculator=leaf.file, summary=summary, text=text, hazards=hazards
            )
        else:
            made = template(f"machine/{leaf.file}.md").render(parts)
        yield f"{PLACE}/{id}/{leaf.file}.md", made
    for path, text in pages.items():
        if is_copied(scan(text)):
            yield f"{PLACE}/{id}/{PurePosixPath(path).name}", copy_of(text, path, id, sheet)


def figures_script(id: str, sheet: Sheet) -> str:
    """A script that tells the page what the machine says to each calculator."""
    known = {}
    for calculator in catalogue().values():
        shared = presets(sheet, calculator)
        of_tanks = {
            tank.name: {
                name: said
                for name, said in presets(sheet, calculator, tank.name).items()
                if said != shared.get(name)
            }
            for tank in sheet.tanks
        }
        tanks = {name: said for name, said in of_tanks.items() if said}
        if shared or tanks:
            known[calculator.id] = {"shared": shared, "tanks": tanks}
    told = compact({"calculators": known})
    return f'"use strict";\n(window.furrowbook.machines ??= {{}})[{compact(id)}] = {told};\n'


def hazards_of(text: str) -> str:
    """The hazards of a page, as they are written there."""
    lines = lines_of(text)
    hazards = [block for block in scan(text).blocks if block.name in SIGNAL_WORDS]
    return "\n\n".join("\n".join(lines[block.line - 1 : block.end]) for block in hazards)


def _quantities(sheet: Sheet) -> dict[str, str]:
    """Figures of the sheet as prose has them."""
    written = {"width": sheet.width, "spacing": sheet.spacing, "planned": sheet.speed.planned}
    if sheet.field:
        written |= {"area": sheet.field.area, "pass_length": sheet.field.pass_length}
    return {name: quantity_markdown(text) for name, text in written.items()}
