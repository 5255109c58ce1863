"""Mistakes of many kinds planted in a copy of the book: each is reported on its line, and nothing else is.

The mistakes are our own invention, of the kinds that the rules name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from handbook.checking.checker import check
from handbook.checking.rules import RULES
from handbook.copying import copy_book


@dataclass(frozen=True)
class Plant:
    """A mistake: the rule it breaks, where, what is written, and in place of what; else at the page's end.

    `«` stands at the beginning of the line that is to be named; `at` is that line where it cannot stand.
    """

    rule: str
    file: str
    written: str
    instead: str = ""
    at: int = 0


NEW = "docs/lessons/rate.md"
TEST = "docs/procedures/standing-test.md"
PRODUCT = "### Make the product safe"
LONG_STEP = "    avoid:\n      - Stop.\n      «- Stand " + "well " * 20 + "away.\n"
HARD = "Characteristically incomprehensible terminology. " * 6
SHEET = "docs/machines/prairie-four.yml"


def hazard(word: str, consequence: str, mark: str = "", avoid: str = "    avoid: Stand back.\n") -> str:
    """A hazard block."""
    return f"/// {word} | A lid is loose\n    {mark}consequence: {consequence}\n{avoid}///"


PLANTS = [
    # words and sentences
    Plant("banned-phrase", NEW, "A meter is cleaned\n«as required."),
    Plant("banned-phrase", "docs/lessons/oil.md", "«Properly set, it is quiet."),
    Plant("term", NEW, "«The ground wheel drives the metering unit."),
    Plant("sentence-length", NEW, "Short.\n«" + "Word " * 25 + "end."),
    Plant("paragraph-length", NEW, "«One. Two. Three. Four.\nFive. Six. Seven."),
    Plant("reading-grade", "docs/reference/index.md", "\n\n".join([HARD] * 12), at=9),
    Plant("step-length", NEW, hazard("danger", "It crushes you.", avoid=LONG_STEP)),
    # figures
    Plant("bare-quantity", NEW, "It drives at\n«5 mph."),
    Plant("bare-quantity", "docs/lessons/air.md", "| What | How much |\n|---|---|\n«| Air | 900 cfm |"),
    Plant("bare-quantity", NEW, hazard("notice", "It spills.", avoid="«    avoid: Keep 5 gal of water.\n")),
    Plant("missing-unit", NEW, "«Set the pressure to 30."),
    Plant("quantity", NEW, "«It weighs `5 llb`{.q}."),
    Plant("quantity", NEW, hazard("notice", "It spills.", avoid="«    avoid: Keep `5 gla`{.q} of water.\n")),
    Plant("option-text", NEW, hazard("notice", "It spills.", avoid="«    avoid: See [the card](a.md).\n")),
    # steps
    Plant("step-start", TEST, "«8. Carefully take the key out.", "8. Take the key out."),
    Plant(
        "step-start", TEST, "«22. If bags hang from the outlets.", "22. Take off any bags from the outlets."
    ),
    Plant("one-action", TEST, "«5. Stop the fan and lower the wings.", "5. Stop the fan."),
    Plant("one-action", TEST, "«6. Stop the engine. Take the key out.", "6. Stop the engine."),
    Plant("tick", TEST, "«19. Check that the tank pressure is right.", "19. Vent each tank."),
    Plant("step-numbers", TEST, "«153. Sign the list, both of you.", "152. Sign the list, both of you."),
    # hazards
    Plant("signal-word", NEW, hazard("notice", "It crushes a hand.", "«")),
    Plant("signal-word", NEW, hazard("danger", "It may crush a hand.", "«")),
    Plant("hazard-parts", NEW, "«" + hazard("warning", "It can crush a hand.", avoid="")),
    Plant(
        "hazard-before-step",
        TEST,
        "«" + hazard("warning", "It can crush a hand.") + f"\n\n{PRODUCT}",
        PRODUCT,
    ),
    Plant(
        "hazard-holds-no-steps",
        NEW,
        hazard("caution", "It can bruise you.", avoid="    avoid: Stand back.\n\n«1. Close it.\n"),
    ),
    # pages
    Plant("picture-text", NEW, "«![](../index.md)"),
    Plant("link-words", NEW, "Look\n«[here](../index.md)."),
    Plant("heading-levels", "docs/lessons/delay.md", "«#### Deep"),
    Plant("link", NEW, "«On [the next page](nowhere.md)."),
    Plant("link", NEW, "«On [the top](#nowhere)."),
    Plant("kind-fits", "docs/lessons/stand.md", "«//// procedure | Stop\n\n1. Stop the fan.\n\n////"),
    Plant("page-kind", "docs/lessons/liquid.md", "«kind: leson", "kind: lesson"),
    Plant(
        "head",
        "docs/lessons/refills.md",
        "title: Refills\nkind: lesson\nabout",
        "title: Refills\nkind: lesson\nsummary",
        at=1,
    ),
    Plant(
        "navigation",
        "mkdocs.yml",
        "«      - lessons/refils.md\n      - lessons/refills.md",
        "      - lessons/refills.md",
    ),
    # excuses
    Plant("excuse", NEW, "«This is fine. <!-- excuse banned-phrase: it was not -->"),
    # how a page is written
    Plant("block-name", NEW, "«/// calculater | rate\n///"),
    Plant("block-argument", NEW, "«/// doors\n///"),
    Plant("block-place", NEW, "- An item.\n\n    «/// calculator | rate\n    ///"),
    Plant("option-name", NEW, "/// calculator | rate\n    «widht: 40 ft\n///"),
    Plant("option-missing", NEW, "«/// figures | tanks\n///"),
    Plant("option-value", NEW, "/// calculator | rate\n    speed: 5 mph\n    «width: 40\n///"),
    Plant("options-form", NEW, "/// notice | The lid is loose\n    «avoid: no\n///"),
    Plant("calculator-name", NEW, "«/// calculator | raet\n///"),
    Plant("machine-name", NEW, "/// figures | tanks\n    «machine: prairie-for\n///"),
    Plant("figures-name", NEW, "«/// figures | tank\n    machine: prairie-four\n///"),
    Plant("raw-html", NEW, "«<b>Stop</b>"),
    Plant("code-form", NEW, "«``` python yes\nx\n```"),
    Plant("sheet", SHEET, "«    bulk_density: 62", "    bulk_density: 62 lb/ft3"),
    Plant("sheet", SHEET, "«heads: eight", "heads: 8"),
    Plant("utf-8", "docs/lessons/evenness.md", "\udcff", at=1),
    Plant("block-form", "docs/lessons/road-load.md", "«/// calculator | rate"),
]


# While the glossary cannot be read, its terms cannot be looked after.
GLOSSARY = Plant(
    "glossary",
    "docs/reference/glossary.yml",
    "  - name: zzz\n«    meens: Nothing.\n    means: Something.",
)
MARK = re.compile(r"«([\w-]+)»")


def plant(root: Path, one: Plant) -> None:
    """Put a mistake into the copy, its mark with it."""
    path = root / one.file
    text = path.read_text("utf-8", "surrogateescape")
    written = one.written.replace("«", f"«{one.rule}»")
    if one.instead:
        assert text.count(f"\n{one.instead}") == 1, one
        text = text.replace(f"\n{one.instead}", f"\n{written}")
    elif one.file.endswith(".yml"):
        text = f"{text}{written}\n"
    else:
        text = f"{text.rstrip()}\n\n{written}\n"
    path.write_text(text, "utf-8", "surrogateescape")


def take_out_marks(root: Path, file: str) -> set[tuple[str, int, str]]:
    """Take the marks out of a file; where each stood, with its rule."""
    path = root / file
    lines = path.read_text("utf-8", "surrogateescape").split("\n")
    found = {(file, n, rule) for n, line in enumerate(lines, start=1) for rule in MARK.findall(line)}
    path.write_text("\n".join(MARK.sub("", line) for line in lines), "utf-8", "surrogateescape")
    return found


@pytest.mark.parametrize("plants", [PLANTS, [GLOSSARY]], ids=["many", "glossary"])
def test_each_is_reported_on_its_line_and_nothing_else_is(
    root: Path, tmp_path: Path, plants: list[Plant]
) -> None:
    copy_book(root, tmp_path)
    assert check(tmp_path).problems == ()
    for one in plants:
        plant(tmp_path, one)
    expected = {(one.file, one.at, one.rule) for one in plants if one.at}
    for file in sorted({one.file for one in plants}):
        expected |= take_out_marks(tmp_path, file)
    assert len(expected) == len(plants)
    report = check(tmp_path)
    # Each planted hazard is one more that the list of hazards does not know.
    found = [(one.path, one.line, one.rule) for one in report.problems if one.rule != "hazard-register"]
    assert sorted(found) == sorted(expected)
    assert report.excused == ()


def test_nearly_every_rule_is_among_them() -> None:
    """Those left out have an example of their own each."""
    rules = {one.rule for one in [*PLANTS, GLOSSARY]}
    assert len(PLANTS) > 40
    assert rules <= set(RULES)
    assert len(rules) >= 40
