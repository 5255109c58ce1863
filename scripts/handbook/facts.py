"""What blocks ask of the machines and of the figures of faults. Each question is a function of `Facts`.

Blocks ask for nothing else, so that a preview knows of what a page was made: see `preview.rendered`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Concatenate, NamedTuple, ParamSpec, Protocol, TypeVar

from calc.declare import catalogue
from handbook.chances import NONE, Chance, Chances
from handbook.machines.expected import limits
from handbook.machines.figures import figures_html
from handbook.machines.pages import leaves
from handbook.machines.presets import presets
from handbook.machines.sheet import Sheet
from handbook.machines.worked import Machine

Of = ParamSpec("Of")
Told = TypeVar("Told")


@dataclass(frozen=True)
class Facts:
    """The machines by the names of their sheets, the procedures they get copies of, the chances of faults,
    and the pages that have practice."""

    sheets: Mapping[str, Sheet]
    copied: tuple[tuple[str, str], ...] = ()
    chances: Chances = NONE
    practised: tuple[tuple[str, str], ...] = ()

    def ask(
        self, question: Callable[Concatenate[Facts, Of], Told], *about: Of.args, **more: Of.kwargs
    ) -> Told:
        """The answer to a question."""
        return question(self, *about, **more)


class Ask(Protocol):
    """Answers questions of these facts."""

    def __call__(
        self, question: Callable[Concatenate[Facts, Of], Told], *about: Of.args, **more: Of.kwargs
    ) -> Told:
        """The answer to one."""
        ...


class Named(NamedTuple):
    """A machine: the name of its sheet, its own name, and whose it is."""

    id: str
    name: str
    note: str


def machine_name(facts: Facts, id: str) -> str:
    """What a machine is called; nothing where there is none."""
    return facts.sheets[id].name if id in facts.sheets else ""


def machines(facts: Facts) -> list[Named]:
    """Every machine, by name."""
    named = [Named(id, sheet.name, sheet.note) for id, sheet in facts.sheets.items()]
    return sorted(named, key=lambda one: one.name.casefold())


def menu(facts: Facts, id: str) -> list[tuple[str, str]]:
    """The title and the address of each page of a machine."""
    own = [(leaf.title, f"machines/{id}/{leaf.file}.html") for leaf in leaves(facts.sheets[id])]
    return own + [(title, f"machines/{id}/{file}.html") for file, title in facts.copied]


def preset(facts: Facts, id: str, calculator: str, tank: str) -> dict[str, Any]:
    """What a machine says to a calculator, by the names of its inputs; nothing where there is none."""
    return presets(facts.sheets[id], catalogue()[calculator], tank) if id in facts.sheets else {}


def figures(facts: Facts, id: str, what: str, tank: str) -> str:
    """Figures of a machine, or of one tank of it, as HTML."""
    return _figures(facts.sheets[id], what, tank)


def reading(facts: Facts, id: str, tank: str, step: str, within: str) -> tuple[str, str, str] | None:
    """The least, the most and the expected reading at a step, as HTML; None where there is no such tank."""
    return _reading(facts.sheets[id], tank, step, within) if id in facts.sheets else None


def causes(facts: Facts, fault: str) -> Mapping[str, Chance]:
    """The figures of the causes of a fault, by their ids; none where none are known."""
    return facts.chances.faults.get(fault, {})


def practised(facts: Facts) -> tuple[tuple[str, str], ...]:
    """The address and the title of each page that has practice."""
    return facts.practised


@lru_cache(maxsize=2000)  # a preview asks for all of them again after an edit
def _figures(sheet: Sheet, what: str, tank: str) -> str:
    return figures_html(what, Machine(sheet), tank)


@lru_cache(maxsize=2000)
def _reading(sheet: Sheet, tank_name: str, step: str, within: str) -> tuple[str, str, str] | None:
    tank = sheet.tank(tank_name)
    return limits(Machine(sheet), tank, step, within) if tank else None
