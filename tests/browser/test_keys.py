"""Keys alone, and a glove: a procedure with its record, and practice (WCAG 2.1.1, 2.4.3, 2.5.5)."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Page, expect

from calc.declare import catalogue
from calc.practice import pose, read
from calc.quantity import Units, show
from handbook.practising import FIRST
from tests.browser.conftest import hosted_only
from tests.browser.form import Form
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
    problem = page.locator("[data-problem]").first
    practice = read(json.loads(problem.get_attribute("data-problem") or ""))
    right = show(pose(practice, FIRST).answer, practice.kind, Units("us"))
    said, drawn = problem.locator(".fb-practice__said"), problem.locator(".fb-drawn")
    figures = drawn.all_inner_texts()
    tab_to(page, "[data-problem] input", 150)
    for answer, kind in (("1 rpm", "wrong"), (right, "right")):
        page.keyboard.press("ControlOrMeta+a")
        page.keyboard.type(answer)
        page.keyboard.press("Enter")
        expect(said).to_have_class(f"fb-practice__said fb-practice__said--{kind}")
        expect(said).not_to_be_empty()
    expect(problem.get_by_role("button", name="Next one")).to_be_focused()
    page.keyboard.press("Enter")
    expect(problem.locator("input")).to_be_focused()
    expect(said).to_be_empty()
    page.wait_for_function(
        """figures => [...document.querySelector("[data-problem]").querySelectorAll(".fb-drawn")]
            .some((one, at) => /[0-9]/.test(one.innerText) && one.innerText !== figures[at])""",
        arg=figures,
    )


# What the Tab key may stop at within a form: of radio buttons of one name only one.
STOPS = """form => [...form.querySelectorAll("input, select, textarea, button, summary, a[href]")]
    .filter((one) => !one.disabled && one.tabIndex >= 0 && one.checkVisibility())
    .map((one) => one.type === "radio" ? `radio ${one.name}` : null).reduce((found, radio, at) => {
        if (radio === null || !found.radios.has(radio)) found.stops += 1;
        if (radio) found.radios.add(radio);
        return found;
    }, { stops: 0, radios: new Set() }).stops"""
INSIDE = "() => Boolean(document.activeElement.closest('.fb-form'))"
WHICH = """() => {
    const one = document.activeElement;
    const place = [...document.querySelectorAll("*")].indexOf(one);
    return [one.tagName, one.name || one.id || one.className, place];
}"""


@hosted_only
@pytest.mark.parametrize("calculator", sorted(catalogue()))
def test_keys_reach_everything_in_a_form_and_leave_it(page: Page, base: str, calculator: str) -> None:
    opened(page, f"{base}calculators/{calculator}.html")
    Form(page, calculator).button("Try the example").click()
    Form(page, calculator).settle()
    form = page.locator(f'[data-calculator="{calculator}"] .fb-form')
    stops = form.evaluate(STOPS)
    form.evaluate("form => { form.tabIndex = -1; form.focus(); }")
    met = []
    while len(met) <= stops + 5:
        page.keyboard.press("Tab")
        if not page.evaluate(INSIDE):
            break
        met.append(page.evaluate(WHICH))
    assert len(met) == stops > 3, met
    places = [place for _, _, place in met]
    assert places == sorted(set(places)), "not in the order of the page"
