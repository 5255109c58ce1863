"""The program texts of the engine: the page's script, and the worker as a classic script for a folder."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from handbook.console import Stop

WEB = Path(__file__).resolve().parent.parent / "web" / "engine"

# In the order in which one needs another.
_SHARED = ("missing", "streams")
_PAGE = (
    *_SHARED,
    *(f"page/{name}" for name in ("watch", "supply", "hosted", "folder", "line", "words", "engine", "begin")),
)
_WORKER = (*_SHARED, "worker/memory", "worker/core")
_PACKED_LINE = 'const PACKED = /** @type {import("../packed").Packed} */ ({});\n'

SOURCE_MAP = re.compile(r"^//# sourceMappingURL=.*\n?", re.MULTILINE)
_EXPORT = "export default _createPyodideModule;"
_OWN_ADDRESS = "import.meta.url"

# Pyodide refuses a classic worker, which it knows by this function; a page opened from a folder can have
# no other kind. Nothing in the engine imports a script.
_HIDE_KIND = 'self.importScripts = () => { throw new Error("nothing is imported here"); };\n'


def page_script(packed: Mapping[str, Any]) -> str:
    """The one script of the page, told what was packed."""
    text = _joined(*_PAGE)
    if text.count(_PACKED_LINE) != 1:
        raise Stop("web/engine/page/begin.js no longer has the line where the build writes what it packed.")
    known = json.dumps(packed, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    text = text.replace(_PACKED_LINE, f"const PACKED = {known};\n")
    return f'(() => {{\n"use strict";\n{text}}})();\n'


def worker_module() -> str:
    """The worker as a module, which fetches Pyodide and all else over http."""
    return _joined(*_WORKER, "worker/fetching", "worker/hosted")


def compiler_module() -> str:
    """The worker beside it, which fetches and compiles Python's program."""
    return _joined(*_SHARED, "worker/fetching", "worker/compiler")


def _joined(*names: str) -> str:
    return "".join((WEB / f"{name}.js").read_text("utf-8") for name in names)


def worker_classic(pyodide_js: str, asm: str) -> str:
    """The worker as one classic script that imports nothing, with Pyodide's own text inside.

    `pyodide_js` is Pyodide's classic loader, `asm` the module of its runtime. Raises `Stop` when either
    is not written as expected any more.
    """
    if "var loadPyodide=" not in pyodide_js:
        raise Stop("Pyodide's pyodide.js no longer defines loadPyodide, which the folder start needs.")
    own = _joined(*_WORKER, "worker/folder")
    parts = (_HIDE_KIND, SOURCE_MAP.sub("", pyodide_js), classic_asm(asm), own)
    return "\n".join(parts)


def classic_asm(asm: str) -> str:
    """Pyodide's runtime as a classic script that defines `createPyodideModule`.

    Raises `Stop` unless its text has the one export at its end and its own address in three places.
    """
    exports = len(re.findall(r"\bexport\b(?=\s*[{*d])", asm))
    addresses = asm.count(_OWN_ADDRESS)
    if not asm.rstrip().endswith(_EXPORT) or exports != 1 or addresses != 3:
        raise Stop(
            "Pyodide's pyodide.asm.mjs is not written as it was, so it cannot be rewritten for a folder: "
            f"the build expects `{_EXPORT}` once, at the end (exports: {exports}), and `{_OWN_ADDRESS}` "
            f"three times (found: {addresses})."
        )
    body = asm.rstrip().removesuffix(_EXPORT).replace(_OWN_ADDRESS, "self.location.href")
    return f"{body}const createPyodideModule = _createPyodideModule;\n"
