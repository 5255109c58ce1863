"""YAML files checked by a typed schema: what is read, or every problem in it with its line, in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, Generic, TypeVar, get_args

import yaml
from pydantic import BaseModel, ConfigDict, StringConstraints, ValidationError

from calc.errors import nearest
from handbook.plain_yaml import Unreadable, composed
from handbook.problems import NOT_UTF8, Problem

FORMAT = 1
Place = tuple[str | int, ...]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
_NO_LIST = "is a list; begin each of its lines with “- ”"
WRONG_KIND = {  # the schema's names of what stands in the place of something else
    "string_type": "is one text; write it behind the colon",
    "string_too_short": "says nothing; write something behind the colon",
    "list_type": _NO_LIST,
    "tuple_type": _NO_LIST,
    "frozen_set_type": _NO_LIST,
    "model_type": "holds named values; write each as “name: value”",
    "too_short": "is an empty list; write at least one",
}


class Part(BaseModel):
    """A part of a file: nothing may stand in it that is not known."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


Whole = TypeVar("Whole", bound=Part)


@dataclass
class Typed(Generic[Whole]):
    """A file as it was read: its value if the schema takes it, its plain values, and its problems."""

    path: str
    what: str
    """What such a file is called, which is also the id of the rule that its problems break."""
    text: str = ""
    value: Whole | None = None
    data: Any = None
    lines: dict[Place, int] = field(default_factory=dict)
    """The line of each place, from 1."""
    problems: list[Problem] = field(default_factory=list)

    def problem(self, line: int, said: str, rule: str = "") -> None:
        """Note a problem."""
        self.problems.append(Problem(self.path, line, said, rule or self.what))

    def line(self, at: Place) -> int:
        """The line of a place, or of the nearest part around it that is written."""
        return next(self.lines[at[:n]] for n in range(len(at), -1, -1) if at[:n] in self.lines)

    def plain(self, node: yaml.Node | None, at: Place = ()) -> Any:
        """YAML as text, lists and mappings, every figure as written, with the line of each place."""
        if node is None:
            return None
        self.lines.setdefault(at, node.start_mark.line + 1)
        if isinstance(node, yaml.MappingNode):
            made: dict[str, Any] = {}
            for key, value in node.value:
                if key.value in made:
                    self.problem(key.start_mark.line + 1, f"{key.value} stands twice; keep one")
                self.lines[(*at, key.value)] = key.start_mark.line + 1
                made[key.value] = self.plain(value, (*at, key.value))
            return made
        if isinstance(node, yaml.SequenceNode):
            return [self.plain(value, (*at, i)) for i, value in enumerate(node.value)]
        return node.value


def read_typed(path: Path, shown_as: str, schema: type[Whole], what: str) -> Typed[Whole]:
    """Read a file whose first line says its format."""
    read = Typed[Whole](shown_as, what)
    try:
        read.text = path.read_text(encoding="utf-8-sig")
        root = composed(read.text)
    except UnicodeDecodeError:
        read.problem(1, NOT_UTF8, "utf-8")
        return read
    except Unreadable as error:
        read.problem(error.line + 1, f"this is not readable as YAML: {error}")
        return read
    read.data = read.plain(root)
    found = read.data.get("format", "nothing") if isinstance(read.data, Mapping) else "nothing"
    if found != str(FORMAT):
        said = f"the format of this {what} is {found}; this book reads “format: {FORMAT}”, on the first line"
        read.problem(read.lines.get(("format",), 1), said)
        return read
    try:
        read.value = schema.model_validate(read.data)
    except ValidationError as error:
        for fault in error.errors():
            at = tuple(fault["loc"])
            if not _is_long_enough(fault):
                read.problem(read.line(at), f"{named(at)}: {_said(fault, schema, what)}")
    return read


def named(at: Place) -> str:
    """A place as people say it: the third tank's rate is “tanks.3.rate”."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in at)


def _is_long_enough(fault: Any) -> bool:
    """Whether a list is called too short only because items with faults of their own were not counted."""
    return fault["type"] == "too_short" and len(fault["input"]) >= int(fault["ctx"]["min_length"])


def _said(fault: Any, schema: type[Part], what: str) -> str:
    """One fault of the schema, in words."""
    kind, at = fault["type"], fault["loc"]
    if kind == "missing":
        return "is missing; add it"
    if kind == "extra_forbidden":
        meant = nearest(str(at[-1]), _known(schema, at[:-1]))
        return f"is not known in a {what}; " + (f"did you mean “{meant}”?" if meant else "take it out")
    if kind == "literal_error":
        return f"is {fault['input']!r}; write {fault['ctx']['expected']}"
    if kind == "value_error":
        return str(fault["ctx"]["error"])
    return WRONG_KIND.get(kind, f"is not right: {fault['msg'].lower()}")


def _known(schema: type[Part], at: Place) -> list[str]:
    """The names that may stand at a place."""
    for step in at:
        if isinstance(step, str) and step in schema.model_fields:  # others are names that a trainer gives
            schema = _part(schema.model_fields[step].annotation) or schema
    return list(schema.model_fields)


def _part(kind: Any) -> type[Part] | None:
    """The part that a field holds, or holds a list of."""
    if isinstance(kind, type) and issubclass(kind, Part):
        return kind
    return next((found for one in get_args(kind) if (found := _part(one))), None)
