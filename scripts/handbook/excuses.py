"""Excuses: one place of the book is let pass by a rule, with a reason. Readers never see them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

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
    for number, line in enumerate(lines, start=1):
        if "excuse" in line and (said := EXCUSE.search(line)):
            covers = [number]
            if not plain[number - 1].strip():
                covers += [n for n in range(number + 1, len(lines) + 1) if plain[n - 1].strip()][:1]
            found.append(Excuse(number, said["rule"], said["reason"], tuple(covers)))
    return found


def without_excuses(lines: Sequence[str]) -> list[str]:
    """The lines as they are rendered."""
    return [EXCUSE.sub("", line) if "excuse" in line else line for line in lines]
