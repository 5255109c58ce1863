"""How a build grows with its pages, beside plain MkDocs with the same theme and the same Markdown."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

from handbook.book import read_book
from handbook.console import Stop
from handbook.generated import generated_pages
from handbook.measured import Part, Table, verdict
from handbook.settings import ROOT
from handbook.successor.trial import write_book

COUNTS = (50, 200, 1000)
AIM = 2.0  # times the time of plain MkDocs
ROOMS = ("lessons", "procedures", "cards")
LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
GLOSSARY = "reference/glossary.yml"
OF_A_MACHINE = "machine:"  # as an option: such a page needs its sheet

# Each prints its seconds, those of what comes after, and the most memory that it ever took, and has a Python
# of its own.
_MEASURED = """\
import json, resource, sys, time
from pathlib import Path
began = time.perf_counter()
{work}
done = time.perf_counter()
{afterwards}
after = time.perf_counter() - done
most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(json.dumps([done - began, after, most * (1 if sys.platform == "darwin" else 1024)]))
"""
_OURS = """\
from handbook.build import fix_date, write_pages
fix_date()
write_pages(Path(sys.argv[1]), Path(sys.argv[2]))"""
_CLOSED = """\
from handbook.engine import apply_policy
apply_policy(Path(sys.argv[2]))"""
_PLAIN = """\
import logging
logging.disable(logging.CRITICAL)
from mkdocs.commands.build import build
from mkdocs.config import load_config
build(load_config(str(Path(sys.argv[1]) / "mkdocs.yml"), site_dir=sys.argv[2]))"""


@dataclass(frozen=True)
class Built:
    """A book of so many pages of Markdown: seconds and bytes of memory, ours and of plain MkDocs.

    `closing` are the seconds that ours takes afterwards to close its pages to the outside.
    """

    pages: int
    ours: tuple[float, int]
    plain: tuple[float, int]
    closing: float = 0.0


def built(folder: Path, counts: Sequence[int] = COUNTS) -> list[Built]:
    """Books of so many pages, in an empty `folder`. Raises `Stop` where one cannot be built."""
    found = []
    for count in counts:
        root, plain = folder / f"pages-{count}", folder / f"plain-{count}"
        _make(root, count)
        plain.mkdir()
        _make_plain(root, plain)
        # Twice each, so that neither pays for what is read from the disk the first time.
        for _ in range(2):
            seconds, closing, memory = _measured(_OURS, root, _CLOSED)
            other, _, most = _measured(_PLAIN, plain)
        for one in (root, plain):
            pages = len(list((one / "site").rglob("*.html"))) - 1  # that which says that a page is not there
            assert pages == count, (one, pages)
            shutil.rmtree(one)
        found.append(Built(count, (seconds, memory), (other, most), closing))
    return found


def plain_build(root: Path, plain: Path) -> float:
    """Seconds that MkDocs alone takes to build all pages of a book, in a folder that is not there yet."""
    plain.mkdir()
    _make_plain(root, plain)
    return _measured(_PLAIN, plain)[0]


def _make(root: Path, count: int) -> None:
    """A book of `count` pages: copies of some that need no other, and what the build makes by itself."""
    docs = root / "docs"
    (docs / "reference").mkdir(parents=True)
    shutil.copyfile(ROOT / "docs" / GLOSSARY, docs / GLOSSARY)
    front = "---\ntitle: Copies\nkind: front\nsummary: Pages to measure with.\n---\n\nOne after another.\n"
    (docs / "index.md").write_text(front, encoding="utf-8")
    (root / "scripts").symlink_to(ROOT / "scripts", target_is_directory=True)
    settings = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
    made = sum(name.endswith(".md") for name, _ in generated_pages(read_book(docs)))
    settings["nav"] = ["index.md", {"Pages": list(_copies(docs, count - made - 1))}]
    settings["not_in_nav"] = "*"
    (root / "mkdocs.yml").write_text(yaml.safe_dump(settings, sort_keys=False), encoding="utf-8")


def _make_plain(root: Path, plain: Path) -> None:
    """The same pages for MkDocs alone, the generated ones too: it shows a block of ours as text."""
    write_book(root, plain)
    settings = yaml.safe_load((plain / "mkdocs.yml").read_text("utf-8"))
    settings["markdown_extensions"].pop()
    del settings["extra"]
    for ours in ("custom_dir", "static_templates", "icon"):
        del settings["theme"][ours]
    (plain / "mkdocs.yml").write_text(yaml.safe_dump(settings, sort_keys=False), encoding="utf-8")


def _copies(docs: Path, count: int) -> Iterator[str]:
    """Write so many copies, each with a title and ids of its own and without links; their paths."""
    every = [path for room in ROOMS for path in sorted((ROOT / "docs" / room).glob("*.md"))]
    texts = {path: path.read_text(encoding="utf-8") for path in every if path.stem != "index"}
    pages = [(path, text) for path, text in texts.items() if OF_A_MACHINE not in text]
    for number in range(count):
        path, text = pages[number % len(pages)]
        text = LINK.sub(r"\1", text)
        text = re.sub(r"^(title: .*)$", rf"\1 {number}", text, count=1, flags=re.M)
        text = re.sub(r"^(    id: .*)$", rf"\1-{number}", text, flags=re.M)
        name = f"{path.parent.name}/{path.stem}-{number}.md"
        (docs / name).parent.mkdir(exist_ok=True)
        (docs / name).write_text(text, encoding="utf-8")
        yield name


def _measured(work: str, root: Path, afterwards: str = "") -> tuple[float, float, int]:
    site = root / "site"
    shutil.rmtree(site, ignore_errors=True)
    program = _MEASURED.format(work=work, afterwards=afterwards)
    command = [sys.executable, "-P", "-c", program, str(root), str(site)]
    done = subprocess.run(command, env=os.environ, capture_output=True, encoding="utf-8", check=False)
    if done.returncode:
        raise Stop(f"A book of copies could not be built.\n{done.stderr.strip()[-1500:]}")
    seconds, after, memory = json.loads(done.stdout.strip().splitlines()[-1])
    return seconds, after, memory


CLOSING = """\
Closing comes afterwards. Every page of ours is looked through and closed to the outside, which plain MkDocs
does not do. It is not counted in the ratio.""".replace("\n", " ")


def built_table(books: Sequence[Built]) -> list[Part]:
    """A row a book, and whether the aim is met."""
    rows = tuple(
        (
            f"{one.pages}",
            f"{one.ours[0]:.1f}",
            f"{one.plain[0]:.1f}",
            f"{one.ours[0] / one.plain[0]:.2f}",
            f"{one.ours[1] / 1e6:.0f}",
            f"{one.plain[1] / 1e6:.0f}",
            f"{one.closing:.1f}",
        )
        for one in books
    )
    met = all(one.ours[0] <= AIM * one.plain[0] for one in books)
    return [
        Table(("pages", "ours, s", "plain, s", "ratio", "ours, MB", "plain, MB", "closing, s"), rows),
        f"Asked is at most {AIM:.1f} times plain MkDocs: {verdict(met)}.",
        CLOSING,
    ]
