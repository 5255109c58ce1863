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
_PREPARE = "import sys\nsys.path.insert(0, {archive!r})\nimport calc.reply\n"
_ARCHIVE = "/lib/calc.zip"
_PAGE = 65_536  # bytes; WebAssembly's own measure of memory
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
            # A fixed seed, or no two snapshots would be alike; a language, or it would be the machine's.
            "env": {"HOME": "/home/pyodide", "LANG": "C.UTF-8", "PYTHONHASHSEED": "0", "PYTHONINSPECT": "1"},
            "lockFileContents": {"info": dict(lock_info), "packages": {}},
            "packageBaseUrl": "engine:/",
        },
        "archive": _ARCHIVE,
        "answer": "calc.reply.answer",
        "plain": _PREPARE.format(archive=_ARCHIVE),
    }


@dataclass(frozen=True)
class Snapshot:
    """Python's memory, `size` bytes that are zero but for `runs`, each (first byte, byte after the last).

    `packed` is a gzip file of the runs, one after another.
    """

    size: int
    runs: tuple[tuple[int, int], ...]
    packed: bytes

    @classmethod
    def of(cls, memory: bytes) -> Snapshot:
        """Pack `memory`, of which about half is an empty stack and room not used yet."""
        runs: list[tuple[int, int]] = []
        for start in range(0, len(memory), _PAGE):
            end = min(start + _PAGE, len(memory))
            if not any(memory[start:end]):
                continue
            if runs and runs[-1][1] == start:
                start = runs.pop()[0]
            runs.append((start, end))
        return cls(len(memory), tuple(runs), gzipped(b"".join(memory[start:end] for start, end in runs)))


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
        size, runs = json.loads(layout)
        return Snapshot(size, tuple((start, end) for start, end in runs), packed)
    cache.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=cache) as folder:
        work = Path(folder)
        snapshot = Snapshot.of(_make(node, pyodide, calc_zip, settings, work))
        layout = json.dumps([snapshot.size, snapshot.runs]).encode()
        (work / "whole").write_bytes(layout + b"\n" + snapshot.packed)
        os.replace(work / "whole", kept)
    for old in cache.glob("snapshot-*"):
        if old != kept:
            old.unlink(missing_ok=True)
    return snapshot


def _make(node: Path, pyodide: Path, calc_zip: bytes, settings: bytes, work: Path) -> bytes:
    archive, start, output = work / "calc.zip", work / "start.json", work / "snapshot.bin"
    archive.write_bytes(calc_zip)
    start.write_bytes(settings)
    variables = {name: os.environ[name] for name in _VARIABLES if name in os.environ}
    try:
        done = subprocess.run(
            [node, _MAKER, pyodide, archive, start, output],
            env=variables,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            check=False,
        )
    except OSError as error:
        raise Stop(f"Node could not be started ({node}): {error.strerror or error}.") from error
    if done.returncode or not output.is_file():
        lines = [line for line in done.stdout.decode("utf-8", "replace").splitlines() if line.strip()]
        said = "\n".join(f"    {line}" for line in lines[-12:])
        raise Stop(
            f"Python could not be readied for the page. Each calculator was called with its example:\n{said}"
        )
    return output.read_bytes()
