"""The changes that are tried: which lines of `calc` they are in, and what they make of them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import libcst
from libcst import CSTNode
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation import mutators

# Of all that the library can change: sums, comparisons, figures, switches, what is set. Not the words.
OPERATORS: tuple[Any, ...] = (
    mutators.operator_number,
    mutators.operator_name,
    mutators.operator_swap_op,
    mutators.operator_keywords,
    mutators.operator_remove_unary_ops,
    mutators.operator_if_exp,
    mutators.operator_assignment,
    mutators.operator_lambda,
)
DATA = "_cases.py"  # the worked examples, which are themselves tests
UNREAD = (libcst.Annotation, libcst.TypeAlias)  # never worked out, for annotations are left as text


@dataclass(frozen=True)
class Mutant:
    """One change of one module: the how-manieth of the module, on which line, and what it makes of it."""

    module: str
    number: int
    line: int
    was: str
    becomes: str

    @property
    def code(self) -> str:
        """A name that stays the same as long as the module does."""
        return f"{self.module}:{self.line}:{self.number}"

    @property
    def lot(self) -> str:
        """What decides which of many are tried first: the same on every machine, and without a pattern."""
        return hashlib.sha256(f"{self.code} {self.was} {self.becomes}".encode()).hexdigest()


def modules(root: Path) -> list[str]:
    """Every module of `calc` in which something is tried, by its path from the top."""
    paths = sorted(path.relative_to(root).as_posix() for path in (root / "calc").rglob("*.py"))
    return [path for path in paths if not path.endswith(DATA)]


def mutants(root: Path, module: str) -> list[Mutant]:
    """Every change of a module, but for what is never run: annotations, and what only type checkers read."""
    tree, found = _found((root / module).read_text(encoding="utf-8"))
    return [
        Mutant(module, number, line, _text(tree, node), _text(tree, changed))
        for number, (line, node, changed) in enumerate(found)
    ]


def written(source: str, number: int) -> str:
    """The module with one of its changes."""
    tree, found = _found(source)
    _, node, changed = found[number]
    made = tree.deep_replace(node, changed)
    if not isinstance(made, libcst.Module):
        raise TypeError("a change has taken the place of its module")
    return made.code


@lru_cache(maxsize=2)
def _found(source: str) -> tuple[libcst.Module, list[tuple[int, CSTNode, CSTNode]]]:
    wrapper = MetadataWrapper(libcst.parse_module(source))
    lines = wrapper.resolve(PositionProvider)
    found = [
        (lines[node].start.line, node, changed)
        for node in _read(wrapper.module)
        for kind, operator in mutators.mutation_operators
        if operator in OPERATORS and isinstance(node, kind)
        for changed in operator(node)
    ]
    return wrapper.module, found


def _read(node: CSTNode) -> Iterator[CSTNode]:
    """The node and all below it that Python ever works out."""
    yield node
    for child in node.children:
        if not isinstance(child, UNREAD) and not _is_for_types(child):
            yield from _read(child)


def _is_for_types(node: CSTNode) -> bool:
    return (
        isinstance(node, libcst.If)
        and isinstance(node.test, libcst.Name)
        and node.test.value == "TYPE_CHECKING"
    )


def _text(tree: libcst.Module, node: CSTNode) -> str:
    return " ".join(tree.code_for_node(node).split())
