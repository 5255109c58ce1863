"""Which tests run each line of `calc`, and how long each takes: a pytest plugin, and what it found."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Generator, Iterable
from dataclasses import dataclass
from pathlib import Path

import coverage
import pytest
from hypothesis import settings

from handbook.console import Stop

TESTS = "tests/calculators"
COMMAND_LINE = (
    f"{TESTS}/test_command_line.py"  # runs `calc` in a process of its own, which is not looked into
)
DECLARED = f"{TESTS}/test_kept.py"  # looks at what stands there since the import, and runs no line of it
DATA, TIMES = ".coverage", "times.json"
OPTIONS = ("-q", "-p", "no:xdist", "-p", "no:cacheprovider", "--noconftest", "--override-ini=addopts=")
IMPORT_MODE = "--import-mode=importlib"


class Plain:
    """What the tests of `calc` need of `tests/conftest.py`, without the generator that it brings along."""

    def __init__(self) -> None:
        settings.register_profile("plain", derandomize=True, deadline=None, database=None)
        settings.load_profile("plain")

    @pytest.fixture(scope="session")
    def root(self) -> Path:
        """The top of the copy that the tests run in."""
        return Path.cwd()


class Touching(Plain):
    """Notes each test's lines under its own name, and its time."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._times = folder / TIMES
        self._coverage = coverage.Coverage(data_file=str(folder / DATA), source=["calc"], config_file=False)
        self._coverage.start()
        self._taken: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """Run one test under its name."""
        self._coverage.switch_context(item.nodeid)
        began = time.perf_counter()
        try:
            return (yield)
        finally:
            self._taken[item.nodeid] = time.perf_counter() - began
            self._coverage.switch_context("")

    def pytest_sessionfinish(self) -> None:
        """Keep what was found."""
        self._coverage.stop()
        self._coverage.save()
        self._times.write_text(json.dumps(self._taken), encoding="utf-8")


@dataclass(frozen=True)
class Touched:
    """The tests of each line of each module, and the seconds of each test."""

    by_line: dict[str, dict[int, list[str]]]
    seconds: dict[str, float]

    def tests(self, module: str, line: int) -> list[str]:
        """The tests that run a line, the quickest first; if none does, those of its module or its room."""
        lines = self.by_line.get(module, {})
        room = [
            self.by_line[one] for one in self.by_line if one.rpartition("/")[0] == module.rpartition("/")[0]
        ]
        found = set(lines.get(line, ()))
        if not found:
            found = _all((lines,)) or _all(room)
            found |= {test for test in self.seconds if test.startswith(DECLARED)}
        if module == "calc/__main__.py":
            found |= {test for test in self.seconds if test.startswith(COMMAND_LINE)}
        return sorted(found, key=lambda test: (self.seconds[test], test))


def _all(modules: Iterable[dict[int, list[str]]]) -> set[str]:
    return {test for lines in modules for tests in lines.values() for test in tests}


def found(root: Path, folder: Path) -> Touched:
    """Run all tests of `calc` once below `root`, and say which touch what. Raises `Stop` if one fails."""
    command = [sys.executable, "-m", "handbook.mutation.touching", str(folder)]
    variables = {**os.environ, "PYTHONPATH": os.pathsep.join((str(root), str(root / "scripts")))}
    done = subprocess.run(
        command, cwd=root, env=variables, capture_output=True, encoding="utf-8", check=False
    )
    if done.returncode:
        raise Stop(f"The tests of calc fail as they are; nothing can be tried.\n{done.stdout[-2000:]}")
    data = coverage.CoverageData(str(folder / DATA))
    data.read()
    by_line: dict[str, dict[int, list[str]]] = {}
    for path in data.measured_files():
        lines = {line: [one for one in tests if one] for line, tests in data.contexts_by_lineno(path).items()}
        by_line[Path(path).relative_to(root).as_posix()] = lines
    return Touched(by_line, json.loads((folder / TIMES).read_text(encoding="utf-8")))


if __name__ == "__main__":
    sys.exit(pytest.main([*OPTIONS, IMPORT_MODE, TESTS], plugins=[Touching(Path(sys.argv[1]))]))
