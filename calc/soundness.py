"""Everything that can be wrong with a declaration and be seen without calling it."""

from __future__ import annotations

import inspect
from collections.abc import Iterator, Mapping
from typing import Any

from calc.declare import BASES, LEVELS, Calculator, Choice, Field, Name, Rows
from calc.errors import InputError
from calc.quantity import exact


def check(made: Calculator, hints: Mapping[str, Any], known: Mapping[str, Calculator]) -> None:
    """Raise TypeError where declaration and signature disagree, ValueError for any other fault."""
    where = f"calculator {made.id}"
    names = [i.name for i in made.inputs]
    if names != list(inspect.signature(made.function).parameters) or set(names) != set(hints) - {"return"}:
        raise TypeError(f"{where}: inputs {names} differ from the signature")
    for group in (made.all_but_one, made.one_of):
        if not set(group) <= made.optional:
            raise TypeError(f"{where}: every input of {group} must be allowed to be None")
    for one in made.inputs:
        if isinstance(one, Rows) and [c.name for c in one.columns] != list(getattr(one.row, "_fields", ())):
            raise TypeError(f"{where}: columns of {one.name} differ from the fields of its row")
    if made.id in known and known[made.id].function.__module__ != made.function.__module__:
        raise ValueError(f"{where}: this id is taken by {known[made.id].function.__module__}")
    for fault in (*_faults(made), *_place_faults(made), *_case_faults(made, names)):
        raise ValueError(f"{where}: {fault}")


def _faults(made: Calculator) -> Iterator[str]:
    for one in made.inputs:
        for single in one.columns if isinstance(one, Rows) else [one]:
            yield from _field_faults(single)
    if not made.sources or not made.cases:
        yield "a source and a case are needed"
    if any(source.basis not in BASES for source in (*made.sources, *(c.source for c in made.cases))):
        yield f"a source's basis is one of {BASES}"
    if any(note.level not in LEVELS for note in made.notes):
        yield f"a note's level is one of {LEVELS}"
    if len({output.name for output in made.outputs}) < len(made.outputs):
        yield "two outputs have the same name"
    for output in made.outputs:
        if (output.kind is None) == (not output.says):
            yield f"{output.name} needs either a kind or sentences"


def _place_faults(made: Calculator) -> Iterator[str]:
    choices = {one.name: one for one in made.inputs if isinstance(one, Choice)}
    for one in made.inputs:
        for choice, fitting in getattr(one, "only_with", {}).items():
            if choice not in choices or not set(fitting) <= set(choices[choice].options):
                yield f"{one.name} goes only with {choice} = {fitting}, which cannot be chosen"


def _case_faults(made: Calculator, names: list[str]) -> Iterator[str]:
    for case in made.cases:
        if not case.printed and not case.pinned:
            yield f"case “{case.title}” checks nothing"
        if unknown := sorted(set(case.given) - set(names)):
            yield f"case “{case.title}” gives {unknown}"


def _field_faults(one: Field) -> Iterator[str]:
    if isinstance(one, Choice):
        if {one.example, one.default or one.example} - set(one.options):
            yield f"{one.name} has an example or default that is not a choice"
    elif not isinstance(one, Name):
        try:
            low, high = exact(one.low, one.kind), exact(one.high, one.kind)
            figures = [exact(text, one.kind) for text in (one.example, one.default or one.example)]
            if one.also:
                exact(one.also.low, one.also.kind), exact(one.also.high, one.also.kind)
        except InputError as error:
            yield f"{one.name}: {error}"
        else:
            if low > high or not all(low <= figure <= high for figure in figures):
                yield f"the example or default of {one.name} is outside its bounds"
