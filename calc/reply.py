"""A request in JSON text, its reply in JSON text: what the command line and the engine in the page speak.

A request is `{"calculator": id, "given": {name: text, …}, "units": "metric"}`. A reply is one line, its
keys in declared order: what was used, results, tables, charts and notes, or every problem found.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from calc.declare import Calculator, Choice, Column, Found, Input, Rows, Say, Value, Words, catalogue
from calc.errors import InputError, Problem, listed, nearest, problem, refuse
from calc.number import settle
from calc.quantity import Amount, Units, show, show_size
from calc.reading import REPEATED, NumberText, read_given
from calc.uncertainty import Carried, Measured, carry
from calc.uncertainty_words import give_or_take_notes
from calc.units import Kind

SCHEMA = 1
NONE_ELSE: Mapping[str, Callable[[Any], dict[str, Any]]] = {}
REQUEST_EXAMPLE = '{"calculator": "rate", "given": {"width": "12 m"}, "units": "metric"}'


def answer(request: str) -> str:
    """The reply to a request, both JSON text. Never raises."""
    return compact(respond(request))


def respond(request: str, also: Mapping[str, Callable[[Any], dict[str, Any]]] = NONE_ELSE) -> dict[str, Any]:
    """The reply to a request in JSON text, as a dict; `also` answers requests of other kinds, by name."""
    name = ""
    try:
        asked = read_json(request)
        if not isinstance(asked, Mapping):
            raise refuse("", "not-an-object", example=REQUEST_EXAMPLE)
        for kind, responds in also.items():
            if kind in asked:
                return responds(asked)
        if not isinstance(asked.get("calculator"), str):
            raise refuse("", "not-an-object", example=REQUEST_EXAMPLE)
        name = asked["calculator"]
        return reply(name, asked.get("given", {}), asked.get("units", "metric"))
    except InputError as error:
        return failure(name, error.problems)
    except Exception:  # whatever it is, a reader gets words and never a traceback
        return failure(name, [problem("", "our-fault")])


def reply(name: str, given: Any, units_text: str) -> dict[str, Any]:
    """The reply of calculator `name` to `given`. Raises `InputError`."""
    calculator = calculator_named(name)
    units = Units.read(str(units_text))
    if not isinstance(given, Mapping):
        raise refuse("", "not-an-object", example=REQUEST_EXAMPLE)
    try:
        values = read_given(calculator, given, units)
        found = calculator.function(**values)
        carried = carry(calculator.function, values, found)
    except InputError as error:
        raise error.in_units(units) from error
    return success(calculator, values, found, units, carried)


def calculator_named(name: str) -> Calculator:
    """The calculator with this id. Raises `InputError` with the id that was probably meant."""
    known = catalogue()
    if name in known:
        return known[name]
    if meant := nearest(name, known):
        raise refuse("", "misspelt-calculator", text=name, meant=meant)
    raise refuse("", "unknown-calculator", text=name, ids=listed(known, "and"))


def failure(name: str, problems: Sequence[Problem]) -> dict[str, Any]:
    """The reply that says what is wrong."""
    errors = [{"field": p.field, "code": p.code, "problem": p.text} for p in problems]
    return {"ok": False, "schema": SCHEMA, "calculator": name, "errors": errors}


def success(
    calculator: Calculator,
    values: Mapping[str, Any],
    found: Found,
    units: Units,
    carried: Carried | None = None,
) -> dict[str, Any]:
    """The reply that holds the answer; every figure is settled to ten digits and shown for the reader."""
    declared = {note.code: note for note in calculator.notes}
    notes = [(declared[said.code], said.parts) for said in found.notes]
    outputs = [o for o in calculator.outputs if o.name in found.values]
    results = {o.name: _cell(found.values[o.name], o.kind, o.says, units) for o in outputs}
    if carried:
        notes += give_or_take_notes(calculator, carried)
        for one in outputs:
            if one.kind and one.name in carried.parts:
                results[one.name]["give_or_take"] = _size(carried.half_width(one.name), one.kind, units)
    return {
        "ok": True,
        "schema": SCHEMA,
        "calculator": calculator.id,
        "units": str(units),
        "used": {
            i.name: _used(i, values[i.name], units) for i in calculator.inputs if values[i.name] is not None
        },
        "results": results,
        "tables": [
            _table(table.id, table.title, table.columns, found, units)
            for table in calculator.tables
            if table.id in found.tables
        ],
        "charts": _charts(calculator, values, found, units),
        "notes": [
            {"level": n.level, "code": n.code, "text": n.says.fill(parts, units)} for n, parts in notes
        ],
    }


def _figure(value: float, kind: Kind, units: Units) -> dict[str, Any]:
    if not math.isfinite(value):
        raise ArithmeticError(f"a {kind.id} is not finite")
    whole = isinstance(value, int)
    return {"si": value if whole else settle(value), "shown": show(value, kind, units)}


def _size(half_width: float | None, kind: Kind, units: Units) -> dict[str, Any] | None:
    """A give or take, to four digits: nobody knows one better. None where it cannot be told."""
    if half_width is None:
        return None
    return {"si": settle(half_width, 4), "shown": show_size(half_width, kind, units)}


def _cell(value: Value, kind: Kind | None, says: Mapping[str, Words], units: Units) -> Any:
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, Say):
        return says[value.code].fill(value.parts, units)
    if kind is None:
        raise TypeError("a figure needs a kind")
    return _figure(value, kind, units)


def _used(one: Any, value: Any, units: Units) -> Any:
    if isinstance(one, Rows):
        return [
            {c.name: _used(c, v, units) for c, v in zip(one.columns, row, strict=True) if v is not None}
            for row in value
        ]
    if isinstance(value, Amount):
        return _figure(value.value, value.kind, units)
    if isinstance(value, Measured) and isinstance(one, Input):
        give_or_take = _size(value.give_or_take, one.kind, units)
        return {**_figure(value, one.kind, units), "give_or_take": give_or_take}
    if isinstance(one, Input):
        return _figure(value, one.kind, units)
    return one.options[value] if isinstance(one, Choice) else value


def _table(id: str, title: str, columns: Sequence[Column], found: Found, units: Units) -> dict[str, Any]:
    heads: list[tuple[str, str, Column]] = []
    for column in columns:
        if column.across is None:
            heads.append((column.id, column.title, column))
        else:
            for number, value in enumerate(found.across[id], start=1):
                heads.append((f"{column.id}_{number}", show(value, column.across, units), column))
    rows = [
        [_cell(cell, c.kind, c.says, units) for cell, (_, _, c) in zip(row, heads, strict=True)]
        for row in found.rows(id, units)
    ]
    return {"id": id, "title": title, "columns": [{"id": i, "title": t} for i, t, _ in heads], "rows": rows}


def _charts(
    calculator: Calculator, values: Mapping[str, Any], found: Found, units: Units
) -> list[dict[str, str]]:
    charts = []
    for one in calculator.charts:
        picture = one.draw(values, found, units)
        if picture is not None:
            description = one.says.fill(picture.parts, units)
            svg = picture.svg(one.title, description)
            charts.append({"id": one.id, "title": one.title, "description": description, "svg": svg})
    return charts


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A JSON object that remembers which names stood in it more than once."""
    names = [name for name, _ in pairs]
    repeated = sorted({name for name in names if names.count(name) > 1})
    made = dict(pairs)
    if repeated:
        made[REPEATED] = repeated
    return made


def read_json(text: str) -> Any:
    """JSON text as values in which every bare number keeps its written form. Raises `InputError`."""
    try:
        return json.loads(
            text,
            parse_int=NumberText,
            parse_float=NumberText,
            parse_constant=NumberText,
            object_pairs_hook=_pairs,
        )
    except (ValueError, RecursionError) as error:
        raise refuse("", "not-json", why=str(error)) from error


def compact(value: Any) -> str:
    """JSON on one line, as the contract wants it; half a surrogate pair stays the escape it came as."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def warm_up() -> None:
    """Import every calculator and run each once, so that a snapshot taken afterwards starts ready."""
    for calculator in catalogue().values():
        answer(compact({"calculator": calculator.id, "given": calculator.example, "units": "us"}))
