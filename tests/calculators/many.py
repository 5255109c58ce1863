"""How many random inputs a test draws: its usual number, or with FURROWBOOK_EXAMPLES that many.

scripts/bench.py --compared sets it, so that what is compared with an independent library is compared ten
thousand times.
"""

from __future__ import annotations

import os


def examples(usual: int) -> int:
    """The number of random inputs of a test that draws `usual` of them in every run."""
    return int(os.environ.get("FURROWBOOK_EXAMPLES") or usual)
