"""`python -m handbook.mutation`: changes `calc` a little, and tells what its tests did not notice."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from threading import Thread

from handbook import console
from handbook.environment import ROOT
from handbook.mutation.made import Mutant, modules, mutants
from handbook.mutation.telling import report
from handbook.mutation.touching import Touched, found
from handbook.mutation.trying import Trial, tried

WORKERS = 2
KEPT = ROOT / ".furrowbook" / "mutants.jsonl"


def main(arguments: Sequence[str]) -> int:
    """Try and print; the exit code."""
    parser = argparse.ArgumentParser(
        prog="scripts/bench.py --mutants", description="Change calc a little, and see which tests notice."
    )
    parser.add_argument(
        "--most", type=int, metavar="N", help="N of the changes, chosen by lot, instead of all"
    )
    parser.add_argument("--worker", metavar="FOLDER", help=argparse.SUPPRESS)
    parser.add_argument("module", nargs="*", help="only these modules, such as calc/air/air.py")
    chosen = parser.parse_args(arguments)
    if chosen.worker:
        return console.stoppable(lambda: _worker(Path(chosen.worker)))
    return console.stoppable(lambda: _work(chosen.module, chosen.most))


def _work(named: Sequence[str], most: int | None) -> int:
    all_of_them = [one for module in named or modules(ROOT) for one in mutants(ROOT, module)]
    lot = sorted(all_of_them, key=lambda one: one.lot)[:most]
    with tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        console.say("Noting which tests run each line of calc (some ten minutes) …")
        touched = found(ROOT, folder)
        console.say(f"Trying {len(lot)} of {len(all_of_them)} changes …")
        trials = list(_spread(folder, touched, lot))
    print(report(ROOT, trials, len(all_of_them)))
    return 0


def _spread(folder: Path, touched: Touched, lot: Sequence[Mutant]) -> Iterator[Trial]:
    """The trials of several processes, in the order of the lot; each is also kept as it comes."""
    by_code = {one.code: one for one in lot}
    (folder / "touched.json").write_text(json.dumps([touched.by_line, touched.seconds]), encoding="utf-8")
    came: list[Trial] = []
    KEPT.parent.mkdir(exist_ok=True)
    with KEPT.open("w", encoding="utf-8") as kept:

        def read(worker: subprocess.Popen[str]) -> None:
            for line in worker.stdout or ():
                code, caught, looked, seconds = json.loads(line)
                came.append(Trial(by_code[code], caught, looked, seconds))
                kept.write(line)
                kept.flush()
                if len(came) % 100 == 0:
                    console.say(
                        f"  {len(came)} of {len(lot)}, {sum(not one.caught for one in came)} not caught"
                    )

        readers = []
        for number in range(WORKERS):
            part = folder / f"part-{number}"
            part.mkdir()
            codes = [one.code for one in lot[number::WORKERS]]
            (part / "lot.json").write_text(json.dumps(codes), encoding="utf-8")
            command = [sys.executable, "-P", "-m", "handbook.mutation", "--worker", str(part)]
            worker = subprocess.Popen(command, stdout=subprocess.PIPE, encoding="utf-8", env=os.environ)
            readers.append((worker, Thread(target=read, args=(worker,), daemon=True)))
            readers[-1][1].start()
        for worker, reader in readers:
            reader.join()
            if worker.wait():
                raise console.Stop("A process that tried changes has ended early; its message is above.")
    place = {one.code: number for number, one in enumerate(lot)}
    return iter(sorted(came, key=lambda trial: place[trial.mutant.code]))


def _worker(part: Path) -> int:
    """Try the changes of one part, and write a line about each."""
    codes = set(json.loads((part / "lot.json").read_text(encoding="utf-8")))
    by_line, seconds = json.loads((part.parent / "touched.json").read_text(encoding="utf-8"))
    lines = {module: {int(line): tests for line, tests in by.items()} for module, by in by_line.items()}
    named = sorted({code.split(":")[0] for code in codes})
    chosen = [one for module in named for one in mutants(ROOT, module) if one.code in codes]
    for one in tried(ROOT, Touched(lines, seconds), chosen):
        print(json.dumps([one.mutant.code, one.caught, one.looked, round(one.seconds, 2)]), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
