"""The scanner: how blocks are written, every mistake in it with its line, and what is no block.

Sources: YAML 1.1 (yaml.org, "Language-Independent Types") for scalars that can be read in two ways;
CommonMark 0.31 for line ends, "A line ending is a line feed, a carriage return not followed by a line feed,
or a carriage return and a following line feed"; the rest is the book's own form of a block, common practice.
"""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from handbook.scanner import scan

DANGER = """\
/// danger | Moving parts
    consequence: They can cut.
    avoid: Keep away.
///
"""


def problems(text: str) -> list[tuple[int, str]]:
    return [(line, said) for line, _, said in scan(text).problems]


# --- a right file ---


def test_a_block_has_its_name_argument_options_and_lines() -> None:
    found = scan("Text.\n\n/// calculator | rate\n    machine: trial-two\n    width: 40 ft\n\n///\n\nMore.\n")
    assert found.problems == []
    (block,) = found.blocks
    assert (block.name, block.argument, block.line, block.body, block.end) == ("calculator", "rate", 3, 6, 7)
    read = {name: (option.value, option.line) for name, option in block.options.items()}
    assert read == {"machine": ("trial-two", 4), "width": ("40 ft", 5)}


def test_options_may_be_lists_and_long_texts() -> None:
    text = (
        "/// danger | A\n    avoid:\n      - one\n      - two\n    consequence: >\n      It "
        "is\n      long.\n///\n"
    )
    found = scan(text)
    assert found.problems == []
    assert found.blocks[0].options["avoid"].value == ["one", "two"]
    assert found.blocks[0].options["avoid"].line == 2
    assert found.blocks[0].options["consequence"].value.strip() == "It is long."
    assert found.blocks[0].options["consequence"].line == 5


def test_a_figure_stays_as_it_was_written() -> None:
    found = scan("/// calculator | rate\n    width: 12,50 m\n    rate: '010'\n    runs: 48\n///\n")
    assert found.problems == []
    assert {n: o.value for n, o in found.blocks[0].options.items()} == {
        "width": "12,50 m",
        "rate": "010",
        "runs": "48",
    }


def test_more_slashes_hold_fewer() -> None:
    found = scan(f"///// procedure | A\n\n//// notice | B\n    avoid: c\n\n{DANGER}\n////\n\n/////\n")
    assert found.problems == []
    outer, middle, inner = found.blocks
    assert (inner.parent, middle.parent, outer.parent) == (middle, outer, None)
    assert outer.inside == [middle]
    assert middle.inside == [inner]
    assert (inner.line, inner.end, middle.end, outer.end) == (6, 9, 11, 13)


def test_a_block_stands_in_a_step_and_the_steps_go_on() -> None:
    text = (
        "//// procedure | A\n\n1. Read.\n\n    /// measure | Speed\n        low: 3 rpm\n    ///\n\n"
        f"{DANGER}\n2. Go on.\n\n////\n\n7. Not a step.\n"
    )
    found = scan(text)
    assert found.problems == []
    procedure, measure, danger = found.blocks
    assert (measure.indent, measure.options["low"].value, measure.options["low"].line) == (4, "3 rpm", 6)
    assert danger.parent is procedure
    assert list(found.steps(procedure)) == [(3, 1), (14, 2)]


def test_a_numbered_list_inside_another_block_is_not_of_the_procedure() -> None:
    text = (
        "//// procedure | A\n\n1. One.\n\n/// notice | B\n    avoid: c\n\n5. "
        "Five.\n\n///\n\n2. Two.\n\n////\n"
    )
    found = scan(text)
    assert [number for _, number in found.steps(found.blocks[0])] == [1, 2]
    assert [number for _, number in found.steps(found.blocks[1])] == [5]


def test_the_head_of_a_page_has_lines() -> None:
    found = scan("---\ntitle: Rate\nkind: lesson\n---\n\n# Rate\n")
    assert found.problems == []
    assert {n: (o.value, o.line) for n, o in found.front.items()} == {
        "title": ("Rate", 2),
        "kind": ("lesson", 3),
    }
    assert found.prose[-2] == (6, "# Rate")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a\n\nAt `5 mph`{.q} or `8 km/h`{ .q }.\n", [(3, "5 mph"), (3, "8 km/h")]),
        ("`5 mph`{: .q } and `6 mph`{.q .big}", [(1, "5 mph"), (1, "6 mph")]),
        ("``7 mph``{.q}", [(1, "7 mph")]),
        ("`5 mph` and `6 mph`{.code}", []),
        ("Write `` `5 mph`{.q} `` so.", []),  # code that shows how it is written
        ("| a | `5 mph`{.q} |\n|---|---|\n| b | `6 mph`{.q} |", [(1, "5 mph"), (3, "6 mph")]),
        ("```\n`5 mph`{.q}\n```\n`6 mph`{.q}", [(4, "6 mph")]),
    ],
)
def test_quantities_in_prose_have_their_lines(text: str, expected: list[tuple[int, str]]) -> None:
    assert list(scan(text).quantities()) == expected


# --- what only looks like a block ---


@pytest.mark.parametrize(
    "text",
    [
        f"```\n{DANGER}```\n",
        f"~~~~ text\n{DANGER}~~~~\n",
        f"``` markdown\n{DANGER}~~~\n{DANGER}```\n",  # another mark does not close it
        f"````\n```\n{DANGER}```\n{DANGER}````\n",  # nor does a shorter one
        "// two slashes are text\n",
        "A path/like///this is text.\n",
        "An address: <https://example.org/a>.\n",
    ],
)
def test_code_and_text_hold_no_blocks(text: str) -> None:
    found = scan(text)
    assert found.blocks == []
    assert found.problems == []


def test_after_code_blocks_are_read_again() -> None:
    found = scan(f"```\n{DANGER}```\n\n{DANGER}")
    assert [block.line for block in found.blocks] == [8]


# --- mistakes ---


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("a\n/// danger | A\n    avoid: b\n", 2, "the block “danger” is never closed; write /// below it"),
        ("a\n\n///\n", 3, "this closes a block, but none is open; take it out or open one above"),
        (
            "//// procedure | A\n\n///\n",
            3,
            "this has 3 slashes, but “procedure” (line 1) was opened with 4; write ////",
        ),
        (
            f"/// procedure | A\n\n{DANGER}\n///\n",
            3,
            (
                "“danger” stands inside “procedure” (line 1), which then needs more slashes: "
                "open and close “procedure” with ////"
            ),
        ),
        (
            "1. a\n\n    /// measure | A\n        low: 1 m\n///\n",
            5,
            "this is indented by 0 spaces, but “measure” (line 3) by 4; indent both alike",
        ),
        ("1. a\n    /// measure | A\n        low: 1 m\n    ///\n", 2, "leave an empty line above “measure”"),
        (
            "a\n/// dan ger | A\n",
            2,
            "this line starts like a block but is not one; write “/// name | what it is about”",
        ),
        ("/// danger | A\n    avoid: b\n    avoid: c\n///\n", 3, "the option “avoid” stands twice; keep one"),
        (
            "/// danger | A\n    avoid: b\n    consequence: If it turns: crush\n///\n",
            3,
            (
                "these options are not readable: mapping values are not allowed here; "
                "write each as “name: value”"
            ),
        ),
        (
            "/// danger | A\n    avoid: *Stop* it\n///\n",
            2,
            (
                "these options are not readable: a text that begins with * goes in quotes; "
                "write each as “name: value”"
            ),
        ),
        (
            "/// danger | A\n    a: b\n    ? [c]\n    : d\n///\n",
            3,
            "these options are not readable: a name is a plain word; write each as “name: value”",
        ),
        ("/// danger | A\n    - b\n///\n", 2, "options are written one a line as “name: value”"),
        ("/// danger | A\n    avoid:\n///\n", 2, "nothing is written here; write a value behind the colon"),
        (
            "/// danger | A\n    avoid: ''\n///\n",
            2,
            "nothing is written here; write a value behind the colon",
        ),
        (
            "/// danger | A\nText.\n///\n",
            2,
            "leave an empty line above this one, and indent options by four spaces",
        ),
        (
            "/// danger | A\n    avoid: b\nText.\n///\n",
            3,
            "leave an empty line above this one, and indent options by four spaces",
        ),
        (
            "/// danger | A\n\tavoid: b\n///\n",
            2,
            "leave an empty line above this one, and indent options by four spaces",
        ),
        ("a\n```\nb\n", 2, "this code is never closed; write ``` below it"),
        ("```\nb\n````\n", 1, "this code is never closed; write ``` below it"),
        ("a\n\n  ```\nb\n```\n", 3, "``` begins its line; take out the spaces before it"),
        ("~~~ a good example\nb\n~~~\n", 1, "only the name of a language goes behind ~~~"),
        ("---\nkind: lesson\n", 1, "the head of the page is never closed; write --- below it"),
        ("a\n\n<div>\n", 3, "raw HTML is not read in this book; write Markdown or a block"),
        ("<!-- a -->\n", 1, "raw HTML is not read in this book; write Markdown or a block"),
    ],
)
def test_a_mistake_is_said_once_with_its_line(text: str, line: int, said: str) -> None:
    assert problems(text) == [(line, said)]


@pytest.mark.parametrize("start", ["> ", "- ", "1. ", "\t", ">> "])
def test_a_block_in_a_quotation_or_beside_a_list_mark_is_refused(start: str) -> None:
    assert [line for line, _ in problems(f"a\n\n{start}/// danger | A\n")] == [3]


def test_tabs_are_no_indentation_for_options() -> None:
    ((line, said),) = problems("/// danger | A\n    avoid: b\n    \tconsequence: c\n///\n")
    assert line == 3
    assert said.startswith("these options are not readable")


@pytest.mark.parametrize(
    "value",
    ["1_000", "010", "0x1F", "12:30", "1:30:00", "yes", "No", "on", "off", "true", "1.50", "+5", ".5"],
)
def test_what_yaml_reads_as_something_else_goes_in_quotes(value: str) -> None:
    text = f"/// calculator | rate\n    machine: m\n    runs: {value}\n///\n"
    assert problems(text) == [(3, f"“{value}” can be read in two ways; put it in quotes: '{value}'")]
    assert problems(text.replace(value, f"'{value}'")) == []
    listed = f"/// danger | A\n    avoid:\n      - a\n      - {value}\n///\n"
    assert [line for line, _ in problems(listed)] == [4]


@pytest.mark.parametrize("value", ["2026-02-31", "!!python/name:os.system", "!!int five", "="])
def test_what_yaml_cannot_read_at_all_is_a_problem_and_no_error(value: str) -> None:
    assert [line for line, _ in problems(f"/// danger | A\n    avoid: {value}\n///\n")] == [2]


def test_signs_that_cannot_be_printed_are_a_problem_with_their_line() -> None:
    text = "/// danger | A\n    consequence: c\n    avoid: b\a\n///\n"
    assert problems(text) == [
        (
            3,
            (
                "these options are not readable: it holds a sign that cannot be printed; "
                "write each as “name: value”"
            ),
        )
    ]


def test_text_that_doubles_itself_is_refused_and_not_followed() -> None:
    bomb = "".join(f"    a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 40))
    assert len(problems(f"/// danger | A\n    a0: &a0 [x, x]\n{bomb}///\n")) == 1
    assert len(problems("/// danger | A\n    avoid: &a [*a]\n///\n")) == 1
    assert len(problems(f"/// danger | A\n    avoid: {'[' * 1500}\n///\n")) == 1


def test_every_mistake_of_a_file_is_found_in_one_go() -> None:
    text = "/// danger | A\n    avoid: yes\n    avoid: no\n///\n\n///\n\n/// notice | B\n    avoid: *b\n"
    assert [line for line, _ in problems(text)] == [2, 3, 3, 6, 9, 8]


# --- line ends and other signs ---


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_other_line_ends_change_nothing(end: str) -> None:
    text = f"---\nkind: lesson\n---\n\nAt `5 mph`{{.q}}.\n\n{DANGER}\n```\n///\n```\n\n/// notice\n"
    plain, other = scan(text), scan(text.replace("\n", end))
    assert plain.problems
    assert other == plain


def test_a_byte_order_mark_does_not_hide_the_head() -> None:
    found = scan("\ufeff---\nkind: lesson\n---\n")
    assert found.front["kind"].value == "lesson"


@pytest.mark.parametrize("sign", ["\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029"])
def test_lines_are_counted_as_an_editor_counts_them(sign: str) -> None:
    assert [line for line, _ in problems(f"a{sign}b\n\n///\n")] == [3]


# --- anything at all ---

LINES = st.sampled_from(
    [
        "",
        "///",
        "////",
        "    ///",
        "/// danger | A",
        "//// procedure | A",
        "    /// measure | A",
        "    avoid: b",
        "    avoid: [",
        "    avoid: &a [*a]",
        "    'low: 1",
        "        low: 3 rpm",
        "    - c",
        "---",
        "```",
        "~~~ text",
        "1. Step `5 mph`{.q}",
        "text",
        "\t/// danger",
        "> /// danger | A",
        "    ? [a, b]",
        "    !!set {a}",
    ]
)


@given(st.text() | st.lists(LINES | st.text(max_size=12), max_size=14).map("\n".join))
@example("/// a | b\n    x: [")
@example("---\nx: [")
@example("/// a | b\n    x: '")
def test_any_text_is_read_and_only_its_own_lines_are_named(text: str) -> None:
    found = scan(text)
    last = len(re.split("\r\n|\r|\n", text))
    named = [line for line, *_ in [*found.problems, *found.prose, *found.quantities()]]
    named += [
        line for block in found.blocks for line in (block.line, *(o.line for o in block.options.values()))
    ]
    named += [line for block in found.blocks for line, _ in found.steps(block)]
    assert all(1 <= line <= last for line in named)
    assert all(said for _, _, said in found.problems)
    assert [line for line, _ in found.prose] == sorted({line for line, _ in found.prose})
