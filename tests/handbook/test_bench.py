"""Measuring works: the bare starts answer, the form is told what to type, the ratios are right.

No time is judged here: a machine that runs tests is no place to measure.
Source: arithmetic for the table, the TypeScript checker for the scripts, `calc`'s own reply for the answer.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from handbook.bench.bare import FROM_FOLDER, OVER_HTTP, SAYS, make_bare
from handbook.bench.report import report
from handbook.bench.runs import Subject, expected, filling, hosted, measure
from handbook.console import Stop


@pytest.fixture(scope="module")
def bare(node_modules: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages of a bare start."""
    folder = tmp_path_factory.mktemp("bare")
    make_bare(node_modules, folder)
    return folder


def apart(work: Callable[..., Any], *given: Any, **named: Any) -> Any:
    """Do it in a thread of its own: in this one the browser of other tests may be open."""
    with ThreadPoolExecutor(1) as threads:
        return threads.submit(work, *given, **named).result()


def test_both_bare_starts_answer(bare: Path, tmp_path: Path) -> None:
    with hosted(bare) as address:
        pages = [
            Subject("http-bare", f"{address}/{OVER_HTTP}", SAYS, False),
            Subject("folder-bare", (bare / FROM_FOLDER).as_uri(), SAYS, False),
        ]
        taken = apart(measure, pages, tmp_path, rounds=1, warm=0)
    assert set(taken) == {"http-bare", "folder-bare"}
    assert all(len(times) == 1 and times[0] > 0 for times in taken.values())


def test_a_wrong_answer_is_no_measurement(bare: Path, tmp_path: Path) -> None:
    page = Subject("folder-bare", (bare / FROM_FOLDER).as_uri(), "3", False)
    with pytest.raises(Stop, match="folder-bare answered '2' and not '3'"):
        apart(measure, [page], tmp_path, rounds=1, warm=0)


def test_the_form_is_told_what_to_type_and_what_to_wait_for() -> None:
    text = filling()
    assert '"rate": "100 lb/ac"' in text
    assert 'const RESULT = "meter_speed";' in text
    assert expected() == "40.40 rpm"  # arithmetic in US units: 100 · 40 · 5 / 495


def test_ratios_are_those_of_the_medians_with_the_aims_beside() -> None:
    taken = {
        "http": [90.0, 400.0, 5000.0],
        "http-bare": [900.0, 1000.0, 1100.0],
        "folder": [700.0, 651.0, 600.0],
        "folder-bare": [1000.0, 1000.0, 9.0],
    }
    folded = [" ".join(line.split()) for line in report(taken, 2.36).splitlines()]
    assert folded[2] == "over http 400 (90 to 5000) 1000 (900 to 1100) 0.400 0.40 at most: met"
    assert folded[3] == "from a folder 651 (600 to 700) 1000 (9 to 1000) 0.651 0.65 at most: not met"
    assert folded[4] == "the same 651 (600 to 700) 1000 (900 to 1100) 0.651 0.65 at most: not met"
    assert folded[-1].endswith(" 2.4 s")


def test_the_scripts_of_the_measurement_pass_the_checker(root: Path, node: Path, node_modules: Path) -> None:
    checker = node_modules / "typescript" / "bin" / "tsc"
    done = subprocess.run(
        [node, checker, "--project", "scripts/handbook/bench/tsconfig.json", "--listFilesOnly"],
        cwd=root, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert {Path(line).name for line in done.stdout.splitlines()} >= {
        path.name for path in (root / "scripts" / "handbook" / "bench").glob("*.js")
    }
    done = subprocess.run(
        [node, checker, "--project", "scripts/handbook/bench/tsconfig.json"],
        cwd=root, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
