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

from calc.errors import listed
from handbook import console
from handbook.bench.bare import make_bare
from handbook.bench.browsers import browsers
from handbook.bench.keys import AT_ONCE, HURRIED, PERSON, answering, press_keys
from handbook.bench.machines import COUNTS, grown, grown_table
from handbook.bench.pages import subjects
from handbook.bench.pyscript import make_pyscript
from handbook.bench.record import measured_records, record_table
from handbook.bench.report import Keys, busy_line, report
from handbook.bench.runs import measure
from handbook.bench.slowing import slowed_by
from handbook.bench.sums import work_out_all
from handbook.console import Stop
from handbook.mutation.__main__ import main as try_mutants
from handbook.settings import node_modules
from handbook.successor.__main__ import main as try_successor

FEWEST = 7


def main(arguments: Sequence[str]) -> int:
    """Measure and print; the exit code."""
    parser = argparse.ArgumentParser(
        prog="scripts/bench.py", description="Measure starts, answers to keys, and the build."
    )
    parser.add_argument(
        "--rounds", type=int, default=9, metavar="N", help=f"starts of each page, {FEWEST} at least"
    )
    parser.add_argument(
        "--machines", action="store_true", help="measure only how a book grows with its machines"
    )
    parser.add_argument("--record", action="store_true", help="measure only a record of many entries")
    parser.add_argument("--successor", action="store_true", help="only try the successor of the theme")
    parser.add_argument(
        "--mutants", type=int, metavar="N", help="only try N changes of calc on its tests, 0 for all of them"
    )
    chosen = parser.parse_args(arguments)
    if chosen.successor:
        return try_successor()
    if chosen.mutants is not None:
        return try_mutants(["--most", str(chosen.mutants)] if chosen.mutants else [])
    rounds = chosen.rounds

    def work() -> int:
        if rounds < FEWEST:
            raise Stop(
                f"A median of fewer than {FEWEST} rounds says too little: write --rounds {FEWEST} or more."
            )
        if line := busy_line():
            console.say(line)
        with tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as name:
            if chosen.machines:
                console.say(f"Writing books of {listed(map(str, COUNTS), 'and')} machines …")
                print("\n".join(grown_table(grown(Path(name)))))
            elif chosen.record:
                console.say("Building, then keeping many entries …")
                _build(Path(name) / "site")
                with browsers(Path(name) / "profile") as open_browsers:
                    print("\n".join(record_table(measured_records(open_browsers, Path(name) / "site"))))
            else:
                print(_measured(Path(name), rounds))
        return 0

    return console.stoppable(work)


def _measured(folder: Path, rounds: int) -> str:
    """The report of one run. `folder` is an empty one for all that it needs meanwhile."""
    console.say("Building, twice …")
    builds = [_build(folder / "site") for _ in range(2)]
    bare, scripted = folder / "bare", folder / "pyscript"
    for made, make in ((bare, make_bare), (scripted, make_pyscript)):
        made.mkdir()
        make(node_modules(), made)
    with subjects(folder / "site", bare, scripted) as pages, browsers(folder / "profile") as open_browsers:
        console.say(f"Opening {len(pages)} pages, {rounds} times each (a few minutes) …")
        starts = measure(open_browsers, pages, rounds)
        console.say("Pressing keys …")
        warm = next(page for page in pages if page.name == "warm")
        keys = Keys(*(press_keys(open_browsers, warm, hand) for hand in (PERSON, HURRIED, AT_ONCE)))
        console.say("Working everything out …")
        with answering(open_browsers, warm) as page:
            sums = work_out_all(page)
        slowed = slowed_by(open_browsers.kept.pages[0])
    return report(starts, keys, slowed, builds[-1], sums)


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
