"""Work that is watched: what a trainer sees, what ends an attempt, and what is written down and signed."""

from __future__ import annotations

from handbook.problems import Finding, Found
from handbook.scanner import Block

BEHAVIORS = (6, 12)
"""How many things a trainer watches for: fewer show too little, of more some are missed."""
ENDS = (2, 3)
"""How many things end an attempt."""
SEEN = ("Seen", "Prompted", "Not seen")
LEVELS = ("0 not started", "1 with help", "2 alone, watched", "3 alone", "4 can teach it")
RECORD = (
    "Trainee", "Employer", "Date", "Place", "Machine and serial number", "Language", "Evaluator, own level",
    "Next refresher", "What was seen, in a few words", "Open actions", "Signed by the trainee",
    "Signed by the evaluator",
)  # fmt: skip
"""What a record of training says beside what was seen: 29 CFR 1928.57(a)(6) asks for yearly instruction."""


def observed_problems(block: Block, sheets: object = None) -> Found:
    """What is wrong with an `observed` block; it asks of no machine."""
    for name, (least, most) in (("behaviors", BEHAVIORS), ("ends", ENDS)):
        option = block.options.get(name)
        count = len(option.value) if option and isinstance(option.value, list) else 1
        if option and not least <= count <= most:
            yield Finding(
                option.line, "observed", f"there are {count} {name}; write between {least} and {most} of them"
            )
    if block.parent:
        yield Finding(block.line, "block-place", "“observed” stands by itself, below the procedure it is for")
