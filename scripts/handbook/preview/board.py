"""The board: what every open page and the terminal are told of the last build."""

from __future__ import annotations

import json
import secrets
import threading
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass(frozen=True)
class Notice:
    """What there is to know: which build the pages are from (none yet: ""), and what is to be mended."""

    build: str = ""
    heading: str = ""
    problems: tuple[str, ...] = ()

    def as_json(self) -> str:
        """The notice as a page reads it, in one line."""
        told = {"build": self.build, "heading": self.heading, "problems": self.problems}
        return json.dumps(told, ensure_ascii=False)


class Board:
    """Holds the newest notice, and lets whoever reads it wait for the next."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._notice = Notice()
        self._open = True
        self._readers: Counter[str] = Counter()
        self._back = True
        # A page that outlives one preview must not take the build of the next for its own.
        self._run, self._count = secrets.token_hex(4), 0

    @property
    def notice(self) -> Notice:
        """The newest."""
        return self._notice

    @property
    def has_book(self) -> bool:
        """Whether there are pages to show at all."""
        return bool(self._notice.build)

    @property
    def read(self) -> Collection[str]:
        """The files of the pages that somebody reads."""
        with self._changed:
            return set(self._readers)

    @contextmanager
    def reading(self, page: str) -> Iterator[None]:
        """For as long as somebody reads a page."""
        with self._changed:
            self._readers[page] += 1
            self._back = True
            self._changed.notify_all()
        try:
            yield
        finally:
            with self._changed:
                self._readers -= Counter([page])

    def renew(self) -> None:
        """The pages are new, and nothing is known to be wrong with them."""
        self._count += 1
        self._back = False
        self._put(Notice(f"{self._run}-{self._count}"))

    def mend(self, problems: Sequence[str]) -> None:
        """The pages are those that were written last, and there is something to mend in them; or nothing."""
        heading = f"{_counted(problems, 'thing')} to mend" if problems else ""
        self._put(Notice(self._notice.build, heading, tuple(problems)))

    def refuse(self, problems: Sequence[str]) -> None:
        """What was written last cannot be built, so the pages stay as they were."""
        stays = "this page shows the last good book" if self.has_book else "there is no book to show yet"
        heading = f"{_counted(problems, 'mistake')}: {stays}"
        self._put(Notice(self._notice.build, heading, tuple(problems)))

    def wait_for_a_reader(self, seconds: float) -> None:
        """Wait until somebody reads the last build, if anybody read the one before; no longer than this."""
        with self._changed:
            self._changed.wait_for(lambda: self._back or not self._readers or not self._open, seconds)

    def close(self) -> None:
        """Let go of everyone who waits."""
        with self._changed:
            self._open = False
            self._changed.notify_all()

    def after(self, seen: Notice | None, seconds: float) -> Notice | None:
        """The newest notice as soon as it is another than `seen`, or after that time; None once closed."""
        with self._changed:
            self._changed.wait_for(lambda: self._notice != seen or not self._open, seconds)
            return self._notice if self._open else None

    def _put(self, notice: Notice) -> None:
        with self._changed:
            self._notice = notice
            self._changed.notify_all()


def _counted(problems: Sequence[str], word: str) -> str:
    return f"{len(problems)} {word}{'' if len(problems) == 1 else 's'}"
