"""Rules on pause cards, and on the causes of a fault."""

from __future__ import annotations

from handbook.checking.passages import Page
from handbook.checking.rule import rule
from handbook.checking.words import Words
from handbook.problems import Finding, Found

MOST_ITEMS = 9

_CARD = """
---
title: Before the fan starts
kind: pause-card
summary: A pause card.
---

/// pause-card | Before the fan starts
    trigger: Someone is about to start the fan.
    items:
{items}
///
"""


def _card(count: int) -> str:
    tanks = "\n".join(f"      - Lid of tank {number} closed." for number in range(1, count + 1))
    return _CARD.format(items=tanks)


@rule(
    id="card-length",
    asks=f"A pause card has at most {MOST_ITEMS} items.",
    why="A card is read out while someone waits. What is longer is skipped, from the end.",
    source="Gawande, The Checklist Manifesto (2009); Degani and Wiener, NASA CR-177549 (1990)",
    file="procedures/example.md",
    wrong=_card(MOST_ITEMS + 1),
    right=_card(MOST_ITEMS),
)
def card_length(page: Page, words: Words) -> Found:
    """The items of each pause card."""
    for block in page.blocks("pause-card"):
        option = block.options.get("items")
        if option and isinstance(option.value, list) and len(option.value) > MOST_ITEMS:
            yield Finding(
                option.line,
                "card-length",
                f"this card has {len(option.value)} items; keep the {MOST_ITEMS} that kill or cost most",
            )


@rule(
    id="card-trigger",
    asks="A pause card has one trigger.",
    why="A card for two moments is taken out at neither.",
    source="Gawande, The Checklist Manifesto (2009): a clear pause point",
    file="procedures/example.md",
    wrong=_card(3).replace("start the fan.", "start the fan or to open the lid."),
    right=_card(3),
)
def card_trigger(page: Page, words: Words) -> Found:
    """The words of the trigger."""
    for block in page.blocks("pause-card"):
        option = block.options.get("trigger")
        text = " ".join(str(option.value).split()) if option else ""
        if option and (" or " in text or text.rstrip(".").count(".")):
            yield Finding(
                option.line,
                "card-trigger",
                "this trigger names more than one moment; write a card for each",
            )
