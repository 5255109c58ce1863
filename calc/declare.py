"""One declaration a calculator: everything about it but its formula, and the catalogue of them all."""

from __future__ import annotations

import functools
import importlib
import pkgutil
import types
import typing
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import calc
from calc import chart
from calc.errors import Problem
from calc.quantity import Units, show
from calc.units import Kind

ROOMS = ("metering", "tanks", "crop", "air", "oil", "liquid", "field")
BASES = ("read", "from memory", "common practice", "our own invention")
LEVELS = ("info", "check", "stop")


@dataclass(frozen=True)
class Also:
    """Another kind that an input may be written in, with its own bounds."""

    kind: Kind
    low: str
    high: str


@dataclass(frozen=True)
class Input:
    """A quantity that is asked for: `example`, `low`, `high` and `default` are written with their unit.

    `only_with` says with which values of a choice it has a place, and `needed` that it must then be given.
    One that is `measured` may be written with a give or take. With `also`, the function gets an `Amount`,
    which tells the kind. `takes` names results of others that fill it in: `id.result`, `id.rows.column`.
    """

    name: str
    title: str
    kind: Kind
    example: str
    low: str
    high: str
    hint: str = ""
    default: str = ""
    only_with: Mapping[str, Sequence[str]] = field(default_factory=dict)
    needed: bool = False
    measured: bool = False
    also: Also | None = None
    takes: Sequence[str] = ()


@dataclass(frozen=True)
class Choice:
    """One of a few words; `options` maps each to its title, `only_with` is as in `Input`."""

    name: str
    title: str
    options: Mapping[str, str]
    example: str
    hint: str = ""
    default: str = ""
    only_with: Mapping[str, Sequence[str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Name:
    """A name that a reader gives to a thing, such as a tank."""

    name: str
    title: str
    example: str
    hint: str = ""
    default: str = ""


Field = Input | Choice | Name


@dataclass(frozen=True)
class Rows:
    """A list of like rows; `row` is the NamedTuple the function gets for each. `each` names one of them."""

    name: str
    title: str
    row: type
    columns: Sequence[Field]
    example: Sequence[Mapping[str, str]]
    each: str
    hint: str = ""
    least: int = 1
    most: int = 60
    default: str = ""


@dataclass(frozen=True)
class Words:
    """A sentence with named parts; a part that is a quantity is shown in the reader's units."""

    text: str
    kinds: Mapping[str, Kind] = field(default_factory=dict)

    def fill(self, parts: Mapping[str, float | str], units: Units) -> str:
        """The sentence with its parts in place."""
        shown = {
            name: show(value, self.kinds[name], units)
            if name in self.kinds and not isinstance(value, str)
            else value
            for name, value in parts.items()
        }
        return self.text.format(**shown)


def words(text: str, **kinds: Kind) -> Words:
    """A sentence for readers: `words("at most {speed}", speed=SPEED)`."""
    return Words(text, kinds)


@dataclass(frozen=True)
class Output:
    """A result: a quantity of a kind, or (`says`) one of a few sentences; `main` ones are shown large.

    `absent` is what a reader sees in place of a result that is null.
    """

    name: str
    title: str
    kind: Kind | None = None
    says: Mapping[str, Words] = field(default_factory=dict)
    main: bool = False
    absent: str = "not known"


@dataclass(frozen=True)
class Note:
    """Something the reader should know about one answer: `level` is info, check or stop."""

    code: str
    level: str
    says: Words


@dataclass(frozen=True)
class Column:
    """A column of a table. With `across`, one a value: its title is that value, a quantity of that kind."""

    id: str
    title: str
    kind: Kind | None = None
    says: Mapping[str, Words] = field(default_factory=dict)
    across: Kind | None = None


@dataclass(frozen=True)
class Table:
    """A table of the answer: its rows come with what was found."""

    id: str
    title: str
    columns: Sequence[Column]


@dataclass(frozen=True)
class Chart:
    """A picture of the answer; `draw` gets what was given, what was found and the reader's units."""

    id: str
    title: str
    says: Words
    draw: Callable[[Mapping[str, Any], Found, Units], chart.Picture | None]


@dataclass(frozen=True)
class Source:
    """Where a formula or figure comes from; `basis` is one of `BASES`."""

    title: str
    where: str = ""
    basis: str = "read"


@dataclass(frozen=True)
class Case:
    """An example that is checked: `printed` as the source prints it, `pinned` ours, kept against change.

    A key is a result, or `table[row].column` with rows from 1. A printed figure is compared to its printed
    digits in its printed unit. A pinned value is the SI value, a code for a sentence, or None.
    """

    title: str
    given: Mapping[str, Any]
    source: Source
    printed: Mapping[str, str] = field(default_factory=dict)
    pinned: Mapping[str, float | str | None] = field(default_factory=dict)
    notes: Sequence[str] | None = None


@dataclass(frozen=True)
class Say:
    """One of the declared sentences, by its code, with the values of its parts."""

    code: str
    parts: Mapping[str, float | str] = field(default_factory=dict)


def say(code: str, /, **parts: float | str) -> Say:
    """The declared sentence `code` with its parts."""
    return Say(code, parts)


Value = float | int | str | Say | None
TableRows = Sequence[Sequence[Value]]


@dataclass(frozen=True)
class Found:
    """What a calculator found, in SI: results by name, notes, and rows by table (`across` their columns).

    A table whose rows stand at round figures of the reader's unit is a function of the units.
    """

    values: Mapping[str, Value]
    notes: Sequence[Say] = ()
    tables: Mapping[str, TableRows | Callable[[Units], TableRows]] = field(default_factory=dict)
    across: Mapping[str, Sequence[float]] = field(default_factory=dict)

    def rows(self, table: str, units: Units) -> TableRows:
        """The rows of a table, for a reader of these units."""
        made = self.tables[table]
        return made(units) if callable(made) else made


@dataclass(frozen=True)
class Calculator:
    """A whole declaration, with the function it stands above.

    `together` finds what does not fit among values that are each right; those that are wrong are None to it.
    `leaves_out` says what the answer does not cover. `then` names the calculators that readers go on to:
    what was given and found goes with them into the inputs of the same name and kind, or that take it.
    """

    id: str
    title: str
    asks: str
    inputs: Sequence[Field | Rows]
    outputs: Sequence[Output]
    equation: str
    assumes: Sequence[str]
    sources: Sequence[Source]
    cases: Sequence[Case]
    function: Callable[..., Found]
    cautions: Sequence[str] = ()
    notes: Sequence[Note] = ()
    tables: Sequence[Table] = ()
    charts: Sequence[Chart] = ()
    all_but_one: Sequence[str] = ()
    one_of: Sequence[str] = ()
    optional: frozenset[str] = frozenset()
    together: Callable[[Mapping[str, Any]], Sequence[Problem]] | None = None
    leaves_out: Sequence[str] = ()
    then: Sequence[str] = ()

    def input(self, name: str) -> Field | Rows:
        """The input of this name."""
        return next(i for i in self.inputs if i.name == name)

    @property
    def example(self) -> dict[str, Any]:
        """The first case, which is what a form shows as its worked example."""
        return dict(self.cases[0].given)


CATALOGUE: dict[str, Calculator] = {}


def catalogue() -> dict[str, Calculator]:
    """Every calculator by its id, in alphabetical order."""
    _import_rooms()
    return dict(sorted(CATALOGUE.items()))


@functools.cache
def _import_rooms() -> None:
    """Import each module of the rooms, once: to look for them takes longer than most answers."""
    there = {found.name for found in pkgutil.iter_modules(calc.__path__)}
    for room in ROOMS:
        if room in there:
            package = importlib.import_module(f"calc.{room}")
            for module in sorted(found.name for found in pkgutil.iter_modules(package.__path__)):
                importlib.import_module(f"calc.{room}.{module}")


def calculator(**declared: Any) -> Callable[[Callable[..., Found]], Callable[..., Found]]:
    """Declare the function below as a calculator; see `Calculator` for the parts.

    Raises TypeError or ValueError at import where declaration and signature disagree.
    """

    from calc.soundness import check  # it reads declarations, so it stands above them

    def register(function: Callable[..., Found]) -> Callable[..., Found]:
        hints = typing.get_type_hints(function)
        optional = frozenset(name for name, hint in hints.items() if name != "return" and _may_be_none(hint))
        made = Calculator(function=function, optional=optional, **declared)
        check(made, hints, CATALOGUE)
        CATALOGUE[made.id] = made
        return function

    return register


def _may_be_none(hint: Any) -> bool:
    return isinstance(hint, types.UnionType) and type(None) in typing.get_args(hint)


def row_optional(rows: Rows) -> frozenset[str]:
    """The columns that may be left empty: those the row's type says may be None."""
    return frozenset(name for name, hint in typing.get_type_hints(rows.row).items() if _may_be_none(hint))
