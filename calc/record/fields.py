"""What a field of an entry may hold, and how to say what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calc.errors import Problem, listed, problem

# Signs that are not seen, or that turn the reading order of what stands around them.
UNSEEN = r"\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff"
DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
Schema = dict[str, Any]


@dataclass(frozen=True)
class Field:
    """One field: its name in the file, its title for readers, an example, and what fits it."""

    name: str
    title: str
    example: str
    needed: bool = False

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """What is wrong with the value, said of this place."""
        raise NotImplementedError

    def schema(self) -> Schema:
        """JSON Schema of its values."""
        raise NotImplementedError


@dataclass(frozen=True)
class Text(Field):
    """Words: one line of them, or several; never empty, and without signs that cannot be seen."""

    most: int = 200
    lines: bool = False

    @property
    def pattern(self) -> str:
        """What its signs are, as a regular expression that begins and ends with the text."""
        unseen = UNSEEN if self.lines else UNSEEN + r"\t\n"
        return rf"^[^{unseen}]*[^{unseen}\s][^{unseen}]*$"

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """Its length, then its signs."""
        if not isinstance(value, str):
            yield problem(place, "entry-not-text", example=self.example)
        elif not 1 <= len(value) <= self.most:
            yield problem(place, "entry-length", most=self.most, length=len(value))
        elif not re.fullmatch(self.pattern[1:-1], value):
            yield problem(place, "entry-signs", example=self.example)

    def schema(self) -> Schema:
        """A text with its length and its signs."""
        return {"type": "string", "minLength": 1, "maxLength": self.most, "pattern": self.pattern}


@dataclass(frozen=True)
class Written(Field):
    """A text of one form, which a regular expression describes."""

    form: str = ""
    most: int = 60

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """Whether it has the form."""
        if not isinstance(value, str):
            yield problem(place, "entry-not-text", example=self.example)
        elif len(value) > self.most or not re.fullmatch(self.form, value, re.ASCII):
            yield problem(place, "entry-form", example=self.example)

    def schema(self) -> Schema:
        """A text with its pattern."""
        return {"type": "string", "maxLength": self.most, "pattern": f"^(?:{self.form})$"}


@dataclass(frozen=True)
class Day(Field):
    """A day of the calendar, as ISO 8601 writes it, alone or with a time in UTC to the millisecond."""

    time: bool = False

    @property
    def form(self) -> str:
        """How it is written."""
        day = r"[12][0-9]{3}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])"
        return day + (r"T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]\.[0-9]{3}Z" if self.time else "")

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """Whether there is such a day."""
        if not isinstance(value, str):
            yield problem(place, "entry-not-text", example=self.example)
        elif not re.fullmatch(self.form, value, re.ASCII) or not is_day(value[:10]):
            yield problem(place, "entry-form", example=self.example)

    def schema(self) -> Schema:
        """A text with its pattern; that a month has so many days, a pattern does not say."""
        return {"type": "string", "pattern": f"^{self.form}$"}


@dataclass(frozen=True)
class One(Field):
    """One of some fixed words, each with its title for readers."""

    of: Mapping[str, str] = field(default_factory=dict)

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """Whether it is one of them."""
        if not isinstance(value, str) or value not in self.of:
            yield problem(place, "entry-not-one", choices=listed(self.of, "or"))

    def schema(self) -> Schema:
        """The words."""
        return {"enum": list(self.of)}


@dataclass(frozen=True)
class Several(Field):
    """A list of texts, or of rows that have fields of their own."""

    each: tuple[Field, ...] = ()
    most: int = 60
    rows: bool = False

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """How many there are, then what is wrong with each."""
        if not isinstance(value, list):
            yield problem(place, "entry-not-list", example=self.example)
        elif not 1 <= len(value) <= self.most:
            yield problem(place, "row-count", count=len(value), least=1, most=self.most)
        else:
            for number, one in enumerate(value, start=1):
                at = f"{place}[{number}]"
                yield from _row(self.each, one, at) if self.rows else self.each[0].problems(one, at)

    def schema(self) -> Schema:
        """The list."""
        items = object_schema(self.each) if self.rows else self.each[0].schema()
        return {"type": "array", "items": items, "minItems": 1, "maxItems": self.most}


@dataclass(frozen=True)
class Named(Field):
    """Texts by short names, such as what was given to a calculator."""

    most: int = 200
    each: Text = Text("", "", "0.42 kg/rev", most=2000, lines=True)

    NAME = r"[a-z][a-z0-9_]{0,59}"

    def problems(self, value: Any, place: str) -> Iterator[Problem]:
        """The names, then the texts."""
        if not isinstance(value, dict) or not value:
            yield problem(place, "entry-not-named", example=self.example)
        elif len(value) > self.most:
            yield problem(place, "row-count", count=len(value), least=1, most=self.most)
        else:
            for name, one in value.items():
                if not re.fullmatch(self.NAME, name, re.ASCII):
                    yield problem(place, "entry-name")
                else:
                    yield from self.each.problems(one, f"{place}.{name}")

    def schema(self) -> Schema:
        """The names and the texts."""
        return {
            "type": "object",
            "propertyNames": {"pattern": f"^{self.NAME}$"},
            "additionalProperties": self.each.schema(),
            "minProperties": 1,
            "maxProperties": self.most,
        }


def fields_problems(fields: Sequence[Field], value: Mapping[str, Any], place: str = "") -> Iterator[Problem]:
    """What is wrong with these fields of a row or an entry: what is missing, too many, or does not fit."""
    known = {one.name: one for one in fields}
    stem = f"{place}." if place else ""
    for one in fields:
        if one.name in value:
            yield from one.problems(value[one.name], stem + one.name)
        elif one.needed:
            yield problem(stem + one.name, "required", example=one.example)
    for name in value:
        if name not in known:
            yield problem(place, "entry-unknown", text=name[:60])


def object_schema(fields: Sequence[Field], more: Mapping[str, Schema] | None = None) -> Schema:
    """JSON Schema of a row with these fields."""
    return {
        "type": "object",
        "properties": {**(more or {}), **{one.name: one.schema() for one in fields}},
        "required": [*(more or {}), *(one.name for one in fields if one.needed)],
        "additionalProperties": False,
    }


def is_day(text: str) -> bool:
    """Whether the calendar has this day, written like 2027-04-30."""
    year, month, day = (int(part) for part in text.split("-"))
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return day <= DAYS[month - 1] and (month != 2 or day < 29 or leap)


def _row(fields: Sequence[Field], value: Any, place: str) -> Iterator[Problem]:
    if not isinstance(value, dict):
        yield problem(place, "entry-not-named", example="{…}")
    else:
        yield from fields_problems(fields, value, place)
