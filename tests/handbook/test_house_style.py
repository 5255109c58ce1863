"""The house rules that a machine can check: ruff, mypy, tsc, locks without addresses, room by room.

Sources: the tools themselves, by their settings in pyproject.toml and tsconfig.json; common practice.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "mkdocs.yml",
    "docs",
    "calc",
    "tests",
    "scripts",
}
LONGEST_MODULE = 400


def _check(root: Path, *command: str | Path) -> str:
    """Run a tool at the top of the repository; its complaint is the test's."""
    done = subprocess.run(command, cwd=root, capture_output=True, encoding="utf-8", check=False)
    if done.returncode:
        pytest.fail(f"{done.stdout}{done.stderr}".strip(), pytrace=False)
    return done.stdout


def _tracked(root: Path) -> list[str]:
    """Files of the repository, new ones included; outside git, all but what git is told to leave out."""
    listing = ["git", "-C", str(root), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    if (root / ".git").exists():
        done = subprocess.run(listing, capture_output=True, encoding="utf-8", check=True)
        return [name for name in done.stdout.split("\0") if name and (root / name).exists()]
    left_out = {".furrowbook", "site", "__pycache__"}
    files = (path.relative_to(root) for path in root.rglob("*") if path.is_file())
    return [path.as_posix() for path in files if not left_out & set(path.parts)]


def test_ruff(root: Path) -> None:
    _check(root, sys.executable, "-m", "ruff", "check", "--output-format=concise", "--no-fix", ".")


def test_mypy(root: Path) -> None:
    found = _check(root, sys.executable, "-m", "mypy", "--strict", "calc", "scripts/handbook")
    assert "no issues found" in found


@pytest.fixture(scope="module")
def tsc(node: Path, node_modules: Path) -> list[str | Path]:
    """The command of the TypeScript checker."""
    return [node, node_modules / "typescript" / "bin" / "tsc"]


# What a service worker is given is not what a page is given, so its scripts are checked by themselves.
TSC_PROJECTS = ("scripts/handbook/web", "scripts/handbook/web/offline")


@pytest.mark.parametrize("project", TSC_PROJECTS)
def test_tsc(root: Path, tsc: list[str | Path], project: str) -> None:
    _check(root, *tsc, "--project", f"{project}/tsconfig.json")


def test_tsc_is_strict_and_reads_every_script(root: Path, tsc: list[str | Path]) -> None:
    web = root / "scripts" / "handbook" / "web"
    read = set()
    for project in TSC_PROJECTS:
        shown = json.loads(_check(root, *tsc, "--project", f"{project}/tsconfig.json", "--showConfig"))
        options = shown["compilerOptions"]
        assert options["checkJs"] is True
        assert options["strict"] is True
        assert options["noEmit"] is True
        read |= {(root / project / name).resolve() for name in shown["files"]}
    unread = sorted(
        str(path.relative_to(web))
        for end in ("js", "mjs")
        for path in web.rglob(f"*.{end}")
        if path.resolve() not in read
    )
    assert not unread


def test_no_lock_holds_an_address(root: Path) -> None:
    files = sorted((root / "scripts" / "locks").iterdir())
    assert {"build.txt", "test.txt", "package-lock.json"} <= {path.name for path in files}
    for path in files:
        text = path.read_text("utf-8")
        assert "://" not in text, path.name
        assert not re.search(r"^\s*-(-\w*index|-find-links|-trusted|f |i )", text, re.M), path.name


@pytest.mark.parametrize("kind", ["build", "test"])
def test_every_locked_package_has_a_version_and_a_hash(root: Path, kind: str) -> None:
    text = (root / "scripts" / "locks" / f"{kind}.txt").read_text("utf-8").replace("\\\n", " ")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    assert len(lines) > 10
    for line in lines:
        assert re.match(r"[a-z0-9-]+==\S+ .*--hash=sha256:[0-9a-f]{64}", line), line


def test_building_and_testing_use_the_same_releases(root: Path) -> None:
    build, test = (
        set(
            re.findall(
                r"^([\w-]+==\S+)", (root / "scripts" / "locks" / f"{kind}.txt").read_text("utf-8"), re.M
            )
        )
        for kind in ("build", "test")
    )
    assert build < test


def test_only_the_agreed_names_stand_at_the_top(root: Path) -> None:
    names = {name.partition("/")[0] for name in _tracked(root)}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL
    assert {"calc", "scripts", "tests"} <= names


def test_modules_are_of_one_idea(root: Path) -> None:
    sources = [name for name in _tracked(root) if re.match(r"(calc|scripts)/.*\.(py|js|mjs)$", name)]
    assert "scripts/handbook/environment.py" in sources
    lengths = {name: len((root / name).read_text("utf-8").splitlines()) for name in sources}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_MODULE} == {}
