"""The changes that no test need notice, each with its reason."""

from __future__ import annotations

import tomllib
from pathlib import Path

from handbook.mutation.made import Mutant

LIST = "tests/calculators/unnoticed.toml"


class Reasons:
    """Reasons by module, by the line that is changed, and by what the change takes away and puts there."""

    def __init__(self, root: Path) -> None:
        self._root = root
        with (root / LIST).open("rb") as file:
            self.listed = tomllib.load(file)["unnoticed"]
        self._by_change: dict[tuple[str, ...], str] = {
            (one["module"], one["line"], one["was"], one["becomes"]): one["reason"] for one in self.listed
        }

    def of(self, mutant: Mutant) -> str:
        """Why this change need not be noticed; nothing if no reason is listed."""
        lines = (self._root / mutant.module).read_text(encoding="utf-8").splitlines()
        place = (mutant.module, lines[mutant.line - 1].strip(), mutant.was, mutant.becomes)
        return self._by_change.get(place, "")
