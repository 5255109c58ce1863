"""Search works hosted and from a folder, on the first page and on one in a room, and leads where it says."""

from __future__ import annotations

import json
import re
from pathlib import Path
from string import ascii_lowercase

from playwright.sync_api import Locator, Page, expect

from handbook.finding import sought
from tests.browser.conftest import Watch, hosted_only


def search(page: Page, words: str) -> Locator:
    """Open the search as a hand on a phone does, write, and wait for what is found."""
    page.locator(".md-header__button[for='__search']").click()
    page.locator(".md-search__input").press_sequentially(words)
    results = page.locator(".md-search-result__item > .md-search-result__link")
    results.first.wait_for()
    return results


def test_pages_are_found_by_their_words_and_open(page: Page, base: str) -> None:
    """The first from the first page, and each further one from the page in a room that was found."""
    page.goto(base + "index.html")
    for words, title, path in (
        ("standing test", "Standing test", "procedures/standing-test.html"),
        ("meter calibration", "Meter calibration", "calculators/calibration.html"),
        ("hopper", "Tank and bin capacity", "calculators/bin-capacity.html"),
    ):
        results = search(page, words)
        found = results.filter(has_text=title).filter(visible=True)
        expect(found.first).to_be_visible()
        # By address and not by place: the list is still changing when the last word is typed.
        results.and_(page.locator(f'[href^="{base}{path}"]')).first.click()
        page.wait_for_url(lambda address, path=path: address.startswith(base + path))
        assert page.locator("h1").inner_text() == title
        page.wait_for_function("() => ['idle', 'ready'].includes(window.furrowbook.engine.state)")


def test_what_is_nowhere_in_the_book_is_not_found(page: Page, base: str) -> None:
    page.goto(base + "index.html")
    page.locator(".md-header__button[for='__search']").click()
    page.locator(".md-search__input").press_sequentially("zeppelin")
    expect(page.locator(".md-search-result__meta")).to_have_text("No matching documents")
    assert page.locator(".md-search-result__item").count() == 0


@hosted_only
def test_any_letter_is_answered(page: Page, base: str, site: Path) -> None:
    """In a book of many figures the theme's search looked for words that are nowhere, and found nothing."""
    book = json.loads((site / "search" / "search_index.json").read_text(encoding="utf-8"))
    begin = {word[0].lower() for one in book["docs"] for word in re.findall(r"[^\s<>-]+", one["text"])}
    page.goto(base + "index.html")
    page.locator(".md-header__button[for='__search']").click()
    field, told = page.locator(".md-search__input"), page.locator(".md-search-result__meta")
    for letter in sorted(begin & set(ascii_lowercase)):
        field.clear()
        field.press_sequentially("zeppelin")
        expect(told).to_have_text("No matching documents")
        field.clear()
        field.press(letter)
        expect(told, letter).to_have_text(re.compile("^[0-9]+ matching document"))
    assert len(begin) > 20


def test_the_search_reads_neither_forms_nor_drawings(site: Path) -> None:
    page = (site / "calculators" / "rate.html").read_text(encoding="utf-8")
    assert (
        sought('<p>A</p><form class="x"><p>B</p></form><svg><text>C</text></svg><p>D</p>')
        == "<p>A</p>  <p>D</p>"
    )
    book = json.loads((site / "search" / "search_index.json").read_text(encoding="utf-8"))["docs"]
    found = " ".join(one["text"] for one in book if one["location"].startswith("calculators/rate.html"))
    for words in ("Work it out", "scripting is off"):
        assert words in page and words not in found
    assert "Use this to check a meter" in found


def test_search_opens_and_closes_from_the_keyboard(page: Page, base: str) -> None:
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(base + "lessons/index.html")
    page.keyboard.press("s")
    expect(page.locator(".md-search__input")).to_be_focused()
    page.keyboard.type("standing test")
    page.locator(".md-search-result__link").first.wait_for()
    page.keyboard.press("ArrowDown")
    expect(page.locator(".md-search-result__link").first).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(lambda address: "standing-test.html" in address)


def test_search_does_not_wait_for_an_engine_that_never_comes(hosted_watch: Watch, hosted: str) -> None:
    page = hosted_watch.page
    page.route("**/wasm-*", lambda route: None)  # for ever without an answer
    page.goto(hosted + "calculators/rate.html")
    page.wait_for_function("() => window.furrowbook.engine.state === 'loading'")
    search(page, "hopper")
    assert page.evaluate("() => window.furrowbook.engine.state") == "loading"
    page.unroute_all(behavior="ignoreErrors")


def test_an_address_that_asks_the_search_is_answered_at_once(hosted_watch: Watch, hosted: str) -> None:
    page = hosted_watch.page
    page.route("**/wasm-*", lambda route: None)
    page.goto(hosted + "calculators/rate.html?q=hopper")
    page.locator(".md-search-result__item > .md-search-result__link").first.wait_for(state="attached")
    assert page.evaluate("() => window.furrowbook.engine.state") == "loading"
    page.unroute_all(behavior="ignoreErrors")
