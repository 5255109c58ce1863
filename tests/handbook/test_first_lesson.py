"""The first lesson for trainers, followed word for word in a copy: every message is as it says."""

from __future__ import annotations

import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

from handbook.copying import PROGRAMS, copy_book, module_in

LESSON = "docs/trainers/first-lesson.md"
FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.M | re.S)
FILE = re.compile(r"`(docs/[\w/.-]+|mkdocs\.yml)`")


@dataclass(frozen=True)
class Piece:
    """A piece of the lesson that is not prose: its language, its text, and the file named last."""

    language: str
    text: str
    file: str


def pieces(lesson: str) -> list[Piece]:
    """Every fenced piece in order."""
    return [
        Piece(found[1], found[2], ["", *FILE.findall(lesson[: found.start()])][-1])
        for found in FENCE.finditer(lesson)
    ]


class Trainer:
    """Does in a copy of the book what the lesson says."""

    def __init__(self, copy: Path) -> None:
        self.copy = copy

    def put(self, written: Piece, instead: Piece) -> None:
        """Find the text, and write the other in its place."""
        path = self.copy / written.file
        text = path.read_text("utf-8")
        assert text.count(f"\n{written.text}") == 1, written
        path.write_text(text.replace(f"\n{written.text}", f"\n{instead.text}"), "utf-8")

    def run(self, command: str) -> str:
        """What a command of the lesson prints; the environment it would set up is this one."""
        found = re.fullmatch(r"python3 scripts/(\w+)\.py(.*)\n", command)
        assert found, command
        script, arguments = found.groups()
        module = {"check": "handbook.checking", "new": "handbook.starting"}[script]
        given = re.findall(r'"([^"]*)"|(\S+)', arguments)
        words, variables = module_in(self.copy, module, *(one or other for one, other in given))
        done = subprocess.run(words, env=variables, capture_output=True, encoding="utf-8", check=False)
        assert done.stderr == ""
        return done.stdout


@pytest.fixture
def trainer(root: Path, tmp_path: Path) -> Trainer:
    """A trainer with a copy of the book and of what checks it."""
    return Trainer(copy_book(root, tmp_path, *PROGRAMS))


def test_the_lesson_is_followed_word_for_word(root: Path, trainer: Trainer) -> None:
    lesson = (root / LESSON).read_text("utf-8")
    steps = iter(pieces(lesson))
    files = {path: path.read_bytes() for path in (trainer.copy / "docs").rglob("*") if path.is_file()}

    assert next(steps).text == "python3 scripts/serve.py\n"
    trainer.put(next(steps), next(steps))  # a figure
    trainer.put(next(steps), next(steps))  # a step with a limit
    nothing = "Nothing is wrong in "
    assert trainer.run("python3 scripts/check.py\n").startswith(nothing)

    good, bad = next(steps), next(steps)  # a mistake that stops the book
    named = trainer.copy / good.file
    before = named.read_text("utf-8")
    head, new, tail = before.rpartition(good.text)  # “in your new step”, which is the last
    assert new
    named.write_text(f"{head}{bad.text}{tail}", "utf-8")
    said = trainer.run(next(steps).text)
    assert said.startswith(next(steps).text)
    assert said.endswith("\nOne thing is wrong in " + said.partition(" wrong in ")[2])
    assert said.count("docs/") == 1
    named.write_text(before, "utf-8")

    good, bad = next(steps), next(steps)  # and some that do not
    trainer.put(good, bad)
    said = trainer.run(next(steps).text)
    shown = next(steps).text
    assert said.startswith(f"{shown}\n{shown.count('docs/')} things are wrong in ")
    named.write_text(before, "utf-8")
    assert trainer.run(next(steps).text).startswith(nothing)

    assert trainer.run(next(steps).text) == next(steps).text  # a page of one's own
    page = trainer.copy / "docs" / "lessons" / "wet-seed.md"
    own = page.read_text("utf-8").replace("`5 mph`{.q}", "`12 mph`{.q}")
    page.write_text(own, "utf-8")
    assert trainer.run("python3 scripts/check.py\n").startswith(nothing)
    assert [piece.text for piece in steps] == ["python3 scripts/build.py\n"]

    # Put back by hand, it is what it was.
    page.unlink()
    (trainer.copy / "mkdocs.yml").write_bytes((root / "mkdocs.yml").read_bytes())
    for path, content in files.items():
        path.write_bytes(content)
    assert trainer.run("python3 scripts/check.py\n").startswith(nothing)
