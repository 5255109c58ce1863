"""Sheets for watching, filled in and signed on a phone, and the skills of a team that come of them."""

from __future__ import annotations

import json

from playwright.sync_api import Page, expect

from calc.record.entry import problems
from calc.record.files import as_csv, as_json, read_file
from tests.browser.conftest import hosted_only
from tests.browser.sheet import Sheet, entries, export, give
from tests.calculators.record_entries import example

PROCEDURE = "procedures/make-safe.html"
SKILLS = "trainers/skills.html"


def test_a_trainer_fills_in_a_sheet_and_both_sign(page: Page, base: str) -> None:
    page.goto(base + PROCEDURE)
    sheet = Sheet(page)
    sheet.mark()
    sheet.level("2 alone, watched")
    sheet.write(next="2027-10-30", actions="Watch the next one.")
    sheet.sign_by_hand()
    page.reload()  # a phone that was put away
    expect(sheet.field("trainee")).to_have_value("T. Furrow")
    expect(sheet.field("level").nth(2)).to_be_checked()
    sheet.keep()
    expect(page.locator(".fb-kept")).to_contain_text("Kept on this device, signed by both.")
    expect(sheet.field("trainee")).to_have_value("")

    page.locator(".fb-kept a").click()
    line = page.locator(".fb-skills__list li").first
    expect(line).to_contain_text("Alone, watched by someone at level 3 or 4; nobody here is")
    expect(line).to_contain_text("Good until October 30, 2027")
    [kept] = entries(page)
    assert not problems(kept)
    assert (kept["page"], kept["title"], kept["who"]) == (PROCEDURE, "Make the machine safe", "R. Field")
    assert len(kept["seen"]) == 12
    assert kept["seen"][2] == {
        "says": "Sets the park brake and chocks the wheels on both sides before lowering anything.",
        "seen": "seen",
    }
    assert kept["trainee_drawn"].startswith("M")
    assert "evaluator_drawn" not in kept


@hosted_only
def test_what_is_missing_is_told_line_by_line_and_nothing_is_kept(page: Page, base: str) -> None:
    page.goto(base + PROCEDURE)
    sheet = Sheet(page)
    sheet.mark(first=2)
    sheet.keep()
    told = sheet.told()
    assert told[:3] == ["1: mark what you saw.", "2: mark what you saw.", "Level: choose a level."]
    assert "Signed by the evaluator: this is needed; write it like R. Field." in told
    sheet.root.locator(".fb-summary a").nth(3).click()
    expect(sheet.field("trainee")).to_be_focused()
    page.goto(base + SKILLS)
    expect(page.locator(".fb-files__kept")).to_contain_text("Nothing is kept on this device yet.")


@hosted_only
def test_who_was_prompted_or_stopped_does_not_work_alone(page: Page, base: str) -> None:
    page.goto(base + PROCEDURE)
    sheet = Sheet(page)
    sheet.mark()
    sheet.mark("Prompted", first=3, last=4)
    sheet.level("3 alone")
    sheet.write()
    sheet.keep()
    [told] = sheet.told()
    assert told.startswith("Level: from level 2 on, everything must be seen without prompting")
    sheet.root.locator(".fb-ends input").first.check()
    sheet.keep()
    expect(sheet.root.locator(".fb-summary li")).to_contain_text("the attempt was ended")
    sheet.level("1 with help")
    sheet.write(evaluator_signed="Somebody")
    sheet.keep()
    expect(sheet.root.locator(".fb-summary li")).to_contain_text(
        "a signature bears the same name as above, R. Field"
    )
    sheet.field("evaluator_signed").fill("R. Field")
    sheet.keep()
    expect(page.locator(".fb-kept")).to_contain_text("Kept")
    page.locator(".fb-kept a").click()
    [kept] = entries(page)
    assert kept["ended"] == ["Goes under a frame or wing that is not on the ground or locked up."]
    assert kept["seen"][3]["seen"] == "prompted"


@hosted_only
def test_licensed_work_is_marked(page: Page, base: str) -> None:
    page.goto(base + "procedures/ammonia-live.html")
    sheet = Sheet(page)
    sheet.mark()
    sheet.level("3 alone")
    sheet.write()
    sheet.keep()
    page.locator(".fb-kept a").click()
    expect(page.locator(".fb-skills__grid h3", has_text="Ammonia")).to_be_visible()
    assert entries(page)[0]["apart"] == "ammonia"


@hosted_only
def test_a_file_is_shown_before_it_is_added_and_adds_what_is_new(page: Page, base: str) -> None:
    team = [
        example("watched", trainee=name, trainee_signed=name, id=f"{at}0000000-0000-4000-8000-000000000000")
        for at, name in enumerate(("Ann", "Ben"))
    ]
    wrong = {**team[0], "level": "9"}
    page.goto(base + SKILLS)
    found = give(page, json.dumps({"format": 1, "entries": [*team, wrong]}))
    expect(found.locator("p")).to_have_text("The file adds 2 entries.")
    expect(found).to_contain_text("Not taken, entry 3: level: this must be one of 0, 1, 2, 3 or 4")
    assert page.locator(".fb-skills__list").count() == 0
    found.get_by_role("button", name="Add them").click()
    expect(found.locator("p")).to_have_text("Added: 2 entries.")
    expect(page.locator(".fb-skills__list").first).to_contain_text("Ann")
    assert export(page) == as_json(team)
    assert export(page, "Export as a table (CSV)") == as_csv(team)
    expect(page.locator(".fb-files__kept")).to_contain_text("Last exported on")

    found = give(page, as_csv([*team, example("watched", trainee="Cy", trainee_signed="Cy")]), "record.csv")
    expect(found.locator("p")).to_have_text("The file adds 1 entry.")
    expect(found).to_contain_text("Here already: 2")
    found.get_by_role("button", name="Leave it").click()
    assert export(page) == as_json(team)


@hosted_only
def test_names_that_are_markup_stay_text(page: Page, base: str) -> None:
    name = "<img src=x onerror=alert(1)>"
    entry = example("watched", trainee=name, trainee_signed=name, page="javascript:alert(1)", title="=1+1")
    page.goto(base + SKILLS)
    give(page, as_json([entry])).get_by_role("button", name="Add them").click()
    expect(page.locator(".fb-skills__list li").first).to_contain_text(name)
    assert page.locator(".fb-skills__grid img").count() == 0
    assert page.locator(".fb-skills__grid a").first.get_attribute("href") == "#"
    assert list(read_file(export(page, "Export as a table (CSV)")).entries) == [entry]
