"""Measure how soon a page answers, beside a bare start of Python in the same browser, and the build.

python3 scripts/bench.py                  over http and from a folder, 9 rounds of each
python3 scripts/bench.py --rounds N       N rounds of each, 7 at least

Needs what scripts/test.py needs, and a machine that does nothing else meanwhile. It prints ratios to judge
by; the times are this machine's own.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Set up the test environment and a browser if need be and measure inside."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import chromium, console, environment

    def work() -> int:
        if "-h" in arguments or "--help" in arguments:
            print((__doc__ or "").strip())
            return 0
        extra = {"FURROWBOOK_BROWSER": str(chromium.find_browser())}
        return environment.handover(environment.prepare("test"), "handbook.bench", arguments, extra)

    return console.stoppable(work)


if __name__ == "__main__":
    right_python.require("scripts/bench.py")
    sys.exit(main(sys.argv[1:]))
