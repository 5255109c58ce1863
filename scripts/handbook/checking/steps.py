"""Rules on the steps of a procedure."""

from __future__ import annotations

import re

from handbook.checking.passages import Page, Passage
from handbook.checking.rule import rule
from handbook.checking.sentences import sentences
from handbook.checking.words import CONDITIONS, ONE_MOVEMENT, Words
from handbook.problems import Finding, Found

FIRST_WORD = re.compile(r"[^\W\d_][\w'’-]*")
# What someone can read as a figure, so that a tick tells too little.
MEASURABLE = (
    "pressure|pressures|voltage|temperature|torque|speed|speeds|level|depth|width|spacing|gap|clearance|rate|"
    "flow|density|diameter|height|distance|angle|mass|weight|time|delay|current|resistance|tension"
)
LOOKS = r"check|verify|confirm|see|inspect|test"
TICK = re.compile(
    rf"^(?:{LOOKS})\b(?:\s+(?:that|if|whether))?\s+(?:the|each|every|its|all|your)\s+"
    rf"(?:[\w-]+\s+){{0,3}}?(?P<what>{MEASURABLE})\b",
    re.I,
)


def _steps(page: Page) -> list[Passage]:
    return [passage for passage in page.passages if passage.kind == "step"]


def _first(text: str) -> str:
    found = FIRST_WORD.search(text)
    return found[0].lower() if found else ""


def _procedure(*steps: str) -> str:
    numbered = "\n".join(f"{number}. {text}" for number, text in enumerate(steps, start=1))
    return f"//// procedure | Stop the fan\n\n{numbered}\n\n////"


@rule(
    id="step-start",
    asks="A step begins with its verb, or with the condition under which it is done and a comma.",
    why="The first word tells the hand what to do. A condition that comes last is read too late.",
    source="ASD-STE100 Simplified Technical English, rules on procedures",
    file="procedures/example.md",
    wrong=_procedure("The fan is stopped."),
    right=_procedure("Stop the fan.", "If it still turns, wait until it stands."),
)
def step_start(page: Page, words: Words) -> Found:
    """The first word of each step; behind a condition, the first word after a comma."""
    for passage in _steps(page):
        first = _first(passage.text)
        if first in words.verbs:
            continue
        if first in CONDITIONS:
            after = [_first(part) for part in passage.text.split(",")[1:]]
            if any(word in words.verbs for word in after):
                continue
            said = "begins with a condition, but no verb follows behind a comma; write “If …, do …”"
        else:
            said = (
                f"begins with “{first}”, which is no verb known here; begin with what to do, such as “Turn”, "
                "or add the verb to “verbs” in the glossary"
            )
        yield Finding(passage.line, "step-start", f"this step {said}")


@rule(
    id="one-action",
    asks="A step holds one action.",
    why="Of two actions in one step, one is forgotten, and the tick beside it stands for both.",
    source="ASD-STE100 Simplified Technical English, rules on procedures; common practice for checklists",
    file="procedures/example.md",
    wrong=_procedure("Stop the fan and close the lid."),
    right=_procedure("Stop the fan.", "Close the lid. A loose lid flies open."),
)
def one_action(page: Page, words: Words) -> Found:
    """A second sentence that begins with a verb, or a second verb behind “and”, “then” or a semicolon."""
    for passage in _steps(page):
        said = sentences(passage.text)
        for sentence in said[1:]:
            if _first(sentence.text) in words.verbs:
                yield _two(passage, sentence.place, _first(sentence.text))
        for sentence in said:
            for found in words.second_verb.finditer(sentence.text):
                before = sentence.text[: found.end("verb")].lower()
                if not before.endswith(ONE_MOVEMENT):
                    yield _two(passage, sentence.place + found.start("verb"), found["verb"].lower())


def _two(passage: Passage, place: int, verb: str) -> Finding:
    return Finding(
        passage.line_of(place),
        "one-action",
        f"a second action begins at “{verb}”; give it a step of its own",
    )


@rule(
    id="tick",
    asks="A check of something that can be measured asks for the value.",
    why="A tick says that someone looked. A value says what they saw, and can be compared next year.",
    source="Degani and Wiener, Human Factors of Flight-Deck Checklists, NASA CR-177549 (1990)",
    file="procedures/example.md",
    wrong=_procedure("Check that the tire pressure is right."),
    right=_procedure(
        "Check that the tire pressure is right.\n\n"
        "    /// measure | Tire pressure\n"
        "        low: 30 psi\n"
        "        high: 34 psi\n"
        "        source: machine plate\n"
        "        outside: Fill or let out air, and read it again.\n"
        "    ///"
    ),
)
def tick(page: Page, words: Words) -> Found:
    """A step that looks at a quantity without a block that takes its value."""
    steps = _steps(page)
    ends = [step.line for step in steps[1:]] + [page.scan.length + 1]
    for step, end in zip(steps, ends, strict=False):
        found = TICK.search(step.text.replace("\n", " "))
        taken = any(step.line < block.line < end for block in page.blocks("measure"))
        if found and not taken:
            yield Finding(
                step.line,
                "tick",
                f"the {found['what'].lower()} can be measured, and a tick would not say what it was; ask for "
                "it with a “measure” block in this step",
            )
