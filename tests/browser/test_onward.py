"""Figures handed from one calculator to the next, and figures with a give or take, as a reader meets them.

Source: native Python, given by hand what the page should have handed on.
"""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.conftest import hosted_only
from tests.browser.form import Form, native

CATCHES = [{"turns": "20", "gross": gross} for gross in ("28.10 lb", "28.40 lb", "27.80 lb", "28.20 lb")]


def on(page: Page, form: Form, calculator: str) -> Form:
    """Go on from an answer to the next calculator."""
    form.settle()
    with page.expect_navigation(url=f"**/calculators/{calculator}.html"):
        form.section.locator(f'[data-onward="{calculator}"]').click()
    return Form(page, calculator)


def catch(page: Page, base: str) -> Form:
    """A meter calibrated with four catches."""
    page.goto(f"{base}calculators/calibration.html")
    form = Form(page, "calibration")
    while form.section.locator(".fb-row").count() < len(CATCHES):
        form.button("Add another catch").click()
    form.type(
        {f"catches[{n}].{name}": text for n, row in enumerate(CATCHES, 1) for name, text in row.items()}
    )
    return form


def test_from_the_catch_to_the_refills_without_typing_a_figure_twice(page: Page, base: str) -> None:
    form = catch(page, base)
    mass = form.results()["mass_per_turn"]
    assert mass == native("calibration", {"catches": CATCHES})["results"]["mass_per_turn"]["shown"]

    form = on(page, form, "rate")
    expect(form.section.locator(".fb-taken")).to_contain_text("Taken over from “Meter calibration”")
    expect(form.field("mass_per_turn").locator(".fb-taken-mark")).to_have_text("From “Meter calibration”")
    given = {"width": "60 ft", "rate": "120 lb/ac", "speed": "5 mph"}
    form.type(given)
    expected = native("rate", {**given, "mass_per_turn": mass})["results"]
    assert form.results()["meter_speed"] == expected["meter_speed"]["shown"]

    form = on(page, form, "speed-window")
    assert form.control("width").input_value() == "60.00"
    first = {"name": "Urea", "rate_low": "90 lb/ac", "rate_high": "150 lb/ac"}
    limits = {"meter_low": "10 rpm", "meter_high": "120 rpm"}
    assert form.control("tanks[1].mass_per_turn").input_value() == mass.split()[0]
    form.type({f"tanks[1].{name}": text for name, text in (first | limits).items()})
    tank = {**first, **limits, "mass_per_turn": mass}
    window = native("speed-window", {"width": "60 ft", "tanks": [tank]})["results"]
    assert form.results()["speed_to"] == window["speed_to"]["shown"]

    form = on(page, form, "refill-plan")
    assert form.control("tanks[1].name").input_value() == "Urea"
    assert form.control("tanks[1].rate").input_value() == "150.0"
    form.type({"tanks[1].mass": "6000 lb"})
    refills = native(
        "refill-plan", {"width": "60 ft", "tanks": [{"name": "Urea", "mass": "6000 lb", "rate": "150 lb/ac"}]}
    )
    assert form.results()["area_per_fill"] == refills["results"]["area_per_fill"]["shown"]


@hosted_only
def test_what_was_handed_over_can_be_changed_and_put_back(page: Page, base: str) -> None:
    form = on(page, catch(page, base), "rate")
    mark = form.field("mass_per_turn").locator(".fb-taken-mark")
    expect(mark).to_be_visible()
    form.type({"mass_per_turn": "2"})
    expect(mark).to_have_count(0)
    page.go_back()
    form = on(page, Form(page, "calibration"), "rate")
    form.button("Bring back what was there").or_(form.button("Clear")).first.click()
    expect(form.section.locator(".fb-taken")).to_be_hidden()
    assert form.control("mass_per_turn").input_value() == ""


@hosted_only
def test_a_single_figure_goes_into_the_row_that_the_reader_chooses(page: Page, base: str) -> None:
    page.goto(f"{base}calculators/speed-window.html")
    form = Form(page, "speed-window")
    form.type({"tanks[1].name": "Urea", "tanks[2].name": "Wheat"})
    # As from an answer on the same page.
    page.evaluate(
        """() => window.furrowbook.calculators[0].takeOver({
            from: "Meter calibration", fields: {}, rows: "tanks", each: [],
            one: { mass_per_turn: { text: "1.406 lb/rev" } },
        })"""
    )
    taken = form.section.locator(".fb-taken")
    expect(taken.get_by_role("button")).to_have_text(["Urea", "Wheat", "A new one"])
    taken.get_by_role("button", name="Wheat").click()
    assert form.written()["tanks[2].mass_per_turn"] == "1.406"
    assert "tanks[1].mass_per_turn" not in form.written()
    expect(form.field("tanks[2].mass_per_turn").locator(".fb-taken-mark")).to_have_text(
        "From “Meter calibration”"
    )
    expect(taken.get_by_role("button")).to_have_count(0)


@hosted_only
def test_an_answer_that_no_longer_stands_is_not_handed_on(page: Page, base: str) -> None:
    form = catch(page, base)
    form.settle()
    expect(form.section.locator(".fb-onward")).to_be_visible()
    form.type({"catches[1].gross": "no figure"})
    form.press()
    expect(form.section.locator(".fb-onward")).to_be_hidden()


@hosted_only
def test_a_give_or_take_is_asked_for_carried_through_and_told(page: Page, base: str) -> None:
    page.goto(f"{base}calculators/rate.html")
    form = Form(page, "rate")
    given = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}
    form.type(given)
    give = form.field("speed").locator(".fb-give input")
    expect(give).to_be_hidden()
    form.button("Add a give or take").click()
    give.fill("0.1")
    form.field("width").locator(".fb-give input").fill("1 %")
    expected = native("rate", {**given, "speed": "5 mph ± 0.1 mph", "width": "40 ft ± 1 %"})
    off = expected["results"]["meter_speed"]["give_or_take"]["shown"]
    shown = form.section.locator('.fb-live [data-result="meter_speed"] .fb-give-shown')
    expect(shown).to_have_text(f"give or take {off}")
    expect(form.section.locator('[data-note="give-or-take"]')).to_contain_text("Ground speed")
    give.fill("-1")
    form.press()
    form.summary()
    assert "size, without a sign" in form.wrong()["speed"]


@hosted_only
def test_a_give_or_take_goes_along_where_it_has_a_place(page: Page, base: str) -> None:
    form = catch(page, base)
    form.button("Add a give or take").click()
    form.field("catches[1].gross").locator(".fb-give input").fill("0.2")
    form = on(page, form, "rate")
    assert form.control("mass_per_turn").input_value() == "1.406"
    give = form.field("mass_per_turn").locator(".fb-give input")
    expect(give).to_be_visible()
    assert give.input_value() == "0.0025"
