"""Excuses: one place of the book is let pass by a rule, with a reason. Readers never see them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from handbook.fences import outside_code

# In a page a comment of HTML, among the options of a block a comment of YAML.
EXCUSE = re.compile(r"\s*(?:<!--|(?<!\S)#)\s*excuse\s+(?P<rule>[\w-]+)\s*:?\s*(?P<reason>.*?)\s*(?:-->|$)")


@dataclass(frozen=True)
class Excuse:
    """A place that is let pass: its line, the rule, the reason, and the lines it holds for."""

    line: int
    rule: str
    reason: str
    covers: tuple[int, ...]


def excuses_in(lines: Sequence[str]) -> list[Excuse]:
    """Every excuse: on a line with words it holds for that line, alone on a line for the next with words."""
    plain = without_excuses(lines)
    found = []
    for number, (line, rest) in enumerate(zip(lines, plain, strict=True), start=1):
        said = EXCUSE.search(line) if line != rest else None
        if said:
            covers = [number]
            if not rest.strip():
                covers += [n for n in range(number + 1, len(lines) + 1) if plain[n - 1].strip()][:1]
            found.append(Excuse(number, said["rule"], said["reason"], tuple(covers)))
    return found


def without_excuses(lines: Sequence[str]) -> list[str]:
    """The lines as they are rendered; an excuse that is shown as code is none."""
    if not any("excuse" in line for line in lines):
        return list(lines)
    return [
        EXCUSE.sub("", line) if prose else line
        for line, prose in zip(lines, outside_code(lines), strict=True)
    ]
