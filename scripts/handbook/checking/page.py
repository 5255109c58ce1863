"""The reference page that explains every rule."""

from __future__ import annotations

from handbook.checking.rule import Rule
from handbook.checking.rules import PARTS, RULES
from handbook.templating import template

PLACE = "reference/rules.md"
_LONGEST = 700  # letters; a longer example teaches less than its rule


def rules_page() -> str:
    """The page, as Markdown."""
    parts = {
        title: [rule for rule in RULES.values() if rule.module in [one.__name__ for one in modules]]
        for title, modules in PARTS.items()
    }
    return template("rules.md").render(parts=parts, teaches=_teaches)


def _teaches(rule: Rule) -> bool:
    """Whether its examples are short pieces of a page, and not bytes or a whole sheet."""
    printable = not any("\ud800" <= sign <= "\udfff" for sign in rule.wrong)
    return rule.file.endswith(".md") and printable and len(rule.wrong) < _LONGEST
