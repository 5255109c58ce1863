"""The memory snapshot the engine starts from, made under Node and kept until its inputs change."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from handbook.console import Stop
from handbook.engine.archive import gzipped
from handbook.engine.program import WEB

PYODIDE_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip")

_MAKER = WEB / "snapshot.mjs"
_PREPARE = "import sys\nsys.path.insert(0, {archive!r})\nimport calc.reply\n"
_ARCHIVE = "/lib/calc.zip"
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


def packed_snapshot(
    node: Path, pyodide: Path, calc_zip: bytes, start: Mapping[str, Any], cache: Path
) -> bytes:
    """The snapshot as a gzip file: from `cache` where its inputs are unchanged, else made.

    Raises `Stop` when it cannot be made, which is most often a calculator that fails on its own example.
    """
    settings = json.dumps(start, sort_keys=True).encode()
    digest = hashlib.sha256()
    read = [_MAKER.read_bytes(), *((pyodide / name).read_bytes() for name in PYODIDE_FILES)]
    for piece in (settings, calc_zip, *read):
        digest.update(len(piece).to_bytes(8, "little"))
        digest.update(piece)
    kept = cache / f"snapshot-{digest.hexdigest()[:20]}.gz"
    if kept.is_file():
        return kept.read_bytes()
    cache.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=cache) as folder:
        work = Path(folder)
        packed = gzipped(_make(node, pyodide, calc_zip, settings, work))
        (work / "whole").write_bytes(packed)
        os.replace(work / "whole", kept)
    for old in cache.glob("snapshot-*.gz"):
        if old != kept:
            old.unlink(missing_ok=True)
    return packed


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
