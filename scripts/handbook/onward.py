"""Which figures of one calculator's answer go into the form of the next, from their declarations alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.declare import Calculator, Choice, Field, Input, Name, Rows


def ways_on(calculator: Calculator, known: Mapping[str, Calculator]) -> list[dict[str, Any]]:
    """The calculators that readers go on to, each with what fills it in.

    `fields` has, for each field of the next form, where in a reply its figure may stand, the best first:
    `results.NAME` or `used.NAME`. `rows` has the same for the columns of its rows: with `each`, from a like
    row of the `used` ones; without, from the whole answer into one row of the reader's choice.
    """
    ways = []
    for id in calculator.then:
        following = known[id]
        fields = {
            one.name: found
            for one in following.inputs
            if not isinstance(one, Rows) and (found := _places(calculator, one))
        }
        # Of several that exclude each other one is filled: the first that takes this, or else the first.
        rivals = [name for name in following.one_of if name in fields]
        rivals.sort(key=lambda name: not _taken(calculator, following.input(name)))
        for name in rivals[1:]:
            del fields[name]
        lists = [_rows(calculator, one) for one in following.inputs if isinstance(one, Rows)]
        rows = next((one for one in lists if one), None)
        ways.append({"id": id, "title": following.title, "fields": fields, "rows": rows})
    return ways


def _rows(calculator: Calculator, wanted: Rows) -> dict[str, Any] | None:
    """How the rows of the next form are filled."""
    for own in calculator.inputs:
        if isinstance(own, Rows):
            columns = {one.name: found for one in wanted.columns if (found := _columns(calculator, own, one))}
            if columns:
                return {"name": wanted.name, "each": own.name, "columns": columns}
    columns = {column.name: found for column in wanted.columns if (found := _places(calculator, column))}
    return {"name": wanted.name, "each": None, "columns": columns} if columns else None


def _columns(calculator: Calculator, own: Rows, wanted: Field) -> list[str]:
    """The columns of a row of ours that fill a column of the next form's."""
    taken = [one.partition(f"{own.name}.")[2] for one in _taken(calculator, wanted)]
    return [name for name in taken if name] + [one.name for one in own.columns if _alike(one, wanted)]


def _places(calculator: Calculator, wanted: Field) -> list[str]:
    """Where in a reply the figure for a field may stand, the best first."""
    results = {output.name: output.kind for output in calculator.outputs if output.kind}
    taken = _taken(calculator, wanted)
    found = [f"results.{name}" for name in taken if name in results]
    given = {one.name for one in calculator.inputs if not isinstance(one, Rows)}
    found += [f"used.{name}" for name in taken if name in given]
    if isinstance(wanted, Input) and results.get(wanted.name) == wanted.kind:
        found.append(f"results.{wanted.name}")
    found += [
        f"used.{one.name}" for one in calculator.inputs if not isinstance(one, Rows) and _alike(one, wanted)
    ]
    return list(dict.fromkeys(found))


def _taken(calculator: Calculator, wanted: Field | Rows) -> list[str]:
    """What of this calculator a field says that it takes."""
    return [name for one in getattr(wanted, "takes", ()) if (name := one.partition(f"{calculator.id}.")[2])]


def _alike(own: Field, wanted: Field) -> bool:
    """Whether two fields ask for the same thing: a tank's width is not the machine's."""
    if (own.name, own.title) != (wanted.name, wanted.title):
        return False
    if isinstance(own, Input) and isinstance(wanted, Input):
        return own.kind == wanted.kind
    if isinstance(own, Choice) and isinstance(wanted, Choice):
        return dict(own.options) == dict(wanted.options)
    return isinstance(own, Name) and isinstance(wanted, Name)
