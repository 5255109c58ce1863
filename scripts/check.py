"""Check the whole book and list everything wrong in it at once.

python3 scripts/check.py                    one line a mistake: file:line: what, and what to write instead
python3 scripts/check.py --format json      the same for other programs
python3 scripts/check.py --format sarif     the same for editors and services that read SARIF 2.1.0
python3 scripts/check.py --rules            every rule, with what it asks
python3 scripts/check.py --schema           what a machine sheet may hold, as JSON Schema for editors

It ends with 0 where nothing is wrong and with 1 where something is. Behind each line stands the rule's id;
the page “Rules of this book” says why it is there. One place is let pass with a reason, on its line or above:

    <!-- excuse step-length: the label's own words -->

Needs Python 3.11 to 3.14 and, the first time only, the network.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the build environment if need be and check inside it."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import console, environment

    def work() -> int:
        return environment.handover(environment.prepare("build"), "handbook.checking", arguments)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/check.py")
    sys.exit(main(sys.argv[1:]))
