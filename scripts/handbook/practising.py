"""A problem to practise on, as a page holds it: a figure that a calculator finds, or a choice of acts."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from calc.errors import InputError, nearest
from calc.practice import chosen, paths, pose, read
from calc.reply import compact
from handbook.problems import Finding, Found
from handbook.scanner import Block, Option, Scan

FIGURE = ("calculator", "ask", "given")
CHOICE = ("right", "because", "wrong")
OPTIONS = (*FIGURE, "within", "slips", *CHOICE, "hazard")
NESTED = ("given", "slips", "wrong")
"""Options that hold named values, or a list of them."""
WRONG = ("says", "because")
PLACE = re.compile(r"\{(\w[\w.]*)\}")
FIRST = 1
"""The seed of the figures that stand in the page before anyone draws others."""
_TRIED = 5  # seeds that a page is checked with; tests take a thousand
TIMES = {"figure": 3, "choice": 1}
"""How often a problem is asked in one round: figures change, a choice does not."""


@dataclass(frozen=True)
class Choice:
    """Something that one could do, and what comes of it."""

    says: str
    because: str
    right: bool = False


def has_practice(page: Scan) -> bool:
    """Whether a page has problems to practise on."""
    return any(block.name == "practice" for block in page.blocks)


def plain(value: Any) -> Any:
    """An option as JSON has it: texts, lists and mappings, without their lines."""
    if isinstance(value, Mapping):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, list):
        return [plain(one) for one in value]
    return str(value)


def written(options: Mapping[str, Any]) -> dict[str, Any]:
    """The problem of a block's options, as `calc.practice` reads it."""
    names = (*FIGURE, "within", "slips")
    return {name: plain(options[name]) for name in names if options.get(name, "") != ""}


def choices(title: str, options: Mapping[str, Any]) -> list[Choice]:
    """What can be chosen, in an order that tells nothing."""
    found = [Choice(str(one["says"]), str(one["because"])) for one in options["wrong"]]
    found.append(Choice(str(options["right"]), str(options["because"]), right=True))
    return sorted(found, key=lambda one: chosen(FIRST, title + one.says))


# --- what is wrong with one ---


def practice_problems(block: Block, sheets: object = None) -> Found:
    """What is wrong with the options of a `practice` block; it asks of no machine."""
    asks_figure = any(name in block.options for name in FIGURE)
    needs: tuple[str, ...] = FIGURE if asks_figure else CHOICE
    other: tuple[str, ...] = CHOICE if asks_figure else (*FIGURE, "within", "slips")
    for name in needs:
        if name not in block.options:
            yield Finding(
                block.line,
                "option-missing",
                f"this practice needs the option “{name}”; write “    {name}: …” below it",
            )
    for name in other:
        if name in block.options:
            yield Finding(
                block.options[name].line,
                "practice",
                f"“{name}” does not go with “{needs[0]}”: a practice asks for a figure, or for a choice",
            )
    if all(name in block.options for name in needs):
        yield from _figure(block) if asks_figure else _choice(block)


def _figure(block: Block) -> Found:
    try:
        _try(compact(written({name: option.value for name, option in block.options.items()})))
    except InputError as error:
        for one in error.problems:
            name = re.split(r"[.\[]", one.field)[0] or "calculator"
            option = block.options.get(name, block.options["given"])  # a figure that was drawn
            where = f"{one.field}: " if one.field else ""
            yield Finding(option.line, "practice", f"{where}{one.text}")


@lru_cache(maxsize=1000)  # a preview reads all of them again after every edit
def _try(problem: str) -> None:
    practice = read(json.loads(problem))
    for seed in range(FIRST, FIRST + _TRIED):
        pose(practice, seed)


def _choice(block: Block) -> Found:
    wrong = block.options["wrong"]
    if not isinstance(wrong.value, list) or len(wrong.value) < 2:
        yield Finding(
            wrong.line, "practice", "write two wrong choices or more, each with “says” and “because”"
        )
        return
    for one in wrong.value:
        if not isinstance(one, Mapping) or set(one) != set(WRONG):
            yield Finding(
                _line(one, wrong), "practice", "a wrong choice has “says” and “because”, and nothing else"
            )


def _line(value: Any, option: Option) -> int:
    texts = value.values() if isinstance(value, Mapping) else [value]
    return next((text.line for text in texts if getattr(text, "line", 0)), option.line)


def text_problems(scan: Scan, block: Block) -> Found:
    """What is wrong with the case that a `practice` block tells."""
    lines = [(n, scan.markdown[n]) for n in range(block.body, block.end) if n in scan.markdown]
    if not any(text.strip() for _, text in lines):
        yield Finding(block.line, "practice", "tell the case between the lines of this practice")
        return
    given = block.options["given"].value if "given" in block.options else {}
    known = paths(plain(given))
    told = [(line, name) for line, text in lines for name in PLACE.findall(text)]
    for line, name in told:
        if name not in known:
            meant = nearest(name, known)
            hint = f"did you mean “{{{meant}}}”?" if meant else "name a figure of “given”"
            yield Finding(line, "practice", f"there is no figure “{{{name}}}”; {hint}")
    for name in known:
        if name not in {one for _, one in told}:
            line = block.options["given"].line
            yield Finding(
                line, "practice", f"the case does not tell “{name}”; write “{{{name}}}” where it belongs"
            )


# --- its text ---


def placed(text: str) -> Iterator[tuple[str, str]]:
    """A text cut at its figures: what stands before each, and the figure's name; the last has none."""
    done = 0
    for found in PLACE.finditer(text):
        yield text[done : found.start()], found[1]
        done = found.end()
    yield text[done:], ""


def asked_times(options: Mapping[str, Any]) -> int:
    """How often it is asked in one round."""
    return TIMES["figure" if options.get("calculator") else "choice"]
