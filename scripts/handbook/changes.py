"""Changes for a time: what a step puts on the list, and the later step that strikes it off again."""

from __future__ import annotations

from collections.abc import Iterator

from calc.errors import nearest
from handbook.nesting import outside_of_steps
from handbook.problems import Finding, Found
from handbook.scanner import Block

PEOPLE = 2
"""How many people a procedure may ask for: it then asks for both names."""


def change_problems(block: Block, sheets: object = None) -> Found:
    """What is wrong with the place of an `opens` or a `closes` block; it asks of no machine."""
    yield from outside_of_steps(block)


def procedure_problems(procedure: Block) -> Found:
    """Changes that are never put back, or put back and were never made, and an odd count of people."""
    people = procedure.options.get("people")
    if people and people.value != str(PEOPLE):
        yield Finding(people.line, "option-value", f"“people” is {PEOPLE}, or it is left out")
    opened: dict[str, Block] = {}
    closed: set[str] = set()
    for block in _within(procedure):
        if block.name == "opens":
            opened.setdefault(block.argument, block)
        elif block.name == "closes":
            closed.add(block.argument)
            if block.argument not in opened:
                meant = nearest(block.argument, opened)
                hint = f"did you mean “{meant}”?" if meant else "write “opens” with the same words further up"
                yield Finding(block.line, "temporary", f"nothing opened “{block.argument}” before; {hint}")
    for change, block in opened.items():
        if change not in closed:
            yield Finding(
                block.line,
                "temporary",
                f"“{change}” is never put back; write “closes” with the same words in a later step",
            )


def _within(block: Block) -> Iterator[Block]:
    for one in block.inside:
        yield one
        yield from _within(one)
