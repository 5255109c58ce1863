"""The bare starts to compare with: pages of nothing but Pyodide and `1 + 1`, made in a temporary folder."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from handbook.engine.archive import gzipped, payload_script
from handbook.engine.program import classic_asm
from handbook.engine.snapshot import PYODIDE_FILES

HERE = Path(__file__).parent
OVER_HTTP = "bare.html"
FROM_FOLDER = "bare_folder.html"
SAYS = "2"

# A classic worker, the only kind that a page opened from a folder can have, is refused by Pyodide, which
# knows it by this function.
_HIDE_KIND = "self.importScripts = () => { throw new Error(); };\n"
_PAGE = '<!doctype html><html lang="en"><meta charset="utf-8"><title>Bare start</title>{scripts}</html>\n'


def make_bare(node_modules: Path, folder: Path) -> None:
    """Write both pages, and Pyodide from `node_modules` as they need it, into `folder`."""
    pyodide = node_modules / "pyodide"
    for name in (*PYODIDE_FILES, "pyodide-lock.json"):
        shutil.copyfile(pyodide / name, folder / name)
    shutil.copyfile(HERE / "bare.js", folder / "bare.js")
    _write_page(folder / OVER_HTTP, '<script type="module" src="bare.js"></script>')
    parts = {
        "worker": gzipped(_worker(pyodide).encode()),
        "wasm": gzipped((pyodide / "pyodide.asm.wasm").read_bytes()),
        "stdlib": (pyodide / "python_stdlib.zip").read_bytes(),  # packed as it is
    }
    for part, data in parts.items():
        script = payload_script(part, data)
        (folder / f"{part}.js").write_text(script, encoding="utf-8", newline="\n")
    shutil.copyfile(HERE / "bare_folder.js", folder / "bare_folder.js")
    names = [*parts, "bare_folder"]
    _write_page(folder / FROM_FOLDER, "".join(f'<script src="{name}.js"></script>' for name in names))


def _write_page(path: Path, scripts: str) -> None:
    path.write_text(_PAGE.format(scripts=scripts), encoding="utf-8", newline="\n")


def _worker(pyodide: Path) -> str:
    info = json.loads((pyodide / "pyodide-lock.json").read_text("utf-8"))["info"]
    own = (HERE / "bare_worker.js").read_text("utf-8").replace("LOCK_INFO", json.dumps(info))
    asm = classic_asm((pyodide / "pyodide.asm.mjs").read_text("utf-8"))
    return "\n".join([_HIDE_KIND, (pyodide / "pyodide.js").read_text("utf-8"), asm, own])
