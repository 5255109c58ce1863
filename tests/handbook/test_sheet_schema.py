"""What editors and people are told of machine sheets: the schema takes what the book takes, and refuses what
it refuses for how it is built. What figures mean, only the book knows.

Source: JSON Schema draft 2020-12, as the library jsonschema reads it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from handbook.machines.schema import FILE, sheet_page, sheet_schema

SCHEMA = json.loads(sheet_schema())


class PlainLoader(yaml.SafeLoader):
    """YAML 1.2 as editors read it: yes and no are words."""


PlainLoader.yaml_implicit_resolvers = {
    sign: [(tag, pattern) for tag, pattern in found if tag != "tag:yaml.org,2002:bool"]
    for sign, found in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def faults(sheet: Any) -> list[str]:
    """Where the schema finds something wrong."""
    return [one.json_path for one in Draft202012Validator(SCHEMA).iter_errors(sheet)]


def test_it_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def test_the_file_for_editors_is_the_one_that_is_made(root: Path) -> None:
    """Made anew by: python3 scripts/check.py --schema."""
    assert (root / "docs" / FILE).read_text("utf-8") == sheet_schema()


@pytest.mark.parametrize("loader", [PlainLoader, yaml.SafeLoader], ids=["YAML 1.2", "YAML 1.1"])
def test_the_books_own_sheets_are_taken(root: Path, loader: type[yaml.SafeLoader]) -> None:
    paths = sorted((root / "docs" / "machines").glob("*.yml"))
    assert len(paths) >= 3
    for path in paths:
        assert faults(yaml.load(path.read_text("utf-8"), Loader=loader)) == [], path.name


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("width: 40 ft", "width: 40", "$.width"),
        ("width: 40 ft", "widht: 40 ft", "$"),
        ("units: us", "units: american", "$.units"),
        ("format: 1", "format: 2", "$.format"),
        ("body: box", "body: boxx", "$.tanks[0].shape.body"),
        ("set: 5 lb/ac", "sett: 5 lb/ac", "$.tanks[1].rate"),
        ("ways: [on the screen, by the switch]", "ways: []", "$.controls[0].ways"),
        ("runs: 48", "runs: 48.5", "$.runs"),
    ],
)
def test_what_is_built_wrongly_is_refused_where_it_stands(
    sheet_text: str, old: str, new: str, where: str
) -> None:
    assert faults(yaml.safe_load(sheet_text)) == []
    assert where in faults(yaml.safe_load(sheet_text.replace(old, new)))


def test_every_name_of_a_sheet_is_explained() -> None:
    page = sheet_page()
    told = [SCHEMA, *SCHEMA["$defs"].values()]
    for part in told:
        assert part["description"].strip().endswith(".")
        for name, field in part["properties"].items():
            assert f"| `{name}` |" in page
            own = field.get("description", "")
            assert own.endswith(".") or "$ref" in json.dumps(field), name
    assert page.count("\n## ") == len(told)
