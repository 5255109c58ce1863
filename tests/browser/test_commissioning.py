"""A machine with four tanks is commissioned on a phone: every tank tested, to a signed and printed sheet."""

from __future__ import annotations

import json

from playwright.sync_api import Page, expect

from calc.record.entry import problems
from calc.record.summary import open_changes
from tests.browser.conftest import hosted_only
from tests.browser.paper import paper
from tests.browser.sheet import entries
from tests.browser.work import Work

COPY = "machines/prairie-four/standing-test.html"
TANKS = ("Tank 1", "Tank 2", "Tank 3", "Tank 4")
CALIBRATION = """[data-calculator="calibration"]"""


def calibrate(page: Page, base: str, tank: str) -> None:
    """Keep a calibration of a tank, with the figures of the example."""
    page.goto(base + "calculators/calibration.html")
    page.get_by_role("button", name="Try the example").click()
    keep = page.locator(f"{CALIBRATION} .fb-to-record")
    expect(keep).to_be_visible()
    keep.locator("input").nth(0).fill(tank)
    keep.locator("input").nth(1).fill("W-26-114")
    keep.locator("button").click()
    expect(keep).to_contain_text("Kept in the record.")


@hosted_only
def test_a_machine_is_commissioned_to_a_signed_sheet(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin(serial="A-1027", place="Yard, north door")
    for tank in TANKS:
        calibrate(page, base, tank)
    page.goto(base + COPY)
    work.go_on()
    steps = page.locator("[data-step]").count()
    outside = 0
    for number in range(steps):
        if number == 60:
            page.reload()
            expect(work.now).to_be_visible()
        if work.asked.count() and not outside:
            work.measure("400 rpm", "Closed the valve, and read it again.")
            outside = 1
        work.measure_all()
        work.now.locator(".fb-key--main").click()
        expect(page.locator(".fb-was:has-text('✓')")).to_have_count(number + 1)
    expect(page.locator(".fb-work .fb-next__said")).to_have_text("All steps of this page are in the record.")
    expect(work.bar).to_contain_text("No temporary change open")

    page.goto(base + "record/index.html")
    form = page.locator(".fb-record__sign form")
    for role, name in (("technician", "R. Field"), ("operator", "O. Acre")):
        form.locator('[name="role"]').select_option(role)
        form.locator('[name="name"]').fill(name)
        form.get_by_role("button", name="Sign").click()
        expect(form.locator(".fb-kept")).to_contain_text("Signed")
    found = entries(page)
    assert len(found) > 300
    assert not [told for one in found for told in problems(one)]
    assert open_changes(found) == []
    assert {one["tank"] for one in found if one["kind"] == "worked"} == set(TANKS)
    for tank in TANKS:
        assert [one for one in found if one["kind"] == "measured" and tank in one["part"]], tank

    sheets = paper(page, format="Letter", print_background=True).pages
    text = "\n".join(one.extract_text() for one in sheets)
    for words in (
        "Prairie Four",
        "A-1027",
        "R. Field, technician",
        "O. Acre, operator",
        "No temporary change is open.",
    ):
        assert words in text
    values = [one for one in found if one["kind"] == "measured"]
    verdicts = [text.count(f"{mark} ") for mark in "✓✗"]
    assert verdicts == [len(values) - 1, 1]
    assert "Closed the valve, and read it again." in " ".join(text.split())
    assert "Sign for the hand-over" not in text
    assert json.dumps(found[0]["build"])[1:-1] in text
