"""Watches what a trainer writes: everything below `docs`, and mkdocs.yml."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

from handbook.navigation import FILE as MENU

LOOK = 1.0
"""How long (s) until it looks by itself: some network drives tell nothing, and Ctrl+C must get a turn."""

QUIET = 0.1
"""How long (s) nothing more may happen until a change counts as done: editors write several times."""

MOST = 1.0
"""How long (s) it waits for that."""

READING = ("opened", "closed_no_write")  # kinds of event that change nothing; the build itself causes them

Stamps = dict[Path, tuple[int, int]]


class Watch(FileSystemEventHandler):
    """Tells whether the book of `root` has changed since it last told."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._touched = threading.Event()
        self._seen = stamps(root)
        self._observer = Observer()

    def __enter__(self) -> Self:
        """Begin. A system that has no more watchers to give leaves it with looking by itself."""
        try:
            self._observer.schedule(self, str(self._root / "docs"), recursive=True)
            self._observer.schedule(self, str(self._root), recursive=False)
            self._observer.start()
        except OSError:
            self._observer = Observer()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End."""
        if self._observer.is_alive():
            self._observer.stop()
            self._observer.join()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Note that something happened, in the observer's own thread."""
        if event.event_type not in READING:
            self._touched.set()

    def changed(self) -> bool:
        """Wait for a moment, and tell whether anything is new, gone or written since the last time."""
        if self._touched.wait(LOOK):
            self._settle()
        now = stamps(self._root)
        changed = now != self._seen
        self._seen = now
        return changed

    def _settle(self) -> None:
        for _ in range(round(MOST / QUIET)):
            self._touched.clear()
            if not self._touched.wait(QUIET):
                return


def stamps(root: Path) -> Stamps:
    """When each file of the book was written, and how long it is; hidden files are no part of it."""
    return dict(_stamps(root))


def _stamps(root: Path) -> Iterator[tuple[Path, tuple[int, int]]]:
    docs = root / "docs"
    for path in (root / MENU, *docs.rglob("*")):
        hidden = path != root / MENU and any(part.startswith(".") for part in path.relative_to(docs).parts)
        try:
            if not hidden and path.is_file():
                written = path.stat()
                yield path, (written.st_mtime_ns, written.st_size)
        except OSError:  # gone in the meantime: it will be missing
            continue
