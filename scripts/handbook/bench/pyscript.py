"""A page of PyScript to compare with, as a newcomer would write it, with all its files on this machine."""

from __future__ import annotations

import shutil
from pathlib import Path

from handbook.engine.snapshot import PYODIDE_FILES

PAGE = "pyscript.html"

# The settings are JSON and not TOML: so it need not load a reader of TOML first.
_TEXT = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>PyScript</title>
<link rel="stylesheet" href="core.css">
<script type="module" src="core.js"></script>
</head>
<body>
<py-config type="json">{"interpreter": "pyodide/pyodide.mjs"}</py-config>
<script type="py">
from pyscript import display

display(1 + 1)
</script>
</body>
</html>
"""


def make_pyscript(node_modules: Path, folder: Path) -> None:
    """Write the page into `folder`, with PyScript and Pyodide from `node_modules` beside it."""
    program = node_modules / "@pyscript" / "core" / "dist"
    for path in (*sorted(program.glob("*.js")), program / "core.css"):
        shutil.copyfile(path, folder / path.name)
    (folder / "pyodide").mkdir()
    for name in (*PYODIDE_FILES, "pyodide-lock.json"):
        shutil.copyfile(node_modules / "pyodide" / name, folder / "pyodide" / name)
    (folder / PAGE).write_text(_TEXT, encoding="utf-8", newline="\n")
