"""Writes the book for the successor, has it built there, and finishes it as our own build is finished."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import yaml

from handbook import build
from handbook.book import read_book
from handbook.console import Stop
from handbook.finding import found_by
from handbook.generated import generated_pages
from handbook.settings import theme_context

EXTENSION = "handbook.successor.extension"
TAGS = "tags.html"  # shows a page's tags, which in our book are only for the search
NOT_OURS = ("LICENSE",)  # files that it adds without an ending, which no list of ours knows
_COLOR = re.compile(r"\x1b\[[0-9;]*m")


def write_book(root: Path, folder: Path) -> None:
    """All that MkDocs gets from our hooks, as plain files: generated pages, front matter and settings."""
    docs = folder / "docs"
    shutil.copytree(root / "docs", docs)
    for name, text in generated_pages(read_book(root / "docs")):
        (docs / name).parent.mkdir(parents=True, exist_ok=True)
        (docs / name).write_text(text, encoding="utf-8")
    for page in docs.rglob("*.md"):
        _tell_search(page, page.relative_to(docs).with_suffix(".html").as_posix())
    settings: dict[str, Any] = yaml.safe_load((root / "mkdocs.yml").read_text("utf-8-sig"))
    del settings["hooks"]
    shutil.copytree(root / settings["theme"]["custom_dir"], folder / "theme")
    (folder / "theme" / "partials" / TAGS).write_text("", encoding="utf-8")
    settings["theme"]["custom_dir"] = "theme"
    settings["markdown_extensions"].append({EXTENSION: {"root": str(root)}})
    settings["extra"]["furrowbook"] = theme_context()
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(settings, sort_keys=False), encoding="utf-8")


def _tell_search(page: Path, url: str) -> None:
    """Write what the search is told of a page into its front matter."""
    text = page.read_text(encoding="utf-8")
    told = found_by(url, text)
    if told:
        head = yaml.safe_dump(told, sort_keys=False, allow_unicode=True)
        text = f"---\n{head}{text[4:]}" if text.startswith("---\n") else f"---\n{head}---\n{text}"
        page.write_text(text, encoding="utf-8")


def build_there(folder: Path) -> str:
    """Have the successor build `folder`; what it said. Raises `Stop` where it fails."""
    command = [sys.executable, "-P", "-m", "zensical", "build", "-f", "mkdocs.yml"]
    done = subprocess.run(command, cwd=folder, capture_output=True, encoding="utf-8", check=False)
    said = _COLOR.sub("", done.stdout + done.stderr).strip()
    if done.returncode:
        raise Stop(f"The successor cannot build the book.\n{said[-3000:]}")
    return said


def finish(root: Path, site: Path) -> None:
    """Finish its pages as ours are. Raises `Stop` with what cannot be."""
    build.drop_unused(site)
    for name in NOT_OURS:
        for path in site.rglob(name):
            path.unlink()
    build.finish(root, site, mend_search=False)
