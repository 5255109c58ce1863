"""Links between pages: a wrong one is said with its line and, where it can be guessed, what was meant."""

from __future__ import annotations

import pytest

from handbook.links import Links
from handbook.scanner import scan

METERS = "# Meters\n\n## Slow and fast\n\n## Slow and fast\n\n## Named {#other}\n"


def problems(text: str, page: str = "lessons/rate.md") -> list[tuple[int, str]]:
    """What is wrong with the links of one page in a book of four."""
    pages = {page: scan(text), "index.md": scan("# First"), "lessons/meters.md": scan(METERS)}
    found = Links(pages, ["machines/one.yml"]).problems(page)
    return [(line, said) for line, _, said in found]


@pytest.mark.parametrize(
    "text",
    [
        "[first](../index.md)",
        "[beside](meters.md) and [below](meters.md#slow-and-fast)",
        "[the second of two](meters.md#slow-and-fast_1), [named](meters.md#other)",
        "## Here\n\n[here](#here)",
        "[elsewhere](https://example.org/a#b) [mail](mailto:someone@example.org)",
        "[sheet](../machines/one.yml) [licences](../licences.md)",
        "`[in code](nowhere.md)`",
        "```\n[in code](nowhere.md)\n```",
    ],
)
def test_a_right_link_is_passed_over(text: str) -> None:
    assert problems(text) == []


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("one\n\n[a](meter.md)", 3, "the link “meter.md” leads to no page; did you mean “meters.md”?"),
        ("[a](index.md)", 1, "the link “index.md” leads to no page; did you mean “../index.md”?"),
        ("[a](meters.html)", 1, "the link “meters.html” leads to no page; did you mean “meters.md”?"),
        ("[a](xyz.md)", 1, "the link “xyz.md” leads to no page; the way begins at this page and ends in .md"),
        (
            "[a](/index.md)",
            1,
            "the link “/index.md” begins with /; write the way from this page, such as ../index.md",
        ),
        (
            "[a](meters.md#slow-and-fst)",
            1,
            (
                "the link “meters.md#slow-and-fst” leads to a heading that is not there; "
                "did you mean “#slow-and-fast”?"
            ),
        ),
        ("[a](#gone)", 1, "the link “#gone” leads to a heading that is not there"),
        (
            'fine [b](meters.md) [a](<meter.md> "title")',
            1,
            "the link “meter.md” leads to no page; did you mean “meters.md”?",
        ),
    ],
)
def test_a_wrong_link_is_said_with_its_line(text: str, line: int, said: str) -> None:
    assert problems(text) == [(line, said)]
