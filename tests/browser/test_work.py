"""Working through a procedure with a record: in order, with its hazards, values, changes and names."""

from __future__ import annotations

import base64
import re
from typing import Literal

import pytest
from playwright.sync_api import Page, expect

from calc.record.entry import problems
from tests.browser.conftest import hosted_only
from tests.browser.looks import looked_at
from tests.browser.sheet import Entry, entries
from tests.browser.work import Work

COPY = "machines/prairie-four/standing-test.html"
PLAIN = "procedures/geometry.html"
RECORD = "record/index.html"
PHOTO = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAgAAAAICAIAAABLbSncAAAAEklEQVR4nGP4z8CAFWEXHbQSACj/P8Fu7N9hAAAAAElFTkSuQmCC"
)  # eight by eight, our own


def record_of(page: Page, base: str) -> list[Entry]:
    page.goto(base + RECORD)
    found = entries(page)
    assert not [told for one in found for told in problems(one)]
    return found


def kinds(found: list[Entry]) -> list[str]:
    return [one["kind"] for one in found]


def test_a_record_is_kept_step_by_step_and_found_again(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin(serial="A-1027", place="Yard")
    expect(page.locator(".fb-hazard.fb-is-now")).to_contain_text("A parked machine can roll away")
    work.done()
    expect(page.locator("li.fb-is-now")).to_contain_text("Put the tractor in park.")
    work.done()
    place = work.place
    page.reload()  # a battery that was changed
    expect(work.now.locator(".fb-next__place")).to_have_text(place)
    expect(page.locator(".fb-was").first).to_contain_text("Read, and met")
    found = record_of(page, base)
    assert kinds(found) == ["begun", "heeded", "done"]
    begun, _, done = found
    assert (begun["machine"], begun["name"], begun["serial"]) == ("prairie-four", "Prairie Four", "A-1027")
    assert (done["says"], done["who"], done["second"]) == (
        "Put the tractor in park.",
        "R. Field",
        "T. Furrow",
    )
    assert (done["page"], done["job"]) == (COPY, begun["job"])


@hosted_only
def test_nothing_can_be_ticked_ahead(page: Page, base: str) -> None:
    page.goto(base + COPY)
    Work(page).begin()
    assert page.locator(".fb-next").count() == 1
    assert page.locator(".fb-is-now").count() == 1
    assert page.locator(".fb-ask:visible").count() == 0


@hosted_only
def test_work_for_two_asks_for_both_names(page: Page, base: str) -> None:
    page.goto(base + COPY)
    page.get_by_role("button", name="Keep a record as you work").click()
    form = page.locator(".fb-work__job")
    form.locator('[name="who"]').fill("R. Field")
    form.get_by_role("button", name="Begin").click()
    expect(form.locator(".fb-summary")).to_contain_text("this work takes two people")
    assert page.locator(".fb-next").count() == 0


def until_asked(work: Work) -> None:
    """Do every step up to the first that asks for a value."""
    for _ in range(120):
        if work.asked.count():
            return
        work.done()
    raise AssertionError("no step asked for a value")


@hosted_only
def test_values_are_judged_and_changes_stay_in_view(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin()
    until_asked(work)
    expect(work.bar).to_contain_text("9 temporary changes open")
    ask = work.asked.first
    work.now.locator(".fb-key--main").click()
    expect(work.now).to_contain_text("Keep the value first.")
    ask.locator('input[name="value"]').fill("1,234")
    ask.get_by_role("button", name="Keep this value").click()
    expect(ask.locator(".fb-error")).to_contain_text("could mean 1234 or 1.234")
    work.measure("2", "Closed the oil valve and read it again.")
    expect(page.locator(".fb-is-now .fb-was")).to_contain_text("2 rpm, OUTSIDE. Closed the oil valve")
    work.done()
    page.goto(base + "lessons/index.html")
    expect(work.bar).to_contain_text("9 temporary changes open")
    work.bar.locator("summary").click()
    expect(work.bar).to_contain_text("Simulated ground speed is on")

    page.goto(base + RECORD)
    expect(page.locator(".fb-record__blocked")).to_contain_text(
        "cannot be signed while a temporary change is open"
    )
    expect(page.get_by_role("button", name="Sign", exact=True)).to_be_disabled()
    [measured] = [one for one in entries(page) if one["kind"] == "measured"]
    assert (measured["value"], measured["high"], measured["verdict"]) == ("2 rpm", "0 rpm", "outside")


@hosted_only
def test_every_entry_can_be_taken_back_and_stays_in_the_record(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin()
    while "2 temporary changes open" not in work.bar.inner_text():
        work.done()
    page.locator(".fb-was").last.get_by_role("button", name="Take back").click()
    expect(work.bar).to_contain_text("No temporary change open")
    expect(page.locator("li.fb-is-now")).to_contain_text("write a container and the outlet of its meter")
    found = record_of(page, base)
    undone = {one["of"] for one in found if one["kind"] == "undone"}
    assert sorted(one["kind"] for one in found if one["id"] in undone) == ["done", "opened", "opened"]
    page.locator(".fb-record__all summary").click()
    expect(page.locator(".fb-record__all")).to_contain_text("taken back")


@hosted_only
def test_notes_photos_and_what_does_not_apply(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin()
    work.done()
    work.more().get_by_role("button", name="Does not apply").click()
    expect(work.now).to_contain_text("Write down why first.")
    work.more().locator("textarea").fill("The <b>left</b> hose is new.")
    work.more().get_by_role("button", name="Keep as a note").click()
    expect(page.locator(".fb-is-now .fb-was")).to_contain_text("“The <b>left</b> hose is new.”")
    file = {"name": "plate.png", "mimeType": "image/png", "buffer": PHOTO}
    work.more().locator('input[type="file"]').set_input_files(file)  # type: ignore[arg-type]
    expect(page.locator(".fb-is-now .fb-was")).to_contain_text("Photo")
    place = work.place
    work.more().locator("textarea").fill("It is a trailer.")
    work.more().get_by_role("button", name="Does not apply").click()
    expect(work.now.locator(".fb-next__place")).not_to_have_text(place)
    found = record_of(page, base)
    assert kinds(found) == ["begun", "heeded", "noted", "pictured", "skipped"]
    assert found[-1]["reason"] == "It is a trailer."
    picture = page.locator(".fb-record__sheet img")
    expect(picture).to_be_visible()
    page.wait_for_function("() => document.querySelector('.fb-record__sheet img').naturalWidth === 8")


@hosted_only
def test_a_reading_from_a_calculator_stands_beside_its_step_and_over_time(page: Page, base: str) -> None:
    page.goto(base + "machines/prairie-four/calibration.html")
    Work(page).begin()
    for mass, lot in (("22.4 lb", "W-1"), ("22.6 lb", "W-2")):
        page.goto(base + "calculators/calibration.html")
        page.get_by_role("button", name="Try the example").click()
        form = page.locator(".fb-form")
        form.locator('[name="catches[1].gross"]').fill(mass)
        keep = page.locator(".fb-to-record")
        expect(keep).to_be_visible()
        keep.locator("input").nth(0).fill("Tank 1")
        keep.locator("input").nth(1).fill(lot)
        keep.get_by_role("button", name="Keep it in the record of Prairie Four").click()
        expect(keep).to_contain_text("Kept in the record.")
    worked = [one for one in record_of(page, base) if one["kind"] == "worked"]
    assert [one["lot"] for one in worked] == ["W-1", "W-2"]
    assert worked[0]["tank"] == "Tank 1"
    assert worked[0]["results"]["mass_per_turn"] != worked[1]["results"]["mass_per_turn"]
    page.goto(base + "record/history.html")
    series = page.locator(".fb-history__series")
    expect(series.locator("h3").first).to_have_text("Mass per turn, Tank 1")
    expect(series.locator("svg circle")).to_have_count(2)
    expect(series.locator("svg")).to_contain_text("W-2")


@hosted_only
def test_a_job_is_signed_once_nothing_is_open(page: Page, base: str) -> None:
    page.goto(base + PLAIN)
    work = Work(page)
    work.begin(name="Trial One")
    work.done()
    page.goto(base + RECORD)
    sign = page.locator(".fb-record__sign form")
    sign.get_by_role("button", name="Sign").click()
    expect(sign.locator(".fb-summary")).to_contain_text("As: this is needed; write it like operator.")
    for role, name in (("technician", "R. Field"), ("operator", "O. Acre")):
        sign.locator('[name="role"]').select_option(role)
        sign.locator('[name="name"]').fill(name)
        sign.get_by_role("button", name="Sign").click()
        expect(sign.locator(".fb-kept")).to_contain_text("Signed, and kept on this device.")
    expect(page.locator(".fb-record__signed")).to_contain_text(
        re.compile("R. Field, technician.*O. Acre, operator", re.S)
    )
    assert kinds(entries(page))[-2:] == ["signed", "signed"]
    page.locator(".fb-record__all summary").click()
    page.locator(".fb-record__all li").last.get_by_role("button", name="Take back").click()
    expect(page.locator(".fb-record__signed")).not_to_contain_text("O. Acre")
    assert kinds(entries(page))[-3:] == ["signed", "signed", "undone"]
    page.get_by_role("button", name="Put this job away").click()
    expect(work.bar).to_have_count(0)
    page.get_by_role("button", name="Go on with this job").click()
    expect(work.bar).to_contain_text("Trial One")


@hosted_only
@pytest.mark.parametrize("name", ["begun", "another"])
def test_a_job_is_gone_on_with_or_another_begun(page: Page, base: str, name: str) -> None:
    page.goto(base + PLAIN)
    work = Work(page)
    work.begin(name="Trial One")
    page.goto(base + RECORD)
    page.get_by_role("button", name="Put this job away").click()
    page.goto(base + COPY)
    page.get_by_role("button", name="Keep a record as you work").click()
    form = page.locator(".fb-work__job")
    for field in ("who", "second"):
        form.locator(f'[name="{field}"]').fill("X. Y")
    if name == "begun":
        form.locator("select").select_option(index=1)
    form.get_by_role("button", name="Begin").click()
    expect(work.now).to_be_visible()
    expect(work.bar).to_contain_text("Trial One" if name == "begun" else "Prairie Four")
    assert kinds(record_of(page, base)).count("begun") == (1 if name == "begun" else 2)


@hosted_only
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_wrong_in_a_record(
    page: Page, base: str, axe: str, scheme: Literal["light", "dark"]
) -> None:
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    page.goto(base + COPY)
    work = Work(page)
    page.get_by_role("button", name="Keep a record as you work").click()
    assert looked_at(page, axe, within=".fb-procedure") == []
    page.reload()
    work.begin()
    until_asked(work)
    work.measure("2", "Closed the oil valve.")
    work.done()
    work.more()
    assert looked_at(page, axe, within=".fb-procedure") == []
    assert looked_at(page, axe, within=".fb-job") == []
    page.goto(base + RECORD)
    expect(page.locator(".fb-record__head")).to_be_visible()
    assert looked_at(page, axe, within="main") == []


@hosted_only
def test_keys_of_a_record_are_large_enough_for_a_glove(page: Page, base: str) -> None:
    page.goto(base + COPY)
    work = Work(page)
    work.begin()
    work.done()
    work.more()
    for box in [one.bounding_box() for one in page.locator(".fb-next .fb-key:visible").all()]:
        assert box
        assert box["height"] >= 44
    main = work.now.locator(".fb-key--main").bounding_box()
    assert main
    assert main["height"] >= 57
