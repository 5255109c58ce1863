"""A calculator as HTML: its form, its worked example answered at build time, and where it comes from."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calc.declare import Calculator, Field, Input, Rows, catalogue, row_optional
from calc.reply import compact
from handbook.answers import answered
from handbook.onward import ways_on
from handbook.reference import PLACE, sources_of
from handbook.templating import template


def calculator_html(
    calculator: Calculator, preset: Mapping[str, Any], sheet: str, prefix: str, link: Callable[[str], str]
) -> str:
    """The whole block; `preset` fills fields, from the machine `sheet` if any; `prefix` begins its ids.

    `link` gives the way from this page to an address below the site.
    """
    example = calculator.example
    ways = ways_on(calculator, catalogue())
    return template("calculator.html").render(
        calculator=calculator,
        parts=_parts(calculator, preset),
        preset=preset,
        sheet=sheet,
        prefix=prefix,
        label_end="".join(f", {number}" for number in re.findall("[0-9]+", prefix)),  # of several alike
        outputs_json=compact(
            [
                {"name": o.name, "title": o.title, "main": o.main, "absent": o.absent}
                for o in calculator.outputs
            ]
        ),
        example_json=compact(example),
        example_given=[(calculator.input(name).title, _shown(value)) for name, value in example.items()],
        replies=answered(calculator.id, example).replies(),
        ways=[{**way, "href": link(f"calculators/{way['id']}.html")} for way in ways],
        ways_json=compact(ways),
        takes_give=any(getattr(one, "measured", False) for one in _single_fields(calculator)),
        sources=sources_of(calculator),
        reference=link(f"{PLACE}/{calculator.id}.html"),
        command=_command(calculator),
    )


@dataclass(frozen=True)
class Part:
    """A part of a form: `fields` alone, a `group` of which not all are filled, `rows`, or `settings`."""

    kind: str
    title: str = ""
    fields: list[Field] = field(default_factory=list)
    rows: Rows | None = None
    optional: frozenset[str] = frozenset()
    filled: Sequence[Mapping[str, str]] = ()


def _parts(calculator: Calculator, preset: Mapping[str, Any]) -> list[Part]:
    """The form's fields in their order, settings last."""
    parts: list[Part] = []
    settings = Part("settings", "Settings")
    for one in calculator.inputs:
        if isinstance(one, Rows):
            parts.append(
                Part("rows", one.title, rows=one, optional=row_optional(one), filled=_filled(one, preset))
            )
        elif isinstance(one, Input) and one.default:
            settings.fields.append(one)
        else:
            kind, title = _group(calculator, one.name)
            if not parts or (parts[-1].kind, parts[-1].title) != (kind, title):
                parts.append(Part(kind, title))
            parts[-1].fields.append(one)
    return [*parts, settings] if settings.fields else parts


def _group(calculator: Calculator, name: str) -> tuple[str, str]:
    """Whether an input belongs to a group, and what the group asks."""
    if name in calculator.all_but_one:
        return "group", "Leave one of these empty: it is worked out"
    if name in calculator.one_of:
        return "group", "Fill in one of these"
    return "fields", ""


def _filled(rows: Rows, preset: Mapping[str, Any]) -> list[Mapping[str, str]]:
    """The rows a form opens with: those of the sheet, else as many empty ones as the example has."""
    given = preset.get(rows.name)
    return list(given) if given else [{} for _ in rows.example]


def _single_fields(calculator: Calculator) -> list[Field]:
    """Every field of the form, those of rows too."""
    return [
        single for one in calculator.inputs for single in (one.columns if isinstance(one, Rows) else [one])
    ]


def _shown(value: Any) -> str:
    """What was given in the example, for reading."""
    if isinstance(value, str):
        return value
    return "; ".join(
        ", ".join(f"{name.replace('_', ' ')} {text}" for name, text in row.items()) for row in value
    )


def _command(calculator: Calculator) -> str:
    words = ["python", "-m", "calc", calculator.id]
    for name, value in calculator.example.items():
        words.append(f"{name}={value if isinstance(value, str) else compact(value)}")
    return shlex.join(words)
