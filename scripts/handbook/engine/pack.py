"""Packs the engine into the site: one set of files for http, one set of scripts for a folder."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handbook.console import Stop
from handbook.engine.archive import calc_archive, gzipped, payload_script
from handbook.engine.licences import Part, engine_parts
from handbook.engine.program import compiler_module, page_script, worker_classic, worker_module
from handbook.engine.snapshot import PYODIDE_FILES, packed_snapshot, start_settings


@dataclass(frozen=True)
class Engine:
    """What was packed: other people's parts, and the files by where they are needed.

    `script` is the page's script; `hosted` all that is fetched over http, the script included; `folder`
    what only a page opened from a folder reads, and so nothing to store for use offline. Names are within
    the engine's folder.
    """

    parts: tuple[Part, ...]
    script: str
    hosted: tuple[str, ...]
    folder: tuple[str, ...]


def pack(calc_dir: Path, node: Path, node_modules: Path, out: Path, cache: Path) -> Engine:
    """Write the engine for `calc_dir` into `out`, with Pyodide from `node_modules`.

    `node` makes the memory snapshot, which is kept in `cache` until something it depends on changes.
    Raises `Stop` with one sentence when something is missing or not as expected.
    """
    pyodide = node_modules / "pyodide"
    for name in (*PYODIDE_FILES, "pyodide.js", "pyodide-lock.json", "package.json"):
        if not (pyodide / name).is_file():
            raise Stop(f"Pyodide is not whole: {name} is missing from node_modules/pyodide. Set up again.")
    lock_info = json.loads((pyodide / "pyodide-lock.json").read_text("utf-8"))["info"]
    version = json.loads((pyodide / "package.json").read_text("utf-8"))["version"]
    start = start_settings(lock_info)
    calc_zip = calc_archive(calc_dir)
    snapshot = packed_snapshot(node, pyodide, calc_zip, {**start, "warm_up": _warm_up(start)}, cache)
    wasm = gzipped((pyodide / "pyodide.asm.wasm").read_bytes())
    worker, compiler = worker_module(), compiler_module()
    pyodide_folder = f"pyodide-{version}"
    hosted = {
        "calc": _named("calc", calc_zip, ".zip"),
        "snapshot": _named("snapshot", snapshot.packed, ".bin"),
        "worker": _named("worker", worker.encode(), ".mjs"),
        "compiler": _named("compiler", compiler.encode(), ".mjs"),
        "loader": f"{pyodide_folder}/pyodide.mjs",
        "runtime": f"{pyodide_folder}/pyodide.asm.mjs",
        "wasm": _named(f"{pyodide_folder}/wasm", wasm, ".bin"),
        "stdlib": f"{pyodide_folder}/python_stdlib.zip",
    }
    (out / pyodide_folder).mkdir(parents=True, exist_ok=True)
    for part in ("loader", "runtime", "stdlib"):
        shutil.copyfile(pyodide / Path(hosted[part]).name, out / hosted[part])
    # Kept packed on a reader's device too, and any host hands it on as it is.
    (out / hosted["wasm"]).write_bytes(wasm)
    (out / hosted["calc"]).write_bytes(calc_zip)
    (out / hosted["snapshot"]).write_bytes(snapshot.packed)
    _write_text(out / hosted["worker"], worker)
    _write_text(out / hosted["compiler"], compiler)
    folder = _write_payloads(out, pyodide, {"wasm": wasm, "calc": calc_zip, "snapshot": snapshot.packed})
    sizes = {part: (out / hosted[part]).stat().st_size for part in ("stdlib", "calc")}
    layouts = {
        "snapshot": snapshot.layout,
        **{part: {"size": size, "runs": [[0, size]]} for part, size in sizes.items()},
    }
    packed = {"start": start, "hosted": hosted, "folder": folder, "layouts": layouts}
    _write_text(out / "engine.js", page_script(packed))
    fetched = sorted(hosted.values())
    return Engine(
        parts=engine_parts(pyodide, lock_info),
        script="engine.js",
        hosted=("engine.js", *fetched),
        folder=tuple(sorted(folder.values())),
    )


def _named(stem: str, data: bytes, ending: str) -> str:
    """A file name that changes with the content, so that a page never meets a part of another build."""
    return f"{stem}-{hashlib.sha256(data).hexdigest()[:12]}{ending}"


_LEAVE_THE_LIBRARY = """\
import gc
for place in [one for one in sys.path if one != {archive!r}]:
    sys.path.remove(place)
    if finder := sys.path_importer_cache.pop(place, None):
        finder.invalidate_caches()
gc.collect()
"""


def _warm_up(start: dict[str, Any]) -> str:
    """What Python does before its snapshot is taken, which is then read without the standard library."""
    leave = _LEAVE_THE_LIBRARY.format(archive=start["archive"])
    return f"{start['plain']}calc.asked.warm_up()\n{leave}"


def _write_payloads(out: Path, pyodide: Path, packed: Mapping[str, bytes]) -> dict[str, str]:
    worker = worker_classic(
        (pyodide / "pyodide.js").read_text("utf-8"), (pyodide / "pyodide.asm.mjs").read_text("utf-8")
    )
    payloads = {
        **packed,
        "stdlib": (pyodide / "python_stdlib.zip").read_bytes(),
        "worker": gzipped(worker.encode()),
    }
    names = {part: "folder/" + _named(part, data, ".js") for part, data in payloads.items()}
    (out / "folder").mkdir(exist_ok=True)
    for part, data in payloads.items():
        _write_text(out / names[part], payload_script(part, data))
    return names


def _write_text(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")
