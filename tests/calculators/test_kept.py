"""Declarations and whole replies, kept against change: each sentence, table and picture of every case.

Nothing outside stands behind these, unlike the printed figures of the cases. What differs is to be
looked at, its pictures too; if it is meant, keep it with FURROWBOOK_KEEP=1 and read what has changed.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import sys
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from calc.__main__ import main
from calc.declare import Calculator, Field, Found, Input, Rows, catalogue, row_optional
from calc.reply import compact, respond
from calc.units import Kind

KEPT = Path("tests/calculators/kept.json")
PARTS = ("results", "tables", "charts", "notes")
UNITS = ("metric", "us")


def replies(calculator: Calculator) -> dict[str, dict[str, str]]:
    """For each case and choice of units, a short digest of each part of the reply."""
    return {
        f"{case.title}, {units}": {part: _digest(made[part]) for part in PARTS if made.get(part)}
        for case in calculator.cases
        for units in UNITS
        for made in [respond(compact({"calculator": calculator.id, "given": case.given, "units": units}))]
    }


def declared(calculator: Calculator) -> dict[str, str]:
    """A short digest of each thing that is declared, but for the cases, which speak for themselves."""
    return {
        one.name: _digest(_plain(getattr(calculator, one.name)))
        for one in fields(calculator)
        if one.name != "cases"
    }


def _plain(value: Any) -> Any:
    """A declaration as JSON can hold it: of a function, a type and a kind of figure its name."""
    if isinstance(value, Kind):
        return value.id
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Mapping):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value.__qualname__ if callable(value) else value


def _digest(part: Any) -> str:
    return hashlib.sha256(compact(part).encode()).hexdigest()[:12]


def printed(calculator: Calculator) -> dict[str, str]:
    """A short digest of what the command line says of a calculator, and of what it answers to each case."""
    asked = {"": [calculator.id], **{f", {one}": [calculator.id, "--units", one] for one in UNITS}}
    return {
        f"{case.title}{end}": _digest(_said([*words, "--given", "-"] if end else words, case.given))
        for case in calculator.cases
        for end, words in asked.items()
    }


def _said(words: list[str], given: Mapping[str, Any]) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(words, io.StringIO(json.dumps(given))) == 0
    return out.getvalue()


@pytest.mark.parametrize("calculator", catalogue().values(), ids=lambda one: one.id)
def test_declaration_and_replies_are_as_they_were(calculator: Calculator, root: Path) -> None:
    path = root / KEPT
    kept = json.loads(path.read_text(encoding="utf-8"))
    made = {"declared": declared(calculator), "printed": printed(calculator), **replies(calculator)}
    if os.environ.get("FURROWBOOK_KEEP"):
        kept[calculator.id] = made
        text = json.dumps(dict(sorted(kept.items())), ensure_ascii=False, indent=1, sort_keys=True)
        path.write_text(text + "\n", encoding="utf-8")
    assert _lines(made) == _lines(kept[calculator.id]), "look at these; if they are meant, keep them"


def _lines(kept: Mapping[str, Mapping[str, str]]) -> set[str]:
    return {f"{case}: {part} {digest}" for case, parts in kept.items() for part, digest in parts.items()}


def test_nothing_is_kept_of_what_is_gone(root: Path) -> None:
    assert sorted(json.loads((root / KEPT).read_text(encoding="utf-8"))) == sorted(catalogue())


def test_the_catalogue_for_other_programs_holds_what_is_declared() -> None:
    told = {one["id"]: one for one in json.loads(_said(["--json"], {}))["calculators"]}
    assert sorted(told) == sorted(catalogue())
    for calculator in catalogue().values():
        made = told[calculator.id]
        assert [one["name"] for one in made["outputs"]] == [one.name for one in calculator.outputs]
        for one, said in zip(calculator.inputs, made["inputs"], strict=True):
            _holds(one, said, one.name in calculator.optional or bool(one.default))


def _holds(one: Field | Rows, said: Mapping[str, Any], optional: bool) -> None:
    assert (said["name"], said["title"], said["optional"]) == (one.name, one.title, optional)
    if isinstance(one, Rows):
        assert (said["least"], said["most"]) == (one.least, one.most)
        free = row_optional(one)
        for column, told in zip(one.columns, said["columns"], strict=True):
            _holds(column, told, column.name in free or bool(column.default))
        return
    assert (said["example"], said["default"], said["hint"]) == (one.example, one.default or None, one.hint)
    if isinstance(one, Input):
        assert (said["kind"], said["low"], said["high"]) == (one.kind.id, one.low, one.high)


def test_what_is_declared_and_found_cannot_be_changed_afterwards() -> None:
    """A page keeps Python from answer to answer: what one of them changed would be in the next."""
    found = {
        one
        for name in [module for module in sys.modules if module.split(".")[0] == "calc"]
        for one in vars(sys.modules[name]).values()
        if isinstance(one, type) and is_dataclass(one) and one.__module__.startswith("calc.")
    }
    assert len(found) > 20
    assert [one.__qualname__ for one in found if not one.__dataclass_params__.frozen] == []  # type: ignore[attr-defined]
    empty = Found({})
    assert (list(empty.notes), dict(empty.tables), dict(empty.across)) == ([], {}, {})
