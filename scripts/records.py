"""Put records of many devices together.

python3 scripts/records.py FILE…             one file of all their entries, as JSON, on the standard output
python3 scripts/records.py FILE… --csv       the same as a table for spreadsheets
python3 scripts/records.py FILE… --summary   each job in a few lines, for people

The files are those that a book exports, JSON or CSV. The same entries give the same bytes, in any order and
however often they stand there. An entry that is not right is left out and told of, and the end is then 1.

Needs Python 3.11 to 3.14, and nothing else.
"""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

from handbook import right_python


def main(arguments: "list[str]") -> int:
    """Merge the files and write what is asked for."""
    # After the check of the Python: an older one could not even read these modules.
    from handbook import console

    def work() -> int:
        sys.path.insert(0, os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
        from handbook.records import put_together

        return put_together(arguments)

    return console.command(arguments, __doc__, work)


if __name__ == "__main__":
    right_python.require("scripts/records.py")
    sys.exit(main(sys.argv[1:]))
