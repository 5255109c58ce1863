"""Keys alone, and a glove: a procedure with its record, and practice (WCAG 2.1.1, 2.4.3, 2.5.5)."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import hosted_only
from tests.browser.looks import SIZES, UNFOLD, opened
from tests.browser.work import Work

COPY = "machines/prairie-four/standing-test.html"
KEYS = "article :is(button, input:not([type=radio], [type=checkbox], [type=file]), select, textarea, summary)"
LEAST, MAIN = 43.9, 56.9  # CSS pixels; what is pressed most is larger


def tab_to(page: Page, wanted: str, most: int = 60) -> None:
    """Press Tab until what is wanted has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
            return
    raise AssertionError(f"{wanted} cannot be reached by keys")


@hosted_only
def test_a_record_is_kept_by_keys_alone(page: Page, base: str) -> None:
    opened(page, base + COPY)
    work = Work(page)
    tab_to(page, ".fb-work__begin", 150)
    page.keyboard.press("Enter")
    expect(page.locator(".fb-work__job input").first).to_be_focused()
    for name, text in {"who": "R. Field", "second": "T. Furrow"}.items():
        tab_to(page, f"[name={name}]")
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    expect(work.now).to_be_visible()
    for _ in range(8):
        place = work.place
        expect(page.locator(".fb-next .fb-key--main")).to_be_focused()
        page.keyboard.press("Enter")
        page.wait_for_function(
            "place => document.querySelector('.fb-next__place')?.textContent !== place", arg=place
        )
    expect(page.locator(".fb-was").last).to_contain_text("Take back")
    before = work.place
    for _ in range(30):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("() => document.activeElement.closest('.fb-was') !== null"):
            break
    page.keyboard.press("Enter")
    page.wait_for_function(
        "place => document.querySelector('.fb-next__place')?.textContent !== place", arg=before
    )


@hosted_only
@pytest.mark.parametrize("name", ["record/index.html", "record/history.html", "trainers/skills.html", COPY])
def test_a_glove_hits_what_it_aims_at(page: Page, base: str, name: str) -> None:
    opened(page, base + COPY)
    work = Work(page)
    work.begin()
    for _ in range(3):
        work.done()
    opened(page, base + name)
    page.evaluate(UNFOLD)
    sizes = page.evaluate(SIZES, KEYS)
    assert sizes
    assert [one for one in sizes if one[1] < LEAST or one[2] < LEAST] == []
    large = page.evaluate(SIZES, "article .fb-key--main")
    assert [one for one in large if one[2] < MAIN] == []


@hosted_only
def test_practice_is_answered_by_keys_alone(page: Page, base: str) -> None:
    opened(page, base + "lessons/rate.html")
    tab_to(page, "[data-problem] input", 150)
    page.keyboard.type("1 rpm")
    page.keyboard.press("Enter")
    expect(
        page.locator("[data-problem]").first.locator("[role=status], .fb-practice__said").first
    ).not_to_be_empty()
