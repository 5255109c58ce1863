"""The rule on excuses themselves."""

from __future__ import annotations

from handbook.checking.rule import declare

declare(
    __name__,
    id="excuse",
    asks="An excuse names a rule, gives its reason, and stands where the rule is broken.",
    why="A rule that is let pass without a word is no rule. What is excused is listed after each check.",
    source="This book",
    wrong="Fill the tank. <!-- excuse banned-phrase: quoted from the label -->",
    right="Fill it as required. <!-- excuse banned-phrase: quoted from the label -->",
)
