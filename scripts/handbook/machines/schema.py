"""What a machine sheet may hold, for editors (JSON Schema) and for people (a page made from it)."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from handbook.machines.sheet import Sheet
from handbook.templating import template

FILE = "machines/sheet.schema.json"
"""Where it stands below `docs`, beside the sheets."""
PAGE = "reference/machine-sheet.md"
Schema = Mapping[str, Any]


def sheet_schema() -> str:
    """JSON Schema, draft 2020-12, of a machine sheet as an editor reads it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **Sheet.model_json_schema(),
        "title": "Machine sheet",
    }
    return json.dumps(schema, ensure_ascii=False, indent=2) + "\n"


class Entry(NamedTuple):
    """A name in a sheet: what is written behind it, whether it must be there, and what it says."""

    name: str
    written: str
    must: bool
    says: str


class PartOfSheet(NamedTuple):
    """A part of a sheet: where it stands, what it is, and its names."""

    place: str
    says: str
    entries: list[Entry]


def sheet_page() -> str:
    """The page about machine sheets, as Markdown."""
    return template("machine-sheet.md").render(
        parts=list(_parts(json.loads(sheet_schema()))),
        example=template("starters/machine.yml").render(title="Trial One", stem="trial-one"),
    )


def _parts(schema: Schema) -> Iterator[PartOfSheet]:
    """The sheet itself and each part of it, in the order in which they are named."""

    def walk(place: str, one: Schema) -> Iterator[PartOfSheet]:
        must = one.get("required", ())
        entries, inner = [], []
        for name, field in one["properties"].items():
            says, listed, part = _field(schema, field)
            entries.append(Entry(name, says, name in must, field.get("description") or _said(schema, part)))
            if part:
                inner.append((f"{place}{name}{'.1' if listed else ''}", part))
        yield PartOfSheet(place.rstrip("."), one["description"], entries)
        for where, part in inner:
            yield from walk(f"{where}.", schema["$defs"][part])

    yield from walk("", schema)


def _said(schema: Schema, part: str) -> str:
    return str(schema["$defs"][part]["description"]) if part else ""


def _field(schema: Schema, field: Schema) -> tuple[str, bool, str]:
    """What is written behind a name, whether as a list, and which part of the sheet that is."""
    ways = [way for way in field.get("anyOf", [field]) if way.get("type") != "null"]
    way = ways[0]
    if "$ref" in way:
        return "named values", False, way["$ref"].rpartition("/")[2]
    if way.get("type") == "array":
        said, _, part = _field(schema, way["items"])
        return f"a list; each: {said}", True, part
    if "enum" in way or "const" in way:
        values = way.get("enum", [way.get("const")])
        return " or ".join(f"`{one}`" for one in values if isinstance(one, str)), False, ""
    if "examples" in way:
        return f"such as `{way['examples'][0]}`", False, ""
    return "a text", False, ""
