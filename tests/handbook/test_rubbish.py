"""Readers that are fed with rubbish: right texts with something done to them by chance.

A reader may refuse what it is given, in words; it may not end in any other way, nor let pass what it cannot
have understood. Each is fed some thousand texts here, and a million by `scripts/bench.py --fed`. The chance
is seeded, so the same texts come every time.
"""

from __future__ import annotations

import math
import os
import random
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from calc.errors import InputError
from calc.quantity import Units, parse
from calc.record.entry import problems
from calc.record.files import as_csv, as_json, read_file
from calc.record.kinds import KINDS as ENTRIES
from calc.units import KINDS, SYSTEMS
from handbook.machines.reading import read_sheet
from handbook.scanner import lines_of, scan
from tests.calculators.record_entries import example

FED = int(os.environ.get("FURROWBOOK_FED") or 3000)
SHEETS = int(os.environ.get("FURROWBOOK_FED") or 400)  # each is checked by a schema and calculators
ALONE = "\ud800"  # half a sign, which a page may hold and no file in UTF-8
LONGEST = 1500  # signs: short texts come faster, and break a reader as well
PARTS = 8  # of the sheets, which take longest; the last of several waits for one processor
ODD = (
    *(
        "\x00",
        "\ufeff",
        "\u2028",
        "\u00a0",
        "\u202e",
        "½",
        "٣",
        "−",
        "±",
        "é",
        "𝟙",
        "\U0001f69c",
        "\r",
        "\r\n",
    ),
    *(
        "NaN",
        "inf",
        "1e999",
        "-0",
        "1_000",
        "0x1",
        "1,234",
        "9" * 40,
        "null",
        "true",
        "~",
        "[]",
        "{}",
        '"',
        "'",
    ),
    *(
        "///",
        "////",
        "    ",
        "\t",
        "---",
        "- ",
        ": ",
        "# ",
        "|",
        "<b>",
        "{.q}",
        "`",
        "&a",
        "*a",
        "!!int",
        "%",
    ),
    *("<script>", "=1+1", ",", ";", "\n\n", "\n", ALONE),
)
Feed = Callable[[str, random.Random], None]


def spoiled(text: str, chance: random.Random) -> str:
    """A text with one to five things done to it: signs left out, doubled, put in, changed, lines swapped."""
    for _ in range(chance.choice((1, 1, 2, 3, 5))):
        at, to = sorted(chance.randrange(len(text) + 1) for _ in range(2))
        way = chance.randrange(6)
        if way == 0:
            text = text[:at] + text[min(to, at + 8) :]
        elif way == 1:
            text = text[:to] + text[at:to] + text[to:]
        elif way == 2:
            text = text[:at] + chance.choice(ODD) + text[at:]
        elif way == 3:
            text = text[:at] + chance.choice(ODD) + text[min(to, at + 3) :]
        elif way == 4:
            lines = text.split("\n")
            first, second = chance.randrange(len(lines)), chance.randrange(len(lines))
            lines[first], lines[second] = lines[second], lines[first]
            text = "\n".join(lines)
        else:
            text = text[:at] if chance.random() < 0.3 else text
    return text[:LONGEST]


def feed(texts: list[str], reader: Feed, count: int = FED, part: int = 1) -> int:
    """Feed a reader; how many texts it took or refused, as it should. What it fails on is in the message."""
    chance = random.Random(f"rubbish {len(texts)} {part}")
    for number in range(count):
        text = spoiled(chance.choice(texts), chance)
        try:
            reader(text, chance)
        except Exception as error:
            raise AssertionError(f"text {number}: {text!r}") from error
    return count


def test_a_quantity_is_finite_or_refused() -> None:
    kinds = tuple(KINDS.values())
    taken = []

    def read(text: str, chance: random.Random) -> None:
        try:
            figure = parse(text, chance.choice(kinds), Units(chance.choice(SYSTEMS)))
        except InputError as error:
            assert error.problems and all(one.text for one in error.problems)
            return
        assert math.isfinite(figure)
        taken.append(figure)

    units = sorted({unit.name for kind in kinds for unit in kind.units})
    numbers = ("12", "12.5 ", "1,5", "-3", "1 234,5 ", "7e3 ")
    assert feed([f"{one}{unit}" for one in numbers for unit in units], read) == FED
    assert 0.005 * FED < len(taken) < 0.5 * FED  # some are right all the same, most are not


def test_a_page_is_scanned_whole_and_each_problem_has_its_line(root: Path) -> None:
    pages = [path.read_text(encoding="utf-8") for path in sorted((root / "docs").rglob("*.md"))]
    texts = [text[at : at + 900] for text in pages for at in range(0, len(text), 900)]
    faulty = []

    def read(text: str, _: random.Random) -> None:
        text = text.replace(ALONE, "")
        found = scan.__wrapped__(text)  # without what it remembers
        assert all(1 <= one.line <= len(lines_of(text)) and one.text for one in found.problems)
        faulty.append(bool(found.problems))

    assert feed(texts, read) == FED
    assert 0.1 * FED < sum(faulty) < FED


@pytest.mark.parametrize("value", ["!!int", "!!float", "!!timestamp x", "!!set", "!!nobody a"])
def test_what_once_broke_the_scanner_does_so_no_more(value: str) -> None:
    found = scan(f"/// measure | Speed\n    within: {value}\n///\n")
    assert [one.line for one in found.problems if one.rule == "options-form"][:1] == [2]


def small(sheet: str) -> str:
    """A sheet without what it need not say, and with its last tank and control alone: short, and whole."""
    head, tanks, controls = re.split(r"^(?=tanks:|controls:)", sheet, flags=re.MULTILINE)
    tank, control = (part[part.rindex("  - ") :] for part in (tanks, controls))
    head = re.sub(r"^(field|road|sections|liquid|ammonia):.*\n", "", head, flags=re.MULTILINE)
    return f"{head}tanks:\n{tank}controls:\n{control}"


@pytest.mark.parametrize("part", range(1, PARTS + 1))
def test_a_sheet_is_read_or_refused_with_lines(root: Path, tmp_path: Path, part: int) -> None:
    path = tmp_path / "fed.yml"
    sheets = [one.read_text(encoding="utf-8") for one in sorted((root / "docs" / "machines").glob("*.yml"))]
    texts = [small(one) for one in sheets]
    assert max(map(len, texts)) < LONGEST
    taken = []

    def read(text: str, _: random.Random) -> None:
        text = text.replace(ALONE, "")
        path.write_text(text, encoding="utf-8", newline="")
        found = read_sheet(path, "fed.yml")
        assert (found.value is None) == bool(found.problems)
        assert all(1 <= one.line <= len(lines_of(text)) and one.text for one in found.problems)
        taken.append(found.value is not None)

    count = SHEETS // PARTS
    assert feed(texts, read, count, part) == count
    assert 0.01 * count < sum(taken) < 0.9 * count


def test_a_record_gives_right_entries_or_is_refused() -> None:
    entries = [example(kind) for kind in ENTRIES]
    texts = [write([one]) for one in entries for write in (as_json, as_csv)]
    taken = []

    def read(text: str, _: random.Random) -> None:
        try:
            found = read_file(text)
        except InputError as error:
            assert error.problems
            return
        assert not [told for one in found.entries for told in problems(one)]
        assert list(read_file(as_json(found.entries)).entries) == list(found.entries)
        taken.append(len(found.entries))

    assert feed(texts, read) == FED
    assert sum(taken) > 0.01 * FED


@pytest.mark.parametrize("text", ["12.5 kg", "a\nb\nc", ""])
def test_what_is_fed_is_seldom_what_was_right(text: str) -> None:
    chance = random.Random(1)
    assert sum(spoiled(text, chance) != text for _ in range(500)) > 250
