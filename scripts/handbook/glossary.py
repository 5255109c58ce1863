"""The glossary, `docs/reference/glossary.yml`: one name for each thing; every message has its line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Literal

from markdown.extensions.toc import slugify_unicode
from pydantic import AfterValidator

from handbook.phrases import plain
from handbook.problems import Problem
from handbook.templating import template
from handbook.typed_yaml import Part, Place, Text, Typed, named, read_typed

FILE = "reference/glossary.yml"
PAGE = "reference/glossary"


def _nameable(name: str) -> str:
    """A name is written on a page and in an address, so it begins and ends with a letter or a figure."""
    if not (name[0].isalnum() and name[-1].isalnum()) or set(name) & set("*_`<>[]{}|\\"):
        raise ValueError(f"“{name}” is no plain name; write letters and figures, and spaces between words")
    return name


Name = Annotated[Text, AfterValidator(_nameable)]


class Term(Part):
    """One name for one thing, and what it means.

    `instead_of` are names for the same thing that are not written, and `forms` are written like the name.
    Where the name is an everyday word as well, `only_in` has the phrases in which the thing is meant.
    """

    name: Name
    means: Text
    instead_of: tuple[Text, ...] = ()
    forms: tuple[Name, ...] = ()
    only_in: tuple[Text, ...] = ()

    @property
    def place(self) -> str:
        """The name as it stands in an address."""
        return place_of(self.name)

    @property
    def names(self) -> tuple[str, ...]:
        """The name and its forms."""
        return (self.name, *self.forms)


class Glossary(Part):
    """The words of the book, and the further verbs that a step may begin with."""

    format: Literal["1"] = "1"
    note: Text
    verbs: frozenset[Text] = frozenset()
    terms: tuple[Term, ...] = ()


EMPTY = Glossary(note="No word is explained here yet.")


def place_of(name: str) -> str:
    """A name as it stands in an address."""
    return slugify_unicode(name, "-")


def read_glossary(path: Path, shown_as: str) -> tuple[Glossary | None, list[Problem]]:
    """The glossary in a file, or every problem in it; a book without the file has an empty one."""
    if not path.exists():
        return EMPTY, []
    read = read_typed(path, shown_as, Glossary, "glossary")
    if isinstance(read.data, Mapping):
        _check_names(read)
        _check_phrases(read)
    return (None if read.problems else read.value), read.problems


def glossary_page(glossary: Glossary) -> str:
    """The page, as Markdown, in the order of the alphabet."""
    return template("glossary.md").render(
        note=glossary.note, terms=sorted(glossary.terms, key=lambda term: plain(term.name))
    )


# --- what no schema can say, looked for in the plain values so that it is said along with what one can ---


def _check_names(read: Typed[Glossary]) -> None:
    """Each name and form stands once, leads to a place of its own, and is not itself banned."""
    met: set[str] = set()
    places: dict[str, str] = {}
    for at, name in [*_written(read.data, "name"), *_written(read.data, "forms")]:
        if plain(name) in met:
            read.problem(read.lines[at], f"{named(at)}: “{name}” stands twice; keep one")
        elif at[-1] == "name" and (other := places.setdefault(place_of(name), name)) != name:
            said = f"“{name}” and “{other}” differ too little for an address; choose another name for one"
            read.problem(read.lines[at], f"{named(at)}: {said}")
        met.add(plain(name))
    banned: set[str] = set()
    for at, other in _written(read.data, "instead_of"):
        if plain(other) in met:
            said = f"“{other}” is a name or a form in this glossary; take it out here or there"
            read.problem(read.lines[at], f"{named(at)}: {said}")
        elif plain(other) in banned:
            read.problem(read.lines[at], f"{named(at)}: “{other}” stands twice; keep one")
        banned.add(plain(other))


def _check_phrases(read: Typed[Glossary]) -> None:
    """A phrase in which a thing is meant holds its name, or nothing would ever be found in it."""
    names: dict[Place, list[str]] = {}
    for key in ("name", "forms"):
        for at, name in _written(read.data, key):
            names.setdefault(at[:2], []).append(plain(name))
    for at, phrase in _written(read.data, "only_in"):
        if not any(f" {name} " in f" {plain(phrase)} " for name in names.get(at[:2], [])):
            said = f"“{phrase}” does not hold the name or one of its forms; write the name into it"
            read.problem(read.lines[at], f"{named(at)}: {said}")


def _written(data: Mapping[str, Any], key: str) -> Iterator[tuple[Place, str]]:
    """Every text that stands under a key of a term, itself or in a list, with its place."""
    terms = data.get("terms")
    for number, term in enumerate(terms if isinstance(terms, list) else []):
        value = term.get(key) if isinstance(term, Mapping) else None
        if isinstance(value, str) and value.strip():
            yield ("terms", number, key), value
        elif isinstance(value, list):
            for i, one in enumerate(value):
                if isinstance(one, str) and one.strip():
                    yield ("terms", number, key, i), one
