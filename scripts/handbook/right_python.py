"""Which Python the project runs on, checked before anything newer than Python 3.6 is read.

Kept to syntax that an old Python understands: it has to say what is wrong, not fail on its own lines.
"""

import sys

OLDEST = (3, 11)
NEWEST = (3, 14)


def refusal(version: "tuple[int, ...]", script: str) -> str:
    """One line saying which Python to get, or an empty text if `version` will do.

    `version` is (major, minor, patch), `script` the command the line ends with.
    """
    if OLDEST <= tuple(version[:2]) <= NEWEST:
        return ""
    running = ".".join(str(part) for part in version[:3])
    line = "Furrowbook runs on Python 3.{} to 3.{}; this is Python {}. Install one, then run: python3.{} {}"
    return line.format(OLDEST[1], NEWEST[1], running, NEWEST[1] - 1, script)


def require(script: str) -> None:
    """Stop with one line and exit code 1 unless this Python will do."""
    line = refusal(tuple(sys.version_info[:3]), script)
    if line:
        sys.stderr.write(line + "\n")
        raise SystemExit(1)
