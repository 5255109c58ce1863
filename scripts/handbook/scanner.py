"""Finds the blocks of a Markdown file and every mistake in how they are written, before anything is rendered.

The renderer turns a mistaken block silently into text and does not know its line; this reads first.
It knows how blocks are written, not what each block means: that is in `vocabulary`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import chain
from typing import Any, NamedTuple

import yaml
from yaml.constructor import SafeConstructor

from handbook.excuses import Excuse, excuses_in, without_excuses
from handbook.fences import CODE_FENCE
from handbook.plain_yaml import Unreadable, composed
from handbook.problems import Finding

OPENING = re.compile(
    r"(?P<indent> *)(?P<slashes>/{3,})\s*(?P<name>[A-Za-z][\w-]*)\s*(?:\|\s*(?P<argument>.*?))?\s*"
)
CLOSING = re.compile(r"(?P<indent> *)(?P<slashes>/{3,})\s*")
# What the renderer reads behind a fence.
FENCE_INFO = re.compile(r" *(?:\{.*\}|\.?[\w#.+-]* *(?:hl_lines=.*)?)")
CODE_SPAN = re.compile(
    r"(?<!`)(?P<ticks>`+)(?!`)(?P<text>.+?)(?<!`)(?P=ticks)(?!`)(?:\{:?(?P<attributes>[^}]*)\})?"
)
# The renderer finds a block in a quotation or beside the mark of a list as well.
LIKE_BLOCK = re.compile(r"(?:[\s>]|[-*+]\s|\d+\.\s)*/{3}")
RAW_HTML = re.compile(r"<(?:[!?]|/?[A-Za-z][\w-]*(?:[\s/>]|$))")
IN_CODE = re.compile(r"(`+)(?!`).*?(?<!`)\1(?!`)")
STEP = re.compile(r"(?P<indent> *)(?P<number>\d+)\.\s+(?P<text>\S.*)")


class Written(str):
    """A text in the options of a block, with the line it stands on."""

    line = 0

    @classmethod
    def at(cls, line: int, text: str) -> Written:
        """The text of a line."""
        made = cls(text)
        made.line = line
        return made


@dataclass
class Option:
    """An option of a block: its value as text, a list of texts or a mapping, and its line."""

    value: Any
    line: int


@dataclass
class Block:
    """A block: `/// name | argument`, its options, where it begins and ends, and the blocks inside it."""

    name: str
    argument: str
    line: int
    indent: int
    slashes: int
    options: dict[str, Option] = field(default_factory=dict)
    end: int = 0
    body: int = 0
    parent: Block | None = None
    inside: list[Block] = field(default_factory=list)

    def texts(self) -> Iterator[tuple[str, int, str]]:
        """Every text in its options: the name nearest to it, the line of the text, and the text."""
        for name, option in self.options.items():
            yield from _texts(name, option.value, option.line)


def _texts(name: str, value: Any, line: int) -> Iterator[tuple[str, int, str]]:
    if isinstance(value, str):
        yield name, value.line if isinstance(value, Written) else line, value
    elif isinstance(value, list):
        for one in value:
            yield from _texts(name, one, line)
    elif isinstance(value, Mapping):
        for inner, one in value.items():
            yield from _texts(inner, one, line)


@dataclass
class Scan:
    """What stands in one file: its blocks in order, its lines by number, its problems.

    `markdown` is every line that is no block's own and not in the head; `prose` those outside code.
    """

    blocks: list[Block] = field(default_factory=list)
    length: int = 0
    markdown: dict[int, str] = field(default_factory=dict)
    prose: list[tuple[int, str]] = field(default_factory=list)
    problems: list[Finding] = field(default_factory=list)
    front: dict[str, Option] = field(default_factory=dict)
    excuses: list[Excuse] = field(default_factory=list)

    def quantities(self) -> Iterator[tuple[int, str]]:
        """Every quantity in prose and in options, `` `5 mph`{.q} ``, with its line."""
        told = ((line, text) for block in self.blocks for _, line, text in block.texts())
        for line, text in chain(self.prose, told):
            yield from ((line, piece.text) for piece in pieces(text) if piece.quantity)

    def steps(self, block: Block, through: Collection[str] = ()) -> Iterator[tuple[int, int]]:
        """The numbered steps of a block, with their lines; those of blocks inside it are not its own.

        But of the blocks named in `through` they are.
        """
        apart = [inner for inner in within(block, through) if inner.name not in through]
        for line, text in self.prose:
            found = STEP.fullmatch(text)
            own = found and len(found["indent"]) == block.indent and block.body <= line < block.end
            if found and own and not any(inner.line <= line <= inner.end for inner in apart):
                yield line, int(found["number"])


class Piece(NamedTuple):
    """A piece of a text, and whether it is a quantity, which is given without its marks."""

    text: str
    quantity: bool = False


def pieces(text: str) -> Iterator[Piece]:
    """A text cut where quantities are marked in it, in its order."""
    done = 0
    for found in CODE_SPAN.finditer(text):
        if ".q" in (found["attributes"] or "").split():
            yield Piece(text[done : found.start()])
            yield Piece(found["text"].strip(), quantity=True)
            done = found.end()
    yield Piece(text[done:])


def within(block: Block, through: Collection[str] = ()) -> Iterator[Block]:
    """The blocks inside a block, and those inside the ones that are named in `through`."""
    for inner in block.inside:
        yield inner
        if inner.name in through:
            yield from within(inner, through)


@lru_cache(maxsize=1000)
def scan(text: str) -> Scan:
    """Read one Markdown file. What comes of it is shared by all who read that text, and not to be changed."""
    lines = lines_of(text)
    found = _Scanner(without_excuses(lines)).run()
    found.excuses = excuses_in(lines)
    return found


def lines_of(text: str) -> list[str]:
    """The lines of a file, as an editor counts them."""
    # Not `splitlines`: it also ends a line where an editor does not, and its numbers would be others.
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")


class _Scanner:
    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.scan = Scan(length=len(lines))
        self.open: list[Block] = []
        self.fence = ""
        self.fence_line = 0

    def run(self) -> Scan:
        number = self._front_matter()
        while number < len(self.lines):
            number = self._line(number)
        for block in self.open:
            self._problem(
                block.line, f"the block “{block.name}” is never closed; write {'/' * block.slashes} below it"
            )
            block.end = len(self.lines) + 1
        if self.fence:
            self._problem(
                self.fence_line, f"this code is never closed; write {self.fence} below it", "code-form"
            )
        return self.scan

    def _problem(self, line: int, text: str, rule: str = "block-form") -> None:
        # Options cut off by the end of the file are missed on the line after it.
        self.scan.problems.append(Finding(min(line, len(self.lines)), rule, text))

    def _front_matter(self) -> int:
        """Read the head of the page between two lines of `---`; the place of the first line after it."""
        if not self.lines or self.lines[0].rstrip() != "---":
            return 0
        for number, line in enumerate(self.lines[1:], start=1):
            if line.rstrip() == "---":
                self.scan.front = self._yaml(self.lines[1:number], 2)
                return number + 1
        self._problem(1, "the head of the page is never closed; write --- below it", "options-form")
        return len(self.lines)

    def _line(self, number: int) -> int:
        """Take in one line; the place of the next."""
        line = self.lines[number]
        if self._in_code(number, line):
            self.scan.markdown[number + 1] = line
            return number + 1
        if found := CLOSING.fullmatch(line):
            self._close(number + 1, found)
        elif found := OPENING.fullmatch(line):
            return self._open(number, found)
        else:
            self.scan.markdown[number + 1] = line
            self._take(number, line)
        return number + 1

    def _take(self, number: int, line: str) -> None:
        """Take in a line that is no block's own and not in code."""
        if LIKE_BLOCK.match(line):
            self._problem(
                number + 1,
                "this line starts like a block but is not one; write “/// name | what it is about”",
            )
        else:
            if RAW_HTML.search(IN_CODE.sub("", line)):
                self._problem(
                    number + 1, "raw HTML is not read in this book; write Markdown or a block", "raw-html"
                )
            self.scan.prose.append((number + 1, line))

    def _in_code(self, number: int, line: str) -> bool:
        found = CODE_FENCE.fullmatch(line)
        if not found:
            return bool(self.fence)
        closing = found["mark"] == self.fence and not found["info"].strip()
        if (closing or not self.fence) and found["indent"]:
            self._problem(
                number + 1, f"{found['mark']} begins its line; take out the spaces before it", "code-form"
            )
        if closing:
            self.fence = ""
        elif not self.fence:
            self.fence, self.fence_line = found["mark"], number + 1
            if not FENCE_INFO.fullmatch(found["info"]):
                self._problem(
                    number + 1, f"only the name of a language goes behind {self.fence}", "code-form"
                )
        return True

    def _open(self, number: int, found: re.Match[str]) -> int:
        block = Block(
            name=found["name"].lower(),
            argument=found["argument"] or "",
            line=number + 1,
            indent=len(found["indent"]),
            slashes=len(found["slashes"]),
            parent=self.open[-1] if self.open else None,
        )
        if block.parent:
            block.parent.inside.append(block)
            if block.slashes >= block.parent.slashes:
                outer = block.parent
                self._problem(
                    block.line,
                    f"“{block.name}” stands inside “{outer.name}” (line {outer.line}), which then needs more "
                    f"slashes: open and close “{outer.name}” with {'/' * (block.slashes + 1)}",
                )
        if block.indent and self.lines[number - 1].strip():
            self._problem(block.line, f"leave an empty line above “{block.name}”")
        self.scan.blocks.append(block)
        self.open.append(block)
        end = self._option_lines(number + 1, block.indent)
        inner = [line[block.indent + 4 :] for line in self.lines[number + 1 : end]]
        block.options = self._yaml(inner, number + 2)
        block.body = end + 1
        return end

    def _option_lines(self, start: int, indent: int) -> int:
        end = start
        while (
            end < len(self.lines)
            and self.lines[end].strip()
            and self.lines[end].startswith(" " * (indent + 4))
        ):
            end += 1
        if (
            end < len(self.lines)
            and self.lines[end].strip()
            and not self.lines[end].lstrip().startswith("///")
        ):
            self._problem(
                end + 1,
                "leave an empty line above this one, and indent options by four spaces",
                "options-form",
            )
        return end

    def _close(self, line: int, found: re.Match[str]) -> None:
        if not self.open:
            self._problem(line, "this closes a block, but none is open; take it out or open one above")
            return
        block = self.open.pop()
        block.end = line
        slashes = len(found["slashes"])
        if block.slashes != slashes:
            self._problem(
                line,
                f"this has {slashes} slashes, but “{block.name}” (line {block.line}) was opened with "
                f"{block.slashes}; write {'/' * block.slashes}",
            )
        elif block.indent != len(found["indent"]):
            self._problem(
                line,
                f"this is indented by {len(found['indent'])} spaces, but “{block.name}” (line {block.line}) "
                f"by {block.indent}; indent both alike",
            )

    def _yaml(self, lines: list[str], first: int) -> dict[str, Option]:
        """Options by name, every figure kept as it was written."""
        try:
            node = composed("\n".join(lines))
        except Unreadable as error:
            self._problem(
                first + error.line,
                f"these options are not readable: {error}; write each as “name: value”",
                "options-form",
            )
            return {}
        if node is None:
            return {}
        if not isinstance(node, yaml.MappingNode):
            self._problem(first, "options are written one a line as “name: value”", "options-form")
            return {}
        options: dict[str, Option] = {}
        for key, value in node.value:
            line = first + key.start_mark.line
            if key.value in options:
                self._problem(line, f"the option “{key.value}” stands twice; keep one", "options-form")
            options[key.value] = Option(self._plain(value, first), line)
        return options

    def _plain(self, node: yaml.Node, first: int) -> Any:
        if isinstance(node, yaml.MappingNode):
            return {key.value: self._plain(value, first) for key, value in node.value}
        if isinstance(node, yaml.SequenceNode):
            return [self._plain(value, first) for value in node.value]
        line = first + node.start_mark.line
        try:
            meant = SafeConstructor().construct_document(node)
        except (yaml.YAMLError, ValueError, LookupError, AttributeError):  # a day of no month, a tag alone
            meant = ()
        if meant is None or not node.value.strip():
            self._problem(line, "nothing is written here; write a value behind the colon", "options-form")
        elif not isinstance(meant, str) and str(meant) != node.value:
            self._problem(
                line,
                f"“{node.value}” can be read in two ways; put it in quotes: '{node.value}'",
                "options-form",
            )
        return Written.at(line, node.value)
