"""YAML by the fast loader: what it reads is what PyYAML's own loader reads, line for line.

Source: PyYAML's SafeLoader, a second reader of the same language.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from handbook import plain_yaml
from handbook.plain_yaml import FAST, Unreadable, composed
from handbook.scanner import lines_of, scan

Tree = list[tuple[str, str, int]]


def tree(node: yaml.Node | None) -> Tree:
    """Every node in its order: its tag, its value or kind, its line."""
    if node is None:
        return []
    line = node.start_mark.line
    if isinstance(node, yaml.MappingNode):
        inside = [one for pair in node.value for part in pair for one in tree(part)]
    elif isinstance(node, yaml.SequenceNode):
        inside = [one for part in node.value for one in tree(part)]
    else:
        return [(node.tag, node.value, line)]
    return [(node.tag, type(node).__name__, line), *inside]


def slowly(text: str) -> yaml.Node | None:
    return yaml.compose(text, Loader=yaml.SafeLoader)


def test_libyaml_is_there() -> None:
    """Else the tests below compare a loader with itself."""
    assert FAST is not yaml.SafeLoader


def test_the_whole_book_is_read_alike(root: Path) -> None:
    texts = [path.read_text("utf-8") for path in sorted((root / "docs").rglob("*.yml"))]
    for path in sorted((root / "docs").rglob("*.md")):
        lines = lines_of(path.read_text("utf-8"))
        blocks = scan(path.read_text("utf-8")).blocks
        texts += [
            "\n".join(line[one.indent + 4 :] for line in lines[one.line : one.body - 1]) for one in blocks
        ]
    assert len(texts) > 1000
    for text in texts:
        assert tree(composed(text)) == tree(slowly(text))


PIECES = st.sampled_from(
    [
        "a: b",
        "- c",
        "  - d",
        "'e",
        '"f"',
        ": ",
        "{g: 1}",
        "[h, 2",
        "]",
        "# i",
        "*j",
        "&k",
        "!!int 3",
        "|",
        "\t",
    ]
)


@given(st.lists(PIECES | st.text(max_size=6), max_size=8).map("\n".join))
@example("a: b: c")
@example("%YAML 1.2\n---\na: 1")
@example("a: |\n  b\n\n c")
def test_any_text_that_both_read_is_read_alike(text: str) -> None:
    try:
        fast = composed(text)
        slow = slowly(text)
    except (yaml.YAMLError, Unreadable, RecursionError):
        return
    assert tree(fast) == tree(slow)


def test_without_libyaml_it_reads_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "a: 'one\n\n  two'\nb: [3, {c: 4.50}]\n"
    fast = tree(composed(text))
    monkeypatch.setattr(plain_yaml, "FAST", yaml.SafeLoader)
    assert tree(composed(text)) == fast


@pytest.mark.parametrize("sign", ["\x85", "\u2028", "\u2029"])
def test_a_line_end_that_no_editor_shows_is_refused_on_its_line(sign: str) -> None:
    """YAML counts it as one, and every line named after it would be the wrong one."""
    with pytest.raises(Unreadable) as refused:
        composed(f"a: 1\nb: 2{sign}\nc: 3\n")
    assert refused.value.line == 1
    assert f"U+{ord(sign):04X}" in str(refused.value)
