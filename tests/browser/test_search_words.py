"""The words of callers find the fault: each leads to the right page within the first three.

Source: our own list of how people say it, common practice on the phone.
"""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.conftest import hosted_only

SAID = {
    "faults/nothing-starts": [
        "it will not start seeding",
        "nothing starts",
        "no meter turns",
        "will not seed",
    ],
    "faults/one-tank-will-not-run": ["one tank will not run", "one tank does nothing", "tank does not turn"],
    "faults/all-rates-low": ["all rates low", "too little of everything", "every product too thin"],
    "faults/one-rate-low": ["one rate low", "one product too thin", "one tank gives too little"],
    "faults/rate-high": ["rate too high", "too much seed", "ran out too soon"],
    "faults/rate-hunts": ["rate hunts", "rate goes up and down", "rate swings", "rate jumps"],
    "faults/many-runs-plug": ["many runs plug", "hoses plug", "half the runs plugged"],
    "faults/one-run-plugs": ["one run plugs", "same run plugs", "same hose plugs again"],
    "faults/one-side-short": ["one side short", "one head short", "half the machine thin"],
    "faults/stripes": ["stripes in the crop", "stripes", "striped field"],
    "faults/blockage-alarm": ["blockage alarm", "false blockage alarm", "alarm but product flows"],
    "faults/no-alarm": ["no alarm", "run empty no alarm", "plugged run no beep"],
    "faults/headland-gaps": ["gaps at headland", "headland overlap", "bare strip at the end"],
    "faults/sections-stay-shut": ["sections stay shut", "section will not open", "section stays off"],
    "faults/fan-slow-or-surging": ["fan slow", "fan surging", "fan will not get up to speed"],
    "faults/fan-seal-leaks": ["fan seal leaks", "oil leaks from fan motor", "fan motor seal"],
    "faults/depth-uneven": ["depth uneven", "seed too deep", "one wing shallow"],
    "faults/seed-cracked": ["seed cracked", "cracked seed", "broken seed"],
    "faults/liquid-uneven": ["liquid uneven", "no liquid on some rows", "liquid rows differ"],
    "faults/ammonia-uneven": ["ammonia uneven", "rows without ammonia", "NH3 uneven"],
    "faults/screen-drops-out": ["screen black", "module drops out", "screen goes dark"],
    "cards/oil-injection": ["oil through the skin"],
    "cards/line-contact": ["touched overhead line"],
    "cards/buried": ["person buried"],
}
FIRST = 3
SETTLES = 400  # ms from the last letter until the list no longer changes


def test_there_are_enough_of_them() -> None:
    assert sum(map(len, SAID.values())) >= 60
    assert sum(page.startswith("faults/") for page in SAID) >= 21


def first_found(page: Page, base: str, words: str) -> list[str]:
    """The pages that the search names first for these words."""
    field = page.locator(".md-search__input")
    field.clear()
    field.press_sequentially(words)
    page.wait_for_timeout(SETTLES)
    links: list[str] = page.locator(".md-search-result__item > .md-search-result__link").evaluate_all(
        "all => all.map((one) => one.href)"
    )
    pages = [link.removeprefix(base).partition("#")[0].partition("?")[0] for link in links]
    return list(dict.fromkeys(pages))[:FIRST]


@hosted_only
def test_each_is_found_within_the_first_three(page: Page, base: str) -> None:
    page.goto(base + "index.html")
    page.locator(".md-header__button[for='__search']").click()
    missed = []
    for wanted, phrases in SAID.items():
        for words in phrases:
            found = first_found(page, base, words)
            if f"{wanted}.html" not in found:
                missed.append((words, found))
    assert missed == []
