"""Records of many devices, put together: the work of scripts/records.py, on the standard library alone."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from calc.errors import InputError, listed
from calc.record.entry import Entry
from calc.record.files import as_csv, as_json, read_file
from calc.record.summary import summary
from handbook.console import Stop

WAYS: dict[str, Callable[[Iterable[Entry]], str]] = {
    "--json": as_json,
    "--csv": as_csv,
    "--summary": summary,
}


def put_together(arguments: Sequence[str]) -> int:
    """Write the entries of the named files in the chosen way; 1 where any was left out. Raises `Stop`."""
    chosen = [one for one in arguments if one.startswith("--")]
    files = [Path(one) for one in arguments if not one.startswith("--")]
    if unknown := [one for one in chosen if one not in WAYS]:
        raise Stop(f"“{unknown[0]}” is not an option; write one of {listed(WAYS)}")
    if len(chosen) > 1:
        raise Stop(f"Choose one of {listed(chosen)}.")
    if not files:
        raise Stop("Name the files that books have exported: python3 scripts/records.py FILE…")
    entries: list[Entry] = []
    wrong = 0
    for file in files:
        found, told = _read(file)
        entries += found
        wrong += len(told)
        for line in told:
            print(line, file=sys.stderr)
    sys.stdout.buffer.write(WAYS[chosen[0] if chosen else "--json"](entries).encode("utf-8"))
    sys.stdout.buffer.flush()
    return 1 if wrong else 0


def _read(file: Path) -> tuple[Sequence[Entry], list[str]]:
    """The right entries of a file, and what is wrong with the others, a line each."""
    try:
        read = read_file(file.read_text("utf-8"))
    except UnicodeDecodeError:
        return [], [f"{file}: this is no text in UTF-8; choose a JSON or CSV file that a book has exported"]
    except InputError as error:
        return [], [f"{file}: {error}"]
    return read.entries, [f"{file}, entry {one.place}: {one.said}" for one in read.refused]
