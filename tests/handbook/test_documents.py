"""README.md and DEVELOPERS.md keep their word: commands, shown output, examples, paths, names and links.

Each fenced block marked `sh` is a list of commands, and a block marked `text` right below it is what comes.
A block with a `title` is a file, written into a copy of the project before commands are run there.
Source: the project itself.
"""

from __future__ import annotations

import importlib
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from textwrap import dedent

import pytest

from handbook.copying import copy_parts

TOP = Path(__file__).resolve().parents[2]
DOCUMENTS = ("README.md", "DEVELOPERS.md")
TEXTS = {name: (TOP / name).read_text("utf-8") for name in DOCUMENTS}
FENCE = re.compile(
    r"^(?P<indent> *)```(?P<language>\w+)(?: title=\"(?P<title>[^\"]+)\")?\n(?P<body>.*?)^(?P=indent)```$",
    re.MULTILINE | re.DOTALL,
)
MADE_BY_THE_BUILD = ("site/", "build/", ".furrowbook/")


@dataclass(frozen=True)
class Block:
    """A fenced block: where it is, its language, the file it stands for, its text, and what follows it."""

    document: str
    line: int
    language: str
    title: str
    body: str
    after: str


@dataclass(frozen=True)
class Command:
    """A command as it is written, and the output that is printed beneath it, if any."""

    document: str
    line: int
    text: str
    shown: str | None

    @property
    def words(self) -> list[str]:
        """The command as a shell reads it."""
        return shlex.split(self.text)


def blocks(document: str, text: str) -> Iterator[Block]:
    """Every fenced block of a document."""
    for found in FENCE.finditer(text):
        line = text.count("\n", 0, found.start()) + 1
        body, after = dedent(found["body"]), text[found.end() :]
        yield Block(document, line, found["language"], found["title"] or "", body, after)


def commands(of: list[Block]) -> Iterator[Command]:
    """Every command of the blocks marked `sh`, with what is shown right below."""
    for block in of:
        if block.language != "sh":
            continue
        lines = block.body.splitlines()
        below = FENCE.match(block.after.lstrip("\n"))
        shown = dedent(below["body"]) if below and below["language"] == "text" else None
        for number, text in enumerate(lines, start=1):
            yield Command(block.document, block.line + number, text, shown if number == len(lines) else None)


BLOCKS = [block for name, text in TEXTS.items() for block in blocks(name, text)]
COMMANDS = list(commands(BLOCKS))
EXAMPLES = [block for block in BLOCKS if block.title]
ON_SCRIPTS = [c for c in COMMANDS if c.words[1].startswith("scripts/")]
ON_CALC = [c for c in COMMANDS if c.words[1:3] == ["-m", "calc"]]


def name(command: Command) -> str:
    """What a test of a command is called."""
    return f"{command.document}:{command.line}"


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project with every example of the documents written into it."""
    parts = ("calc", "docs", "tests/calculators", "pyproject.toml", "tests/conftest.py")
    target = copy_parts(TOP, tmp_path_factory.mktemp("documents") / "copy", *parts)
    for example in EXAMPLES:
        path = target / example.title
        assert not path.exists(), f"{example.document}:{example.line} would overwrite {example.title}"
        path.write_text(example.body, encoding="utf-8")
    return target


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Python with these arguments in a copy, whose modules stand before the installed ones."""
    paths = os.pathsep.join([str(folder), str(TOP / "scripts")])
    return subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": paths, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONUTF8": "1"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


# --- commands ---


def test_the_two_commands_stand_in_the_readme() -> None:
    told = [command.text for command in COMMANDS if command.document == "README.md"]
    assert told[:2] == ["python3 scripts/build.py --serve", "python3 scripts/test.py"]


def test_every_command_is_of_a_kind_that_is_checked_here() -> None:
    assert ON_SCRIPTS and ON_CALC
    assert [name(c) for c in COMMANDS if c not in ON_SCRIPTS and c not in ON_CALC] == []
    assert {c.words[0] for c in COMMANDS} == {"python3"}


@pytest.mark.parametrize("command", ON_SCRIPTS, ids=name)
def test_a_script_is_there_and_knows_the_options(command: Command) -> None:
    script, *arguments = command.words[1:]
    assert (TOP / script).is_file()
    helped = run(TOP, script, "--help")
    assert helped.returncode == 0, helped.stderr
    known = helped.stdout
    if script == "scripts/test.py":  # it hands every option on
        known += run(TOP, "-m", "pytest", "--help").stdout
    listed = set(re.findall(r"(?<![\w-])--?[a-z][\w-]*", known))
    for argument in arguments:
        if argument.startswith("-"):
            assert argument.partition("=")[0] in listed
        elif argument.startswith("tests/"):
            assert (TOP / argument).exists()


@pytest.mark.parametrize("command", ON_CALC, ids=name)
def test_a_calculation_gives_what_is_printed_beneath(command: Command, copy: Path) -> None:
    done = run(copy, *command.words[1:])
    assert (done.returncode, done.stderr) == (0, "")
    assert command.shown is None or done.stdout == command.shown


def test_calculations_are_shown_with_what_they_give() -> None:
    assert {c.document for c in ON_CALC if c.shown} == set(DOCUMENTS)


# --- examples ---


def test_there_is_an_example_of_each_thing_that_is_added() -> None:
    folders = [str(Path(example.title).parent) for example in EXAMPLES]
    for folder in ("calc/metering", "docs/calculators", "docs/lessons", "docs/procedures", "docs/machines"):
        assert folder in folders


def run_cases(folder: Path) -> subprocess.CompletedProcess[str]:
    """The tests of the example calculator's cases, in a copy."""
    words = ("-m", "pytest", "-q", "-p", "no:xdist", "tests/calculators/test_cases.py", "-k", "meter-turns")
    return run(folder, *words)


def test_the_example_calculator_passes_its_cases(copy: Path) -> None:
    done = run_cases(copy)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "5 passed" in done.stdout  # the case, and its reply in four choices of units


def test_a_wrong_printed_figure_in_the_example_would_be_found(copy: Path, tmp_path: Path) -> None:
    shutil.copytree(copy, tmp_path / "copy")
    module = tmp_path / "copy" / "calc" / "metering" / "meter_turns.py"
    text = module.read_text("utf-8")
    assert text.count('{"turns": "20"}') == 1
    module.write_text(text.replace('{"turns": "20"}', '{"turns": "21"}'), encoding="utf-8")
    done = run_cases(tmp_path / "copy")
    assert done.returncode == 1
    assert "1 failed, 4 passed" in done.stdout


def test_the_example_pages_and_sheet_have_no_mistake(copy: Path) -> None:
    reading = (
        "from pathlib import Path; from handbook import book; print(*book.read_book(Path('docs')).sheets)"
    )
    done = run(copy, "-c", reading)
    assert done.returncode == 0, done.stderr
    assert "trial-one" in done.stdout.split()


def test_the_example_pages_keep_every_rule(copy: Path) -> None:
    shutil.copyfile(TOP / "mkdocs.yml", copy / "mkdocs.yml")
    checking = (
        "from pathlib import Path; from handbook.checking.checker import check; "
        "print(*check(Path('.')).problems, sep='\\n')"
    )
    done = run(copy, "-c", checking)
    assert done.returncode == 0, done.stderr
    found = [line for line in done.stdout.splitlines() if " is in no menu" not in line]
    assert found == []
    assert done.stdout.count(" is in no menu") == sum(one.title.endswith(".md") for one in EXAMPLES)


def test_the_example_module_keeps_the_house_style(copy: Path) -> None:
    modules = [example.title for example in EXAMPLES if example.language == "python"]
    checked = run(copy, "-m", "ruff", "check", "--no-cache", *modules)
    assert checked.returncode == 0, checked.stdout
    formatted = run(copy, "-m", "ruff", "format", "--no-cache", "--check", *modules)
    assert formatted.returncode == 0, formatted.stdout


# --- paths, names and links ---


def prose(text: str) -> str:
    """A document without its fenced blocks."""
    return FENCE.sub("", text)


def quoted(text: str) -> Iterator[str]:
    """Everything in backticks outside the fenced blocks."""
    yield from (found.strip() for found in re.findall(r"`([^`\n]+)`", prose(text)))


def is_path(token: str) -> bool:
    """Whether a quoted word names a file or folder of the project."""
    if not re.fullmatch(r"[\w.-]+(/[\w.-]+)*/?", token):
        return False
    top = {path.name for path in TOP.iterdir()} | {"site", "build"}
    ending = re.search(r"\w\.(py|md|yml|toml|json|txt|in|js|mjs|css|html)$", token)
    return bool(ending) or ("/" in token and token.partition("/")[0] in top)


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_path_in_backticks_is_there(document: str) -> None:
    named = [token for token in quoted(TEXTS[document]) if is_path(token)]
    assert len(named) >= 2
    missing = [
        token for token in named if not token.startswith(MADE_BY_THE_BUILD) and not (TOP / token).exists()
    ]
    assert missing == []


def test_every_module_and_name_in_backticks_is_there() -> None:
    dotted = [
        token
        for text in TEXTS.values()
        for token in quoted(text)
        if re.fullmatch(r"(calc|handbook)(\.\w+)+", token)
    ]
    assert dotted
    for token in dotted:
        module, _, attribute = token.rpartition(".")
        assert hasattr(importlib.import_module(module), attribute), token


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_link_and_picture_resolves(document: str) -> None:
    targets = re.findall(r"\]\(([^)\s]+)\)", prose(TEXTS[document]))
    assert targets
    outside = [target for target in targets if "://" in target]
    assert outside == [], "the two files need no network to be read"
    assert [target for target in targets if not (TOP / target.partition("#")[0]).exists()] == []


def test_every_picture_is_told_in_words() -> None:
    pictures = re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", TEXTS["README.md"])
    assert [path for words, path in pictures if len(words.split()) < 5] == []
    assert len(pictures) >= 3


def test_the_job_stands_at_the_very_top() -> None:
    title, paragraph, following = re.split(r"\n{2,}", TEXTS["README.md"])[:3]
    assert title == "# Furrowbook"
    assert following.startswith("## ")
    for word in ("technician", "trainer", "operator", "delivery", "field"):
        assert word in paragraph
