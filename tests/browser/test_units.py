"""The reader's units: chosen once for every page, kept, shown from the first paint on, mixed where wanted."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.browser.conftest import Watch, hosted_only
from tests.browser.form import Form, native_results, same

CHOICE = "() => [window.furrowbook.units.text, localStorage.getItem('furrowbook.units')]"
GIVEN = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}
# What the root element says of units at each moment of interest, from before the first line of the page on.
WITNESS = """() => {
    window.seen = [];
    const root = () => document.documentElement?.getAttribute("data-units") ?? null;
    const look = (when) => window.seen.push([when, root()]);
    new MutationObserver(() => { if (document.body) { look("body"); } })
        .observe(document, { childList: true, subtree: true, attributeFilter: ["data-units"] });
    new PerformanceObserver((list) => list.getEntries().forEach((one) => look(one.name)))
        .observe({ type: "paint", buffered: true });
    addEventListener("DOMContentLoaded", () => look("read"));
}"""


def choose(page: Page, system: str) -> None:
    """Choose units in the bar, as a reader does."""
    page.locator(".fb-units > summary").click()
    page.get_by_role("radio", name=system).check()
    page.keyboard.press("Escape")


def mix(page: Page, kind: str, system: str) -> None:
    """Choose other units for one kind of figure."""
    page.locator(".fb-units > summary").click()
    page.locator(".fb-units__mix > summary").click()
    page.locator(f".fb-units select[data-kind={kind}]").select_option(system)
    page.keyboard.press("Escape")


def now(page: Page) -> Locator:
    """The closed control in the bar."""
    return page.locator(".fb-units > summary")


def keep(page: Page, text: str) -> None:
    """Have this choice from an earlier visit, before any page is opened."""
    key = "'furrowbook.units'"
    page.add_init_script(
        f"if (localStorage.getItem({key}) === null) {{ localStorage.setItem({key}, {text!r}); }}"
    )


def prose(page: Page) -> str:
    """What a reader sees of a lesson's small sum."""
    return page.locator("article p", has_text="is to give").first.inner_text()


def test_a_choice_holds_on_the_next_page_and_at_the_next_visit(
    page: Page, context: BrowserContext, base: str
) -> None:
    page.goto(base + "index.html")
    assert page.evaluate(CHOICE) == ["us", None]
    expect(now(page)).to_contain_text("US", use_inner_text=True)
    choose(page, "Imperial units")
    expect(now(page)).to_contain_text("Imperial", use_inner_text=True)
    page.goto(base + "lessons/rate.html")
    assert page.evaluate(CHOICE) == ["imperial", "imperial"]
    page.close()
    again = Watch(context.new_page(), origin=base)
    again.page.goto(base + "calculators/rate.html")
    assert again.page.evaluate(CHOICE) == ["imperial", "imperial"]
    now(again.page).click()
    assert again.page.get_by_role("radio", name="Imperial units").is_checked()
    again.check()


def test_another_tab_follows(page: Page, context: BrowserContext, base: str) -> None:
    page.goto(base + "lessons/rate.html")
    other = Watch(context.new_page(), origin=base)
    other.page.goto(base + "index.html")
    choose(other.page, "Metric units")
    page.wait_for_function("() => window.furrowbook.units.text === 'metric'")
    assert "635 g/rev" in prose(page)
    other.check()


@pytest.mark.parametrize("path", ["calculators/rate.html", "index.html"])
def test_the_choice_stands_before_anything_is_painted(
    page: Page, context: BrowserContext, base: str, path: str
) -> None:
    keep(page, "metric")
    page.add_init_script(f"({WITNESS})()")
    page.goto(base + path)
    page.wait_for_function("() => window.seen.some(([when]) => when === 'first-contentful-paint')")
    seen = page.evaluate("() => window.seen")
    assert {when for when, _ in seen} >= {"body", "read", "first-contentful-paint"}
    assert {units for _, units in seen} == {"metric"}, "the page began with other units"
    # The file that sets it is read before the page goes on.
    script = page.locator("head script[src$='furrowbook/units.js']")
    assert script.count() == 1
    assert script.evaluate("one => !one.async && !one.defer && one.type === ''")


@hosted_only
def test_prose_example_and_form_follow(page: Page, base: str) -> None:
    """By hand, exact: a mile is 1.609344 km, a pound 0.45359237 kg, a foot 0.3048 m, an acre 43 560 ft²."""
    page.goto(base + "lessons/rate.html")
    rate = f"{120 * 0.45359237 / 0.40468564224:.0f} kg/ha"
    metric = [rate, f"{60 * 0.3048:.1f} m", f"{5 * 1.609344:.2f} km/h", f"{1.4 * 453.59237:.0f} g/rev"]
    assert all(one in prose(page) for one in ("120 lb/ac", "60 ft", "5 mph", "1.4 lb/rev"))
    assert not any(one in prose(page) for one in metric)
    form = Form(page, "rate")
    form.settle()
    us = form.results()
    choose(page, "Metric units")
    assert all(one in prose(page) for one in metric)
    assert not any(one in prose(page) for one in ("lb/ac", "ft", "mph", "lb/rev"))
    example = form.section.locator(".fb-example")
    example.locator("summary").first.click()
    shown = [one for one in example.locator("[data-result=flow] dd").all() if one.is_visible()]
    assert [one.inner_text().split()[-1] for one in shown] == ["kg/min"]
    page.wait_for_function(
        "us => document.querySelector('.fb-live [data-result=flow] dd').textContent !== us", arg=us["flow"]
    )
    sheet = {"width": "60 ft", "rate": "120 lb/ac", "speed": "4 mph", "mass_per_turn": "1.4 lb/rev"}
    same(form.results(), native_results("rate", sheet, "metric"))
    assert form.written()["width"].split()[0] == "60", "what is written is the reader's and stays"
    form.button("Clear").click()
    assert form.unit("width").evaluate("one => one.selectedOptions[0].text") == "m"
    assert form.unit("speed").evaluate("one => one.selectedOptions[0].text") == "km/h"


@hosted_only
def test_one_kind_may_be_shown_otherwise(page: Page, base: str) -> None:
    """A prairie reader mixes lb/ac and km/h. 5 mph is 8.04672 km/h exactly."""
    page.goto(base + "lessons/rate.html")
    mix(page, "speed", "metric")
    assert page.evaluate(CHOICE) == ["us,speed=metric", "us,speed=metric"]
    expect(now(page)).to_have_text(re.compile(r"^Units:\s+US\s*, mixed\s*$"), use_inner_text=True)
    assert "8.05 km/h" in prose(page)
    assert "120 lb/ac" in prose(page)
    assert "mph" not in prose(page)

    page.goto(base + "calculators/speed-window.html")
    form = Form(page, "speed-window")
    assert form.unit("speed_low").evaluate("one => one.selectedOptions[0].text") == "km/h"
    assert form.unit("width").evaluate("one => one.selectedOptions[0].text") == "ft"
    tank = {
        "name": "Wheat",
        "rate_low": "90 lb/ac",
        "rate_high": "130 lb/ac",
        "mass_per_turn": "1.2 lb/rev",
        "meter_low": "10 rpm",
        "meter_high": "120 rpm",
    }
    form.type({"width": "60 ft", **{f"tanks[1].{name}": text for name, text in tank.items()}})
    found = form.results()
    same(found, native_results("speed-window", {"width": "60 ft", "tanks": [tank]}, "us,speed=metric"))
    assert found["speed_to"].endswith(" km/h")

    page.locator(".fb-units > summary").click()
    page.locator(".fb-units__mix > summary").click()
    page.get_by_role("button", name="All as above").click()
    assert page.evaluate(CHOICE) == ["us", "us"]
    page.wait_for_function(
        "() => document.querySelector('.fb-live [data-result=speed_to] dd').textContent.endsWith(' mph')"
    )


@hosted_only
def test_an_imperial_reader_finds_no_doubtful_bushel_in_the_list(page: Page, base: str) -> None:
    """A US bushel is 2150.42 in³: 168 ft³ of 48 lb/bu wheat weighs 168 · 1728 ÷ 2150.42 · 48 lb."""
    page.goto(base + "calculators/bin-capacity.html")
    choose(page, "Imperial units")
    form = Form(page, "bin-capacity")
    form.type({"body": "box", "length": "7 ft", "width": "6 ft", "height": "4 ft"})
    form.unit("bulk_density").select_option(label="lb/bu")
    form.control("bulk_density").fill("48")
    form.settle()
    assert form.wrong() == {}
    assert form.result("mass").replace("\u2009", "") == f"{168 * 1728 / 2150.42 * 48:.0f} lb"


@hosted_only
@pytest.mark.parametrize(
    ("kept", "used"),
    [
        ("nonsense", "us"),
        ("", "us"),
        ("metric,speed", "us"),
        ("metric,speed=nonsense", "us"),
        ('{"units":"metric"}', "us"),
        ("<b>metric</b>", "us"),
        ("imperial,gone=us,speed=metric", "imperial,speed=metric"),
    ],
)
def test_a_kept_choice_that_cannot_be_read_is_ignored(
    page: Page, context: BrowserContext, base: str, kept: str, used: str
) -> None:
    keep(page, kept)
    page.goto(base + "lessons/index.html")
    assert page.evaluate("() => window.furrowbook.units.text") == used
    assert page.evaluate("() => document.documentElement.dataset.units") == used.partition(",")[0]
    choose(page, "Metric units")  # and a choice made now takes its place
    assert (page.evaluate(CHOICE)[1] or "").startswith("metric")


@hosted_only
@pytest.mark.parametrize("way", ["throws when asked for", "throws when used"])
def test_a_browser_that_keeps_nothing_still_shows_the_choice(
    page: Page, watch: Watch, context: BrowserContext, base: str, way: str
) -> None:
    """What browsers do where a reader forbids storage (asked for), and where it is full (used)."""
    if way == "throws when asked for":
        watch.expect("page error: no", 2)  # the theme's own scripts, which ask without care
    page.add_init_script(
        """for (const name of ["localStorage", "sessionStorage"]) {
            Object.defineProperty(window, name, { get() { throw new DOMException("no", "SecurityError"); } });
        }"""
        if way == "throws when asked for"
        else """Storage.prototype.setItem = () => {
            throw new DOMException("full", "QuotaExceededError");
        };"""
    )
    page.goto(base + "calculators/rate.html")
    choose(page, "Metric units")
    assert page.evaluate("() => document.documentElement.dataset.units") == "metric"
    form = Form(page, "rate")
    form.type(GIVEN)
    same(form.results(), native_results("rate", GIVEN, "metric"))


@hosted_only
def test_the_choice_closes_by_key_by_press_and_by_leaving(page: Page, base: str) -> None:
    page.goto(base + "index.html")
    panel = page.locator(".fb-units__panel")
    now(page).press("Enter")
    assert panel.is_visible()
    page.keyboard.press("Escape")
    assert not panel.is_visible()
    assert now(page).evaluate("one => one === document.activeElement")
    now(page).click()
    page.mouse.click(2, 700)  # the margin of the page
    assert not panel.is_visible()
    now(page).click()
    now(page).press("Shift+Tab")
    assert not panel.is_visible()
