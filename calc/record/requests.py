"""What a page asks of the record: entries to be checked, files to be read and written, the skills of a team.

A request is `{"record": name, …}`; each function below says what else stands in it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from calc.errors import InputError, listed, refuse
from calc.quantity import Units
from calc.record import history
from calc.record.entry import Entry, around, canonical, problems, verdict
from calc.record.files import as_csv, as_json, read_file, twins
from calc.record.skills import as_reply, skills


def check(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`entry`, a new one as JSON text: the reply holds its one `text`. Raises `InputError`."""
    entry = json.loads(str(asked.get("entry", "null")))
    if found := problems(entry):
        raise InputError(found)
    return {"text": canonical(entry)}


def judge(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`value`, and its limits: `low` or `high` or both, or what is `expected` and `within` how much of it.

    The reply holds the `verdict` and both limits, all as they are written.
    """
    value, low, high = (str(asked.get(name, "")) for name in ("value", "low", "high"))
    if asked.get("within"):
        low, high = around(str(asked.get("expected", "")), str(asked["within"]))
    return {"verdict": verdict(value, low, high), "low": low, "high": high}


def read(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`file`, its text: the reply holds the texts of its right `entries`, and what was `refused` and why."""
    found = read_file(str(asked.get("file", "")))
    return {
        "entries": [canonical(one) for one in found.entries],
        "refused": [{"place": one.place, "said": one.said} for one in found.refused],
    }


def write(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`entries`, their texts, and `as`, json or csv: the reply holds the `file`."""
    made = {"json": as_json, "csv": as_csv}.get(str(asked.get("as")), as_json)
    return {"file": made(_entries(asked))}


def grid(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`entries`, and `today`, like 2027-04-30: the reply holds each piece of `work` and who may do it."""
    entries = _entries(asked)
    return {"work": as_reply(skills(entries, str(asked.get("today", "")))), "twins": twins(entries)}


def over_time(asked: Mapping[str, Any]) -> dict[str, Any]:
    """`entries`, the name of a `machine`, and `units`: the reply holds the `series` found on it."""
    units = Units.read(str(asked.get("units", "metric")))
    return {
        "series": history.as_reply(history.history(_entries(asked), str(asked.get("machine", ""))), units)
    }


ASKED: dict[str, Callable[[Mapping[str, Any]], dict[str, Any]]] = {
    "check": check,
    "judge": judge,
    "read": read,
    "write": write,
    "skills": grid,
    "history": over_time,
}


def respond(asked: Mapping[str, Any]) -> dict[str, Any]:
    """The reply to a request. Raises `InputError`."""
    name = asked["record"]
    if not isinstance(name, str) or name not in ASKED:
        raise refuse("record", "unknown-request", text=str(name)[:60], names=listed(ASKED))
    return {"ok": True, **ASKED[name](asked)}


def _entries(asked: Mapping[str, Any]) -> list[Entry]:
    """The entries that a device has kept; only right ones were ever kept."""
    return [json.loads(str(text)) for text in asked.get("entries", ())]
