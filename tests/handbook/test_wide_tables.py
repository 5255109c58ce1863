"""Tables of Markdown: each stands in a part that keys can reach and that says what it is (WCAG 2.1.1, 1.3.1).

Source: Python-Markdown's own tables and headings for what a table and a heading are.
"""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from markdown import Markdown

from tests.handbook.conftest import Render

TABLE = "| A | B |\n| --- | --- |\n| 1 | 2 |\n"


class Wraps(HTMLParser):
    """The names of the parts that hold a table at once, and how many tables stand in none."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.names: list[str | None] = []
        self.bare = 0
        self._above: dict[str, str | None] = {}
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            held = self._above
            if (held.get("class"), held.get("role"), held.get("tabindex")) == ("fb-table", "group", "0"):
                self.names.append(held["aria-label"])
            else:
                self.bare += 1
        self._above = dict(attrs)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        pytest.param(TABLE, ["Table"], id="no heading above"),
        pytest.param(f"# One\n\n## Two *very* `kept`\n\n{TABLE}", ["Two very kept"], id="the nearest"),
        pytest.param(f"## One {{#first}}\n\n{TABLE}", ["One"], id="a heading with an id"),
        pytest.param(f"## At `5 mph`{{.q}}\n\n{TABLE}", ["At 5 mph"], id="a quantity"),
        pytest.param(f'## Five \\* " < & >\n\n{TABLE}', ['Five * " < & >'], id="signs"),
        pytest.param(f"## A <b>bold</b> one\n\n{TABLE}", ["A bold one"], id="elements are left out"),
        pytest.param(f"## One\n\n{TABLE}\n## Two\n\n{TABLE}\n{TABLE}", ["One", "Two", "Two"], id="each"),
        pytest.param(
            f"## One\n\n- a\n\n    {TABLE.replace(chr(10), chr(10) + '    ')}", ["One"], id="in a list"
        ),
        pytest.param(
            f'## One\n\n<table class="x"><tr><td>1</td></tr></table>\n\n{TABLE}', ["One"], id="made"
        ),
    ],
)
def test_a_table_is_named_by_the_heading_above(render: Render, text: str, names: list[str]) -> None:
    found = Wraps(render(text))
    assert found.names == names
    assert found.bare == text.count("<table")


def test_what_stands_around_a_table_stays(render: Render, markdown_extensions: list[str]) -> None:
    text = f"## One\n\nBefore.\n\n{TABLE}\nAfter.\n\n> Said.\n>\n> {TABLE.replace(chr(10), chr(10) + '> ')}\n"
    opened = '<div aria-label="One" class="fb-table" role="group" tabindex="0">'
    html = render(text)
    assert html.count("<table>") == 2

    def seen(html: str) -> str:
        return "".join(html.split())

    assert seen(html).count(seen(opened)) == 2
    assert seen(html).replace(seen(opened), "").replace("</table></div>", "</table>") == seen(
        Markdown(extensions=markdown_extensions).convert(text)
    )
