"""The memory snapshot the engine starts from, made under Node and kept until its inputs change."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handbook.console import Stop
from handbook.engine.archive import gzipped
from handbook.engine.program import WEB

PYODIDE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")

_MAKER = WEB / "snapshot.mjs"
_PREPARE = "import sys\nsys.path.insert(0, {archive!r})\nimport calc.asked\n"
_ARCHIVE = "/lib/calc.zip"
_MAGIC = b"\x00snp"
_PAGE = 4_096  # bytes that are left out together
# Node needs no more of the machine's own settings than these; others would change what it does.
_VARIABLES = ("PATH", "SYSTEMROOT", "TEMP", "TMP")


def start_settings(lock_info: Mapping[str, str]) -> dict[str, Any]:
    """How Python is started, alike at the build and in the page.

    `lock_info` is what Pyodide's own lock file says of itself. An empty list of packages keeps Pyodide
    from fetching that file in the page.
    """
    return {
        "options": {
            "_sysExecutable": "./this.program",
            "args": [],
            "env": {
                "HOME": "/home/pyodide",
                # A fixed seed, or no two snapshots would be alike; a language, or it would be the machine's.
                "LANG": "C.UTF-8",
                "PYTHONHASHSEED": "0",
                "PYTHONINSPECT": "1",
                # Docstrings and columns of code would be a tenth of what is stored; no reader sees them.
                "PYTHONNODEBUGRANGES": "1",
                "PYTHONOPTIMIZE": "2",
            },
            "lockFileContents": {"info": dict(lock_info), "packages": {}},
            "packageBaseUrl": "engine:/",
        },
        "archive": _ARCHIVE,
        "answer": "calc.asked.answer",
        "plain": _PREPARE.format(archive=_ARCHIVE),
    }


@dataclass(frozen=True)
class Snapshot:
    """Python's memory, packed.

    `packed` is a gzip file of the pieces that `layout` calls its `runs`, one after another, each from a byte
    to the byte after its last. Of `layout["size"]` bytes the others are zero, but for the pieces `brought`:
    there stands what Python's program has in memory when it starts, which begins at the byte `begins`.
    """

    layout: Mapping[str, Any]
    packed: bytes

    @classmethod
    def of(cls, memory: bytes, brought: bytes) -> Snapshot:
        """Pack a snapshot as Pyodide makes it; `brought` is the memory of a program just started.

        Raises `Stop` if it is not written as expected any more.
        """
        begins = int.from_bytes(memory[4:8], "little")
        if memory[:4] != _MAGIC or begins > len(memory):
            raise Stop("Pyodide's snapshot is not written as it was: it does not say where memory begins.")
        runs: list[list[int]] = [[0, begins]]
        same: list[list[int]] = []
        for start in range(begins, len(memory), _PAGE):
            end = min(start + _PAGE, len(memory))
            piece = memory[start:end]
            if any(piece):
                alike = piece == brought[start - begins : end - begins]
                _extend(same if alike else runs, start, end)
        written = gzipped(b"".join(memory[start:end] for start, end in runs))
        return cls({"size": len(memory), "begins": begins, "runs": runs, "brought": same}, written)


def _extend(runs: list[list[int]], start: int, end: int) -> None:
    if runs and runs[-1][1] == start:
        runs[-1][1] = end
    else:
        runs.append([start, end])


def packed_snapshot(
    node: Path, pyodide: Path, calc_zip: bytes, start: Mapping[str, Any], cache: Path
) -> Snapshot:
    """The snapshot: from `cache` where its inputs are unchanged, else made.

    Raises `Stop` when it cannot be made, which is most often a calculator that fails on its own example.
    """
    settings = json.dumps(start, sort_keys=True).encode()
    digest = hashlib.sha256(str(_PAGE).encode())
    read = [_MAKER.read_bytes(), *((pyodide / name).read_bytes() for name in PYODIDE_FILES)]
    for piece in (settings, calc_zip, *read):
        digest.update(len(piece).to_bytes(8, "little"))
        digest.update(piece)
    kept = cache / f"snapshot-{digest.hexdigest()[:20]}.kept"
    if kept.is_file():
        layout, _, packed = kept.read_bytes().partition(b"\n")
        return Snapshot(json.loads(layout), packed)
    cache.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=cache) as folder:
        work = Path(folder)
        snapshot = Snapshot.of(*_make(node, pyodide, calc_zip, settings, work))
        layout = json.dumps(snapshot.layout).encode()
        (work / "whole").write_bytes(layout + b"\n" + snapshot.packed)
        os.replace(work / "whole", kept)
    for old in cache.glob("snapshot-*"):
        if old != kept:
            old.unlink(missing_ok=True)
    return snapshot


def _make(node: Path, pyodide: Path, calc_zip: bytes, settings: bytes, work: Path) -> tuple[bytes, bytes]:
    archive, start = work / "calc.zip", work / "start.json"
    output, brought = work / "snapshot.bin", work / "brought.bin"
    archive.write_bytes(calc_zip)
    start.write_bytes(settings)
    variables = {name: os.environ[name] for name in _VARIABLES if name in os.environ}
    try:
        done = subprocess.run(
            [node, _MAKER, pyodide, archive, start, output, brought],
            env=variables,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            check=False,
        )
    except OSError as error:
        raise Stop(f"Node could not be started ({node}): {error.strerror or error}.") from error
    if done.returncode or not brought.is_file():
        lines = [line for line in done.stdout.decode("utf-8", "replace").splitlines() if line.strip()]
        said = "\n".join(f"    {line}" for line in lines[-12:])
        raise Stop(
            f"Python could not be readied for the page. Each calculator was called with its example:\n{said}"
        )
    return output.read_bytes(), brought.read_bytes()
