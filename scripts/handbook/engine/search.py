"""Suits the theme's search worker to the book: it knows figures, waits for Python, works from a folder."""

from __future__ import annotations

import json
from pathlib import Path

from handbook.console import Stop
from handbook.engine.program import SOURCE_MAP, WEB

# The theme's offline plugin adds a script of its own, from outside, unless one of this name is listed.
SHIM = "assets/engine/iframe-worker.js"

_WORKERS = "assets/javascripts/workers"
_TEXT_LINE = 'const SEARCH = { name: "", text: "" };\n'


def pack_search(site_dir: Path, mended: bool = True) -> Path:
    """Mend the theme's search worker, and write the script named `SHIM` with the worker's text in it.

    Without `mended`, for another theme's worker, it is only made to start in a page from a folder.

    List `SHIM` in `extra.polyfills`. Raises `Stop` unless the built site has exactly one search worker.
    """
    found = sorted((site_dir / _WORKERS).glob("search.*.js"))
    if len(found) != 1:
        raise Stop(f"The theme should have one search worker in {_WORKERS}; the built site has {len(found)}.")
    parts = WEB / "search"
    worker = SOURCE_MAP.sub("", found[0].read_text("utf-8"))
    if mended:
        worker += (parts / "words.js").read_text("utf-8")
    found[0].write_text(worker, encoding="utf-8", newline="\n")
    script = parts / ("search.js" if mended else "folder.js")
    text = script.read_text("utf-8")
    if text.count(_TEXT_LINE) != 1:
        raise Stop(f"web/engine/search/{script.name} no longer has the line for the worker.")
    known = json.dumps({"name": found[0].name, "text": worker}, ensure_ascii=False)
    shim = site_dir / SHIM
    shim.parent.mkdir(parents=True, exist_ok=True)
    shim.write_text(text.replace(_TEXT_LINE, f"const SEARCH = {known};\n"), encoding="utf-8", newline="\n")
    return shim
