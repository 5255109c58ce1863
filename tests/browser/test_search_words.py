"""The words of callers find the fault: each leads to the right page within the first three.

Source: our own list of how people say it, common practice on the phone.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.conftest import hosted_only
from tests.browser.test_search import search

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

# Asks the theme's own search worker, without the list drawn from its answers, which changes as one types.
ASKED = """async ({ worker, phrases }) => {
    const { config, docs } = await (await fetch("search/search_index.json")).json();
    const searching = new Worker(worker);
    const ask = (type, data) => new Promise((answer) => {
        searching.onmessage = (event) => answer(event.data.data);
        searching.postMessage({ type, data });
    });
    await ask(0, { config, docs, options: { suggest: true } });
    const found = {};
    for (const words of phrases) {
        const { items } = await ask(2, words);
        found[words] = items.map(([first]) => first.location.split("#")[0]);
    }
    searching.terminate();
    return found;
}"""


def test_there_are_enough_of_them() -> None:
    assert sum(map(len, SAID.values())) >= 60
    assert sum(page.startswith("faults/") for page in SAID) >= 21


@hosted_only
def test_each_is_found_within_the_first_three(page: Page, base: str, site: Path) -> None:
    page.goto(base + "index.html?q=")  # the book's own search waits for such a question or for a hand
    (worker,) = (site / "assets" / "javascripts" / "workers").glob("search.*.js")
    phrases = [words for of_page in SAID.values() for words in of_page]
    found = page.evaluate(ASKED, {"worker": worker.relative_to(site).as_posix(), "phrases": phrases})
    assert {
        words: found[words][:FIRST]
        for wanted, of_page in SAID.items()
        for words in of_page
        if f"{wanted}.html" not in found[words][:FIRST]
    } == {}


@hosted_only
def test_the_words_of_callers_are_not_listed_again_in_what_is_found(page: Page, base: str) -> None:
    page.goto(base + "index.html")
    search(page, "nothing happens")
    words = page.locator(".md-search-result .md-tags")
    expect(words.first).to_be_attached()
    expect(words.filter(visible=True)).to_have_count(0)
