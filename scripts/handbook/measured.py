"""What a measurement says, for a terminal and for a page of the book: sentences, tables, words explained."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import fill

WIDE = 100
GAP = 2
MISSED = "not met"


@dataclass(frozen=True)
class Table:
    """Figures under heads, the first of which stands over the names of the rows.

    A row of one cell names the group of those below it; a row may end early, with nothing in the last ones.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def text(self) -> str:
        """Names to the left, figures to the right, each column as wide as it has to be."""
        grouped = any(len(row) == 1 for row in self.rows)
        within = [(" " * GAP * (grouped and len(row) > 1) + row[0], *row[1:]) for row in self.rows]
        rows = [self.heads, *within]
        widths = [max(len(row[at]) for row in rows if at < len(row)) for at in range(len(self.heads))]
        lines = []
        for row in rows:
            name = f"{row[0]:<{widths[0]}}"
            figures = (" " * GAP + f"{cell:>{wide}}" for cell, wide in zip(row[1:], widths[1:], strict=False))
            lines.append((name + "".join(figures)).rstrip())
        return "\n".join(lines)

    def markdown(self) -> str:
        """The same for a page; the name of a group is in bold."""
        lines = [self.heads, ("---", *["---:"] * (len(self.heads) - 1))]
        for row in self.rows:
            cells = row if len(row) > 1 else (f"**{row[0]}**",)
            lines.append((*cells, *[""] * (len(self.heads) - len(cells))))
        return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


@dataclass(frozen=True)
class Words:
    """Words, each with what is said of it."""

    said: tuple[tuple[str, str], ...]

    def text(self) -> str:
        """A word at the edge, what is said of it beside it."""
        room = max(len(word) for word, _ in self.said) + GAP
        return "\n".join(
            fill(text, WIDE, initial_indent=f"{word:<{room}}", subsequent_indent=" " * room)
            for word, text in self.said
        )

    def markdown(self) -> str:
        """A list of them."""
        return "\n".join(f"- **{word}**: {text}" for word, text in self.said)


def explained(text: str) -> Words:
    """Words from lines of “Word: what is said of it”, each of which may go on in indented lines."""
    lines = [" ".join(one.split()) for one in re.split(r"\n(?=\S)", text.strip())]
    return Words(tuple((word, said) for word, _, said in (line.partition(": ") for line in lines)))


Part = str | Table | Words


def verdict(met: bool) -> str:
    """Whether an aim is met, in the same words everywhere."""
    return "met" if met else MISSED


def as_text(parts: Sequence[Part]) -> str:
    """For a terminal, with an empty line between the parts."""
    return "\n\n".join(fill(one, WIDE) if isinstance(one, str) else one.text() for one in parts)


def as_markdown(parts: Sequence[Part]) -> str:
    """For a page of the book."""
    return "\n\n".join(one if isinstance(one, str) else one.markdown() for one in parts)
