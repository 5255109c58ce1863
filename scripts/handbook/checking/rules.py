"""All rules of the book, in the order in which the reference page shows them."""

from __future__ import annotations

# Each declares its rules as it is read.
from handbook.checking import (
    cards,
    excuses,
    hazards,
    lists,
    machines,
    pages,
    reading,
    steps,
    structure,
    wording,
    written_figures,
)
from handbook.checking.rule import RULES, Rule

PARTS = {
    "Words and sentences": (reading, wording),
    "Steps": (steps,),
    "Hazards": (hazards,),
    "Pause cards and faults": (cards,),
    "Figures": (written_figures,),
    "Pages": (pages,),
    "Machine sheets": (machines,),
    "Lists": (lists,),
    "Excuses": (excuses,),
    "How a page is written": (structure,),
}

__all__ = ["PARTS", "RULES", "Rule"]
