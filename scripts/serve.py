"""Show the book in a browser while you write it: a saved change shows there by itself.

python3 scripts/serve.py             build it, serve it on this machine and print the address
python3 scripts/serve.py --port N    ... on port N (8000 unless told otherwise)

It watches `docs/` and mkdocs.yml until you press Ctrl+C. After a mistake the last good pages stay, and each
open page lists what to mend, as this window does: file:line: what, and what to write instead. It stores
nothing on the device and leaves `site/` alone; for that there is scripts/build.py.

Needs Python 3.11 to 3.14 and, the first time only, the network.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the build environment if need be and preview inside it."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import console, environment

    def work() -> int:
        return environment.handover(environment.prepare("build"), "handbook.preview", arguments)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/serve.py")
    sys.exit(main(sys.argv[1:]))
