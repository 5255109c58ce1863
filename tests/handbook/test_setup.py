"""Setting up: which Python, what is made when, and what a person reads when it cannot be done.

No test here needs the network. Where a tool's own words matter (pip, npm), the real tool is made to fail.
Sources: pyproject.toml for the range of Pythons; the tools' behaviour for the rest.
"""

from __future__ import annotations

import ast
import importlib.util
import json
import os
import platform
import re
import shutil
import sys
import threading
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from handbook import environment, right_python
from handbook.console import Finished, Stop

LOCKS = ("build.txt", "test.txt", "package.json", "package-lock.json")


class Recorder:
    """Stands in for the tools: notes each command and leaves the files that the real one would."""

    def __init__(self, root: Path, failing: str = "") -> None:
        self.root = root
        self.failing = failing
        self.done: list[str] = []

    def __call__(self, command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
        name = self.name(command)
        self.done.append(name)
        if name == self.failing:
            return Finished(1, f"{name} went wrong")
        place = environment.place("test", self.root)
        if name == "venv":
            _touch(place.python)
        elif name == "packages":
            _touch(place.node)
        elif name == "npm":
            place.node_modules.mkdir()
        return Finished(0, "")

    @staticmethod
    def name(command: Sequence[str]) -> str:
        """The step a command belongs to; an unknown command is an error of the test."""
        if "venv" in command:
            return "venv"
        if "--require-hashes" in command:
            return "packages"
        if "-e" in command:
            return "project"
        assert "ci" in command, command
        return "npm"


def _touch(path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch()


def _no_command(command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
    raise AssertionError(f"a command was run: {command}")


def _quiet(text: str) -> None:
    assert text


@pytest.fixture
def project(root: Path, tmp_path: Path) -> Path:
    """The files that setting up reads, in a folder with a space and an accent in its name."""
    copy = tmp_path / "north field é"
    locks = copy / "scripts" / "locks"
    locks.mkdir(parents=True)
    shutil.copy(root / "pyproject.toml", copy)
    for name in LOCKS:
        shutil.copy(root / "scripts" / "locks" / name, locks)
    return copy


# --- which Python ---


def test_the_range_of_pythons_is_that_of_pyproject(root: Path) -> None:
    declared = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]["requires-python"]
    oldest, newest = right_python.OLDEST, right_python.NEWEST
    assert declared == f">={oldest[0]}.{oldest[1]},<{newest[0]}.{newest[1] + 1}"


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 12, 1), (3, 13, 9), (3, 14, 2)])
def test_a_right_python_passes(version: tuple[int, ...]) -> None:
    assert right_python.refusal(version, "scripts/build.py") == ""


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 15), (3, 10, 13), (3, 15, 0), (4, 0, 0)])
def test_a_wrong_python_is_told_in_one_line_which_to_get(version: tuple[int, ...]) -> None:
    line = right_python.refusal(version, "scripts/build.py")
    assert "3.11 to 3.14" in line
    assert ".".join(str(part) for part in version) in line
    assert line.endswith("python3.13 scripts/build.py")
    assert "\n" not in line


def test_a_wrong_python_stops_before_anything_else(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 18, "final", 0))
    with pytest.raises(SystemExit) as stopped:
        right_python.require("scripts/test.py")
    assert stopped.value.code == 1
    assert capsys.readouterr().err.count("\n") == 1


SCRIPTS = [path.name for path in sorted((Path(__file__).parents[2] / "scripts").glob("*.py"))]


@pytest.mark.parametrize("name", [*SCRIPTS, "handbook/__init__.py", "handbook/right_python.py"])
def test_what_an_old_python_reads_first_is_in_its_syntax(root: Path, name: str) -> None:
    source = (root / "scripts" / name).read_text("utf-8")
    tree = ast.parse(source, feature_version=(3, 6))
    futures = [
        node for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module == "__future__"
    ]
    assert not futures, "`from __future__ import annotations` stops Python 3.6 before it can be told anything"


# --- hashes ---


def test_line_ends_do_not_count_but_content_does() -> None:
    assert environment.digest(b"a\r\nb\r\n") == environment.digest(b"a\nb\n")
    assert environment.digest(b"ab", b"c") != environment.digest(b"a", b"bc")


def test_a_changed_lock_is_another_environment(project: Path) -> None:
    before = environment.place("test", project)
    with (project / "scripts" / "locks" / "test.txt").open("a") as lock:
        lock.write("# one more\n")
    after = environment.place("test", project)
    assert after.folder != before.folder
    assert after.node_folder == before.node_folder
    assert environment.place("build", project).folder != after.folder


def test_changed_javascript_packages_are_another_folder(project: Path) -> None:
    before = environment.place("test", project)
    with (project / "scripts" / "locks" / "package-lock.json").open("a") as lock:
        lock.write("\n")
    after = environment.place("test", project)
    assert after.node_folder != before.node_folder
    assert after.folder == before.folder


def test_another_python_is_another_environment(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = environment.place("test", project)
    monkeypatch.setattr(platform, "python_version", lambda: "3.12.99")
    assert environment.place("test", project).folder != before.folder


# --- what is done, and what is not done again ---


def test_everything_is_made_once_and_in_order(project: Path) -> None:
    first = Recorder(project)
    made = environment.prepare("test", project, first, _quiet)
    assert first.done == ["venv", "packages", "project", "npm"]
    assert environment.prepare("test", project, _no_command, _quiet) == made
    assert made.folder.parent == project / ".furrowbook"


@pytest.mark.parametrize(
    ("failing", "again"),
    [
        ("venv", ["venv", "packages", "project", "npm"]),
        ("packages", ["venv", "packages", "project", "npm"]),
        ("project", ["project", "npm"]),
        ("npm", ["npm"]),
    ],
)
def test_a_set_up_cut_short_is_taken_up_at_the_step_that_failed(
    project: Path, failing: str, again: list[str]
) -> None:
    with pytest.raises(Stop, match=f"{failing} went wrong"):
        environment.prepare("test", project, Recorder(project, failing), _quiet)
    second = Recorder(project)
    environment.prepare("test", project, second, _quiet)
    assert second.done == again


def test_a_half_made_folder_is_removed_first(project: Path) -> None:
    place = environment.place("test", project)
    _touch(place.folder / "half a package")
    environment.prepare("test", project, Recorder(project), _quiet)
    assert not (place.folder / "half a package").exists()


def test_a_missing_tool_is_not_taken_for_ready(project: Path) -> None:
    made = environment.prepare("test", project, Recorder(project), _quiet)
    made.node.unlink()
    with pytest.raises(Stop, match="Delete that folder"):
        environment.prepare("test", project, _no_command, _quiet)


def test_a_moved_folder_needs_only_its_link_made_anew(project: Path) -> None:
    environment.prepare("test", project, Recorder(project), _quiet)
    moved = project.rename(project.with_name("south field ü"))
    second = Recorder(moved)
    environment.prepare("test", moved, second, _quiet)
    assert second.done == ["project"]


def test_older_environments_go_but_not_those_of_another_python(project: Path) -> None:
    home = project / ".furrowbook"
    old = home / f"test-{platform.python_version()}-000000000000"
    other = home / "test-3.99.0-000000000000"
    build = home / f"build-{platform.python_version()}-000000000000"
    for folder in (old, other, build, home / "node-test-000000000000", home / "node-build-000000000000"):
        folder.mkdir(parents=True)
    environment.prepare("test", project, Recorder(project), _quiet)
    assert not old.exists()
    assert not (home / "node-test-000000000000").exists()
    assert other.exists()
    assert build.exists()
    assert (home / "node-build-000000000000").exists()


def test_two_runs_at_once_make_one_set_up(project: Path) -> None:
    inside, go_on = threading.Event(), threading.Event()
    first = Recorder(project)

    def slow(command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
        inside.set()
        assert go_on.wait(30)
        return first(command, folder, variables)

    told: list[str] = []

    def tell(text: str) -> None:
        told.append(text)
        go_on.set()  # the first goes on only when the second has said that it waits

    one = threading.Thread(target=environment.prepare, args=("test", project, slow, _quiet))
    one.start()
    assert inside.wait(30)
    environment.prepare("test", project, _no_command, tell)
    one.join(30)
    assert "waiting" in told[0]
    assert first.done == ["venv", "packages", "project", "npm"]


def test_installs_are_by_hash_from_wheels_and_scripts_do_not_run(project: Path) -> None:
    seen: dict[str, tuple[Sequence[str], Mapping[str, str]]] = {}
    recorder = Recorder(project)

    def keep(command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
        seen[recorder.name(command)] = (command, variables)
        return recorder(command, folder, variables)

    environment.prepare("test", project, keep, _quiet)
    packages, variables = seen["packages"]
    assert {"--require-hashes", "--only-binary", ":all:"} <= set(packages)
    assert variables["PYTHONUTF8"] == "1"
    assert {"--no-deps", "--no-build-isolation", "--no-index"} <= set(seen["project"][0])
    assert {"ci", "--ignore-scripts", "--include=dev"} <= set(seen["npm"][0])


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_what_to_install(
    project: Path, monkeypatch: pytest.MonkeyPatch, missing: str
) -> None:
    find = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == missing else find(name))
    with pytest.raises(Stop) as stop:
        environment.prepare("test", project, _no_command, _quiet)
    assert f"`{missing}`" in str(stop.value)
    assert "apt install python3-venv" in str(stop.value)
    assert "\n" not in str(stop.value)


# --- what the files promise ---


def test_ci_runs_the_one_command(root: Path) -> None:
    text = (root / ".ci" / "run").read_text("utf-8")
    commands = [line for line in text.splitlines() if line.startswith("python3")]
    assert commands == ["python3 scripts/test.py"]
    assert os.access(root / ".ci" / "run", os.X_OK)


def test_the_project_asks_for_nothing_outside_the_locks(root: Path) -> None:
    declared = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    assert declared["dependencies"] == []
    assert declared["license"] == "MIT"


def test_javascript_packages_are_pinned_exactly_and_agree(root: Path) -> None:
    locks = root / "scripts" / "locks"
    wanted = json.loads((locks / "package.json").read_text("utf-8"))
    locked = json.loads((locks / "package-lock.json").read_text("utf-8"))
    assert locked["lockfileVersion"] == 3
    for share in ("dependencies", "devDependencies"):
        for name, version in wanted[share].items():
            assert re.fullmatch(r"\d+\.\d+\.\d+", version), name
            assert locked["packages"][f"node_modules/{name}"]["version"] == version
    assert all("integrity" in package for name, package in locked["packages"].items() if name)
