"""YAML of which only the plain part is read: texts, lists, and mappings whose keys are texts."""

from __future__ import annotations

import re

import yaml

FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # LibYAML, where PyYAML was built with it
ODD_END = re.compile("[\x85\u2028\u2029]")  # ends a line in YAML, and in no editor
STARRED = "a text that begins with * goes in quotes"


class Unreadable(ValueError):
    """Why a text cannot be read, and on which of its lines, counted from 0."""

    def __init__(self, said: str, line: int) -> None:
        super().__init__(said)
        self.line = line


def composed(text: str) -> yaml.Node | None:
    """The nodes of a text, with their lines; None where it is empty. Raises `Unreadable`."""
    if odd := ODD_END.search(text):
        said = f"it holds a line end that no editor shows (U+{ord(odd[0]):04X}); take it out"
        raise Unreadable(said, text.count("\n", 0, odd.start()))
    try:
        return _read(text, FAST)
    except (yaml.YAMLError, Unreadable, RecursionError):
        return _explained(text)  # in the words, and with the lines, that trainers know


def _explained(text: str) -> yaml.Node | None:
    """The same by the loader that says most about what is wrong. Raises `Unreadable`."""
    try:
        return _read(text, yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line if error.problem_mark else 0
        starred = error.context == "while scanning an alias"  # Markdown's emphasis, most likely
        raise Unreadable(STARRED if starred else str(error.problem), line) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position)
        raise Unreadable("it holds a sign that cannot be printed", line) from error
    except RecursionError as error:
        raise Unreadable("it is nested too deeply", 0) from error


def _read(text: str, loader: type) -> yaml.Node | None:
    if "*" in text:
        for event in yaml.parse(text, Loader=loader):
            if isinstance(event, yaml.AliasEvent):
                line = event.start_mark.line if event.start_mark else 0
                raise Unreadable(STARRED, line)
    node: yaml.Node | None = yaml.compose(text, Loader=loader)
    _check_keys(node)
    return node


def _check_keys(node: yaml.Node | None) -> None:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            if not isinstance(key, yaml.ScalarNode):
                raise Unreadable("a name is a plain word", key.start_mark.line)
            _check_keys(value)
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            _check_keys(value)
