"""One entry of the record: what is wrong with it, its one way to be written, and JSON Schema of all."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from calc.by_unit import limit_kind
from calc.errors import InputError, Problem, listed, problem
from calc.number import settle, split_number, to_digits, trimmed
from calc.quantity import exact, parse
from calc.record.fields import Schema, fields_problems, object_schema
from calc.record.kinds import COMMON, KINDS
from calc.units import SHARE

FORMAT = 1
"""Of files of entries; a file of a later one is refused, and not half read."""
EXPECTED = "40 rpm"
ALONE = 2
"""From this level on, a person does the work without being told anything."""
Entry = Mapping[str, Any]


def problems(entry: Any) -> list[Problem]:
    """Everything that is wrong with an entry."""
    if not isinstance(entry, dict):
        return [problem("", "entry-not-named", example='{"kind": "noted", …}')]
    kind = entry.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        return [problem("kind", "entry-not-one", choices=listed(KINDS))]
    given = {name: value for name, value in entry.items() if name != "kind"}
    found = list(fields_problems((*COMMON, *KINDS[kind].fields), given))
    return found or list(_at_odds(kind, entry))


def canonical(entry: Entry) -> str:
    """The one text of an entry: JSON as RFC 8785 writes it, for an entry holds texts alone."""
    return json.dumps(entry, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def schema() -> Schema:
    """JSON Schema, draft 2020-12, of a file of entries."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Yard record",
        "type": "object",
        "properties": {
            "format": {"const": FORMAT},
            "entries": {"type": "array", "items": {"$ref": "#/$defs/entry"}},
        },
        "required": ["format", "entries"],
        "additionalProperties": False,
        "$defs": {
            "entry": {"oneOf": [{"$ref": f"#/$defs/{name}"} for name in KINDS]},
            **{
                name: {
                    "title": kind.title,
                    **object_schema((*COMMON, *kind.fields), {"kind": {"const": name}}),
                }
                for name, kind in KINDS.items()
            },
        },
    }


def verdict(value: str, low: str = "", high: str = "") -> str:
    """Whether a measured value is `within` its limits or `outside`, all three as they are written.

    Compared are the figures to ten digits. Raises `InputError`, of the field `value`, `low` or `high`.
    """
    kind = limit_kind(low or high)

    def read(name: str, text: str) -> float:
        try:
            return settle(parse(text, kind))
        except InputError as error:
            raise InputError(one.at(name) for one in error.problems) from error

    measured = read("value", value)
    below = bool(low) and measured < read("low", low)
    above = bool(high) and measured > read("high", high)
    return "outside" if below or above else "within"


def around(expected: str, within: str) -> tuple[str, str]:
    """The limits that lie so far to either side of what is expected, in its own unit. Raises `InputError`."""
    try:
        kind = limit_kind(expected)
        exact(expected, kind)
        middle, unit = split_number(expected, EXPECTED)
    except InputError as error:
        raise InputError(one.at("expected") for one in error.problems) from error
    off = abs(middle) * exact(within, SHARE)
    low, high = (trimmed(to_digits(limit, 4)) for limit in (middle - off, middle + off))
    return f"{low} {unit}".strip(), f"{high} {unit}".strip()


def _at_odds(kind: str, entry: Entry) -> Iterator[Problem]:
    """Fields that are right each by itself and do not go together."""
    if kind == "measured":
        yield from _measured_at_odds(entry)
    if kind == "watched":
        level, ended = int(entry["level"]), "ended" in entry
        if ended and level >= ALONE:
            yield problem("level", "ended-alone")
        elif level >= ALONE and any(one["seen"] != "seen" for one in entry["seen"]):
            yield problem("level", "not-all-seen")
        for who in ("trainee", "evaluator"):
            if entry[f"{who}_signed"] != entry[who]:
                yield problem(f"{who}_signed", "other-name", name=entry[who])
        if entry["trainee"] == entry["evaluator"]:
            yield problem("evaluator", "own-evaluator")
        if entry.get("next", "9") <= entry["date"]:
            yield problem("next", "refresher-before")


def _measured_at_odds(entry: Entry) -> Iterator[Problem]:
    low, high = entry.get("low", ""), entry.get("high", "")
    if not low and not high:
        yield problem("low", "no-limit")
        return
    try:
        found = verdict(entry["value"], low, high)
    except InputError as error:
        yield from error.problems
        return
    if found != entry["verdict"]:
        yield problem("verdict", "wrong-verdict", verdict=found)
    if found == "outside" and "action" not in entry:
        yield problem("action", "action-needed")
