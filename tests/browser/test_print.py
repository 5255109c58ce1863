"""On paper: black on white, the whole procedure, the answer with its figures, and no chrome."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from pypdf import PdfReader

from calc.declare import catalogue
from tests.browser.conftest import Watch, hosted_only
from tests.browser.form import Form, native_results
from tests.browser.paper import paper

GIVEN = {"width": "40 ft", "rate": "100 lb/ac", "speed": "6.5 mph", "mass_per_turn": "1 lb/rev"}
CHROME = [
    "Skip to content",
    "Units:",
    "Show figures in",
    "Quick links",
    "Search",
    "Table of contents",
    "Work it out Try",
    "Try the example",
    "Clear",
    "Bring back",
    "Go on with",
    "Add another",
    "Remove this",
]
# Black and white; the lines of tables; and the colours that belong to the hazard blocks (css/book.css) alone.
INKS = {"000000", "ffffff", "777777"}
SIGNALS = {"c8102e", "f08300", "ffd100", "005eb8"}


@pytest.fixture(scope="module")
def dark(browser: Browser) -> Iterator[BrowserContext]:
    """A reader of dark pages, whose prints are black on white all the same."""
    context = browser.new_context(
        viewport={"width": 1280, "height": 800}, color_scheme="dark", service_workers="block"
    )
    yield context
    context.close()


@pytest.fixture
def page(dark: BrowserContext, base: str) -> Iterator[Page]:
    """A page of that reader's."""
    watch = Watch(dark.new_page(), origin=base)
    yield watch.page
    watch.check()
    watch.page.close()


def printed(page: Page, size: str = "A4") -> list[str]:
    """The text of each sheet, white space made one."""
    sheets = paper(page, format=size).pages
    return [re.sub(r"\s+", " ", sheet.extract_text().replace("\u2009", " ")) for sheet in sheets]


def bare(text: str) -> str:
    """Only the letters and figures, for a PDF keeps neither bullets nor every space."""
    return re.sub(r"\W+", "", text).lower()


def inks(pdf: PdfReader) -> set[str]:
    """Every colour that a PDF sets to fill or draw with (ISO 32000: operators rg, RG, g and G)."""
    found: set[str] = set()
    for sheet in pdf.pages:
        drawn = sheet.get_contents()
        assert drawn is not None
        for numbers in re.findall(rb"((?:[\d.]+ ){3})(?:rg|RG)\b|((?:[\d.]+ ))[gG]\b", drawn.get_data()):
            parts = (numbers[0] or numbers[1] * 3).split()
            found.add("".join(f"{round(float(one) * 255):02x}" for one in parts))
    return found


def no_chrome(text: str) -> None:
    assert [one for one in CHROME if one in text] == []


def feet(sheets: list[str]) -> None:
    """Each sheet says of which build it is, and which of how many."""
    builds = set()
    for number, sheet in enumerate(sheets, start=1):
        # The font draws two f as one letter, which a build may have in its id.
        plain = unicodedata.normalize("NFKC", sheet)
        found = re.search(r"Furrowbook, build ([0-9a-f]{12}), \d{4}-\d{2}-\d{2}", plain)
        assert found, f"sheet {number} has no foot"
        builds.add(found[1])
        assert f"{number} / {len(sheets)}" in sheet
    assert len(builds) == 1


@hosted_only
def test_the_standing_test_on_paper(page: Page, base: str) -> None:
    page.goto(base + "procedures/standing-test.html")
    steps = page.locator(".fb-procedure ol > li").count()
    spoken = [one.inner_text() for one in page.locator(".fb-hazard .fb-signal").all()]
    sheets = printed(page)
    text = " ".join(sheets)
    feet(sheets)
    no_chrome(text)
    assert steps > 100
    assert all(re.search(rf"\b{number}\. ", text) for number in range(1, steps + 1))
    for signal in spoken:
        assert re.sub(r"\s+", " ", signal) in text
    # A hazard stands on the sheet of the step it is for, or before it; never after.
    assert text.index("A parked machine can roll away") < text.index("Put the tractor in park.")
    assert text.index("Simulated ground speed makes a parked machine") < text.index("Turn the master off.")
    assert len(sheets) < 25


@hosted_only
def test_no_hazard_is_cut_and_each_is_with_its_step(page: Page, base: str, site: Path) -> None:
    names = [
        path.relative_to(site).as_posix()
        for path in site.rglob("*.html")
        if "fb-hazard" in path.read_text("utf-8")
        and path.parent.parent.name != "machines"
        and not (
            path.parent.name == "procedures" and (site / "machines" / "ridge-mixed" / path.name).exists()
        )
    ]  # a machine's whole book is printed in `test_whole_book`, with its copies of the procedures
    faults = [name for name in sorted(names) if name.startswith("faults/")]
    # The hazards of a fault stand together at its top, on one page as on the other.
    names = sorted(set(names) - set(faults[3:]))
    assert len(names) > 20
    cut = []
    for name in names:
        page.goto(base + name)
        together = page.locator(".fb-hazard").evaluate_all(
            """hazards => hazards.map((one) => [one.innerText,
                one.nextElementSibling?.matches("ol") ? one.nextElementSibling.children[0].innerText : ""])"""
        )
        sheets = [bare(sheet) for sheet in printed(page)]
        for hazard, step in together:
            if not any(bare(hazard) in sheet and bare(step) in sheet for sheet in sheets):
                cut.append(f"{name}: {hazard.splitlines()[0]} {step}")
    assert cut == []


@hosted_only
def test_whom_steps_are_for_is_not_said_at_the_end_of_a_sheet(page: Page, base: str) -> None:
    page.goto(base + "procedures/after-season.html")
    sheets = printed(page, "Letter")
    assert sum(sheet.count("Only for a machine that") for sheet in sheets) >= 2
    assert [sheet for sheet in sheets if re.search(r"Only for [^:]*:\s*$", sheet)] == []


def test_the_worked_example_on_paper(page: Page, base: str) -> None:
    page.goto(base + "calculators/rate.html")
    sheets = printed(page)
    text = " ".join(sheets)
    feet(sheets)
    no_chrome(text)
    for name, shown in native_results("rate", catalogue()["rate"].example).items():
        assert shown.replace("\u2009", " ") in text, name
    assert "How it is worked out" in text
    assert "Where it comes from" in text, "what is folded away on the screen is open on paper"
    assert "May be left out" not in text
    # ...and folded again after it
    assert page.locator(".fb-about[open]").count() == 0


@hosted_only
def test_an_answer_on_paper_comes_with_its_figures(page: Page, base: str) -> None:
    page.goto(base + "calculators/rate.html")
    form = Form(page, "rate")
    form.type(GIVEN)
    form.settle()
    sheets = printed(page)
    text = " ".join(sheets)
    no_chrome(text)
    for shown in native_results("rate", GIVEN).values():
        assert shown.replace("\u2009", " ") in text
    assert "6.5" in text
    assert "Working width" in text
    assert native_results("rate", catalogue()["rate"].example)["flow"] not in text
    assert "Runs fed by this meter" not in text, "an empty field on paper"
    page.emulate_media(media="print")
    assert not form.unit("width").is_visible(), "a unit that was written, and the one in the list too"


@hosted_only
@pytest.mark.parametrize(
    ("path", "signals"),
    [
        ("procedures/standing-test.html", SIGNALS),
        ("machines/prairie-four/tanks.html", {"c8102e"}),
        ("machines/prairie-four/card.html", set()),
        ("lessons/ground-speed.html", SIGNALS),
        ("index.html", set()),
        ("404.html", set()),
    ],
)
def test_the_ink_is_black_and_the_paper_white(page: Page, base: str, path: str, signals: set[str]) -> None:
    page.goto(base + path)
    for backgrounds in (False, True):  # as the reader has set the printer
        assert inks(paper(page, format="A4", print_background=backgrounds)) <= INKS | signals
    page.emulate_media(media="screen")
    assert inks(paper(page, format="A4", print_background=True)) - INKS - SIGNALS, "a dark screen passes too"


@hosted_only
def test_the_frame_of_the_page_stays_off_the_paper(page: Page, base: str) -> None:
    page.goto(base + "calculators/rate.html")
    parts = [".md-header", ".fb-bar", ".md-sidebar--primary", ".md-sidebar--secondary", ".fb-buttons"]
    page.emulate_media(media="print")
    for part in parts:
        assert page.locator(part).count(), part
        assert not any(one.is_visible() for one in page.locator(part).all()), part


@hosted_only
def test_no_letter_on_paper_is_smaller_than_twelve_points(page: Page, base: str) -> None:
    """Common practice for print read at arm's length; 12 pt is 16 px in CSS Values."""
    page.goto(base + "procedures/standing-test.html")
    page.emulate_media(media="print")
    small = page.evaluate(
        """() => [...document.querySelectorAll("main *")].filter((one) => one.checkVisibility()
            && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim())
            && parseFloat(getComputedStyle(one).fontSize) < 15.99)
            .map((one) => `${one.localName}.${one.className}: ${one.textContent.trim().slice(0, 40)}`)"""
    )
    assert small == []
