"""`python -m handbook.bench`: builds, measures and prints; scripts/bench.py sets up what it needs."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from handbook import console
from handbook.bench.bare import make_bare
from handbook.bench.report import busy_line, report
from handbook.bench.runs import measure, subjects
from handbook.console import Stop
from handbook.settings import node_modules

FEWEST = 7


def main(arguments: Sequence[str]) -> int:
    """Measure and print; the exit code."""
    parser = argparse.ArgumentParser(prog="scripts/bench.py", description="Measure starts and the build.")
    parser.add_argument(
        "--rounds", type=int, default=9, metavar="N", help=f"rounds of each, {FEWEST} at least"
    )
    rounds = parser.parse_args(arguments).rounds

    def work() -> int:
        if rounds < FEWEST:
            raise Stop(
                f"A median of fewer than {FEWEST} rounds says too little: write --rounds {FEWEST} or more."
            )
        if line := busy_line():
            console.say(line)
        with tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as name:
            folder = Path(name)
            console.say("Building, twice …")
            builds = [_build(folder / "site") for _ in range(2)]
            (folder / "bare").mkdir()
            make_bare(node_modules(), folder / "bare")
            console.say(f"Opening four pages, {rounds} times each …")
            with subjects(folder / "site", folder / "bare") as pages:
                taken = measure(pages, folder / "profile", rounds)
        print(report(taken, builds[-1]))
        return 0

    return console.stoppable(work)


def _build(output: Path) -> float:
    """Seconds that a build takes, its own start of Python included. Raises `Stop` with what it says."""
    began = time.perf_counter()
    command = [sys.executable, "-P", "-m", "handbook.build", "--output", str(output)]
    done = subprocess.run(command, env=os.environ, capture_output=True, encoding="utf-8", check=False)
    if done.returncode:
        raise Stop(f"The book could not be built.\n{done.stderr.strip()}")
    return time.perf_counter() - began


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
