"""Rules on a page as a whole: its kind, its headings, its pictures and the words of its links."""

from __future__ import annotations

import re

from handbook.checking.passages import Page
from handbook.checking.rule import rule
from handbook.checking.words import Words
from handbook.problems import Finding, Found

# What belongs on pages of one kind only.
HOLDS = {"procedure": "procedure", "pause-card": "pause-card", "fault": "fault"}
EMPTY_WORDS = {"here", "click here", "this", "this page", "link", "more", "read more", "see here"}
MARKUP = re.compile(r"!?\[[^\]]*\]\([^)]*\)|\*\*.+?\*\*|(?<!\w)__.+?__(?!\w)")  # links, pictures, emphasis


@rule(
    id="kind-fits",
    asks="A page is of one kind, and holds what that kind holds.",
    why="A lesson that turns into steps is neither learned from nor worked by.",
    source="Diátaxis, a framework for documentation",
    wrong="""
        //// procedure | Stop the fan

        1. Stop the fan.

        ////
        """,
    right="The fan stops when its lever is in the middle.",
)
def kind_fits(page: Page, words: Words) -> Found:
    """Procedures, pause cards and causes of faults each stand on pages of their own kind."""
    for block in page.blocks(*HOLDS):
        kind = HOLDS[block.name]
        if page.kind and page.kind != kind:
            yield Finding(
                block.line,
                "kind-fits",
                f"“{block.name}” stands on a page of the kind “{page.kind}”; move it to a page with "
                f"“kind: {kind}” in its head",
            )
    for name, kind in HOLDS.items():
        if page.kind == kind and not page.path.endswith("index.md") and not page.blocks(name):
            line = page.scan.front["kind"].line
            yield Finding(line, "kind-fits", f"this page is a {kind} without a “{name}” block; add one")


@rule(
    id="head",
    asks="The head of a page gives its title and a summary in one line.",
    why="The title and the summary are what lists of pages and the search show.",
    source="Common practice; WCAG 2.2, success criterion 2.4.2",
    wrong="---\nkind: lesson\n---\n\nA meter turns.",
    right="---\ntitle: Meters\nkind: lesson\nsummary: Meters.\n---\n\nA meter turns.",
)
def head(page: Page, words: Words) -> Found:
    """The title and the summary."""
    missing = [name for name in ("title", "summary") if name not in page.scan.front]
    if missing:
        said = " and ".join(f"“{name}: …”" for name in missing)
        yield Finding(1, "head", f"the head of the page lacks {said}; write it between the lines of ---")


@rule(
    id="heading-levels",
    asks="Headings go down one level at a time, and the title of the page is the only first level.",
    why="Who hears a page jumps from heading to heading, and a missing level sounds like a missing part.",
    source="WCAG 2.2, success criterion 1.3.1",
    wrong="## Before you start\n\n#### The lid\n\nIt is closed.",
    right="## Before you start\n\n### The lid\n\nIt is closed.",
)
def heading_levels(page: Page, words: Words) -> Found:
    """The levels in the order of the page; the title in its head is the first."""
    before = 1
    for level, line, _ in page.headings:
        if level == 1:
            said = "the title of a page stands in its head; write ## for a heading in the page"
            yield Finding(line, "heading-levels", said)
        elif level > before + 1:
            yield Finding(
                line, "heading-levels", f"this heading skips a level; write {'#' * (before + 1)} before it"
            )
        before = max(level, 1)


@rule(
    id="picture-text",
    asks="A picture has a text that says what it shows.",
    why="It is read aloud to who cannot see it, and stands there when the picture is missing.",
    source="WCAG 2.2, success criterion 1.1.1",
    wrong="![](../assets/furrowbook-mark.svg)",
    right="![Three furrows, the mark of this book](../assets/furrowbook-mark.svg)",
)
def picture_text(page: Page, words: Words) -> Found:
    """The text between the brackets of a picture."""
    for picture in page.pictures:
        if not picture.text.strip():
            yield Finding(
                picture.line,
                "picture-text",
                f"this picture has no text; write what it shows: ![…]({picture.address})",
            )


@rule(
    id="link-words",
    asks="The words of a link say where it leads.",
    why="Many jump from link to link and hear the words of each alone.",
    source="WCAG 2.2, success criterion 2.4.4",
    wrong="For more, see [here](../index.md).",
    right="More is on [the first page](../index.md).",
)
def link_words(page: Page, words: Words) -> Found:
    """Links whose words would fit any other."""
    for link in page.links:
        if link.words.strip().lower().strip(".") in EMPTY_WORDS or not link.words.strip():
            yield Finding(
                link.line,
                "link-words",
                f"“{link.words}” does not say where the link leads; write the name of what it leads to",
            )


@rule(
    id="option-text",
    asks="An option of a block holds words and marked quantities, and no other mark of Markdown.",
    why="Brackets and stars would stand in the page as they are written, and a link would lead nowhere.",
    source="This book: the options of a block are text",
    wrong="/// notice | The lid is loose\n    avoid: Close it as [the card](../cards/road.md) says.\n///",
    right="/// notice | The lid is loose\n    avoid: Close it as the card for the road says.\n///",
)
def option_text(page: Page, words: Words) -> Found:
    """Links and emphasis in what a block says of itself."""
    for passage in page.passages:
        if passage.kind in ("hazard", "consequence", "avoid", "option"):
            for found in MARKUP.finditer(passage.text):
                yield Finding(
                    passage.line_of(found.start()),
                    "option-text",
                    f"“{found[0]}” would be shown with its marks; write the words alone",
                )
