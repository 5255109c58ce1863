"""Forms that everyone can use: by axe, by keys alone, with a glove, on a small phone, and in large letters.

What a host or a folder serves is the same page, so these look at one of them. The pages without a calculator
are looked at where every page is opened.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from calc.declare import Calculator, Field, Input, Rows, catalogue
from tests.browser.conftest import PHONE, Watch
from tests.browser.form import Form
from tests.browser.looks import (
    DESK,
    GREY,
    SIZES,
    SMALL,
    UNFOLD,
    WIDE,
    looked_at,
    opened,
    resize,
    small_or_large,
    what_breaks,
    whole,
)

CONTROLS = (
    ".fb-form button, .fb-form input, .fb-form select, .fb-form summary, .fb-bar__link, .fb-bar summary, "
    ".fb-units label, .fb-units select, .fb-units button, .fb-example > summary, .fb-about > summary"
)
CALCULATORS = list(catalogue().values())
EVERY_STATE = ("rate", "speed-window", "bin-capacity", "ammonia")  # rows, choices, pictures, a hazard


@pytest.fixture
def light(context: BrowserContext, hosted: str) -> Iterator[Page]:
    yield from watched(context, hosted, "light")


@pytest.fixture(params=["light", "dark"])
def either(request: pytest.FixtureRequest, context: BrowserContext, hosted: str) -> Iterator[Page]:
    yield from watched(context, hosted, request.param)


def watched(context: BrowserContext, hosted: str, scheme: Literal["light", "dark"]) -> Iterator[Page]:
    """A page of a reader who prefers light or dark pages and no movement."""
    watch = Watch(context.new_page(), origin=hosted)
    watch.page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    yield watch.page
    watch.check()


def in_every_scheme(page: Page, axe: str, within: str) -> list[str]:
    """What axe finds in the light page; and in the others, which differ in nothing but their looks."""
    found = looked_at(page, axe, within=within)
    choose(page, "dark")
    found += looked_at(page, axe, ["color-contrast"], within)
    choose(page, "sun")
    found += page.evaluate(GREY)
    choose(page, "light")
    return found


SCHEMES = {"light": "default", "dark": "slate", "sun": "sun"}


def choose(page: Page, scheme: Literal["light", "dark", "sun"]) -> None:
    """Press the key in the bar until the page is so."""
    while (now := page.evaluate("() => document.body.dataset.mdColorScheme")) != SCHEMES[scheme]:
        # By script: on a busy machine the browser may let a hand wait until the page holds still.
        page.locator("[data-md-component=palette] label:visible").evaluate("one => one.click()")
        page.wait_for_function("now => document.body.dataset.mdColorScheme !== now", arg=now)


# --- axe -------------------------------------------------------------------------------------------------


def test_axe_sees_what_is_wrong(light: Page, hosted: str, axe: str) -> None:
    opened(light, hosted + "calculators/rate.html")
    light.evaluate(
        """() => {
            document.querySelector("[data-field=width] label").remove();
            document.querySelector(".fb-hint").style.color = "#999";
        }"""
    )
    rules = {one.partition(":")[0] for one in looked_at(light, axe)}
    assert rules >= {"label", "color-contrast"}


@pytest.mark.parametrize("calculator", CALCULATORS, ids=lambda c: c.id)
def test_a_form_empty_wrong_and_right(light: Page, hosted: str, axe: str, calculator: Calculator) -> None:
    """By axe, of some forms in every state and both schemes, for all are made by one template; and on a small
    phone in a large glove: controls of 44 by 44 CSS pixels (WCAG 2.5.5), and nothing that moves sideways at a
    width of 320 CSS pixels, which is also a desk at 400 % (WCAG 1.4.10).
    """
    in_every_state = calculator.id in EVERY_STATE
    page = light
    form = Form(page, calculator.id)
    name = f"calculators/{calculator.id}.html"
    broken = what_breaks(page)
    opened(page, hosted + name)
    whole(page, name)
    assert broken == []
    page.evaluate(UNFOLD)
    if in_every_state:
        assert looked_at(page, axe) == [], "empty"
    part = f"[data-calculator={calculator.id}]"  # what is around it stays as it is
    form.press()
    form.summary()
    if in_every_state:
        assert in_every_scheme(page, axe, part) == [], "wrong"
    resize(page, SMALL)
    assert page.evaluate(WIDE) == [], "wrong"
    form.button("Try the example").click()
    form.settle()
    if any(measured(one) for one in calculator.inputs):
        form.button("Add a give or take").click()
    assert page.evaluate(WIDE) == [], "right"
    too_small(page)
    resize(page, DESK)
    if not in_every_state:
        assert looked_at(page, axe) == [], "right"
        assert small_or_large(page, name) == [], "whole"
        return
    assert in_every_scheme(page, axe, part) == [], "right"
    resize(page, PHONE)
    form.section.locator("input[name][inputmode=decimal]").first.fill("wrong")
    stale = form.section.locator(".fb-stale")
    expect(stale).to_contain_text("no longer match")
    expect(stale).to_be_visible()
    assert in_every_scheme(page, axe, f"{part} .fb-stale, {part} .fb-live") == [], "stale"
    assert small_or_large(page, name) == [], "whole"


def too_small(page: Page) -> None:
    """Fail on any control that a glove would miss."""
    page.evaluate(UNFOLD)
    page.locator(".fb-units > summary").click()
    page.locator(".fb-units__mix > summary").click()
    sizes: list[list[Any]] = page.evaluate(SIZES, CONTROLS)
    page.keyboard.press("Escape")
    assert len(sizes) > 30
    # A radio button stands in its label, which is what is hit.
    assert [one for one in sizes if (one[1] < 43.9 or one[2] < 43.9) and 'type="radio"' not in one[0]] == []


def test_what_is_too_wide_is_seen(light: Page, hosted: str) -> None:
    resize(light, SMALL)
    opened(light, hosted + "calculators/rate.html")
    assert light.evaluate(WIDE) == []
    light.evaluate("() => { document.querySelector('.fb-example > summary').style.width = '999px'; }")
    assert light.evaluate(WIDE) != []


def test_the_choice_of_units_and_the_search(either: Page, hosted: str, axe: str) -> None:
    opened(either, hosted + "index.html")
    either.locator(".fb-units > summary").click()
    either.locator(".fb-units__mix > summary").click()
    assert looked_at(either, axe) == []
    either.keyboard.press("Escape")
    either.locator(".md-header__button[for='__search']").click()
    either.locator(".md-search__input").press_sequentially("meter")
    either.locator(".md-search-result__link").first.wait_for()
    assert looked_at(either, axe) == []


# --- keys alone ------------------------------------------------------------------------------------------


def test_a_form_is_worked_by_keys_alone(light: Page, hosted: str) -> None:
    """WCAG 2.1.1 and 2.4.3: everything by keys, in the order of the page."""
    page = light
    opened(page, hosted + "calculators/rate.html")
    form = Form(page, "rate")
    met: list[str] = []
    for _ in range(80):
        page.keyboard.press("Tab")
        name = page.evaluate("() => document.activeElement.name || document.activeElement.className")
        met.append(name)
        if name in ("width", "rate", "speed"):
            page.keyboard.type({"width": "40 ft", "rate": "wrong", "speed": "5 mph"}[name])
        if name.startswith("fb-go"):
            break
    fields = ["width", "rate", "speed", "meter_speed", "mass_per_turn", "runs"]
    assert [name for name in met if name in fields] == fields
    form.control("runs").focus()
    page.keyboard.press("Enter")  # in a field, as in the button, it means: work it out
    form.summary()
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.closest('.fb-summary') !== null")
    page.keyboard.press("Enter")
    expect(form.control("rate")).to_be_focused()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("100 lb/ac")
    form.control("mass_per_turn").focus()
    page.keyboard.type("1 lb/rev")
    page.keyboard.press("Enter")
    form.settle()


def test_focus_is_always_seen(light: Page, hosted: str) -> None:
    """WCAG 2.4.7 and 2.4.11: what has the focus is marked, and nothing lies over it."""
    page = light
    opened(page, hosted + "calculators/speed-window.html")
    Form(page, "speed-window").button("Try the example").click()
    Form(page, "speed-window").settle()
    page.evaluate("() => { window.scrollTo(0, 0); document.activeElement.blur(); }")
    unseen: list[str] = []
    inside = 0
    for _ in range(60):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            """() => {
                const one = document.activeElement;
                if (!one.closest("main")) { return [true, true, ""]; }
                const box = one.getBoundingClientRect(), style = getComputedStyle(one);
                const marked = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
                const middle = Math.min(box.y + box.height / 2, innerHeight - 1);
                const top = document.elementFromPoint(box.x + box.width / 2, middle);
                return [marked, one.contains(top) || top?.contains(one), one.outerHTML.slice(0, 90)];
            }"""
        )
        inside += seen[2] != ""
        unseen += [f"not marked: {seen[2]}"] * (not seen[0]) + [f"covered: {seen[2]}"] * (not seen[1])
    assert inside > 30
    assert unseen == []


# --- names -----------------------------------------------------------------------------------------------


def measured(one: Field | Rows) -> bool:
    """Whether a give or take may be written here."""
    if isinstance(one, Rows):
        return any(measured(column) for column in one.columns)
    return isinstance(one, Input) and one.measured


def test_forms_have_names_hints_and_groups(light: Page, hosted: str) -> None:
    """WCAG 1.3.1 and 3.3.2, as a screen reader is told."""
    opened(light, hosted + "calculators/rate.html")
    width = light.get_by_label("Working width", exact=True)
    assert "opener" in (
        width.evaluate(
            "one => document.getElementById(one.getAttribute('aria-describedby').split(' ')[0]).textContent"
        )
    )
    assert light.get_by_label("Unit of working width").count() == 1
    group = light.get_by_role("group", name="Leave one of these empty: it is worked out")
    assert group.get_by_role("textbox").count() == 4
    assert width.get_attribute("inputmode") == "decimal"
    assert width.get_attribute("type") == "text"
    opened(light, hosted + "calculators/calibration.html")
    assert light.get_by_role("group", name="Catch 1").get_by_role("textbox").count() >= 2
