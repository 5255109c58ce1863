"""A page for each calculator that says all about it, made from its declaration alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from calc.agreement import agreements
from calc.declare import Calculator, Choice, Input, Rows, Source
from calc.units import Kind
from handbook.console import Stop
from handbook.templating import template

PLACE = "reference/calculators"
OF_OTHERS = ("read", "from memory")  # bases of what someone else has printed


def reference_page(calculator: Calculator) -> str:
    """The page, as Markdown. Raises `Stop` where a printed figure and ours no longer agree."""
    checked = [(case, list(agreements(calculator, case))) for case in calculator.cases if case.printed]
    for case, figures in checked:
        for one in figures:
            if not one.holds:
                raise Stop(
                    f"{calculator.id}, “{case.title}”: {one.title} is printed as {one.printed}, "
                    f"and works out at {one.finer}."
                )
    return template("reference.md").render(
        calculator=calculator,
        fields=_fields(calculator),
        units_of=units_of,
        checked=checked,
        of_others=any(case.source.basis in OF_OTHERS for case, _ in checked),
        sources=sources_of(calculator),
    )


def sources_of(calculator: Calculator) -> list[Source]:
    """Every source of a calculator and of its cases, once."""
    return list(dict.fromkeys([*calculator.sources, *(case.source for case in calculator.cases)]))


def units_of(kind: Kind | None) -> str:
    """The units a figure of this kind may be written in."""
    if kind is None:
        return "words"
    return ", ".join(unit.name for unit in kind.units) or "a bare number"


def _fields(calculator: Calculator) -> Sequence[dict[str, Any]]:
    """A line for each input, those of rows with the name of their list."""
    alone = [("", "", one) for one in calculator.inputs if not isinstance(one, Rows)]
    in_rows = [
        (f"{rows.name}[].", f"{rows.title}: ", column)
        for rows in calculator.inputs
        if isinstance(rows, Rows)
        for column in rows.columns
    ]
    return [
        {
            "key": key + one.name,
            "title": title + one.title,
            "written": _written(one),
            "usual": getattr(one, "default", ""),
        }
        for key, title, one in [*alone, *in_rows]
    ]


def _written(field: Any) -> str:
    """What may be written in a field."""
    if isinstance(field, Choice):
        return ", ".join(field.options)
    if isinstance(field, Input):
        also = f"; or {field.also.low} to {field.also.high}" if field.also else ""
        give = "; with a give or take" if field.measured else ""
        return f"{field.low} to {field.high}{also}, in {units_of(field.kind)}{give}"
    return "a name"
