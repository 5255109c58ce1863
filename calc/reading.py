"""From the text a person gave to the values a calculator takes, with everything wrong found at once."""

from __future__ import annotations

import functools
import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

from calc.declare import Calculator, Choice, Field, Input, Name, Rows, row_optional
from calc.errors import InputError, Problem, listed, nearest, problem, refuse
from calc.quantity import (
    Amount,
    Units,
    exact,
    exact_give_or_take,
    is_written_in,
    show,
    split_give_or_take,
)
from calc.uncertainty import Measured
from calc.units import Kind

# Under this key, which no JSON text can hold, an object lists the names that stood in it twice.
REPEATED: Final[Any] = object()
_UNPRINTABLE = re.compile("[\0-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


class NumberText(str):
    """A number that stood bare in JSON, kept as it was written."""


def read_given(calculator: Calculator, given: Mapping[str, Any], units: Units) -> dict[str, Any]:
    """SI values for every input of the calculator; None for what is absent and may be.

    Raises `InputError` with every problem, in the order of the declaration.
    """
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    present = {name for name, value in given.items() if value is not None}
    for one in calculator.inputs:
        values[one.name] = _read_one(calculator, one, given.get(one.name), units, problems)
    problems += _misplaced(calculator, values, present, {p.field for p in problems})
    problems += _unknown(given, [i.name for i in calculator.inputs])
    problems += _group_problems(calculator, present)
    if problems:
        raise InputError(problems)
    return values


def _read_one(
    calculator: Calculator, one: Field | Rows, value: Any, units: Units, problems: list[Problem]
) -> Any:
    try:
        if value is None and one.default:
            value = one.default
        if value is not None:
            return read_rows(one, value, units) if isinstance(one, Rows) else read_field(one, value, units)
        if one.name not in calculator.optional:
            raise refuse("", "required", example=_example(one))
    except InputError as error:
        problems += [p.at(one.name + p.field) for p in error.problems]
    return None


def read_field(one: Field, value: Any, units: Units) -> float | Amount | str:
    """One field's SI value (an amount where it may be of two kinds), or its text.

    Raises `InputError` (field "").
    """
    if not isinstance(value, str):
        raise refuse("", "not-text", example=one.example)
    if isinstance(one, Input):
        if one.also and is_written_in(value, one.also.kind):
            also = _within(one.also.low, one.also.high, value, one.also.kind, units)
            return Amount(float(also), one.also.kind)
        figure = _read_figure(one, value, units)
        return Amount(figure, one.kind) if one.also else figure
    if isinstance(one, Choice):
        if value in one.options:
            return value
        if meant := nearest(value, one.options):
            raise refuse("", "misspelt-choice", text=value, meant=meant)
        raise refuse("", "not-a-choice", text=value, choices=listed(one.options))
    name = " ".join(value.split())
    if not 1 <= len(name) <= 60:
        raise refuse("", "name-length", length=len(name))
    if _UNPRINTABLE.search(name):
        raise refuse("", "name-signs", example=one.example)
    return name


def _read_figure(one: Input, value: str, units: Units) -> float:
    """A quantity, and its give or take where it is measured and has one."""
    text, give = split_give_or_take(value)
    if give is None:
        return float(_within(one.low, one.high, text, one.kind, units))
    if not one.measured:
        raise refuse("", "give-not-here", example=one.example)
    if not text.strip():
        raise refuse("", "give-alone", example=f"{one.example} ± 1 %")
    figure = _within(one.low, one.high, text, one.kind, units)
    try:
        size = exact_give_or_take(give, one.kind, figure, units)
    except InputError as error:
        raise refuse("", "give-unread", why=str(error)) from error
    if not _declared(one.low, one.kind) <= figure - size <= figure + size <= _declared(one.high, one.kind):
        raise refuse("", "give-too-wide")
    return Measured(float(figure), float(size))


def _within(low: str, high: str, text: str, kind: Kind, units: Units) -> Fraction:
    """The quantity in `text`, which has to lie between two others."""
    figure = exact(text, kind, units)
    for code, limit, outside in (
        ("too-low", low, figure < _declared(low, kind)),
        ("too-high", high, figure > _declared(high, kind)),
    ):
        if outside:
            raise refuse("", code, shown=text.strip(), limit=_limit(limit, kind, units))
    return figure


@functools.cache
def _declared(text: str, kind: Kind) -> Fraction:
    """A quantity as a declaration has it; there are only so many."""
    return exact(text, kind)


def _limit(text: str, kind: Kind, units: Units) -> str:
    """A bound as it is declared, and in the reader's unit where that is another."""
    unit = units.unit(kind)
    if unit is None or text.endswith(unit.name):
        return text
    return f"{show(float(exact(text, kind)), kind, units)} ({text})"


def read_rows(rows: Rows, value: Any, units: Units) -> tuple[Any, ...]:
    """A tuple of rows, each of the declared type. Raises `InputError` (fields `[1].name`, rows from 1)."""
    example = dict(rows.example[0])
    if not isinstance(value, (list, tuple)):
        raise refuse("", "not-rows", example=example)
    if not rows.least <= len(value) <= rows.most:
        raise refuse("", "row-count", count=len(value), least=rows.least, most=rows.most)
    problems: list[Problem] = []
    read: dict[int, Any] = {}
    for number, row in enumerate(value, start=1):
        try:
            read[number] = _read_row(rows, row, units)
        except InputError as error:
            problems += [p.at(f"[{number}]{p.field}") for p in error.problems]
    problems += _repeated_names(rows, read)
    if problems:
        raise InputError(problems)
    return tuple(read.values())


def _read_row(rows: Rows, row: Any, units: Units) -> Any:
    if not isinstance(row, Mapping):
        raise refuse("", "not-a-row", example=dict(rows.example[0]))
    optional = row_optional(rows)
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for column in rows.columns:
        value = row.get(column.name)
        if value is None:
            value = column.default or None
        try:
            if value is not None:
                values[column.name] = read_field(column, value, units)
            elif column.name in optional:
                values[column.name] = None
            else:
                raise refuse("", "required", example=column.example)
        except InputError as error:
            problems += [p.at(f".{column.name}") for p in error.problems]
    problems += _unknown(row, [c.name for c in rows.columns], ".")
    if problems:
        raise InputError(problems)
    return rows.row(**values)


def _repeated_names(rows: Rows, read: Mapping[int, Any]) -> list[Problem]:
    problems = []
    for column in rows.columns:
        if isinstance(column, Name):
            seen: set[str] = set()
            for number, row in read.items():
                name = getattr(row, column.name)
                if name in seen:
                    problems.append(problem(f"[{number}].{column.name}", "same-name", text=name))
                seen.add(name)
    return problems


def _misplaced(
    calculator: Calculator, values: Mapping[str, Any], present: set[str], wrong: set[str]
) -> list[Problem]:
    """What is given without a place, lacks where it has one, or does not fit; never twice of one field."""
    together = calculator.together(values) if calculator.together else []
    found = {fault.field: fault for fault in together if fault.field not in wrong}
    for one in calculator.inputs:
        if isinstance(one, (Input, Choice)) and one.name not in wrong:
            settled = {choice: values[choice] for choice in one.only_with if choice not in {*wrong, *found}}
            if fault := _without_place(one, settled, one.name in present and values[one.name] != one.default):
                found[one.name] = fault
    order = [one.name for one in calculator.inputs]
    return sorted(found.values(), key=lambda fault: order.index(fault.field))


def _without_place(one: Input | Choice, chosen: Mapping[str, str], given: bool) -> Problem | None:
    """Whether a field is given in vain, or lacks; `chosen` are the choices it goes with that are right."""
    for choice, value in chosen.items():
        if value not in one.only_with[choice]:
            return problem(one.name, "not-used", other=choice, value=value) if given else None
    if given or isinstance(one, Choice) or not one.needed or not chosen:
        return None
    other, value = ", ".join(chosen), ", ".join(chosen.values())
    return problem(one.name, "needed-with", other=other, value=value, example=one.example)


def _unknown(given: Mapping[str, Any], names: list[str], prefix: str = "") -> list[Problem]:
    problems = [problem(prefix + name, "twice") for name in given.get(REPEATED, ())]
    for name in given:
        if name in names or name == REPEATED:
            continue
        if meant := nearest(name, names):
            problems.append(problem(prefix + name, "misspelt-field", meant=meant))
        else:
            problems.append(problem(prefix + name, "unknown-field", fields=listed(names, "and")))
    return problems


def _group_problems(calculator: Calculator, present: set[str]) -> list[Problem]:
    """Whether the right number of a group was given; the words name its fields by their titles."""
    problems: list[Problem] = []
    if group := calculator.all_but_one:
        titles = listed([calculator.input(name).title.lower() for name in group], "and")
        missing = [name for name in group if name not in present]
        if not missing:
            problems.append(problem("", "none-left-out", group=titles))
        elif len(missing) > 1:
            problems += [
                problem(name, "two-left-out", group=titles, example=_example(calculator.input(name)))
                for name in missing
            ]
    if group := calculator.one_of:
        titles = listed([calculator.input(name).title.lower() for name in group])
        chosen = [name for name in group if name in present]
        if not chosen:
            problems += [problem(name, "one-of", group=titles) for name in group]
        elif len(chosen) > 1:
            problems += [problem(name, "only-one-of", group=titles) for name in chosen]
    return problems


def _example(one: Field | Rows) -> str:
    return str([dict(row) for row in one.example]) if isinstance(one, Rows) else one.example
