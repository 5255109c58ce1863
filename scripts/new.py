"""Start a new page or machine: a file that passes the checker, where it belongs, and in the menu.

python3 scripts/new.py lesson "Wet seed"             docs/lessons/wet-seed.md
python3 scripts/new.py procedure "Wash the tanks"    docs/procedures/wash-the-tanks.md
python3 scripts/new.py pause-card "Before the road"  docs/procedures/before-the-road.md
python3 scripts/new.py fault "The fan stops"         docs/faults/the-fan-stops.md
python3 scripts/new.py machine "Trial Three"         docs/machines/trial-three.yml and .md

It writes over nothing. Needs Python 3.11 to 3.14 and, the first time only, the network.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the build environment if need be and make the file inside it."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import console, environment

    def work() -> int:
        if not arguments:
            print((__doc__ or "").strip())
            return 2
        return environment.handover(environment.prepare("build"), "handbook.starting", arguments)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/new.py")
    sys.exit(main(sys.argv[1:]))
