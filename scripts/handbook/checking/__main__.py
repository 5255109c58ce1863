"""Checks the book and prints what is wrong; run by scripts/check.py inside the environment it sets up."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from handbook import console
from handbook.checking.checker import check
from handbook.checking.formats import FORMATS
from handbook.checking.rules import RULES
from handbook.machines.schema import sheet_schema
from handbook.settings import ROOT


def main(arguments: Sequence[str]) -> int:
    """Check, and print; 1 if something is wrong."""
    parser = argparse.ArgumentParser(prog="scripts/check.py", description="Check the whole book.")
    parser.add_argument("--format", choices=FORMATS, default="text", help="for people (text) or programs")
    parser.add_argument("--rules", action="store_true", help="print every rule, with what it asks")
    parser.add_argument(
        "--schema", action="store_true", help="print what a machine sheet may hold, for editors"
    )
    chosen = parser.parse_args(arguments)

    def work() -> int:
        if chosen.rules:
            for rule in RULES.values():
                print(f"{rule.id}: {rule.asks}")
            return 0
        if chosen.schema:
            print(sheet_schema(), end="")
            return 0
        report = check(ROOT)
        print(FORMATS[chosen.format](report))
        return 1 if report.problems else 0

    return console.stoppable(work)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
