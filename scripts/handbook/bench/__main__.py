"""`python -m handbook.bench`: builds, measures and prints; scripts/bench.py sets up what it needs."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from calc.errors import listed
from handbook import console
from handbook.bench.bare import make_bare
from handbook.bench.browsers import Browsers, browsers
from handbook.bench.edits import edited, edited_table
from handbook.bench.growth import COUNTS as PAGES
from handbook.bench.growth import built, built_table
from handbook.bench.keys import AT_ONCE, HURRIED, PERSON, answering, press_keys
from handbook.bench.long import compared, fed
from handbook.bench.machines import COUNTS, grown, grown_table
from handbook.bench.pages import Subject, subjects
from handbook.bench.pyscript import make_pyscript
from handbook.bench.record import measured_records, record_table
from handbook.bench.report import Keys, busy_line, report
from handbook.bench.results import keep, write_page
from handbook.bench.runs import Start, measure
from handbook.bench.slowing import slowed_by
from handbook.bench.sums import Sum, work_out_all
from handbook.console import Stop
from handbook.measured import Part, as_text
from handbook.mutation.__main__ import tried_mutants
from handbook.settings import node_modules
from handbook.successor.holds import tried_successor

PROFILES = 3
FEWEST = 3 * PROFILES
ONLY = {
    "pages": "how a build grows with its pages, beside plain MkDocs",
    "edits": "how soon an edit shows in the preview",
    "machines": "how a book grows with its machines",
    "record": "a record of many entries",
    "compared": "the sums beside other libraries, with many inputs (long)",
    "fed": "readers fed with a million broken texts each (long)",
    "successor": "the successor of the theme",
    "results": "write the page of results of all that was measured here",
}


def main(arguments: Sequence[str]) -> int:
    """Measure and print; the exit code."""
    parser = argparse.ArgumentParser(
        prog="scripts/bench.py", description="Measure starts, answers to keys, and the build."
    )
    parser.add_argument(
        "--rounds", type=int, default=FEWEST, metavar="N", help=f"starts of each page, {FEWEST} at least"
    )
    parser.add_argument(
        "--mutants", type=int, metavar="N", help="only try N changes of calc on its tests, 0 for all of them"
    )
    for name, told in ONLY.items():
        parser.add_argument(f"--{name}", action="store_true", help=f"only {told}")
    chosen = parser.parse_args(arguments)

    def work() -> int:
        if chosen.results:
            missing = write_page()
            console.say(f"Not measured here yet: {listed(missing, 'and')}." if missing else "Written.")
            return 0
        if chosen.rounds < FEWEST:
            raise Stop(
                f"Fewer than {FEWEST} rounds in {PROFILES} profiles say too little: "
                f"write --rounds {FEWEST} or more."
            )
        if line := busy_line():
            console.say(line)
        name = next((one for one in ONLY if getattr(chosen, one)), "starts")
        if chosen.mutants is not None:
            name = "mutants"
        with tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as folder:
            said = _said(name, Path(folder), chosen)
        keep(name, said)
        print(as_text(said))
        return 0

    return console.stoppable(work)


def _said(name: str, folder: Path, chosen: argparse.Namespace) -> list[Part]:
    """What one measurement says. `folder` is an empty one for all that it needs meanwhile."""
    if name == "mutants":
        return tried_mutants(folder, chosen.mutants or None)
    if name == "successor":
        return tried_successor(folder)
    if name == "compared":
        console.say("Comparing (half an hour) …")
        return compared()
    if name == "fed":
        console.say("Feeding (half an hour) …")
        return fed()
    if name == "pages":
        console.say(f"Building books of {listed(map(str, PAGES), 'and')} pages, four times each …")
        return built_table(built(folder))
    if name == "edits":
        console.say("Saving edits (two minutes) …")
        with browsers(folder / "profile") as open_browsers:
            return edited_table(*edited(open_browsers, folder))
    if name == "machines":
        console.say(f"Writing books of {listed(map(str, COUNTS), 'and')} machines …")
        return grown_table(grown(folder))
    if name == "record":
        console.say("Building, then keeping many entries …")
        _build(folder / "site")
        with browsers(folder / "profile") as open_browsers:
            return record_table(measured_records(open_browsers, folder / "site"))
    return _measured(folder, chosen.rounds)


def _measured(folder: Path, rounds: int) -> list[Part]:
    """The report of one run. `folder` is an empty one for all that it needs meanwhile."""
    console.say("Building, twice …")
    builds = [_build(folder / "site") for _ in range(2)]
    bare, scripted = folder / "bare", folder / "pyscript"
    for made, make in ((bare, make_bare), (scripted, make_pyscript)):
        made.mkdir()
        make(node_modules(), made)
    starts: dict[str, list[Start]] = {}
    with subjects(folder / "site", bare, scripted) as pages:
        console.say(f"Opening {len(pages)} pages, {rounds} times each (ten minutes) …")
        for profile in range(PROFILES):
            with browsers(folder / f"profile-{profile}") as open_browsers:
                for name, taken in measure(open_browsers, pages, -(-rounds // PROFILES)).items():
                    starts.setdefault(name, []).extend(replace(one, profile=profile) for one in taken)
                if profile == PROFILES - 1:
                    asked = _asked(open_browsers, next(page for page in pages if page.name == "warm"))
    keys, sums, slowed = asked
    return report(starts, keys, slowed, builds[-1], sums)


def _asked(open_browsers: Browsers, warm: Subject) -> tuple[Keys, list[Sum], dict[str, tuple[float, float]]]:
    """What a page that answers is measured by; `warm` is stored in the profile of these browsers."""
    console.say("Pressing keys …")
    keys = Keys(*(press_keys(open_browsers, warm, hand) for hand in (PERSON, HURRIED, AT_ONCE)))
    console.say("Working everything out …")
    with answering(open_browsers, warm) as page:
        sums = work_out_all(page)
    return keys, sums, slowed_by(open_browsers.kept.pages[0])


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
