"""Reads machine sheets, with file and line in every message."""

from __future__ import annotations

from pathlib import Path

from handbook.machines.presets import beyond_bounds
from handbook.machines.sheet import Sheet
from handbook.typed_yaml import Typed, named, read_typed


def read_sheet(path: Path, shown_as: str) -> Typed[Sheet]:
    """The sheet in a file, or every problem in it."""
    read = read_typed(path, shown_as, Sheet, "sheet")
    if read.value:
        _check_names(read, read.value)
        for place, said in beyond_bounds(read.value):
            read.problem(read.line(place), f"{named(place)}: {said}")
    if read.problems:
        read.value = None
    return read


def _check_names(read: Typed[Sheet], sheet: Sheet) -> None:
    """Two parts of one name could not be told apart, by a page or by a reader."""
    for part, listed in (("tanks", sheet.tanks), ("controls", sheet.controls)):
        names = [one.name for one in listed]
        for number, name in enumerate(names):
            if name in names[:number]:
                at = (part, number, "name")
                read.problem(read.lines[at], f"{named(at)}: “{name}” stands twice")
