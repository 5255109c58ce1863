"""Run every test, the browser's among them.

python3 scripts/test.py                       all of them; the first run sets everything up
python3 scripts/test.py tests/calculators     those of one folder (paths from the top of the repository)
python3 scripts/test.py -k meter -x           any other options are pytest's own

Needs Python 3.11 to 3.14, the network the first time only, and Chromium, Chrome or Edge: the one that
FURROWBOOK_BROWSER names, else one that is found, else (as root on Debian) Debian's, which is installed.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the test environment and a browser if need be and run pytest inside."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import chromium, console, environment

    def work() -> int:
        browser = chromium.find_browser()
        ready = environment.prepare("test")
        ways = ("-n", "--numprocesses", "--dist", "--pdb")
        spread = (
            []
            if any(argument.startswith(ways) for argument in arguments)
            else ["-n", "2", "--dist", "worksteal"]
        )
        # What hypothesis keeps goes with the other caches, not to the top of the repository.
        extra = {
            "FURROWBOOK_BROWSER": str(browser),
            "HYPOTHESIS_STORAGE_DIRECTORY": str(ready.folder.parent / "hypothesis"),
        }
        return environment.handover(ready, "pytest", [*spread, *arguments], extra, folder=environment.ROOT)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/test.py")
    sys.exit(main(sys.argv[1:]))
