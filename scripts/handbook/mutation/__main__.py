"""Spreads changes over processes and tells what came of them; each runs `python -m handbook.mutation`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from threading import Thread

from handbook import console
from handbook.environment import ROOT
from handbook.measured import Part
from handbook.mutation.made import Mutant, modules, mutants
from handbook.mutation.telling import report
from handbook.mutation.touching import Touched, found
from handbook.mutation.trying import Trial, tried

WORKERS = 2


def tried_mutants(folder: Path, most: int | None) -> list[Part]:
    """Try so many changes, or all, in an empty folder; what came of it. Raises `Stop`."""
    every = [one for module in modules(ROOT) for one in mutants(ROOT, module)]
    lot = sorted(every, key=lambda one: one.lot)[:most]
    console.say("Noting which tests run each line of calc (some ten minutes) …")
    touched = found(ROOT, folder)
    console.say(f"Trying {len(lot)} of {len(every)} changes …")
    return report(ROOT, _spread(folder, touched, lot), len(every))


def _spread(folder: Path, touched: Touched, lot: Sequence[Mutant]) -> list[Trial]:
    """The trials of several processes, as they came."""
    by_code = {one.code: one for one in lot}
    (folder / "touched.json").write_text(json.dumps([touched.by_line, touched.seconds]), encoding="utf-8")
    came: list[Trial] = []

    def read(worker: subprocess.Popen[str]) -> None:
        for line in worker.stdout or ():
            code, caught, looked, seconds = json.loads(line)
            came.append(Trial(by_code[code], caught, looked, seconds))
            if len(came) % 100 == 0:
                missed = sum(not one.caught for one in came)
                console.say(f"  {len(came)} of {len(lot)}, {missed} not noticed")

    readers = []
    for number in range(WORKERS):
        part = folder / f"part-{number}"
        part.mkdir()
        codes = [one.code for one in lot[number::WORKERS]]
        (part / "lot.json").write_text(json.dumps(codes), encoding="utf-8")
        command = [sys.executable, "-P", "-m", "handbook.mutation", str(part)]
        worker = subprocess.Popen(command, stdout=subprocess.PIPE, encoding="utf-8", env=os.environ)
        readers.append((worker, Thread(target=read, args=(worker,), daemon=True)))
        readers[-1][1].start()
    for worker, reader in readers:
        reader.join()
        if worker.wait():
            raise console.Stop("A process that tried changes has ended early; its message is above.")
    return came


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
    sys.exit(console.stoppable(lambda: _worker(Path(sys.argv[1]))))
