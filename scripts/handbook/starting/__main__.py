"""Makes a new page or machine and says where; run by scripts/new.py inside the environment it sets up."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from handbook import console
from handbook.navigation import FILE
from handbook.settings import ROOT
from handbook.starting.starter import STARTERS, start


def main(arguments: Sequence[str]) -> int:
    """Make the file, and say what to do next."""
    parser = argparse.ArgumentParser(prog="scripts/new.py", description="Start a new page or machine.")
    parser.add_argument("kind", choices=STARTERS, help="what to start")
    parser.add_argument("name", nargs="+", help="its title, such as “Wet seed”")
    chosen = parser.parse_args(arguments)

    def work() -> int:
        made = start(ROOT, chosen.kind, " ".join(chosen.name))
        print(f"Made {made.file}")
        if made.line:
            print(f"Put it in the menu: {FILE}:{made.line}")
        else:
            print("Its pages are made of it; they are listed under Machines.")
        print("Open it in your editor. To see it as you write: python3 scripts/serve.py")
        return 0

    return console.stoppable(work)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
