"""A copy of the book to try something on, and its own programs at work in it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from handbook.console import Stop

PROGRAMS = ("calc", "scripts")
_KEPT = Path(".furrowbook", "cache")
_SHOWING = re.compile(r"Showing it at (\S+) until")


def copy_parts(root: Path, folder: Path, *names: str) -> Path:
    """Copy these folders and files of the repository to the same places in `folder`."""
    for name in names:
        if (root / name).is_dir():
            shutil.copytree(root / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(root / name, folder / name)
    return folder


def copy_book(root: Path, folder: Path, *more: str) -> Path:
    """Copy the book, its menu and these further parts of the repository into `folder`."""
    return copy_parts(root, folder, "docs", "mkdocs.yml", *more)


def copy_engine(root: Path, folder: Path) -> None:
    """Copy what a build has kept of Python in the browser, if there is any; the book does not change it."""
    if (root / _KEPT).is_dir():
        shutil.copytree(root / _KEPT, folder / _KEPT, ignore=shutil.ignore_patterns("site-*"))


def module_in(folder: Path, module: str, *arguments: str) -> tuple[list[str], dict[str, str]]:
    """The command and the variables that run a module of a copy, whose own modules stand first."""
    paths = os.pathsep.join([str(folder), str(folder / "scripts")])
    return [sys.executable, "-P", "-m", module, *arguments], os.environ | {"PYTHONPATH": paths}


@contextmanager
def previewed(folder: Path) -> Iterator[tuple[str, subprocess.Popen[str]]]:
    """The preview of a copy for as long as this lasts: its address and its process. Raises `Stop`."""
    words, variables = module_in(folder, "handbook.preview", "--port", "0")
    said = []
    with subprocess.Popen(words, env=variables, stderr=subprocess.PIPE, encoding="utf-8") as process:
        for line in process.stderr or ():
            said.append(line)
            if found := _SHOWING.search(line):
                try:
                    yield found[1], process
                finally:
                    process.terminate()
                return
    raise Stop(f"The preview did not begin.\n{''.join(said)}")
