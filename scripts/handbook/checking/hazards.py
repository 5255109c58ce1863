"""Rules on hazard blocks: their words, their signal word, and their place before the step."""

from __future__ import annotations

import re
from itertools import takewhile

from handbook.checking.passages import Page
from handbook.checking.rule import declare, rule
from handbook.checking.words import Words
from handbook.machines.copies import PARTS
from handbook.problems import Finding, Found
from handbook.scanner import STEP, Option
from handbook.vocabulary import SIGNAL_WORDS, as_list

ANSI = "ANSI Z535.6, safety information in product manuals"
# Injuries that end or mark a life, and lesser ones, by the words a consequence names them with.
GRAVE = re.compile(
    r"\b(?:kills?|killed|deadly|deaths?|dies?|fatal\w*|maims?|crush\w*|suffocat\w*|drowns?|bur(?:y|ies|ied)|"
    r"electrocut\w*|amputat\w*|sever(?:s|ed)?|cuts? off|tears? off|blinds?|blinded|poison\w*|strangl\w*|"
    r"breaks? (?:bones|your|an arm|a leg|the neck)|runs? over|costs? a (?:hand|life))\b",
    re.I,
)
HURT = re.compile(
    r"\b(?:hurts?|injur\w*|harms?|burns?|cuts?|bruis\w*|pinch\w*|irritat\w*|sprain\w*|scald\w*|wounds?|"
    r"knocks?|traps?|trapped|fall(?:s|en)?|hits? (?:you|someone|a person|people|your)|stings?|deaf\w*)\b",
    re.I,
)
MAY = re.compile(r"\b(?:can|could|may|might)\b", re.I)
CLAUSE = re.compile(r"[,.;:]\s*|\band it\b")


def _text(option: Option | None) -> str:
    return " ".join(as_list(option.value)) if option else ""


@rule(
    id="signal-word",
    asks="The signal word fits the consequence: DANGER will kill or maim, WARNING could, CAUTION is a minor "
    "or moderate injury, NOTICE is no injury.",
    why="A reader who meets DANGER where a fuse blows takes the next one lightly.",
    source=ANSI,
    wrong="""
        /// caution | A parked machine can roll away
            consequence: It crushes whoever stands in its way.
            avoid: Chock the wheels.
        ///
        """,
    right="""
        /// danger | A parked machine can roll away
            consequence: It crushes whoever stands in its way.
            avoid: Chock the wheels.
        ///
        """,
)
def signal_word(page: Page, words: Words) -> Found:
    """By the words that the consequence uses; what it does not name, this cannot judge."""
    for block in page.blocks(*SIGNAL_WORDS):
        option = block.options.get("consequence")
        if said := _misfit(block.name, block.argument, _text(option)):
            yield Finding(option.line if option else block.line, "signal-word", said)


def _misfit(word: str, hazard: str, consequence: str) -> str:
    told = f"{hazard}. {consequence}"
    grave, hurt = GRAVE.search(told), HURT.search(told)
    if word == "notice" and (found := grave or hurt):
        return (
            f"“{found[0]}” is an injury, and NOTICE stands for none; write “caution”, “warning” or “danger”"
        )
    if word == "caution" and grave:
        return (
            f"“{grave[0]}” is no minor injury; write “warning” if it could come to that, “danger” if it will"
        )
    if word != "notice" and not (grave or hurt):
        return (
            f"this says nothing of what happens to people, as {word.upper()} does; say who is hurt, and how"
        )
    if word == "danger" and all(MAY.search(part) for part in CLAUSE.split(consequence) if _injures(part)):
        return "the consequence says that it can come to that; DANGER says that it will: write “warning”"
    return ""


def _injures(clause: str) -> bool:
    return bool(GRAVE.search(clause) or HURT.search(clause))


@rule(
    id="hazard-before-step",
    asks="A hazard stands before the step that meets it, under the same heading.",
    why="Who reads of a hazard after the step has met it already.",
    source=ANSI + "; 29 CFR 1910.1200 and machine manuals place it so by common practice",
    file="procedures/example.md",
    wrong="""
        //// procedure | Open the lid

        1. Open the lid.

        /// warning | The tank may hold air under pressure
            consequence: The lid can fly open and break your jaw, or kill you.
            avoid: Vent the tank.
        ///

        ////
        """,
    right="""
        //// procedure | Open the lid

        /// warning | The tank may hold air under pressure
            consequence: The lid can fly open and break your jaw, or kill you.
            avoid: Vent the tank.
        ///

        1. Open the lid.

        ////
        """,
)
def hazard_before_step(page: Page, words: Words) -> Found:
    """Below each hazard of a procedure a numbered step comes next."""
    text = dict(page.scan.prose)
    for block in page.blocks(*SIGNAL_WORDS):
        outer = block.parent
        if outer is None or outer.name not in ("procedure", *PARTS):
            continue
        hazards = [one for one in outer.inside if one.name in SIGNAL_WORDS]
        inside = {line for one in hazards for line in range(one.line, one.end + 1)}
        following = [text.get(line, "") for line in range(block.end + 1, outer.end) if line not in inside]
        section = takewhile(lambda line: not line.startswith("#"), following)
        if not any(STEP.fullmatch(line) for line in section):
            yield Finding(
                block.line,
                "hazard-before-step",
                "no step follows this hazard; put it right before the step that meets it",
            )


@rule(
    id="hazard-holds-no-steps",
    asks="A hazard block says what can happen, what it does and how to avoid it, and holds no steps.",
    why="A step inside a warning is read as a part of the warning, and is not done.",
    source=ANSI,
    wrong="""
        /// warning | The fan can throw what lies in it
            consequence: A stone can blind you.
            avoid: Stand to the side.

        1. Stop the fan.
        ///
        """,
    right="""
        /// warning | The fan can throw what lies in it
            consequence: A stone can blind you.
            avoid: Stand to the side.
        ///

        1. Stop the fan.
        """,
)
def hazard_holds_no_steps(page: Page, words: Words) -> Found:
    """The lines between a hazard's options and its end."""
    for block in page.blocks(*SIGNAL_WORDS):
        for line, text in page.scan.prose:
            if block.body <= line < block.end and STEP.fullmatch(text):
                yield Finding(
                    line, "hazard-holds-no-steps", "a step stands inside a hazard; put it below the block"
                )


declare(
    __name__,
    id="hazard-parts",
    asks="A hazard block says what can happen, its consequence, and how to avoid it.",
    why="Without the consequence nobody believes it. Without the way out nobody can act on it.",
    source=ANSI,
    stops=True,
    wrong="""
        /// danger | The frame can drop
            consequence: It crushes anyone under it.
        ///
        """,
    right="""
        /// danger | The frame can drop
            consequence: It crushes anyone under it.
            avoid: Never go under a frame that is not locked up.
        ///
        """,
)
