"""Blocks as HTML: pairs of Markdown and what it becomes, hostile text, and no block that turns into text.

Sources: the book's own forms of a block, common practice; the signal words: ANSI Z535.4
(from memory); the renderer itself, against the scanner.
"""

from __future__ import annotations

import re
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from handbook.machines.copies import copy_of
from handbook.machines.sheet import Sheet
from handbook.scanner import scan
from handbook.vocabulary import BLOCKS, SIGNAL_WORDS, page_problems

ReadSheet = Callable[[str], Sheet]
Render = Callable[..., str]
Tree = Callable[[str], ElementTree.Element]

HOSTILE = """<script>alert("x")</script> & 'y' "z" <b>"""

# --- pairs ---

PAIRS = {
    "a hazard with one way to avoid it": (
        "/// danger | Moving parts\n    consequence: They cut.\n    avoid: Keep away.\n///",
        (
            '<div class="fb-hazard fb-danger" data-hazard="Moving parts" role="note">\n<div class="fb-part">'
            '<p class="fb-signal"><span class="fb-word">DANGER</span> Moving parts</p>\n'
            '<p class="fb-consequence">They cut.</p><p class="fb-avoid">Keep away.</p></div>\n</div>'
        ),
    ),
    "a hazard with several": (
        (
            "/// caution | Dust\n    consequence: It harms.\n    avoid:\n      - Wear a mask.\n  "
            "    - Stay upwind.\n///"
        ),
        (
            '<div class="fb-hazard fb-caution" data-hazard="Dust" role="note">\n<div class="fb-part">'
            '<p class="fb-signal"><span class="fb-word">CAUTION</span> Dust</p>\n'
            '<p class="fb-consequence">It harms.</p>'
            '<ul class="fb-avoid"><li>Wear a mask.</li><li>Stay upwind.</li></ul></div>\n</div>'
        ),
    ),
    "a notice needs no consequence and may say more": (
        "/// notice | Wet seed bridges\n    avoid: Dry it.\n\nAbove `5 mph`{.q}, *look*.\n\n///",
        (
            '<div class="fb-hazard fb-notice" data-hazard="Wet seed bridges" role="note">\n'
            '<div class="fb-part">'
            '<p class="fb-signal"><span class="fb-word">NOTICE</span> Wet seed bridges</p>\n'
            '<p class="fb-avoid">Dry it.</p></div>\n'
            '<p>Above <span><span class="q" data-kind="speed"><span class="q-metric">8.05 km/h</span>'
            '<span class="q-us q-imperial">5 mph</span></span></span>, <em>look</em>.</p>\n</div>'
        ),
    ),
    "a procedure with a measured value and a hazard between its steps": (
        (
            "//// procedure | Stand and turn\n    id: stand\n    needs:\n      - two people\n"
            "      - a watch\n\n"
            "1. Read.\n\n    /// measure | Meter speed\n        low: 39 rpm\n        high: 41 rpm\n"
            "        source: common practice\n        outside: Stop.\n        calculator: rate\n    ///\n\n"
            "/// warning | Heat\n    consequence: It burns.\n    avoid: Wait.\n///\n\n2. Go on.\n\n////"
        ),
        (
            '<section aria-label="Stand and turn" class="fb-block fb-procedure" '
            'data-page="lessons/a.html" data-people="1" data-procedure="stand">\n'
            '<div class="fb-part"><div class="fb-needs"><p><strong>You need</strong></p>'
            "<ul><li>two people</li><li>a watch</li></ul></div></div>\n"
            '<ol>\n<li data-step="b00ccb58">\n<p>Read.</p>\n'
            '<div class="fb-block fb-measure">\n<div class="fb-part">'
            '<p class="fb-measured"><strong>Meter speed:</strong>\n39 rpm to 41 rpm '
            '<span class="fb-basis">(common practice)</span> '
            '<span class="fb-blank" aria-hidden="true"></span></p>\n'
            '<p class="fb-outside"><strong>Outside:</strong> Stop. '
            '<a href="../calculators/rate.html" data-worked="rate">'
            "Work it out: Rate and meter speed</a></p></div>\n"
            "</div>\n</li>\n</ol>\n"
            '<div class="fb-hazard fb-warning" data-hazard="Heat" data-step="f8071d95" role="note">\n'
            '<div class="fb-part">'
            '<p class="fb-signal"><span class="fb-word">WARNING</span> Heat</p>\n'
            '<p class="fb-consequence">It burns.</p><p class="fb-avoid">Wait.</p></div>\n</div>\n'
            '<ol start="2">\n<li data-step="e9bdd5e0">Go on.</li>\n</ol>\n</section>'
        ),
    ),
    "what is stored on the device": (
        "/// stored | How it stands & why\n///",
        (
            '<section aria-label="How it stands &amp; why" class="fb-block fb-stored">\n'
            '<div class="fb-part"><div class="fb-offline" data-offline="all"><p>This page cannot tell what '
            "is stored: scripting is off, or this browser is too old.</p></div></div>\n</section>"
        ),
    ),
    "doors": (
        "/// doors | Where to go\n\n- [Learn it](lessons/index.md)\n\n///",
        (
            '<nav aria-label="Where to go" class="fb-block fb-doors">\n<ul>\n'
            '<li><a href="lessons/index.md">Learn it</a></li>\n</ul>\n</nav>'
        ),
    ),
    "a block in code stays as it is written": (
        "```\n/// notice | A\n    avoid: b\n///\n```",
        "<pre><code>/// notice | A\n    avoid: b\n///\n</code></pre>",
    ),
    "code that shows how a quantity is written": (
        "Write `` `5 mph`{.q} ``.",
        "<p>Write <code>`5 mph`{.q}</code>.</p>",
    ),
}


@pytest.mark.parametrize(("markdown", "html"), PAIRS.values(), ids=PAIRS)
def test_markdown_becomes_this_html(render: Render, markdown: str, html: str) -> None:
    assert list(page_problems(scan(f"---\nkind: lesson\n---\n\n{markdown}\n"), {})) == []
    assert without_record(render(markdown)) == html


def without_record(html: str) -> str:
    """The same without what only a script shows: the form of a job and the field of a value."""
    html = re.sub(r'<div class="fb-work .*?</form>\n</div>', "", html, flags=re.S)
    return re.sub(r'\n<div class="fb-ask".*?</div>\s*</div>\s*</div>(?=</div>)', "", html, flags=re.S)


@pytest.mark.parametrize(
    ("limits", "said"),
    [
        ("low: 39 rpm", "at least 39 rpm"),
        ("high: 2 s", "at most 2 s"),
        ("low: -3 %\n        high: 3 %", "−3 % to 3 %"),
        ("low: 4\n        high: 6", "4 to 6"),
        ("high: 0 rpm", "at most 0 rpm"),
    ],
)
def test_limits_are_said(render: Render, tree: Tree, limits: str, said: str) -> None:
    html = render(
        "//// procedure | P\n\n1. Read.\n\n    /// measure | M\n"
        f"        {limits}\n        source: law\n        outside: Stop.\n    ///\n\n////"
    )
    (measured,) = tree(html).iterfind(".//p[@class='fb-measured']")
    assert " ".join("".join(measured.itertext()).split()) == f"M: {said} (law)"


def test_a_limit_is_in_every_readers_units(render: Render, tree: Tree) -> None:
    html = render(
        "//// procedure | P\n\n1. Read.\n\n    /// measure | M\n"
        "        high: 5 mph\n        source: law\n        outside: Stop.\n    ///\n\n////"
    )
    (shown,) = tree(html).iterfind(".//p[@class='fb-measured']/span[@class='q']")
    assert [(part.get("class"), part.text) for part in shown] == [
        ("q-metric", "8.05 km/h"),
        ("q-us q-imperial", "5 mph"),
    ]


def test_a_quantity_in_an_option_is_in_every_readers_units(render: Render, tree: Tree) -> None:
    """Volumes from NIST Handbook 44, Appendix C: 5 gal is 18.927 L; an imperial one is 4.54609 L."""
    said = "/// notice | Acid <b> burns\n    avoid: Have `5 us gal`{.q} of water & `soap` <b>near</b>.\n///"
    page = tree(render(said))
    (line,) = page.iterfind(".//p[@class='fb-avoid']")
    assert [(part.get("class"), part.text) for part in line.iterfind("span/span")] == [
        ("q-metric", "18.9 L"),
        ("q-us", "5 gal"),
        ("q-imperial", "4.16 imp gal"),
    ]
    whole = "".join(line.itertext())
    assert whole.startswith("Have ")
    assert whole.endswith(" of water & `soap` <b>near</b>.")
    assert not list(page.iter("b"))


def test_steps_are_numbered_on_through_a_whole_procedure(render: Render, tree: Tree) -> None:
    hazard = "/// notice | A\n    avoid: b\n///"
    html = render(f"//// procedure | P\n\n1. a\n2. b\n\n{hazard}\n\n3. c\n\n### More\n\n4. d\n5. e\n\n////")
    lists = tree(html).findall(".//ol")
    assert [(int(one.get("start", "1")), len(one)) for one in lists] == [(1, 2), (3, 1), (4, 2)]


@pytest.mark.parametrize("word", SIGNAL_WORDS)
def test_the_signal_word_is_written_and_not_told_by_colour_alone(
    render: Render, tree: Tree, word: str
) -> None:
    html = render(f"/// {word} | A\n    consequence: b\n    avoid: c\n///")
    assert tree(html).findtext(".//*[@class='fb-word']") == word.upper()


@pytest.mark.parametrize(
    ("url", "href"),
    [
        ("index.html", "calculators/rate.html"),
        ("lessons/a.html", "../calculators/rate.html"),
        ("a/b/c.html", "../../calculators/rate.html"),
    ],
)
def test_links_know_how_deep_their_page_stands(render: Render, tree: Tree, url: str, href: str) -> None:
    html = render(
        "//// procedure | P\n\n1. Read.\n\n    /// measure | M\n        low: 1 m\n        source: law\n"
        "        outside: Stop.\n        calculator: rate\n    ///\n\n////",
        url=url,
    )
    (link,) = tree(html).iter("a")
    assert link.get("href") == href


# --- hostile text ---


def quoted(text: str) -> str:
    """A text as YAML in single quotes."""
    return "'" + text.replace("'", "''") + "'"


def test_hostile_text_in_a_block_is_shown_as_it_is(render: Render, tree: Tree) -> None:
    text = quoted(HOSTILE)
    page = (
        f"//// procedure | {HOSTILE}\n    id: {text}\n    needs: {text}\n\n1. Read.\n\n"
        f"    /// measure | {HOSTILE}\n        low: 1 m\n        source: {text}\n"
        f"        outside: {text}\n    ///\n\n"
        f"/// danger | {HOSTILE}\n    consequence: {text}\n    avoid: {text}\n///\n\n////\n\n"
        f"/// doors | {HOSTILE}\n\n- a\n\n///"
    )
    root = tree(render(page))
    assert not list(root.iter("script"))
    assert not list(root.iter("b"))
    section, doors = root.find("section"), root.find("nav")
    assert section is not None
    assert doors is not None
    assert section.get("aria-label") == section.get("data-procedure") == doors.get("aria-label") == HOSTILE
    assert "".join(root.itertext()).count(HOSTILE) == 8


def test_hostile_text_in_a_sheet_is_shown_as_it_is(
    render: Render, tree: Tree, sheet: ReadSheet, sheet_text: str
) -> None:
    text = quoted(HOSTILE[:55])
    machine = sheet(
        sheet_text.replace("name: Trial Two", f"name: {text}")
        .replace("name: Front", f"name: {text}")
        .replace("product: wheat", f"product: {text}")
    )
    blocks = [f"/// figures | {name}\n    machine: trial-two\n///" for name in ("tanks", "standing-test")]
    blocks += [f"/// calculator | {name}\n    machine: trial-two\n///" for name in ("rate", "speed-window")]
    root = tree(render("\n\n".join(blocks), machine=machine))
    assert not list(root.iter("script"))
    cells = ["".join(cell.itertext()) for cell in root.iter() if cell.tag in ("td", "th")]
    assert cells.count(HOSTILE[:55]) == 3  # its row and its product, and its column in the standing test
    (name,) = root.iterfind(".//input[@name='tanks[1].name']")
    assert name.get("value") == HOSTILE[:55]
    (said, *_) = root.iterfind(".//*[@class='fb-from-sheet']")
    assert HOSTILE[:55] in (said.text or "")


def test_a_hostile_name_of_a_sheet_stays_text_in_its_copy_of_a_procedure(
    root: Path, render: Render, sheet: ReadSheet, sheet_text: str
) -> None:
    name = "<script>run()</script>"
    machine = sheet(sheet_text.replace("name: Front", f"name: {quoted(name)}"))
    text = (root / "docs" / "procedures" / "standing-test.md").read_text("utf-8")
    copy = copy_of(text, "procedures/standing-test.md", "trial-two", machine)
    html = render(copy.split("---", 2)[2], machine=machine)
    assert name not in html
    assert html.count("&lt;script&gt;run()") > 10


def test_hostile_text_in_a_preset_stays_in_its_field(render: Render, tree: Tree) -> None:
    row = (
        "name: {}, rate_low: 50 kg/ha, rate_high: 60 kg/ha, mass_per_turn: 400 g/rev, "
        "meter_low: 10 rpm, meter_high: 90 rpm"
    )
    html = render(f"/// calculator | speed-window\n    tanks: [{{{row.format(quoted(HOSTILE))}}}]\n///")
    (name,) = tree(html).iterfind(".//input[@name='tanks[1].name']")
    assert name.get("value") == HOSTILE


# --- what the scanner passes, the renderer takes ---

MEASURE = "    /// measure | M\n        low: 1 m\n        source: law\n        outside: Stop.\n    ///"
PIECES = st.sampled_from(
    [
        "Text with `5 mph`{.q} and `x`.",
        "`5 mph`{: .q}",
        "`` `5`{.q} ``",
        "# Heading",
        "- item",
        "- item\n\n    more",
        "> quoted",
        "| a | b |\n|---|---|\n| `5 mph`{.q} | c |",
        "/// notice | A\n    avoid: b\n///",
        "/// danger | A\n    consequence: c\n    avoid:\n      - b\n      - d\n\nMore.\n\n///",
        " /// notice | A\n    avoid: b\n///",
        "    /// notice | A\n        avoid: b\n    ///",
        "> /// notice | A\n>     avoid: b\n> ///",
        "- /// notice | A\n    avoid: b\n///",
        "/// calculator | rate\n    machine: trial-two\n    tank: Rear\n    width: 40 ft\n///",
        "/// figures | tanks\n    machine: trial-two\n///",
        f"//// procedure | P\n\n1. One.\n\n{MEASURE}\n\n2. Two.\n\n////",
        f"//// procedure | P\n\n1. One.\n{MEASURE}\n\n////",
        "//// procedure | P\n\n/// notice | A\n    avoid: b\n///\n1. One.\n\n////",
        MEASURE,
        "```\n/// notice | A\n```",
        "```\n/// notice | A",
        "  ```\n/// notice | A\n    avoid: b\n///\n  ```",
        "``` a b\n/// notice | A\n    avoid: b\n///\n```",
        "````\n```\n/// notice | A\n````",
        "<div>\n/// notice | A\n    avoid: b\n///\n</div>",
        "<!--\n/// notice | A\n    avoid: b\n///\n-->",
        "/// notice | A\n\n///",
        "/// notice | A\n    avoid: yes\n///",
        "/// notice | A\n    avoid: *b*\n///",
        "/// notice | A\n    avoid:\n///",
        "/// notice\n    avoid: b\n///",
        "/// pudding | A\n///",
        "///",
        "////",
        "1. One.",
        "\tindented by a tab",
        "    indented\n    /// notice | A\n        avoid: b\n    ///",
        "/// notice | A\r\n    avoid: b\r\n///",
    ]
)


@contextmanager
def within(seconds: int) -> Iterator[None]:
    """Fail what takes longer, where a system has such an alarm: the renderer never ends with some texts."""

    def too_long(*_: object) -> None:
        raise AssertionError("the renderer does not come to an end")

    if not hasattr(signal, "SIGALRM"):
        yield
        return
    former = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, former)


@settings(
    max_examples=150,
    phases=[
        Phase.explicit,
        Phase.generate,
    ],  # not made smaller: the pieces are, and an endless one takes long
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.lists(PIECES, max_size=5), st.sampled_from(["\n", "\n\n"]))
@example(["- item", "    /// notice | A\n        avoid: b\n    ///"], "\n\n")
@example(["```\n/// notice | A", "/// notice | A\n    avoid: yes\n///"], "\n\n")
def test_what_the_scanner_passes_is_rendered_whole(
    render: Render, sheet: ReadSheet, sheet_text: str, tree: Tree, pieces: list[str], between: str
) -> None:
    text = between.join(pieces)
    page = scan(f"---\nkind: lesson\n---\n\n{text}\n")
    if list(page_problems(page, {"trial-two": sheet(sheet_text)})):
        return
    with within(10):
        root = tree(render(text.replace("\r\n", "\n")))
    classes = [one.get("class", "").split() for one in root.iter()]
    names = ["hazard", *(name for name in BLOCKS if name not in SIGNAL_WORDS)]
    made = sum(one[1:] == [f"fb-{name}"] and one[0] == "fb-block" for one in classes for name in names)
    made += sum(one[:1] == ["fb-hazard"] for one in classes)
    assert made == len(page.blocks)
    shown = "".join("".join(one.itertext()) for one in root.iter() if one.tag in ("p", "li", "h1", "td"))
    assert "///" not in shown
    assert "{.q}" not in shown.replace("`5`{.q}", "")


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        (["Read the speed."], "Do step 2 for each tank in turn."),
        (["Read the speed.", "Write it down."], "Do steps 2 to 3 for each tank in turn."),
    ],
)
def test_a_repeated_part_says_which_steps_it_repeats(render: Render, steps: list[str], said: str) -> None:
    part = "\n".join(f"{number}. {text}" for number, text in enumerate(steps, start=2))
    text = f"///// procedure | A\n    id: a\n\n1. Stop.\n\n//// each | tank\n\n{part}\n\n////\n\n/////\n"
    assert said in render(text)


def test_a_sheet_for_watching_has_a_box_for_each_way(render: Render) -> None:
    behaviors = "".join(f"      - Does {n}.\n" for n in range(6))
    text = f"/// observed | Making safe\n    behaviors:\n{behaviors}    ends:\n      - A.\n      - B.\n///\n"
    html = render(text)
    assert html.count('type="radio" name="seen-') == 6 * 3
    assert html.count('type="checkbox" name="ended"') == 2
    assert html.count('type="radio" name="level"') == 5
    assert "Signed by the evaluator" in html
