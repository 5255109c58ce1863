"""What the build needs to know from outside: where things are, and what the theme is told."""

from __future__ import annotations

import os
import re
import subprocess
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from calc.declare import Calculator, Input, Rows, catalogue
from calc.units import KINDS, SYSTEMS, Kind
from handbook.console import Stop

ROOT = Path(__file__).parents[2]
DEFAULT_UNITS = "us"
BUILD_ID_MARK = "furrowbook-build-id-goes-here"  # the id is a hash of the pages, so it is put in afterwards


def node() -> Path:
    """The pinned Node of the environment."""
    return _from_environment("FURROWBOOK_NODE")


def node_modules() -> Path:
    """Where the pinned npm packages are."""
    return _from_environment("FURROWBOOK_NODE_MODULES")


def _from_environment(name: str) -> Path:
    value = os.environ.get(name)
    if not value:
        raise Stop("Start the build with python3 scripts/build.py, which sets up what it needs.")
    return Path(value)


@dataclass(frozen=True)
class Dated:
    """The moment a book is dated: that of its last commit, so that the same commit builds the same bytes."""

    seconds: int

    @property
    def day(self) -> str:
        """The day, as it is printed."""
        return datetime.fromtimestamp(self.seconds, UTC).strftime("%Y-%m-%d")


def dated() -> Dated:
    """From SOURCE_DATE_EPOCH, else the last commit; a folder without history has no date but 1970."""
    if given := os.environ.get("SOURCE_DATE_EPOCH"):
        if not re.fullmatch("[0-9]{1,11}", given):
            raise Stop(f"SOURCE_DATE_EPOCH is “{given}”; it is a count of seconds since 1970, or not set.")
        return Dated(int(given))
    try:
        asked = subprocess.run(
            ["git", "log", "-1", "--format=%ct"], cwd=ROOT, capture_output=True, text=True, check=False
        )
    except OSError:
        return Dated(0)
    return Dated(int(asked.stdout) if asked.returncode == 0 and asked.stdout.strip() else 0)


def theme_context() -> dict[str, Any]:
    """What `web/theme` shows: units to choose from, and the build."""
    return {
        "units": DEFAULT_UNITS,
        "unit_kinds": [
            {"id": kind.id, "title": kind.title, "names": dict(zip(SYSTEMS, kind.shown, strict=True))}
            for kind in _mixed_kinds()
        ],
        "calculators": [{"id": c.id, "title": c.title} for c in catalogue().values()],
        "build_id": BUILD_ID_MARK,
        "date": dated().day,
    }


def _mixed_kinds() -> list[Kind]:
    """The kinds a calculator takes or gives that are shown differently in different systems."""
    used = {kind.id for calculator in catalogue().values() for kind in _kinds(calculator)}
    return [kind for kind in KINDS.values() if kind.id in used and len(set(kind.shown)) > 1]


def _kinds(calculator: Calculator) -> list[Kind]:
    fields = [c for i in calculator.inputs for c in (i.columns if isinstance(i, Rows) else [i])]
    kinds = [one.kind for one in fields if isinstance(one, Input)]
    return kinds + [output.kind for output in calculator.outputs if output.kind]
