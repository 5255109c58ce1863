"""Where blocks stand: what they stand in, and which of them belong into a step."""

from __future__ import annotations

from collections.abc import Iterator

from handbook.problems import Finding, Found
from handbook.scanner import Block

IN_A_STEP = {
    "measure": "a measured value",
    "opens": "a temporary change",
    "closes": "a change that is put back",
}
"""Blocks that belong to the step above them, and how a message calls each."""


def around(block: Block) -> Iterator[Block]:
    """The blocks that a block stands in, from the inside out."""
    outer = block.parent
    while outer:
        yield outer
        outer = outer.parent


def inside(block: Block, name: str) -> bool:
    """Whether a block stands in one of this name."""
    return any(outer.name == name for outer in around(block))


def outside_of_steps(block: Block) -> Found:
    """What is wrong with the place of a block that belongs into a step."""
    if not inside(block, "procedure"):
        what = IN_A_STEP[block.name]
        yield Finding(
            block.line, "block-place", f"{what} stands inside a procedure, in the step that it belongs to"
        )
