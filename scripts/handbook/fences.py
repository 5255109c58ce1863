"""Code between fences in a page: what stands in it is shown as it is, and speaks to nobody."""

from __future__ import annotations

import re
from collections.abc import Sequence

CODE_FENCE = re.compile(r"(?P<indent> *)(?P<mark>`{3,}|~{3,})(?P<info>[^`]*)")


def outside_code(lines: Sequence[str]) -> list[bool]:
    """Of each line, whether it stands outside the fences of code."""
    fence = ""
    found = []
    for line in lines:
        mark = CODE_FENCE.fullmatch(line)
        found.append(not fence and not mark)
        if mark and not fence:
            fence = mark["mark"]
        elif mark and mark["mark"] == fence and not mark["info"].strip():
            fence = ""
    return found
