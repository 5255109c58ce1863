"""Other people's work in the engine: what it is, under what licence, and where its source is."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from handbook.console import Stop

_TEXTS = Path(__file__).resolve().parent.parent / "licence_texts"


@dataclass(frozen=True)
class Part:
    """A part of someone else's making that the handbook hands on.

    `licence` is the short name (SPDX where there is one), `text` the licence in full, `source` the
    address where its source is.
    """

    name: str
    version: str
    licence: str
    text: str
    source: str


# What is inside this build of Pyodide, as its Python reports it; where it cannot be asked, the version is
# left open. Another version of Pyodide has to be looked at anew.
_PYODIDE = "314.0.7"
_PYTHON = "3.14.2"
_UNSTATED = "as built into Pyodide"
_INSIDE = (
    ("Pyodide", _PYODIDE, "MPL-2.0", "mpl-2.0", "https://github.com/pyodide/pyodide"),
    ("Stackframe, Error Stack Parser", _UNSTATED, "MIT", "stackframe", "https://github.com/stacktracejs"),
    ("CPython and its standard library", _PYTHON, "PSF-2.0", "python", "https://github.com/python/cpython"),
    ("Emscripten", "5.0.3", "MIT", "emscripten", "https://github.com/emscripten-core/emscripten"),
    ("musl", _UNSTATED, "MIT", "musl", "https://musl.libc.org"),
    ("LLVM run-time libraries", _UNSTATED, "Apache-2.0 WITH LLVM-exception", "llvm", "https://github.com/llvm/llvm-project"),
    ("libffi", _UNSTATED, "MIT", "libffi", "https://github.com/libffi/libffi"),
    ("zlib", "1.3.1", "Zlib", "zlib", "https://zlib.net"),
    ("bzip2", "1.0.6", "bzip2-1.0.6", "bzip2", "https://sourceware.org/bzip2"),
    ("XZ Utils (liblzma)", _UNSTATED, "public domain", "xz", "https://tukaani.org/xz"),
    ("Zstandard", "1.5.7", "BSD-3-Clause", "zstd", "https://github.com/facebook/zstd"),
    ("Expat", "2.7.3", "MIT", "expat", "https://github.com/libexpat/libexpat"),
    ("libmpdec", "2.5.1", "BSD-2-Clause", "mpdecimal", "https://www.bytereef.org/mpdecimal"),
    ("HACL*", _UNSTATED, "MIT", "hacl", "https://github.com/hacl-star/hacl-star"),
    ("SQLite", "3.39.0", "public domain", "sqlite", "https://www.sqlite.org"),
)  # fmt: skip


def engine_parts(pyodide: Path, lock_info: Mapping[str, str]) -> tuple[Part, ...]:
    """Everything inside the Pyodide in this folder, whose lock file says `lock_info` of itself.

    The texts are those in `licence_texts/`. Raises `Stop` for a version nobody has looked into, or a text
    that is missing.
    """
    version = json.loads((pyodide / "package.json").read_text("utf-8"))["version"]
    if (version, lock_info["python"]) != (_PYODIDE, _PYTHON):
        raise Stop(
            f"Pyodide is now {version} with Python {lock_info['python']}, and engine/licences.py tells "
            f"what is inside {_PYODIDE} with {_PYTHON}: look into the new one and bring that up to date."
        )
    return tuple(
        Part(name, number, licence, licence_text(text), source)
        for name, number, licence, text, source in _INSIDE
    )


def licence_text(name: str) -> str:
    """The text kept as `licence_texts/NAME.txt`. Raises `Stop` where there is none."""
    path = _TEXTS / f"{name}.txt"
    text = path.read_text("utf-8") if path.is_file() else ""
    if not text.strip():
        raise Stop(
            f"The licence text handbook/licence_texts/{path.name} is missing; nothing is packed without it."
        )
    return text
