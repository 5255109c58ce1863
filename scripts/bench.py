"""Measure how soon a page answers, beside bare Python and PyScript in the same browser, and the build.

python3 scripts/bench.py                  9 starts of each page and 60 keys: ten minutes
python3 scripts/bench.py --rounds N       N starts of each page, 9 at least
python3 scripts/bench.py --pages          only how a build grows with its pages, beside plain MkDocs
python3 scripts/bench.py --edits          only how soon an edit shows in the preview: two minutes
python3 scripts/bench.py --machines       only how a book grows with its machines: a few minutes
python3 scripts/bench.py --record         only how soon a long record opens, and keeps one entry more
python3 scripts/bench.py --mutants N      only which of N changes of calc its tests notice; 0 for all (hours)
python3 scripts/bench.py --compared       only the sums beside other libraries, many inputs (half an hour)
python3 scripts/bench.py --fed            only readers fed with a million broken texts each (half an hour)
python3 scripts/bench.py --successor      only whether the book holds with the successor of its theme
python3 scripts/bench.py --results        write the book's page of results, of all that was measured here

The handbook is opened cold, warm, offline, from a folder and slowed down, and every calculator is timed
with as many rows as it takes, natively and in the page. Needs what scripts/test.py needs,
and a machine that does nothing else meanwhile. It prints ratios to judge by, and says what each figure is;
the times are this machine's own.
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
        extra = {"FURROWBOOK_BROWSER": str(chromium.find_browser())}
        return environment.handover(environment.prepare("test"), "handbook.bench", arguments, extra)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/bench.py")
    sys.exit(main(sys.argv[1:]))
