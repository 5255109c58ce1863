"""Files of entries, JSON and CSV: read with all that is wrong in them, merged, and written one way only.

A record is a set of entries. Two are one only if all that they hold is the same, so merging loses nothing,
and its order does not matter.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any, NamedTuple

from calc.errors import InputError, Problem, refuse
from calc.record.entry import FORMAT, Entry, canonical, problems
from calc.record.fields import Named, Several
from calc.record.kinds import COMMON, KINDS

MOST_SIGNS = 64_000_000
DEEPEST = 8
FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")
"""What a spreadsheet may take for a formula (OWASP, CSV injection), and the sign that is put before it."""
COLUMNS = tuple(
    dict.fromkeys(
        ["format", "kind", *(one.name for one in COMMON), *(f.name for k in KINDS.values() for f in k.fields)]
    )
)
"""Of a CSV file, in their order."""
NESTED = {f.name for k in KINDS.values() for f in k.fields if isinstance(f, (Named, Several))}
"""Columns whose cells hold JSON."""


BRACKET = re.compile(r"[\[\]{}]")
TEXT = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"', re.DOTALL)
"""A text in JSON, with its quotes."""


@dataclass(frozen=True)
class Refused:
    """An entry of a file that is not taken: its place from 1, and what is wrong with it."""

    place: int
    problems: Sequence[Problem]

    @property
    def said(self) -> str:
        """What is wrong, in one line."""
        return "; ".join(f"{one.field}: {one.text}" if one.field else one.text for one in self.problems)


@dataclass(frozen=True)
class Read:
    """A file that was read: its right entries, each once in the record's order, and what was refused."""

    entries: Sequence[Entry]
    refused: Sequence[Refused]


def read_file(text: str) -> Read:
    """The entries of a file, JSON or CSV. Raises `InputError` where none of it can be read."""
    if len(text) > MOST_SIGNS:
        raise refuse("", "record-too-long", most=f"{MOST_SIGNS // 1_000_000} million")
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise refuse("", "record-empty")
    written = _from_json(text) if text.lstrip()[0] in "{[" else _from_csv(text)
    entries, refused = [], []
    for place, one in enumerate(written, start=1):
        found = one.problems if isinstance(one, _Unread) else problems(one)
        if found:
            refused.append(Refused(place, found))
        else:
            entries.append(one)
    return Read(merged(entries), refused)


def merged(entries: Iterable[Entry]) -> list[Entry]:
    """Each entry once, in the record's order: by time, then by number, then by what it holds."""
    once = {canonical(one): one for one in entries}
    return [
        once[text] for text in sorted(once, key=lambda text: (once[text]["when"], once[text]["id"], text))
    ]


def as_json(entries: Iterable[Entry]) -> str:
    """A file of these entries as JSON, an entry a line."""
    lines = ",\n".join(canonical(one) for one in merged(entries))
    return (
        f'{{"format":{FORMAT},"entries":[\n{lines}\n]}}\n'
        if lines
        else f'{{"format":{FORMAT},"entries":[]}}\n'
    )


def as_csv(entries: Iterable[Entry]) -> str:
    """A file of these entries as CSV (RFC 4180), in which nothing can be taken for a formula."""
    lines: list[str] = []
    writer = csv.writer(SimpleNamespace(write=lines.append))
    writer.writerow(COLUMNS)
    for one in merged(entries):
        row = {"format": str(FORMAT), **one}
        writer.writerow([_cell(row.get(name, "")) for name in COLUMNS])
    return "".join(lines)


def twins(entries: Iterable[Entry]) -> list[str]:
    """Numbers that entries with different content bear: both are kept, and somebody should look at them."""
    seen: dict[str, int] = {}
    for one in merged(entries):
        seen[one["id"]] = seen.get(one["id"], 0) + 1
    return sorted(id for id, count in seen.items() if count > 1)


# --- JSON ---


def _from_json(text: str) -> list[Any]:
    if _depth(text) > DEEPEST:
        raise refuse("", "record-too-deep")
    try:
        read = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise refuse("", "not-json", why=str(error)) from error
    if isinstance(read, Mapping) and isinstance(read.get("format"), int) and read["format"] > FORMAT:
        raise refuse("", "record-newer", format=read["format"], known=FORMAT)
    right = isinstance(read, Mapping) and set(read) == {"format", "entries"} and read["format"] is not True
    if not right or read["format"] != FORMAT or not isinstance(read["entries"], list):
        raise refuse("", "not-a-record")
    return list(read["entries"])


def _depth(text: str) -> int:
    """How deep brackets stand in each other outside of texts, whatever the text is."""
    deep = deepest = 0
    for found in BRACKET.finditer(TEXT.sub("", text)):
        deep += 1 if found[0] in "{[" else -1
        deepest = max(deepest, deep)
    return deepest


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    row = dict(pairs)
    if len(row) < len(pairs):
        raise ValueError("a name stands twice in one entry")
    return row


def _no_constant(word: str) -> Any:
    raise ValueError(f"{word} is no value")


# --- CSV ---


class _Unread(NamedTuple):
    """A row that cannot be an entry."""

    problems: Sequence[Problem]


def _from_csv(text: str) -> list[Any]:
    """The entries of the rows, and what is wrong with rows that cannot be any."""
    try:
        rows = list(csv.reader((f"{line}\n" for line in text.split("\n")), strict=True))
    except csv.Error as error:
        raise refuse("", "not-csv", why=str(error)) from error
    head = [_uncell(one) for one in rows[0]]
    if (
        not {"format", "kind", "id"} <= set(head)
        or len(set(head)) < len(head)
        or not set(head) <= set(COLUMNS)
    ):
        raise refuse("", "not-a-record")
    return [
        _entry(dict(zip(head, map(_uncell, row), strict=False)), len(row) - len(head))
        for row in rows[1:]
        if row
    ]


def _entry(row: dict[str, str], too_many: int) -> Any:
    format = row.pop("format", "")
    if format.isascii() and format.isdecimal() and len(format) < 9 and int(format) > FORMAT:
        return _Unread(refuse("format", "record-newer", format=format, known=FORMAT).problems)
    if too_many or format != str(FORMAT):
        return _Unread(refuse("", "not-a-record").problems)
    entry: dict[str, Any] = {name: text for name, text in row.items() if text}
    for name in NESTED & entry.keys():
        try:
            if _depth(entry[name]) > DEEPEST:
                raise refuse(name, "record-too-deep")
            entry[name] = json.loads(entry[name], object_pairs_hook=_once, parse_constant=_no_constant)
        except InputError as error:
            return _Unread(error.problems)
        except (ValueError, RecursionError) as error:
            return _Unread(refuse(name, "not-json", why=str(error)).problems)
    return entry


def _cell(value: Any) -> str:
    text = value if isinstance(value, str) else canonical(value)
    return f"'{text}" if text.startswith(FORMULA) else text


def _uncell(text: str) -> str:
    return text[1:] if text.startswith("'") and text[1:].startswith(FORMULA) else text
