"""Long runs of what the tests do shortly: comparisons with other libraries, readers fed with rubbish."""

from __future__ import annotations

import os
import subprocess
import sys

from handbook.console import Stop
from handbook.settings import ROOT

EXAMPLES = 10_000
FED = 1_000_000
# A test that compares with a library names it, or what it stands for.
LIBRARIES = ("pint", "scipy", "fluids", "shapely", "trimesh", "coolprop", "numpy", "gtc", "outlier")


def compared() -> str:
    """Every comparison with another library, with many inputs each. Raises `Stop` if one fails."""
    return f"With {EXAMPLES:,} inputs each: {_run(['tests/calculators', '-k', ' or '.join(LIBRARIES)])}"


def fed() -> str:
    """Every reader, fed with many broken texts. Raises `Stop` if one ends as it should not."""
    return f"With {FED:,} texts each: {_run(['tests/handbook/test_rubbish.py'])}"


def _run(chosen: list[str]) -> str:
    command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "worksteal", *chosen]
    variables = {**os.environ, "FURROWBOOK_EXAMPLES": str(EXAMPLES), "FURROWBOOK_FED": str(FED)}
    done = subprocess.run(
        command, cwd=ROOT, env=variables, capture_output=True, encoding="utf-8", check=False
    )
    if done.returncode:
        raise Stop(f"A long run fails.\n{done.stdout[-3000:]}")
    return next(line.strip("= ") for line in reversed(done.stdout.splitlines()) if " passed" in line)
