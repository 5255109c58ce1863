"""Records of many devices put together by the command, on the standard library alone.

Sources: the standard library's own readers of JSON and CSV; `calc.record` is tested in tests/calculators.
"""

from __future__ import annotations

import csv
import io
import json
import random
import subprocess
import sys
from pathlib import Path

import pytest

from calc.record.files import as_csv, as_json
from tests.calculators.record_entries import Entry, example

JOB = "10000000-0000-4000-8000-000000000000"


def numbered(kind: str, number: int, **more: str) -> Entry:
    return example(kind, id=f"{number:08d}-0000-4000-8000-000000000000", **({"job": JOB} | more))


def records(root: Path, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-S", str(root / "scripts" / "records.py"), *arguments]
    return subprocess.run(command, capture_output=True, check=False, cwd=root.parent)


@pytest.fixture
def entries() -> list[Entry]:
    return [
        numbered("begun", 1, name="Trial One"),
        numbered("done", 2),
        numbered("measured", 3, value="50 rpm", verdict="outside", action="Cleaned it."),
        numbered("opened", 4, change="A low limit"),
        numbered("opened", 5, change="A practice job is open"),
        numbered("closed", 6, change="A low limit", when="2027-04-30T14:00:00.000Z"),
        numbered("signed", 7, role="operator", name="O. Acre"),
        example("watched", id="00000008-0000-4000-8000-000000000000"),
    ]


def test_files_in_any_order_and_number_give_the_same_bytes(
    root: Path, tmp_path: Path, entries: list[Entry]
) -> None:
    chance = random.Random("records")
    files = []
    for number in range(4):
        part = chance.sample(entries, 5) + entries[number * 2 : number * 2 + 2]
        chance.shuffle(part)
        files.append(tmp_path / f"phone {number}é.{'csv' if number % 2 else 'json'}")
        files[-1].write_text((as_csv if number % 2 else as_json)(part), "utf-8", newline="")
    expected = as_json(entries).encode()
    for _ in range(3):
        chance.shuffle(files)
        done = records(root, *map(str, [*files, files[0]]))
        assert (done.returncode, done.stderr) == (0, b"")
        assert done.stdout == expected
    table = records(root, *map(str, files), "--csv").stdout.decode()
    rows = list(csv.DictReader(io.StringIO(table, newline="")))
    assert [row["kind"] for row in rows] == [one["kind"] for one in json.loads(expected)["entries"]]


def test_the_summary_tells_what_is_outside_open_and_signed(
    root: Path, tmp_path: Path, entries: list[Entry]
) -> None:
    file = tmp_path / "a.json"
    file.write_text(as_json([*entries, {**entries[1], "says": "Something else."}]), "utf-8")
    told = records(root, str(file), "--summary").stdout.decode()
    for line in (
        "Entries: 9. Jobs: 1.",
        "  outside: Meter speed 50 rpm; Cleaned it.",
        "  open: A practice job is open (R. Field, 2027-04-30)",
        "  signed: O. Acre, operator, 2027-04-30",
        "  2027-04-30 T. Furrow: Making safe, 2 alone, watched (R. Field)",
        "  00000002-0000-4000-8000-000000000000",
    ):
        assert line in told.splitlines()
    assert "A low limit" not in told


def test_what_is_wrong_is_told_with_its_place_and_the_rest_is_kept(
    root: Path, tmp_path: Path, entries: list[Entry]
) -> None:
    files = {
        "good.json": as_json(entries[:2]).encode(),
        "half.json": json.dumps({"format": 1, "entries": [entries[2], {**entries[3], "who": 3}]}).encode(),
        "none.json": b"<html>",
        "binary.json": b"\xff\xfe\x00",
        "newer.json": b'{"format": 2, "entries": []}',
    }
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    done = records(root, *(str(tmp_path / name) for name in files))
    assert done.returncode == 1
    assert done.stdout == as_json(entries[:3]).encode()
    told = done.stderr.decode().splitlines()
    assert len(told) == 4
    assert told[0].endswith("half.json, entry 2: who: this must be text; write it like R. Field")
    assert "none.json: this is no record of this book" in told[1]
    assert "binary.json: this is no text in UTF-8" in told[2]
    assert "newer.json: the file is of format 2; this book knows 1: renew the book first" in told[3]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "Name the files that books have exported"),
        (("--xml",), "“--xml” is not an option; write one of --json, --csv or --summary"),
        (("a.json", "--csv", "--json"), "Choose one of --csv or --json."),
        (("gone.json",), "Stopped: No such file or directory"),
    ],
)
def test_a_wrong_command_is_told_in_a_line(root: Path, arguments: tuple[str, ...], said: str) -> None:
    done = records(root, *arguments)
    assert done.returncode == 1
    assert said in done.stdout.decode() + done.stderr.decode()
    assert b"Traceback" not in done.stderr
