"""Long runs of what the tests do shortly: comparisons with other libraries, readers fed with rubbish."""

from __future__ import annotations

import os
import re
import subprocess
import sys

from handbook.console import Stop
from handbook.measured import Part
from handbook.settings import ROOT

EXAMPLES = 10_000
FED = 1_000_000
# A test that compares with a library names it, or what it stands for.
LIBRARIES = ("pint", "scipy", "fluids", "shapely", "trimesh", "coolprop", "numpy", "gtc", "outlier")


def compared() -> list[Part]:
    """Every comparison with another library, with many inputs each. Raises `Stop` if one fails."""
    passed = _run(["tests/calculators", "-k", " or ".join(LIBRARIES)])
    return [f"With {EXAMPLES:,} inputs each, all {passed} comparisons hold."]


def fed() -> list[Part]:
    """Every reader, fed with many broken texts. Raises `Stop` if one ends as it should not."""
    passed = _run(["tests/handbook/test_rubbish.py"])
    readers = "the readers of quantities, pages, sheets and records do as they should"
    return [f"With {FED:,} texts each, {readers} ({passed} tests)."]


def _run(chosen: list[str]) -> int:
    """How many tests pass. Raises `Stop` if one fails, or if there is none."""
    command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "worksteal", *chosen]
    variables = {**os.environ, "FURROWBOOK_EXAMPLES": str(EXAMPLES), "FURROWBOOK_FED": str(FED)}
    done = subprocess.run(
        command, cwd=ROOT, env=variables, capture_output=True, encoding="utf-8", check=False
    )
    passed = re.search(r"(\d+) passed", done.stdout)
    if done.returncode or not passed:
        raise Stop(f"A long run fails.\n{done.stdout[-3000:]}")
    return int(passed[1])
