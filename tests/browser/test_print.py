"""On paper: black on white, the whole procedure, the answer with its figures, and no chrome."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from pypdf import PdfReader

from calc.declare import catalogue
from tests.browser.conftest import Watch
from tests.browser.form import Form, native_results

GIVEN = {"width": "40 ft", "rate": "100 lb/ac", "speed": "6.5 mph", "mass_per_turn": "1 lb/rev"}
CHROME = ["Skip to content", "Units:", "Show figures in", "Quick links", "Search", "Table of contents", "Back to top",
          "Work it out", "Try the example", "Clear", "Bring back", "Add another", "Remove this"]
INK = """() => {
    // The theme of a print is what a printer gets: backgrounds are left out, letters and lines stay.
    const strip = document.createElement("canvas").getContext("2d");
    const grey = (colour) => {
        strip.clearRect(0, 0, 1, 1);
        strip.fillStyle = colour;
        strip.fillRect(0, 0, 1, 1);
        const [r, g, b, a] = strip.getImageData(0, 0, 1, 1).data;
        return a === 0 ? 255 : (r + g + b) / 3;
    };
    const pale = [];
    for (const one of document.querySelectorAll("main *, footer *")) {
        const own = [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
        const style = getComputedStyle(one);
        if (own && one.checkVisibility() && style.visibility === "visible" && grey(style.color) > 60) {
            pale.push(`${one.localName}.${one.getAttribute("class")}: ${one.textContent.trim().slice(0, 40)}`);
        }
    }
    return [...new Set(pale)];
}"""


@pytest.fixture(scope="module")
def dark(browser: Browser) -> BrowserContext:
    """A reader of dark pages, whose prints are black on white all the same."""
    return browser.new_context(viewport={"width": 1280, "height": 800}, color_scheme="dark")


@pytest.fixture
def page(dark: BrowserContext, base: str) -> Page:
    """A page of that reader's."""
    return Watch(dark.new_page(), origin=base).page


def printed(page: Page) -> list[str]:
    """The text of each sheet of A4, white space made one."""
    reader = PdfReader(BytesIO(page.pdf(format="A4")))
    return [re.sub(r"\s+", " ", sheet.extract_text().replace("\u2009", " ")) for sheet in reader.pages]


def no_chrome(text: str) -> None:
    assert [one for one in CHROME if one in text] == []


def feet(sheets: list[str]) -> None:
    """Each sheet says of which build it is, and which of how many."""
    builds = set()
    for number, sheet in enumerate(sheets, start=1):
        found = re.search(r"Furrowbook, build ([0-9a-f]{12}), \d{4}-\d{2}-\d{2}", sheet)
        assert found, f"sheet {number} has no foot"
        builds.add(found[1])
        assert f"{number} / {len(sheets)}" in sheet
    assert len(builds) == 1


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


def test_an_answer_on_paper_comes_with_its_figures(page: Page, base: str) -> None:
    page.goto(base + "calculators/rate.html")
    form = Form(page, "rate")
    form.type(GIVEN)
    form.settle()
    sheets = printed(page)
    text = " ".join(sheets)
    no_chrome(text)
    for shown in native_results("rate", GIVEN).values():
        assert shown in text
    assert "6.5 mph" in text or "6.5" in text
    assert "Working width" in text
    assert native_results("rate", catalogue()["rate"].example)["flow"] not in text, "another figure beside the answer"
    assert "Runs fed by this meter" not in text, "an empty field on paper"


@pytest.mark.parametrize(
    "path", ["procedures/standing-test.html", "calculators/bin-capacity.html", "lessons/rate.html", "index.html"]
)
def test_all_letters_are_black_on_paper(page: Page, base: str, path: str) -> None:
    page.goto(base + path)
    page.emulate_media(media="print", color_scheme="dark")
    assert page.locator("body").get_attribute("data-md-color-scheme") == "slate", "the page was dark to begin with"
    assert page.evaluate(INK) == []
    assert page.evaluate("() => getComputedStyle(document.body).backgroundColor") in (
        "rgb(255, 255, 255)",
        "rgba(0, 0, 0, 0)",
    )
    for part in (".md-header", ".fb-bar", ".md-sidebar--primary", ".md-sidebar--secondary", ".fb-buttons"):
        assert not any(one.is_visible() for one in page.locator(part).all()), part
    page.emulate_media(media="screen", color_scheme="dark")
    assert page.evaluate(INK) != [], "the check of ink sees pale letters where there are some"


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
