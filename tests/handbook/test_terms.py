"""Words of the glossary in a page: which are marked and where, and that nothing else of the page changes.

Sources: the renderer itself without a glossary; the small glossary and its pages are our own.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from markdown import Markdown

from handbook.blocks import BookExtension
from handbook.glossary import EMPTY, FILE, PAGE, Glossary, Term, read_glossary

Tree = Callable[[str], ElementTree.Element]
Marked = Callable[..., str]

WORDS = Glossary(
    note="Words for tests.",
    terms=(
        Term(name="meter", means="It turns.", forms=("meters",)),
        Term(name="meter speed", means="How fast it turns."),
        Term(name="rate", means="So much on an area.", forms=("rates",)),
        Term(name="run", means="The way to a row.", forms=("runs",), only_in=("each run", "the runs")),
        Term(name="CV", means="A share."),
        Term(name="95 % interval", means="A range."),
    ),
)
LINK = re.compile(r'<a class="fb-term"[^>]*>(.*?)</a>', re.DOTALL)


def link(word: str, name: str, means: str, place: str) -> str:
    """A marked word as it is written."""
    href = f"../reference/glossary.html#{place}"
    return f'<a class="fb-term" data-means="{means}" data-name="{name}" href="{href}">{word}</a>'


METER_SPEED = link("meter speed", "meter speed", "How fast it turns.", "meter-speed")
METER = link("meter", "meter", "It turns.", "meter")
RATE = link("rate", "rate", "So much on an area.", "rate")


@pytest.fixture(scope="module")
def marked(markdown_extensions: list[str]) -> Marked:
    """Renders Markdown as a page of a book with a glossary."""

    def html(text: str, url: str = "lessons/a.html", glossary: Glossary = WORDS) -> str:
        blocks = BookExtension({}, glossary)
        blocks.start_page(url)
        return Markdown(extensions=[*markdown_extensions, blocks]).convert(text)

    return html


PAIRS = {
    "the first use of each word": (
        "A meter and a rate. The meter, the rate.",
        f"<p>A {METER} and a {RATE}. The meter, the rate.</p>",
    ),
    "a form, whatever the case, and the name before an s": (
        "Meters turn. A CV's rise.",
        (
            f"<p>{link('Meters', 'meter', 'It turns.', 'meter')} turn. A "
            f"{link('CV', 'CV', 'A share.', 'cv')}'s rise.</p>"
        ),
    ),
    "a form counts as the same word": ("The meters. The meter.", None),
    "the longest name": (
        "The meter speed and the meter.",
        f"<p>The {METER_SPEED} and the {METER}.</p>",
    ),
    "what is part of a longer name is not marked where that stands again": (
        "The meter speed is a meter speed.",
        (f"<p>The {METER_SPEED} is a meter speed.</p>"),
    ),
    "a name over the end of a line": (
        "The meter\nspeed.",
        f"<p>The {link(f'meter{chr(10)}speed', 'meter speed', 'How fast it turns.', 'meter-speed')}.</p>",
    ),
    "a name with a figure": (
        "The 95 % interval.",
        f"<p>The {link('95 % interval', '95 % interval', 'A range.', '95-interval')}.</p>",
    ),
    "only whole words": ("A flowmeter, meter-turns, a half-rate, operates.", "same"),
    "an everyday word only in the phrases where the thing is meant": (
        "They run. Then each run fills, and each run.",
        f"<p>They run. Then each {link('run', 'run', 'The way to a row.', 'run')} fills, and each run.</p>",
    ),
    "in items, cells, steps and emphasis, in the order of reading": (
        "- *The meter*\n- rate **and rate**\n\n| Meter | Rate |\n|---|---|\n| the runs | CV |",
        (
            f"<ul>\n<li><em>The {METER}</em></li>\n<li>{RATE} <strong>and rate</strong></li>\n</ul>\n"
            '<div aria-label="Table" class="fb-table" role="group" tabindex="0">'
            "<table>\n<thead>\n<tr>\n<th>Meter</th>\n<th>Rate</th>\n</tr>\n</thead>\n<tbody>\n<tr>\n"
            f"<td>the {link('runs', 'run', 'The way to a row.', 'run')}</td>\n"
            f"<td>{link('CV', 'CV', 'A share.', 'cv')}</td>\n</tr>\n</tbody>\n</table></div>"
        ),
    ),
    "behind what is no text": (
        "[Rate](b.md) and `meter`, then a rate.",
        f'<p><a href="b.md">Rate</a> and <code>meter</code>, then a {RATE}.</p>',
    ),
    "around a quantity": (
        "At `5 mph`{.q} the meter.",
        (
            '<p>At <span><span class="q" data-kind="speed"><span class="q-metric">8.05 km/h</span>'
            f'<span class="q-us q-imperial">5 mph</span></span></span> the {METER}.</p>'
        ),
    ),
    "not in headings": ("## The meter\n\nText.", "same"),
    "not in code": ("    a meter\n\n```\na rate\n```", "same"),
    "not in doors": (
        "/// doors | Where to go\n\n- [**Rate**](b.md)\n\n    On each run and meter.\n\n///",
        "same",
    ),
    "not in what a block says": (
        "/// warning | A meter turns\n    consequence: The meter cuts.\n    avoid: Stop the meter.\n///",
        "same",
    ),
    "not in a form": ("/// calculator | rate\n///", "same"),
    "in the steps of a procedure": (
        "/// procedure | The meter\n    needs: A meter\n\n1. Stop the meter.\n\n///",
        None,  # once, in the step and not in what is needed; the form of a job stands around it
    ),
}


@pytest.mark.parametrize(("markdown", "html"), PAIRS.values(), ids=PAIRS)
def test_words_are_marked(marked: Marked, markdown: str, html: str | None) -> None:
    found = marked(markdown)
    if html is None:
        assert len(LINK.findall(found)) == 1
    else:
        assert found == (marked(markdown, glossary=EMPTY) if html == "same" else html)


@pytest.mark.parametrize(
    ("url", "href"),
    [
        ("index.html", "reference/glossary.html#meter"),
        ("reference/index.html", "../reference/glossary.html#meter"),
        ("a/b/c.html", "../../reference/glossary.html#meter"),
    ],
)
def test_links_know_how_deep_their_page_stands(marked: Marked, tree: Tree, url: str, href: str) -> None:
    (made,) = tree(marked("A meter.", url=url)).iter("a")
    assert made.get("href") == href


def test_nothing_is_marked_on_the_page_of_the_glossary_itself(marked: Marked) -> None:
    assert marked("A meter.", url=f"{PAGE}.html") == "<p>A meter.</p>"


def test_each_page_begins_anew(markdown_extensions: list[str]) -> None:
    blocks = BookExtension({}, WORDS)
    for url in ("a.html", "b.html"):
        blocks.start_page(url)
        made = Markdown(extensions=[*markdown_extensions, blocks]).convert("A meter.")
        assert LINK.findall(made) == ["meter"]


def test_hostile_meanings_stay_in_their_place(marked: Marked, tree: Tree) -> None:
    text = """<script>alert("x")</script> & 'y' "z" <b>"""
    glossary = Glossary(note="A.", terms=(Term(name="meter & more", means=text),))
    root = tree(marked("A meter & more.", glossary=glossary))
    (made,) = root.iter("a")
    assert made.get("data-means") == text
    assert made.text == "meter & more"
    assert not list(root.iter("script"))


PIECES = st.sampled_from(
    [
        "The meter speed of each run.",
        "The runs, *the rate* and **rates**.",
        "Rates & meters < more.",
        "A rate of `5 mph`{.q} is a `rate`.",
        "[The meter](a.md) and ![a rate](b.svg) meter.",
        "<https://example.org/meter>",
        "# A rate",
        "- the meter\n\n    rate\n- CV",
        "1. Stop the meter.\n2. Read the rate.",
        "> A meter\n> speed",
        "| meter | rate |\n|---|---|\n| meter | the runs |",
        "    the meter",
        "```\nrate\n```",
        "/// notice | A meter\n    avoid: The rate.\n\nThe meter.\n\n///",
        "/// calculator | rate\n///",
        "\\*meter\\* &amp; rate",
    ]
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(PIECES, min_size=1, max_size=6))
def test_nothing_but_links_is_added_and_each_word_once(marked: Marked, pieces: list[str]) -> None:
    text = "\n\n".join(pieces)
    with_links = marked(text)
    assert LINK.sub(r"\1", with_links) == marked(text, glossary=EMPTY)
    names = re.findall(r'data-name="([^"]*)"', with_links)
    assert len(names) == len(set(names))


def test_the_books_own_words_are_marked_in_its_own_pages(marked: Marked, root: Path) -> None:
    own, problems = read_glossary(root / "docs" / FILE, FILE)
    assert own and not problems
    for path in sorted((root / "docs" / "lessons").glob("*.md")):
        prose = re.sub(r"(?ms)^///.*?^///+ *$", "", path.read_text("utf-8").split("---\n", 2)[2])
        html = marked(prose, glossary=own)
        names = [unescape(name) for name in re.findall(r'data-name="([^"]*)"', html)]
        assert len(names) == len(set(names)), path.name
        assert len(names) >= 3 or len(prose.split()) < 150, path.name  # a page of cases has little prose
        assert LINK.sub(r"\1", html) == marked(prose, glossary=EMPTY), path.name
