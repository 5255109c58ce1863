"""Words of the glossary in a page: shown on hover, on focus and on a tap, and plain links without a script.

Sources: WCAG 2.2, success criteria 1.4.13 (content on hover or focus), 2.1.1 (keyboard) and 1.4.10 (reflow).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Watch, hosted_only
from tests.browser.looks import wear

LESSON = "lessons/rate.html"
METER = "The part under a tank that measures product out by turning."
BOX = ".fb-means"
# Where each word of the page has its box, one after the other: beyond an edge, or over its own word.
FAULTS = """([selector, gap]) => [...document.querySelectorAll("a.fb-term")].flatMap((word) => {
    if (!word.checkVisibility()) { return []; }
    word.focus();
    const box = document.querySelector(selector)?.getBoundingClientRect();
    if (!box) { return [`${word.textContent}: no box`]; }
    const over = [...word.getClientRects()].some((one) => one.left < box.right && one.right > box.left
        && one.top < box.bottom && one.bottom > box.top);
    const wide = document.documentElement.clientWidth;
    const out = box.left < gap || box.right > wide - gap || document.scrollingElement.scrollWidth > wide;
    const said = `${word.textContent}: ${box.left} to ${box.right}${over ? ", over the word" : ""}`;
    return over || out ? [said] : [];
})"""
AXE = """async () => (await axe.run("article", { resultTypes: ["violations"] })).violations
    .map((rule) => `${rule.id}: ${rule.nodes.map((node) => node.html).join(" ")}`)"""


def word(page: Page, text: str) -> Locator:
    """A marked word in the text."""
    return page.locator("article a.fb-term", has_text=re.compile(f"^{text}$"))


def shown(page: Page) -> str:
    """What the box says."""
    return page.locator(f"{BOX} .fb-means__text").inner_text()


@pytest.fixture
def fingers(browser: Browser, hosted: str) -> Iterator[Watch]:
    """A small phone, worked by touch."""
    context = browser.new_context(
        viewport={"width": 320, "height": 640}, has_touch=True, is_mobile=True, service_workers="block"
    )
    watching = Watch(context.new_page(), origin=hosted)
    yield watching
    watching.check()
    context.close()


def test_a_pointer_that_rests_on_a_word_is_told_what_it_means(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    meter, box = word(page, "meter"), page.locator(BOX)
    meter.hover()
    expect(box).to_be_visible()
    assert shown(page) == METER
    box.hover()  # it may move onto the box
    page.wait_for_timeout(600)  # longer than the box waits for a pointer that is away
    expect(box).to_be_visible()
    page.keyboard.press("Escape")
    expect(box).to_have_count(0)
    page.mouse.move(0, 0)
    meter.hover()
    expect(box).to_be_visible()
    page.locator("h1").hover()
    expect(box).to_have_count(0)
    meter.hover()
    box.get_by_role("link", name="All words").click()
    page.wait_for_url(base + "reference/glossary.html#meter")
    assert page.locator("a.fb-term").count() == 0
    assert METER in page.locator("#meter + p").inner_text()


@hosted_only
def test_the_keyboard_gets_all_of_it(page: Page, base: str, node_modules: Path) -> None:
    page.goto(base + LESSON)
    rate, box = word(page, "rate"), page.locator(BOX)
    for _ in range(60):
        page.keyboard.press("Tab")
        if rate.evaluate("one => one === document.activeElement"):
            break
    expect(rate).to_be_focused()
    expect(box).to_be_visible()
    expect(rate).to_have_accessible_name("rate")
    expect(rate).to_have_accessible_description(shown(page))
    page.evaluate((node_modules / "axe-core" / "axe.min.js").read_text(encoding="utf-8"))
    for scheme in ("default", "slate"):
        wear(page, scheme)
        assert page.evaluate(AXE) == []
    page.keyboard.press("Escape")
    expect(box).to_have_count(0)
    expect(rate).to_be_focused()
    expect(rate).to_have_accessible_description("")
    page.keyboard.press("Tab")
    expect(word(page, "meter")).to_be_focused()
    assert shown(page) == METER
    page.keyboard.press("Tab")  # into the box
    expect(box.get_by_role("link", name="All words")).to_be_focused()
    page.keyboard.press("Escape")
    expect(box).to_have_count(0)
    expect(word(page, "meter")).to_be_focused()
    page.keyboard.press("Enter")  # the word itself is a link too
    page.wait_for_url("**/reference/glossary.html#meter")


def test_a_tap_shows_it_and_a_second_one_goes_there(fingers: Watch, hosted: str) -> None:
    page = fingers.page
    page.goto(hosted + LESSON)
    box, address = page.locator(BOX), page.url
    word(page, "meter").tap()
    expect(box).to_be_visible()
    assert shown(page) == METER
    word(page, "meter").tap()
    expect(box).to_be_visible()
    page.locator("h1").tap()
    expect(box).to_have_count(0)
    word(page, "rate").tap()
    expect(box).to_be_visible()
    assert page.url == address
    size = box.get_by_role("link", name="All words").bounding_box()
    assert size
    assert size["height"] >= 43.9, "a glove would miss it"
    box.get_by_role("link", name="All words").tap()
    page.wait_for_url("**/reference/glossary.html#rate")


def test_the_box_stays_on_a_small_screen_and_off_its_word(fingers: Watch, hosted: str) -> None:
    page = fingers.page
    for path in (LESSON, "procedures/standing-test.html"):
        page.goto(hosted + path)
        page.keyboard.press("Tab")  # so that what is focused from now on shows it
        assert page.locator("article a.fb-term").count() > 10
        assert page.evaluate(FAULTS, [BOX, 0]) == []


def test_without_scripts_a_word_is_a_link(browser: Browser, hosted: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(hosted + LESSON)
    word(page, "meter").hover()
    assert page.locator(BOX).count() == 0
    word(page, "meter").click()
    page.wait_for_url("**/reference/glossary.html#meter")
    context.close()


@hosted_only
def test_on_paper_a_word_is_plain_text(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    meter = word(page, "meter")
    looks = "one => { const s = getComputedStyle(one); return [s.textDecorationLine, s.color]; }"
    line, ink = meter.evaluate(looks)
    assert line == "underline"
    assert ink == meter.evaluate("one => getComputedStyle(one.parentElement).color"), "an ink of its own"
    meter.hover()
    expect(page.locator(BOX)).to_be_visible()
    page.emulate_media(media="print")
    assert meter.evaluate(looks) == ["none", "rgb(0, 0, 0)"]
    expect(page.locator(BOX)).to_be_hidden()
