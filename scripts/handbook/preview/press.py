"""Builds the book into the folder that is served: all of it once, then what a change makes different."""

from __future__ import annotations

import logging
import os
import re
import shutil
import tempfile
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path

from handbook.build import ENGINE, SCRIPTS, cache_of, fix_date, mark_pages, write_pages, write_parts
from handbook.engine import apply_policy, pack
from handbook.offline import kind_of_file
from handbook.preview.standing import Standing
from handbook.settings import node, node_modules

BUILD_ID = "preview"
# A preview is never kept on a device: nothing in its pages speaks with a service worker.
SHOWN_SCRIPTS = tuple(name for name in SCRIPTS if not name.startswith("offline"))
POLICY = re.compile(r"(<meta\s+charset=[^>]*>)\s*<meta http-equiv=\"Content-Security-Policy\"[^>]*>")


class Press:
    """Makes the book of `root` in `site` by the steps of a build, without what a preview has no use for."""

    def __init__(self, root: Path, site: Path) -> None:
        self._root, self._site = root, site
        self._standing = Standing()

    def build(self, first: Collection[str] = ()) -> bool:
        """Bring `site` up to the book, and tell whether any of it is new.

        Where one of the pages in the files `first` changes, these come alone, and the others are behind.
        Raises what `problems_of` reads, and has then left `site` as it was.
        """
        fix_date()
        self._standing.first = first
        self._site.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=self._site.parent, ignore_cleanup_errors=True) as folder:
            made, around = Path(folder) / "made", Path(folder) / "around"
            with _without_advice():
                write_pages(self._root, made, self._standing)
            if self._standing.whole:
                write_parts(made, SHOWN_SCRIPTS)
            mark_pages(made, BUILD_ID)
            self._set_aside(made, around)
            apply_policy(made)
            for path in made.rglob("*"):
                if path.is_file():  # what could not be stored is not shown either
                    kind_of_file(path.relative_to(made).as_posix())
            self._pack()
            try:
                _move(made, self._site)
                _move(around, self._site)
                for name in self._standing.gone:
                    (self._site / name).unlink(missing_ok=True)
            except OSError:
                self._standing.forget()
                raise
        self._standing.accept()
        return self._standing.changed

    @property
    def behind(self) -> bool:
        """Whether another build is to bring the other pages, or the menus of all, up to the book."""
        return self._standing.behind

    def _set_aside(self, made: Path, around: Path) -> None:
        """Pages of which only the menu is new have passed the policy, and keep what it says of them."""
        for name in self._standing.only_around:
            policy = POLICY.search((self._site / name).read_text("utf-8"))
            if policy:
                text = (made / name).read_text("utf-8").replace(policy[1], policy[0], 1)
                (around / name).parent.mkdir(parents=True, exist_ok=True)
                (around / name).write_text(text, encoding="utf-8", newline="\n")
                (made / name).unlink()

    def _pack(self) -> None:
        """The engine, which nothing in `docs` can change: once."""
        if not (self._site / ENGINE / "engine.js").exists():
            cache = cache_of(self._root)
            pack(self._root / "calc", node(), node_modules(), self._site / ENGINE, cache)


def _move(made: Path, site: Path) -> None:
    """Put each file in its place; a reader sees the old one or the new one, and never half of it."""
    for path in sorted(path for path in made.rglob("*") if path.is_file()):
        place = site / path.relative_to(made)
        place.parent.mkdir(parents=True, exist_ok=True)
        os.replace(path, place)


@contextmanager
def _without_advice() -> Iterator[None]:
    """Without what MkDocs says of building only a part, which would count as a mistake in the book."""

    def wanted(record: logging.LogRecord) -> bool:
        return "'dirty' build" not in record.getMessage()

    logger = logging.getLogger("mkdocs.commands.build")
    logger.addFilter(wanted)
    try:
        yield
    finally:
        logger.removeFilter(wanted)


def clear(site: Path) -> None:
    """Take away what a preview has made."""
    shutil.rmtree(site, ignore_errors=True)
