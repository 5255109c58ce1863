"""Choosing a machine: calculators and procedures then open with its figures; its card fits one side.

Sources: the machine sheets of the book, and the calculators natively.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from calc.declare import catalogue
from calc.reply import reply
from handbook.book import read
from handbook.machines.presets import presets
from tests.browser.conftest import hosted_only
from tests.browser.form import Form
from tests.browser.paper import paper

BOOK = read(Path(__file__).parents[2] / "docs")
NAMES = {id: sheet.name for id, sheet in BOOK.sheets.items()}
PAPERS = {"A5": ("148mm", "210mm"), "half-letter": ("5.5in", "8.5in")}
INKS = {"000000", "ffffff", "777777"}


def choose(page: Page, base: str, id: str) -> None:
    """Take a machine from the list."""
    page.goto(base + "machines/index.html")
    place = page.locator(f'[data-use-machine="{id}"]')
    place.get_by_role("button", name="Use this machine").click()
    expect(place).to_contain_text("Leave this machine")
    expect(page.locator(".fb-bar__machine")).to_have_text(NAMES[id])


def written(form: Form) -> dict[str, str]:
    """What stands in a form, each figure with the unit beside it."""
    return {
        name: f"{text} {unit}".strip()
        for name, text in form.written().items()
        for unit in [form.unit(name).input_value() if form.unit(name).count() else ""]
    }


def test_the_calculators_open_with_the_figures_of_the_chosen_machine(page: Page, base: str) -> None:
    choose(page, base, "prairie-four")
    page.goto(base + "calculators/rate.html")
    form = Form(page, "rate")
    form.settle()
    sheet = BOOK.sheets["prairie-four"]
    first, _, third, _ = sheet.tanks
    told = form.section.locator(".fb-from-machine")
    assert "Prairie Four" in told.inner_text()
    assert "72" == form.written()["runs"]
    assert written(form)["mass_per_turn"] == first.meter.mass_per_turn
    expected = reply("rate", presets(sheet, catalogue()["rate"], first.name), "us")["results"]
    assert form.result("meter_speed") == expected["meter_speed"]["shown"]
    told.get_by_label("Tank").select_option(third.name)
    form.settle()
    assert written(form)["rate"] == third.rate.set
    expected = reply("rate", presets(sheet, catalogue()["rate"], third.name), "us")["results"]
    assert form.result("meter_speed") == expected["meter_speed"]["shown"]


def test_rows_are_filled_too_and_what_is_changed_is_the_readers(page: Page, base: str) -> None:
    choose(page, base, "marsh-two")
    page.goto(base + "calculators/speed-window.html")
    form = Form(page, "speed-window")
    form.settle()
    names = [text for name, text in form.written().items() if name.endswith(".name")]
    assert names == ["Seed", "Fertilizer"]
    form.control("speed_high").fill("10")
    page.goto(base + "calculators/rate.html")
    page.go_back()
    form.settle()
    assert form.written()["speed_high"] == "10"
    assert not form.section.locator(".fb-from-machine").is_visible()


@hosted_only
def test_a_form_that_the_machine_knows_nothing_of_stays_empty(page: Page, base: str) -> None:
    choose(page, base, "marsh-two")
    page.goto(base + "calculators/ammonia.html")
    form = Form(page, "ammonia")
    expect(form.section.locator(".fb-from-machine")).to_be_visible()
    assert set(form.written()) == {"width", "speed"}
    page.goto(base + "calculators/ground-speed.html")
    page.wait_for_function("() => window.furrowbook.machines")
    form = Form(page, "ground-speed")
    assert form.written() == {}
    assert not form.section.locator(".fb-from-machine").is_visible()


def test_a_form_of_a_lesson_keeps_the_figures_of_its_lesson(page: Page, base: str) -> None:
    choose(page, base, "marsh-two")
    page.goto(base + "lessons/rate.html")
    form = Form(page, "rate")
    form.settle()
    assert written(form)["width"] == "60 ft"
    assert "Prairie Four" in form.section.locator(".fb-from-sheet").inner_text()


def test_a_procedure_leads_to_the_machines_own_copy(page: Page, base: str) -> None:
    page.goto(base + "procedures/standing-test.html")
    page.get_by_role("link", name="Choose the machine").click()
    page.wait_for_url(base + "machines/index.html")
    choose(page, base, "ridge-mixed")
    page.go_back()
    page.get_by_role("link", name="Open the copy for Ridge Mixed").click()
    page.wait_for_url(base + "machines/ridge-mixed/standing-test.html")
    assert page.locator("h1").inner_text() == "Ridge Mixed: standing test"
    assert page.locator("[data-own-copy]").count() == 0


@hosted_only
def test_a_machine_can_be_left_and_the_choice_is_seen_in_other_tabs(page: Page, base: str) -> None:
    choose(page, base, "prairie-four")
    other = page.context.new_page()
    other.goto(base + "index.html")
    bar = other.locator(".fb-bar__machine")
    expect(bar).to_have_text("Prairie Four")
    bar.click()
    other.wait_for_url(base + "machines/prairie-four/index.html")
    page.get_by_role("button", name="Leave this machine").click()
    expect(bar).to_have_text("Machine")
    other.get_by_role("button", name="Use this machine").click()
    expect(page.locator(".fb-bar__machine")).to_have_text("Prairie Four")
    other.close()


@hosted_only
@pytest.mark.parametrize("kept", ["{", "[]", '{"id": "../x", "name": "a"}', '{"id": 1, "name": "a"}', '"a"'])
def test_what_is_kept_and_is_no_choice_is_taken_for_none(page: Page, base: str, kept: str) -> None:
    page.goto(base + "index.html")
    page.evaluate("kept => localStorage.setItem('furrowbook.machine', kept)", kept)
    page.goto(base + "calculators/rate.html")
    assert page.locator(".fb-bar__machine").inner_text() == "Machine"
    assert Form(page, "rate").written() == {}


@hosted_only
def test_the_name_of_a_machine_is_text_and_no_markup(page: Page, base: str) -> None:
    page.goto(base + "index.html")
    name = "<img src=x onerror=window.ran=1>"
    page.evaluate(
        "name => localStorage.setItem('furrowbook.machine', JSON.stringify({ id: 'marsh-two', name }))", name
    )
    page.goto(base + "calculators/rate.html")
    Form(page, "rate").settle()
    assert page.locator(".fb-bar__machine").inner_text() == name
    assert page.evaluate("() => window.ran === undefined")


@hosted_only
@pytest.mark.parametrize("id", sorted(BOOK.sheets))
def test_the_card_fits_on_one_side_of_either_paper(page: Page, base: str, id: str) -> None:
    page.goto(base + f"machines/{id}/card.html")
    sheet = BOOK.sheets[id]
    for system in ("us", "metric", "imperial"):
        page.evaluate("system => window.furrowbook.units.set(system)", system)
        for name, (width, height) in PAPERS.items():
            sheets = paper(page, width=width, height=height).pages
            assert len(sheets) == 1, (name, system)
            text = re.sub(r"\s+", " ", sheets[0].extract_text().replace("\u2009", " "))
            for tank in sheet.tanks:
                given = presets(sheet, catalogue()["rate"], tank.name)
                turning = reply("rate", given, system)["results"]["meter_speed"]["shown"]
                assert turning.removesuffix(" rpm") in text
                assert tank.name in text
            assert sheet.name in text
            assert "build" in text  # at the foot, with the day
