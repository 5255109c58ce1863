"""What each block of the book means: its argument, its options, and what can be wrong with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.by_unit import kind_of, limit_kind
from calc.declare import Calculator, Rows, catalogue
from calc.errors import InputError, listed, nearest
from calc.quantity import Units, exact
from calc.reading import read_field, read_rows
from calc.units import SHARE
from handbook import changes, observing, practising
from handbook.machines.copies import EACH, ONLY, PARTS, is_copied
from handbook.machines.expected import STEPS
from handbook.machines.presets import unsaid
from handbook.machines.sheet import Sheet
from handbook.nesting import IN_A_STEP, around, inside, outside_of_steps
from handbook.problems import Finding, Found
from handbook.scanner import Block, Option, Scan

SIGNAL_WORDS = ("danger", "warning", "caution", "notice")
LIMIT_SOURCES = (
    "law",
    "machine plate",
    "label or safety data sheet",
    "standard",
    "extension",
    "common practice",
)
FIGURES = {
    "tanks": "the tanks and their limits",
    "capacity": "what each tank holds",
    "standing-test": "expected meter speeds of the standing test",
    "readings": "expected meter speeds around the working point",
    "conversions": "the rates, the width and the speeds in other units",
    "air-path": "a drawing of the way of the air",
    "oil-path": "a drawing of the way of the oil",
    "card": "the card for the cab",
}
"""What a machine's figures may show beside the answers of calculators."""
PAGE_KINDS = ("lesson", "procedure", "reference", "explanation", "pause-card", "fault", "front")


@dataclass(frozen=True)
class Kind:
    """A kind of block: what its argument says, which options it must and may have, and its own checks."""

    argument: str
    must: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    check: Callable[[Block, Mapping[str, Sheet]], Found] | None = None


def page_problems(scan: Scan, sheets: Mapping[str, Sheet]) -> Found:
    """Everything wrong in one page, with lines."""
    yield from scan.problems
    copied = is_copied(scan)
    for block in scan.blocks:
        yield from _block_problems(block, sheets)
        if block.name == "figures" and not copied and "machine" not in block.options:
            yield Finding(
                block.line,
                "option-missing",
                "“figures” needs the option “machine”; write “    machine: …” below it",
            )
        if block.name == "procedure":
            yield from _step_problems(scan, block)
            yield from changes.procedure_problems(block)
        if block.name == "practice":
            yield from practising.text_problems(scan, block)
    procedures = [block for block in scan.blocks if block.name == "procedure"]
    for extra in procedures[1:]:
        yield Finding(
            extra.line,
            "block-place",
            f"a page holds one procedure, and one began at line {procedures[0].line}; give this its own page",
        )
    for line, text in scan.quantities():
        try:
            kind_of(text)
        except InputError as error:
            yield Finding(line, "quantity", f"{error}")
    kind = scan.front.get("kind")
    if kind is None:
        yield Finding(
            1,
            "page-kind",
            f"the head of the page says no kind; write “kind: …” with one of {listed(PAGE_KINDS)}",
        )
    elif kind.value not in PAGE_KINDS:
        yield Finding(
            kind.line, "page-kind", f"“{kind.value}” is not a kind of page; write one of {listed(PAGE_KINDS)}"
        )


def _block_problems(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    kind = BLOCKS.get(block.name)
    if kind is None:
        meant = nearest(block.name, BLOCKS)
        hint = f"did you mean “{meant}”?" if meant else f"the blocks are {listed(BLOCKS, 'and')}"
        yield Finding(block.line, "block-name", f"unknown block “{block.name}”; {hint}")
        return
    if not block.argument:
        yield Finding(
            block.line,
            "block-argument",
            f"“{block.name}” needs {kind.argument}: write “/// {block.name} | …”",
        )
    for name in kind.must:
        if name not in block.options:
            yield Finding(
                block.line,
                "hazard-parts" if block.name in SIGNAL_WORDS else "option-missing",
                f"“{block.name}” needs the option “{name}”; write “    {name}: …” below it",
            )
    allowed = [*kind.must, *kind.may, *(_input_names(block) if block.name == "calculator" else ())]
    for name, option in block.options.items():
        if name not in allowed:
            meant = nearest(name, allowed)
            hint = f"did you mean “{meant}”?" if meant else f"it takes {listed(allowed, 'and') or 'none'}"
            yield Finding(option.line, "option-name", f"unknown option “{name}” for {block.name}; {hint}")
    yield from _place_problems(block)
    odd = list(_value_problems(block))
    yield from odd
    if kind.check and not odd:
        yield from kind.check(block, sheets)


def _place_problems(block: Block) -> Found:
    """Elsewhere the renderer takes a block for code, or for a part of the step above it."""
    if block.name in IN_A_STEP and block.indent != 4:
        yield Finding(
            block.line,
            "block-place",
            f"{IN_A_STEP[block.name]} is indented by four spaces, into the step that it belongs to",
        )
    elif block.name not in IN_A_STEP and block.indent:
        yield Finding(
            block.line, "block-place", f"“{block.name}” begins its line; take out the spaces before it"
        )


def _value_problems(block: Block) -> Found:
    """An option is one text, or where a list is read, a list; what holds more is looked at elsewhere."""
    elsewhere = _input_names(block) if block.name == "calculator" else ()
    for name, option in block.options.items():
        if name in elsewhere or (block.name == "practice" and name in practising.NESTED):
            continue
        listing = name in LISTS and isinstance(option.value, list)
        texts = option.value if listing else [option.value]
        if not texts:
            yield Finding(option.line, "option-value", f"“{name}” is an empty list; write what belongs in it")
        for text in texts:
            if isinstance(text, Mapping):
                yield Finding(
                    option.line,
                    "option-value",
                    f"“{name}” holds a colon with a space behind it; put that text in quotes",
                )
            elif isinstance(text, list):
                yield Finding(
                    option.line,
                    "option-value",
                    f"“{name}” is {'a list of texts' if listing else 'one text'}; write it so",
                )


def _input_names(block: Block) -> list[str]:
    calculator = catalogue().get(block.argument)
    return [one.name for one in calculator.inputs] if calculator else list(block.options)


def _calculator(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    known = catalogue()
    calculator = known.get(block.argument)
    if calculator is None:
        yield Finding(block.line, "calculator-name", _no_calculator(block.argument))
        return
    yield from _machine(block, sheets)
    for name, option in block.options.items():
        if name not in CALCULATOR_OPTIONS and name in _input_names(block):
            yield from _preset(calculator, name, option)


def _no_calculator(name: str) -> str:
    known = catalogue()
    meant = nearest(name, known)
    hint = f"did you mean “{meant}”?" if meant else f"the calculators are {listed(known, 'and')}"
    return f"there is no calculator “{name}”; {hint}"


def _preset(calculator: Calculator, name: str, option: Option) -> Found:
    one = calculator.input(name)
    try:
        if isinstance(one, Rows):
            read_rows(one, option.value, Units())
        else:
            read_field(one, option.value, Units())
    except InputError as error:
        for problem in error.problems:
            yield Finding(option.line, "option-value", f"{name}{problem.field}: {problem.text}")


def _machine(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    machine, tank = block.options.get("machine"), block.options.get("tank")
    if machine and machine.value not in sheets:
        meant = nearest(str(machine.value), sheets)
        known = f"the sheets are {listed(sheets, 'and')}" if sheets else "there is none at all yet"
        hint = f"did you mean “{meant}”?" if meant else known
        yield Finding(machine.line, "machine-name", f"there is no machine sheet “{machine.value}”; {hint}")
    elif tank and not machine:
        yield Finding(tank.line, "machine-name", "“tank” needs “machine” beside it")
    elif tank and machine and sheets[machine.value].tank(tank.value) is None:
        names = listed([t.name for t in sheets[machine.value].tanks], "and")
        yield Finding(
            tank.line, "machine-name", f"{machine.value} has no tank “{tank.value}”; its tanks are {names}"
        )


def _figures(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    known = [*FIGURES, *catalogue()]
    if block.argument not in known:
        meant = nearest(block.argument, known)
        hint = f"did you mean “{meant}”?" if meant else f"write one of {listed(FIGURES)}, or a calculator"
        yield Finding(block.line, "figures-name", f"there are no figures “{block.argument}”; {hint}")
        return
    wrong = list(_machine(block, sheets))
    yield from wrong
    machine = block.options.get("machine")
    if machine and not wrong:
        tank = block.options.get("tank")
        if said := unsaid(sheets[machine.value], block.argument, tank.value if tank else ""):
            yield Finding(block.line, "figures-name", f"the sheet of {machine.value} does not say {said}")


def _measure(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    yield from outside_of_steps(block)
    limits = [(name, block.options[name]) for name in ("low", "high") if name in block.options]
    if "expected" in block.options or "within" in block.options:
        yield from _expected(block, limits)
    elif not limits:
        yield Finding(
            block.line,
            "limit",
            "a measured value needs a limit; write “low: …”, “high: …” or both, with their unit",
        )
    read = []
    for name, option in limits:
        try:
            kind = limit_kind(str(option.value))
            read.append((kind.dimension, exact(str(option.value), kind)))
        except InputError as error:
            yield Finding(option.line, "limit", f"{name}: {error}")
    if len(read) == 2 and (read[0][0] != read[1][0] or read[0][1] > read[1][1]):
        yield Finding(block.line, "limit", "“low” must be below “high” and of the same kind")
    yield from _machine(block, sheets)
    source = block.options.get("source")
    if source and source.value not in LIMIT_SOURCES:
        yield Finding(
            source.line,
            "limit-source",
            f"“{source.value}” is not a kind of source; write one of {listed(LIMIT_SOURCES)}",
        )
    calculator = block.options.get("calculator")
    if calculator and calculator.value not in catalogue():
        yield Finding(calculator.line, "calculator-name", _no_calculator(calculator.value))


def _expected(block: Block, limits: Sequence[tuple[str, Option]]) -> Found:
    """A reading that is expected of each machine, and how far it may be off."""
    expected, within = block.options.get("expected"), block.options.get("within")
    if limits:
        yield Finding(limits[0][1].line, "limit", "what is “expected” has no “low” or “high”; take it out")
    if not expected or not within:
        yield Finding(
            block.line, "limit", "“expected” and “within” go together; write both, such as “within: 3 %”"
        )
        return
    if expected.value not in STEPS:
        meant = nearest(str(expected.value), STEPS)
        hint = f"did you mean “{meant}”?" if meant else f"write one of {listed(STEPS)}"
        yield Finding(expected.line, "limit", f"nothing is expected at “{expected.value}”; {hint}")
    try:
        exact(str(within.value), SHARE)
    except InputError as error:
        yield Finding(within.line, "limit", f"within: {error}")
    of_one = "machine" in block.options and "tank" in block.options
    if not of_one and not any(one.name == "each" and one.argument == "tank" for one in around(block)):
        yield Finding(
            expected.line, "limit", "a reading is expected of each tank; put this step into “each | tank”"
        )


def _repeated(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    known = EACH if block.name == "each" else ONLY
    if block.argument not in known:
        meant = nearest(block.argument, known)
        hint = f"did you mean “{meant}”?" if meant else f"write one of {listed(known)}"
        yield Finding(
            block.line, "block-argument", f"“{block.name}” does not know “{block.argument}”; {hint}"
        )
    if not inside(block, "procedure"):
        yield Finding(
            block.line, "block-place", f"“{block.name}” stands inside a procedure, around its steps"
        )
    if block.name == "each" and inside(block, "each"):
        yield Finding(block.line, "block-place", "“each” stands inside another “each”; close that one first")


def _pages_of(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    if block.argument not in sheets:
        meant = nearest(block.argument, sheets)
        hint = f"did you mean “{meant}”?" if meant else f"the sheets are {listed(sheets, 'and')}"
        yield Finding(block.line, "machine-name", f"there is no machine sheet “{block.argument}”; {hint}")


def _fault(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    if not any(inner.name == "cause" for inner in block.inside):
        yield Finding(
            block.line, "block-place", "a fault needs its causes; write a “cause” block in it for each"
        )


def _cause(block: Block, sheets: Mapping[str, Sheet]) -> Found:
    if not inside(block, "fault"):
        yield Finding(block.line, "block-place", "a cause stands inside the “fault” block that it explains")


def _step_problems(scan: Scan, block: Block) -> Found:
    expected = 1
    for line, number in scan.steps(block, PARTS):
        if number != expected:
            yield Finding(
                line,
                "step-numbers",
                f"this step is numbered {number}, but {expected} comes next; steps are numbered through",
            )
        expected = number + 1
    if expected == 1:
        yield Finding(
            block.line, "step-numbers", "a procedure needs numbered steps; begin the first with “1. ”"
        )


CALCULATOR_OPTIONS = ("machine", "tank")
LISTS = ("avoid", "needs", "items", "words", "behaviors", "ends")
_HAZARD = Kind("what can happen", ("consequence", "avoid"))
BLOCKS: dict[str, Kind] = {
    "calculator": Kind("the name of a calculator", may=CALCULATOR_OPTIONS, check=_calculator),
    "doors": Kind("what they are"),
    "stored": Kind("what it shows"),
    "procedure": Kind("a title", may=("id", "needs", "people")),
    "measure": Kind(
        "what is measured",
        ("source", "outside"),
        ("low", "high", "calculator", "expected", "within", *CALCULATOR_OPTIONS),
        _measure,
    ),
    "opens": Kind("what is changed for a time", check=changes.change_problems),
    "closes": Kind("what is put back", check=changes.change_problems),
    "each": Kind("what its steps are repeated for", check=_repeated),
    "only": Kind("which machines its steps are for", check=_repeated),
    "machine": Kind("the name of a machine sheet", check=_pages_of),
    "machines": Kind("what they are"),
    "danger": _HAZARD,
    "warning": _HAZARD,
    "caution": _HAZARD,
    "notice": Kind("what can happen", ("avoid",), ("consequence",)),
    "pause-card": Kind("its title", ("trigger", "items")),
    "fault": Kind("what a caller says", ("words",), check=_fault),
    "cause": Kind("the one condition that is false", ("id", "shows", "check", "fix"), check=_cause),
    "figures": Kind("which figures", (), CALCULATOR_OPTIONS, _figures),
    "practice": Kind(
        "its title", (), practising.OPTIONS, lambda block, _: practising.practice_problems(block)
    ),
    "due": Kind("what it shows"),
    "observed": Kind("its title", ("behaviors", "ends"), ("licensed",), observing.observed_problems),
    "skills": Kind("its title"),
    "record": Kind("its title"),
    "history": Kind("its title"),
}


def as_list(value: Any) -> list[str]:
    """An option that may be one text or a list of texts, as a list."""
    return [str(one) for one in value] if isinstance(value, list) else [str(value)]
