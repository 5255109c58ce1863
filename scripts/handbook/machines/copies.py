"""A machine's own copy of a procedure: its steps repeated for its tanks and controls, its figures filled in.

A procedure is written once, for any machine. What stands in `each` is done for every tank, or for every way
of every control; what stands in `only` is done where the machine has that part. In the copy, “this tank” is
the tank's name, its rates have their figures, and all steps are numbered through.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from handbook.links import LINK, OUTSIDE
from handbook.machines.sheet import Control, Sheet, Tank
from handbook.quantities import quantity_markdown
from handbook.scanner import STEP, Block, Scan, lines_of, scan
from handbook.templating import template

EACH = {
    "tank": "each tank in turn",
    "control": "each control and each of its ways",
    "stop": "each stop switch and each of its ways",
}
"""What steps may be repeated for, and how a page says it that is for no one machine."""
ONLY = {
    "ammonia": "a machine that carries ammonia",
    "liquid": "a machine that carries liquid",
    "oil": "a machine whose fan is driven by oil",
}
"""The parts of a machine that steps may be for alone, and how a page says it that is for no one machine."""
PARTS = ("each", "only")
REFERENCE = re.compile(r"\b(?P<word>[Ss]teps?) (?P<first>\d+)(?:(?P<between> (?:to|and) )(?P<last>\d+))?")
_CODE = re.compile(r"(`[^`]*`(?:\{[^}]*\})?)")


def is_copied(page: Scan) -> bool:
    """Whether each machine gets its own copy of a page."""
    return any(block.name in PARTS for block in page.blocks)


@dataclass(frozen=True)
class Case:
    """What a repeated part is done for: what stands for its phrases, and the tank if it is one."""

    phrases: Mapping[str, str] = field(default_factory=dict)
    figures: Mapping[str, str] = field(default_factory=dict)
    tank: str = ""
    title: str = ""


@dataclass(frozen=True)
class Line:
    """A line of the copy: its text, its number as a step of the original, and the cases it was made for."""

    text: str
    step: int = 0
    cases: tuple[int, ...] = ()


@lru_cache(maxsize=1000)  # a preview makes all of them again after every edit, and few are new
def copy_of(text: str, path: str, id: str, sheet: Sheet) -> str:
    """The copy for a machine of the procedure at `path` below `docs`, as Markdown."""
    page = scan(text)
    copier = _Copier(text, page, id, sheet)
    head = next(n for n in range(1, page.length + 1) if n in page.markdown)
    made = _numbered(list(copier.lines(head, page.length + 1, (), Case(figures=_machine_figures(sheet)))))
    return template("machine/copy.md").render(
        id=id,
        title=f"{sheet.name}: {in_a_line(str(page.front['title'].value))}",
        kind=page.front["kind"].value,
        summary=page.front["summary"].value if "summary" in page.front else "",
        text="\n".join(_linked(line.text, path, f"machines/{id}") for line in made),
    )


def in_a_line(title: str) -> str:
    """A title in the middle of a line."""
    return title[:1].lower() + title[1:]


def _linked(text: str, path: str, place: str) -> str:
    """A line of the page at `path` whose links lead on from another place."""

    def moved(match: re.Match[str]) -> str:
        target = match["target"]
        if OUTSIDE.match(target) or target.startswith("#"):
            return match[0]
        there = posixpath.normpath(posixpath.join(posixpath.dirname(path), target))
        return match[0].replace(f"({target}", f"({posixpath.relpath(there, place)}")

    return LINK.sub(moved, text)


class _Copier:
    def __init__(self, text: str, page: Scan, id: str, sheet: Sheet) -> None:
        self.source = lines_of(text)
        self.page = page
        self.id = id
        self.sheet = sheet
        self.at = {block.line: block for block in page.blocks}
        procedures = [block for block in page.blocks if block.name == "procedure"]
        self.steps = {line: number for block in procedures for line, number in page.steps(block, PARTS)}

    def lines(self, start: int, end: int, cases: tuple[int, ...], case: Case) -> Iterator[Line]:
        """The lines of the copy for those of the original from `start` up to `end`."""
        number = start
        while number < end:
            block = self.at.get(number)
            if block and block.name in PARTS:
                yield from self._part(block, cases, case)
                number = block.end + 1
            else:
                yield from self._line(number, block, cases, case)
                number += 1

    def _part(self, block: Block, cases: tuple[int, ...], case: Case) -> Iterator[Line]:
        if block.name == "only":
            if getattr(self.sheet, block.argument):
                yield from self.lines(block.body, block.end, cases, case)
            return
        for number, own in enumerate(_cases(self.sheet, block.argument)):
            both = Case(
                {**case.phrases, **own.phrases},
                {**case.figures, **own.figures},
                own.tank or case.tank,
                own.title,
            )
            yield from self.lines(block.body, block.end, (*cases, number), both)

    def _line(self, number: int, block: Block | None, cases: tuple[int, ...], case: Case) -> Iterator[Line]:
        text = self.source[number - 1]
        prose = number in self.page.markdown
        if block and block.name in ("measure", "figures"):
            yield Line(_filled(text, case, prose=False), cases=cases)
            if block.name == "figures" or "expected" in block.options:
                indent = " " * (block.indent + 4)
                yield Line(f"{indent}machine: {self.id}")
                if case.tank:
                    yield Line(f"{indent}tank: {case.tank!r}")
            return
        if text.startswith("#") and case.title and prose:
            text = f"{text}: {_in_prose(case.title)}"
        yield Line(_filled(text, case, prose=prose), self.steps.get(number, 0), cases)


def _cases(sheet: Sheet, each: str) -> list[Case]:
    if each == "tank":
        return [_tank_case(tank) for tank in sheet.tanks]
    wanted = [one for one in sheet.controls if one.stops == (each == "stop")]
    return [_control_case(control, way) for control in wanted for way in control.ways]


def _tank_case(tank: Tank) -> Case:
    rates = {"low": tank.rate.low, "set": tank.rate.set, "high": tank.rate.high}
    return Case(
        phrases={"this tank": tank.name},
        figures={  # Markdown of ours, but for the product's name
            **{
                f"its {name} rate": f"its {name} rate of {quantity_markdown(rate)}"
                for name, rate in rates.items()
            },
            "one step": f"one step of {quantity_markdown(tank.rate.step)}",
            "its product": f"its product, {_in_prose(tank.product)}",
        },
        tank=tank.name,
        title=tank.name,
    )


def _control_case(control: Control, way: str) -> Case:
    return Case(
        phrases={"this control": f"“{control.name}”", "in this way": way}, title=f"{control.name}, {way}"
    )


def _machine_figures(sheet: Sheet) -> dict[str, str]:
    return {"the planned speed": f"the planned speed of {quantity_markdown(sheet.speed.planned)}"}


def _filled(text: str, case: Case, *, prose: bool) -> str:
    """A line with the phrases in it filled in; figures only where a reader's units can be shown."""
    names = {phrase: _in_prose(name) if prose else name for phrase, name in case.phrases.items()}
    filled = {**names, **(case.figures if prose else {})}
    if not filled:
        return text
    found = re.compile(rf"\b({'|'.join(map(re.escape, filled))})\b", re.IGNORECASE)

    def put(match: re.Match[str]) -> str:
        said = filled[match[1].lower()]
        return said[0].upper() + said[1:] if match[1][0].isupper() else said

    parts = _CODE.split(text)
    return "".join(part if n % 2 else found.sub(put, part) for n, part in enumerate(parts))


_MARKED = re.compile(r"([\\`*_\[\]{}])")  # what could begin or end a mark of Markdown


def _in_prose(name: str) -> str:
    """A name of a sheet as Markdown shows it: words and no markup. In options it is escaped later."""
    return _MARKED.sub(r"\\\1", name.replace("&", "&amp;").replace("<", "&lt;"))


def _numbered(lines: list[Line]) -> list[Line]:
    """The lines with all steps numbered through, and with the numbers in the text as they are now."""
    now: dict[tuple[int, tuple[int, ...]], int] = {}
    for line in lines:
        if line.step:
            now[line.step, line.cases] = len(now) + 1

    def place(number: int, cases: tuple[int, ...], *, last: bool) -> int:
        """Where a step of the original is in this case; else in all of them, the first or the last."""
        for depth in range(len(cases), -1, -1):
            if found := now.get((number, cases[:depth])):
                return found
        places = [new for (old, _), new in now.items() if old == number]
        later = [new for (old, _), new in now.items() if old > number]
        return (max if last else min)(places) if places else min(later, default=len(now))

    made = []
    for line in lines:

        def renumber(match: re.Match[str], cases: tuple[int, ...] = line.cases) -> str:
            text = f"{match['word']} {place(int(match['first']), cases, last=False)}"
            if match["last"]:
                text += f"{match['between']}{place(int(match['last']), cases, last=True)}"
            return text

        text = REFERENCE.sub(renumber, line.text)
        if line.step:
            found = STEP.fullmatch(text)
            assert found  # it was found as a step
            text = f"{found['indent']}{now[line.step, line.cases]}. {found['text']}"
        made.append(Line(text, line.step, line.cases))
    return made
