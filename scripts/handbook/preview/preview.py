"""One round of a preview: build again, and say how it went, to the open pages and in the terminal."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path

from handbook.console import say
from handbook.preview.board import Board
from handbook.preview.press import Press
from handbook.preview.problems import problems_of

MOMENT = 1.0  # s

Further = Callable[[Path], Sequence[str]]


class Preview:
    """The book of `root`, shown in `site` and told of on `board`.

    `further` finds what is to be mended in a book that can be built, a line each; it is asked once the new
    pages are there, so that nobody waits for it.
    """

    def __init__(self, root: Path, site: Path, board: Board, further: Further | None = None) -> None:
        self._root, self._board, self._further = root, board, further
        self._press = Press(root, site)
        self._refused = False

    def renew(self) -> None:
        """Build what has changed. Only Ctrl+C gets out of here; all else becomes a list of mistakes."""
        began = time.perf_counter()
        try:
            new = self._press.build(self._board.read)
            if new or self._refused:
                say(f"Built in {time.perf_counter() - began:.1f} s.")
                self._show()
            while self._press.behind:
                self._press.build()
                self._show()
        except Exception as error:
            self._board.refuse(problems_of(error, self._root))
            self._refused = True
        else:
            self._refused = False
            self._look_further()
        for line in self._told():
            say(line)

    def _show(self) -> None:
        """Have the open pages come anew, and leave the machine to the first of them for a moment."""
        self._board.renew()
        self._board.wait_for_a_reader(MOMENT)

    def _look_further(self) -> None:
        problems = self._further(self._root) if self._further else []
        if problems or self._board.notice.problems:
            self._board.mend(problems)

    def _told(self) -> Sequence[str]:
        notice = self._board.notice
        return [f"{notice.heading}.", *notice.problems] if notice.problems else []
