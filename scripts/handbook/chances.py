"""How likely each cause of a fault is and how long it takes to look for: `docs/faults/chances.yml`.

From that follows the order in which to look. For one fault that is there, looking first where chance over
cost is highest finds it soonest on average (common knowledge of search, after W. E. Smith 1956 on schedules).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath
from typing import Annotated, Literal

from pydantic import Field

from calc import units as u
from calc.quantity import parse
from handbook.machines.sheet import Share, Written
from handbook.problems import Problem
from handbook.scanner import Block, Scan
from handbook.typed_yaml import Part, Text, read_typed

FILE = "faults/chances.yml"
Time = Annotated[str, Written(u.TIME, "1 min")]


class Chance(Part):
    """A cause: what share of such calls it is, and how long it takes to look for it."""

    chance: Share
    """The share of such calls that it is; the shares of a fault need not make a whole."""
    time: Time
    """How long it takes to look for it, the way there included."""

    @property
    def weight(self) -> float:
        """The share of such calls, as a number."""
        return parse(self.chance, u.SHARE)

    @property
    def seconds(self) -> float:
        """How long it takes to look for it."""
        return parse(self.time, u.TIME)


class Chances(Part):
    """The figures of all faults, by the names of their pages and the ids of their causes."""

    format: Literal["1"] = "1"
    note: Text
    """Where these figures come from."""
    faults: dict[str, dict[str, Chance]] = Field(default_factory=dict)
    """The causes of each fault."""


NONE = Chances(note="No figures yet.")


def read_chances(path: Path, shown_as: str, pages: Mapping[str, Scan]) -> tuple[Chances, list[Problem]]:
    """The figures in a file, and every problem in it; a book without the file has none.

    A fault that has figures has one for each of its causes, and for nothing else.
    """
    if not path.exists():
        return NONE, []
    read = read_typed(path, shown_as, Chances, "chances")
    known = {PurePosixPath(name).stem: ids(page) for name, page in pages.items() if _faults(page)}
    for fault, causes in read.value.faults.items() if read.value else ():
        if fault not in known:
            read.problem(read.line(("faults", fault)), f"{fault}: there is no fault page of this name")
            continue
        for cause in [one for one in causes if one not in known[fault]]:
            said = f"{fault}.{cause}: the page names no such cause; take it out, or correct its name"
            read.problem(read.line(("faults", fault, cause)), said)
        for cause in [one for one in known[fault] if one not in causes]:
            said = f"{fault}: the cause “{cause}” of its page has no figures; write its chance and its time"
            read.problem(read.line(("faults", fault)), said)
    return (read.value or NONE), read.problems


def _faults(page: Scan) -> list[Block]:
    return [block for block in page.blocks if block.name == "fault"]


def ids(page: Scan) -> list[str]:
    """The ids of the causes on a page, as they are written."""
    causes = [block for block in page.blocks if block.name == "cause" and "id" in block.options]
    return [str(block.options["id"].value) for block in causes]


def best_order(causes: Mapping[str, Chance]) -> list[str]:
    """The ids of the causes in the order that finds the one that is there soonest on average."""
    return sorted(causes, key=lambda id: -causes[id].weight / causes[id].seconds)


def expected_time(order: Sequence[str], causes: Mapping[str, Chance]) -> float:
    """Seconds until the one cause that is there is found, on average, looking for them in this order."""
    whole = sum(causes[id].weight for id in order)
    spent = zip(order, _spent(order, causes), strict=True)
    return sum(causes[id].weight * seconds for id, seconds in spent) / whole


def _spent(order: Sequence[str], causes: Mapping[str, Chance]) -> Iterator[float]:
    """The seconds spent when each has been looked for."""
    spent = 0.0
    for id in order:
        spent += causes[id].seconds
        yield spent
