"""How a book grows with its machines: time and size of its pages with 1, 10, 50 and 200 sheets."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from handbook.console import Stop
from handbook.copying import copy_book
from handbook.measured import Part, Table
from handbook.settings import ROOT

COUNTS = (1, 10, 50, 200)
FIRST = "prairie-four"  # which the lessons use
_BUILD = (
    "import sys; from pathlib import Path; from handbook.build import fix_date, write_pages; "
    "fix_date(); write_pages(Path(sys.argv[1]), Path(sys.argv[2]))"
)


@dataclass(frozen=True)
class Grown:
    """A book of so many machines: seconds to write its pages, and bytes of all of them and of its search."""

    machines: int
    seconds: float
    size: int
    search: int


def grown(folder: Path, counts: Sequence[int] = COUNTS) -> list[Grown]:
    """The book of this folder with so many machines each time, in an empty `folder`. Raises `Stop`."""
    found = []
    for count in counts:
        root = folder / f"book-{count}"
        _make(root, count)
        began = time.perf_counter()
        words = [sys.executable, "-P", "-c", _BUILD, str(root), str(root / "site")]
        done = subprocess.run(words, env=os.environ, capture_output=True, encoding="utf-8", check=False)
        seconds = time.perf_counter() - began
        if done.returncode:
            raise Stop(f"The book of {count} machines could not be built.\n{done.stderr.strip()[-500:]}")
        files = [path for path in (root / "site").rglob("*") if path.is_file()]
        search = root / "site" / "search" / "search_index.json"
        found.append(Grown(count, seconds, sum(path.stat().st_size for path in files), search.stat().st_size))
        shutil.rmtree(root)
    return found


def _make(root: Path, count: int) -> None:
    """A copy of the book with so many machines: its own, and then these again under other names."""
    copy_book(ROOT, root)
    (root / "scripts").symlink_to(ROOT / "scripts", target_is_directory=True)
    own = sorted((root / "docs" / "machines").glob("*.yml"), key=lambda path: path.stem != FIRST)
    texts = [path.read_text("utf-8") for path in own]
    for path in own[count:]:
        path.unlink()
    for number in range(len(own), count):
        text = re.sub(r"^name: (.*)$", rf"name: \1 {number}", texts[number % len(own)], flags=re.M)
        stem = own[number % len(own)].stem
        (own[0].parent / f"{stem}-{number}.yml").write_text(text, encoding="utf-8", newline="\n")


def grown_table(books: Sequence[Grown]) -> list[Part]:
    """A row a book: its time and size, and what each machine more than in the row above it costs."""
    rows = []
    for before, one in zip([None, *books], books, strict=False):
        each: tuple[str, ...] = ()
        if before:
            more = one.machines - before.machines
            each = (
                f"{(one.seconds - before.seconds) / more:.2f}",
                f"{(one.size - before.size) / more / 1e6:.2f}",
            )
        sizes = (f"{one.size / 1e6:.2f}", f"{one.search / 1e6:.2f}")
        rows.append((f"{one.machines}", f"{one.seconds:.1f}", *sizes, *each))
    heads = ("machines", "pages, s", "pages, MB", "search, MB", "s each", "MB each")
    return [Table(heads, tuple(rows))]
