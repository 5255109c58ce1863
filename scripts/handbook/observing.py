"""Work that is watched: the sheet on which a trainer marks what was seen, and what is wrong with one."""

from __future__ import annotations

from typing import Any

from calc.record.kinds import KINDS, LEVELS, SEEN
from handbook.problems import Finding, Found
from handbook.scanner import Block

BEHAVIORS = (6, 12)
"""How many things a trainer watches for: fewer show too little, of more some are missed."""
ENDS = (2, 3)
"""How many things end an attempt."""
WRITTEN = (
    "trainee", "employer", "date", "place", "machine", "language", "method", "evidence", "actions", "next",
    "evaluator", "own_level",
)  # fmt: skip
"""What is written down beside what was seen: 29 CFR 1928.57(a)(6) asks for yearly instruction."""
LICENSED = "ammonia"
"""Work that has a column of its own in the skills of a team."""


def sheet_parts() -> dict[str, Any]:
    """What a sheet asks beside what was seen, as an entry of the record declares it."""
    fields = {one.name: one for one in KINDS["watched"].fields}
    signed = [(fields[f"{who}_signed"], f"{who}_drawn") for who in ("trainee", "evaluator")]
    return {
        "seen": SEEN,
        "levels": LEVELS,
        "fields": [fields[name] for name in WRITTEN],
        "signed": [{"name": field, "drawn": drawn} for field, drawn in signed],
    }


def observed_problems(block: Block, sheets: object = None) -> Found:
    """What is wrong with an `observed` block; it asks of no machine."""
    for name, (least, most) in (("behaviors", BEHAVIORS), ("ends", ENDS)):
        option = block.options.get(name)
        count = len(option.value) if option and isinstance(option.value, list) else 1
        if option and not least <= count <= most:
            yield Finding(
                option.line, "observed", f"there are {count} {name}; write between {least} and {most} of them"
            )
    licensed = block.options.get("licensed")
    if licensed and licensed.value != LICENSED:
        yield Finding(
            licensed.line,
            "observed",
            f"“licensed” is for {LICENSED}; write “licensed: {LICENSED}” or leave it out",
        )
    if block.parent:
        yield Finding(block.line, "block-place", "“observed” stands by itself, below the procedure it is for")
