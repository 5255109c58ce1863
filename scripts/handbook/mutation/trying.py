"""Tries changes one after another: each is written into a copy, and the tests that touch it are run there.

The copy's Python is compiled beforehand, and each trial is a fork of a process that has already
imported the large libraries: most of a trial is then its tests.
"""

from __future__ import annotations

import compileall
import contextlib
import importlib
import math
import os
import py_compile
import signal
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from handbook.console import Stop
from handbook.copying import copy_parts
from handbook.mutation.made import Mutant, written
from handbook.mutation.touching import IMPORT_MODE, OPTIONS, TESTS, Plain, Touched

LARGE = (
    *("numpy", "scipy.stats", "scipy.optimize", "scipy.interpolate", "scipy.spatial", "pint", "shapely.ops"),
    *("trimesh", "CoolProp.CoolProp", "hypothesis.strategies", "outliers", "jsonschema"),
)
ENOUGH = 40.0  # seconds of tests for one change; those beyond are left out, which can only spare a change
FIRST = 2  # files of tests that are tried before the others
SLACK = 6.0  # times its usual time is a test that no longer ends


@dataclass(frozen=True)
class Trial:
    """What became of a change: caught or not, by how many tests looked at, in how many seconds."""

    mutant: Mutant
    caught: bool
    looked: int
    seconds: float


def copied(root: Path, folder: Path) -> Path:
    """A copy of `calc`, its tests and what they read.

    It is compiled so that Python sees a changed module by what it says, not by its date.
    """
    read = ("docs", "scripts", TESTS, "pyproject.toml", "tests/conftest.py")
    copy = copy_parts(root, folder / "copy", "calc", *read)
    compileall.compile_dir(
        copy / "calc", quiet=1, invalidation_mode=py_compile.PycInvalidationMode.CHECKED_HASH
    )
    return copy


class Only(Plain):
    """Runs the named tests in their order, and no others."""

    def __init__(self, tests: Sequence[str]) -> None:
        super().__init__()
        self._place = {test: place for place, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Drop and sort."""
        items[:] = sorted(
            (item for item in items if item.nodeid in self._place), key=lambda item: self._place[item.nodeid]
        )


def tried(root: Path, touched: Touched, chosen: Sequence[Mutant]) -> Iterator[Trial]:
    """Each change in turn, in a copy of its own process."""
    with tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as name:
        copy = copied(root, Path(name))
        os.chdir(copy)
        sys.path[:0] = [str(copy)]
        os.environ["PYTHONPATH"] = str(copy)
        os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
        sys.dont_write_bytecode = True
        if "calc" in sys.modules:
            raise RuntimeError("calc is imported already: no change of it would ever be seen")
        for large in LARGE:
            importlib.import_module(large)
        quickest = sorted(touched.seconds, key=touched.seconds.__getitem__)
        everything = [test for lot in rounds(touched, quickest) for test in lot]
        if not _pass(everything, math.inf):
            raise Stop("The tests of calc fail in a copy in which nothing is changed.")
        for mutant in chosen:
            yield _one(copy, touched, mutant)


def _one(copy: Path, touched: Touched, mutant: Mutant) -> Trial:
    path = copy / mutant.module
    source = path.read_text(encoding="utf-8")
    began = time.perf_counter()
    looked = 0
    path.write_text(written(source, mutant.number), encoding="utf-8")
    try:
        for tests in rounds(touched, touched.tests(mutant.module, mutant.line)):
            looked += len(tests)
            patience = 20 + SLACK * sum(touched.seconds[test] for test in tests)
            if not _pass(tests, patience):
                return Trial(mutant, True, looked, time.perf_counter() - began)
    finally:
        path.write_text(source, encoding="utf-8")
    return Trial(mutant, False, looked, time.perf_counter() - began)


def rounds(touched: Touched, tests: Sequence[str]) -> Iterator[list[str]]:
    """The tests to try: first those of the files that look most into it, then the others, as time allows."""
    left, kept = ENOUGH, []
    for test in tests:
        left -= touched.seconds[test]
        if left < 0:
            break
        kept.append(test)
    files: dict[str, int] = {}
    for test in kept:
        files[test.split("::")[0]] = files.get(test.split("::")[0], 0) + 1
    first = sorted(files, key=lambda one: (-files[one], one))[:FIRST]
    for lot in (
        [test for test in kept if test.split("::")[0] in first],
        [test for test in kept if test.split("::")[0] not in first],
    ):
        if lot:
            yield lot


def _pass(tests: Sequence[str], patience: float) -> bool:
    """Whether all tests pass with the copy as it is; one that does not end in time does not."""
    child = os.fork()
    if child == 0:
        os.setsid()
        code = 1
        try:
            with Path(os.devnull).open("w") as nowhere:
                os.dup2(nowhere.fileno(), 1)
                os.dup2(nowhere.fileno(), 2)
                files = sorted({test.split("::")[0] for test in tests})
                code = int(pytest.main([*OPTIONS, IMPORT_MODE, "-x", *files], plugins=[Only(tests)]))
        except BaseException:  # a change may do anything, and whatever it breaks is noticed
            code = 1
        finally:
            os._exit(0 if code in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) else 1)
    end = time.monotonic() + patience
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status) == 0
        time.sleep(0.01)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return False
