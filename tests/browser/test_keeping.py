"""The record is kept through whatever happens to a device, and takes only what is right from a file.

Sources: the entries as the page showed them kept; `calc.record` natively, itself tested against `jsonschema`.
"""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from calc.record.files import as_json, read_file
from handbook.chromium import FLAGS
from tests.browser.conftest import PATIENCE, Watch, hosted_only
from tests.browser.sheet import entries, give
from tests.browser.work import Work
from tests.calculators.record_entries import example, hostile

RECORD = "record/index.html"
PROCEDURE = "procedures/geometry.html"
COUNT = "async () => (await window.furrowbook.record.texts()).length"
TEXTS = "async () => window.furrowbook.record.texts()"
MOMENTS = 50
NOTE = {"kind": "noted", "who": "R. Field", "job": "10000000-0000-4000-8000-000000000000", "note": "x"}


# --- the process is killed ---


class Phone:
    """A browser of its own, with a profile that outlives it."""

    def __init__(self, playwright: Playwright, profile: Path) -> None:
        self.playwright = playwright
        self.profile = profile
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> Page:
        port_file = self.profile / "DevToolsActivePort"
        port_file.unlink(missing_ok=True)
        command = [os.environ["FURROWBOOK_BROWSER"], *FLAGS, "--headless=new", "--remote-debugging-port=0"]
        self.process = subprocess.Popen(
            [*command, f"--user-data-dir={self.profile}", "--no-first-run", "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        deadline = time.monotonic() + 60
        while not (port_file.is_file() and port_file.read_text().count("\n")):
            assert time.monotonic() < deadline, "the browser did not start"
            time.sleep(0.02)
        port = port_file.read_text().split("\n")[0]
        browser = self.playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        page = browser.contexts[0].new_page()
        page.set_default_timeout(PATIENCE)
        return page

    def kill(self) -> None:
        """Nothing is told, and nothing can be finished."""
        assert self.process
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


BUSY = """
    () => {
        window.kept = [];
        window.began = 0;
        const go = async () => {
            for (;;) {
                window.began += 1;
                const note = `entry ${window.began} ${"x".repeat(300)}`;
                const entry = await window.furrowbook.record.add(
                    { kind: "noted", who: "R. Field", job: "10000000-0000-4000-8000-000000000000", note });
                window.kept.push(entry.id);
            }
        };
        go();
    }
"""


def test_what_was_shown_as_kept_is_there_after_the_browser_was_killed(
    playwright: Playwright, hosted: str, tmp_path: Path
) -> None:
    chance = random.Random("killed")
    phone = Phone(playwright, tmp_path / "profile")
    known: set[str] = set()
    for _ in range(MOMENTS):
        page = phone.start()
        page.goto(hosted + RECORD)
        texts = page.evaluate(TEXTS)
        assert page.evaluate("() => window.furrowbook.record.trouble") == ""
        found = read_file('{"format":1,"entries":[' + ",".join(texts) + "]}")
        assert not found.refused  # no half entry
        assert len(found.entries) == len(texts)
        assert known <= {one["id"] for one in found.entries}
        page.evaluate(BUSY)
        page.wait_for_function("() => window.kept.length > 0")
        time.sleep(chance.random() * 0.4)
        known |= set(page.evaluate("() => window.kept"))
        phone.kill()
    assert len(known) > MOMENTS


# --- files ---


def test_hostile_files_change_nothing(watch: Watch, base: str) -> None:
    page = watch.page
    page.goto(base + RECORD)
    own = example("noted", note="Mine.")
    give(page, as_json([own])).get_by_role("button", name="Add them").click()
    expect(page.locator(".fb-files__found p")).to_have_text("Added: 1 entry.")
    before = page.evaluate(TEXTS)
    files = hostile()
    assert len(files) >= 200
    told = page.evaluate(
        """async (files) => {
            const told = {};
            for (const [what, file] of Object.entries(files)) {
                const asked = window.furrowbook.record.ask({ record: "read", file });
                const found = await asked.catch((error) => error);
                told[what] = [found.entries?.length ?? 0, (found.errors ?? found.refused ?? []).length];
            }
            return told;
        }""",
        {what: text for what, text in files.items() if "\ud800" not in text},
    )
    assert {what: one for what, one in told.items() if one[0] or not one[1]} == {}
    assert page.evaluate(TEXTS) == before


@hosted_only
@pytest.mark.parametrize(
    "what", ["html", "deep lists", "newer", "verdict made up", "csv open quote", "binary"]
)
def test_a_hostile_file_is_told_of_by_the_page(page: Page, base: str, what: str) -> None:
    page.goto(base + RECORD)
    text = "\ud800" if what == "binary" else hostile()[what]
    found = give(page, text)
    expect(found.locator("p")).to_have_text(
        "The file adds nothing that is not here already."
        if what == "verdict made up"
        else "The file could not be read."
    )
    assert found.locator("li").count() == 1
    expect(found.get_by_role("button", name="Add them")).to_be_hidden()
    assert page.evaluate(COUNT) == 0


@hosted_only
def test_two_devices_merge_to_the_same_bytes_in_any_order(page: Page, base: str) -> None:
    chance = random.Random("merged")
    found = [
        example("noted", id=f"{number:08d}-0000-4000-8000-000000000000", note=f"Note {number % 7}.")
        for number in range(60)
    ]
    found += [{**one, "note": "Another device says so."} for one in found[:5]]  # one number, other content
    page.goto(base + RECORD)
    for _ in range(6):
        page.evaluate(
            """async () => {
                const { database } = await window.furrowbook.record.ready();
                await database.clear("entries");
            }"""
        )
        parts: list[list[Any]] = [[], [], []]
        for one in [*found, *chance.sample(found, 30)]:
            chance.choice(parts).append(one)
        for part in parts:
            chance.shuffle(part)
        texts = [[json.dumps(one) for one in part] for part in parts]
        made = page.evaluate(
            """async (parts) => {
                const { record } = window.furrowbook;
                for (const part of parts) {
                    const file = `{"format":1,"entries":[${part.join(",")}]}`;
                    await record.addTexts((await record.ask({ record: "read", file })).entries);
                }
                const request = { record: "write", as: "json", entries: await record.texts() };
                return (await record.ask(request)).file;
            }""",
            texts,
        )
        assert made == as_json(found)


# --- the device ---


@hosted_only
def test_two_pages_make_no_number_twice_and_see_each_others_entries(
    context: BrowserContext, page: Page, base: str
) -> None:
    other = context.new_page()
    ids = """async () => {
        const { record } = window.furrowbook;
        const entry = { kind: "noted", who: "R. Field", job: record.newId(), note: "x" };
        const made = [];
        for (let count = 0; count < 40; count += 1) made.push((await record.add(entry)).id, record.newId());
        return made;
    }"""
    for one in (page, other):
        one.goto(base + RECORD)
    made = [*page.evaluate(ids), *other.evaluate(ids)]
    assert len(set(made)) == len(made) == 160
    expect(page.locator(".fb-files__kept")).to_contain_text("80 entries kept on this device")
    assert page.evaluate(COUNT) == 80
    other.close()


@hosted_only
def test_a_page_without_a_secure_address_makes_numbers_too(page: Page, base: str) -> None:
    page.add_init_script("Object.defineProperty(crypto, 'randomUUID', { value: undefined });")
    page.goto(base + RECORD)
    made = page.evaluate("() => Array.from({ length: 200 }, () => window.furrowbook.record.newId())")
    assert len(set(made)) == 200
    page.evaluate("entry => window.furrowbook.record.add(entry)", {**NOTE, "job": made[0]})
    assert page.evaluate(COUNT) == 1


@hosted_only
def test_a_full_device_says_so_and_keeps_nothing_half(page: Page, base: str) -> None:
    page.goto(base + PROCEDURE)
    work = Work(page)
    work.begin(name="Trial One")
    before = page.evaluate(COUNT)
    page.evaluate(
        """() => {
            const add = IDBObjectStore.prototype.add;
            IDBObjectStore.prototype.add = function (...given) {
                if (window.full) throw new DOMException("no room", "QuotaExceededError");
                return add.apply(this, given);
            };
            window.full = true;
        }"""
    )
    work.now.locator(".fb-key--main").click()
    expect(work.now).to_contain_text("There is no room left on this device, and this entry is not kept.")
    assert page.evaluate(COUNT) == before
    page.evaluate("() => { window.full = false; }")
    work.done()
    assert page.evaluate(COUNT) > before


@hosted_only
def test_where_nothing_is_kept_the_page_says_so_and_still_exports(page: Page, base: str) -> None:
    page.add_init_script("indexedDB.open = () => { throw new DOMException('no', 'SecurityError'); };")
    page.goto(base + RECORD)
    kept = page.locator(".fb-files__kept")
    expect(kept).to_contain_text("This browser keeps nothing from this page")
    expect(kept).to_contain_text("Export it before you leave.")
    give(page, as_json([example("noted")])).get_by_role("button", name="Add them").click()
    expect(page.locator(".fb-files__found p")).to_have_text("Added: 1 entry.")
    assert entries(page) == [example("noted")]


@hosted_only
def test_where_nothing_is_kept_work_says_so_before_it_begins_and_on_every_page(page: Page, base: str) -> None:
    page.add_init_script("indexedDB.open = () => { throw new DOMException('no', 'SecurityError'); };")
    page.goto(base + PROCEDURE)
    page.get_by_role("button", name="Keep a record as you work").click()
    lost = page.locator(".fb-work__lost")
    expect(lost).to_contain_text("This browser keeps nothing from this page")
    expect(lost).to_contain_text("Work from paper.")
    page.reload()
    work = Work(page)
    work.begin(name="Trial One")
    expect(work.bar).to_contain_text("Nothing is kept: work from paper")
    page.goto(base + "index.html")
    expect(work.bar).to_contain_text("Nothing is kept: work from paper")
    expect(work.bar).not_to_contain_text("No temporary change open")


UNOPENED = """(() => {
    const open = IDBFactory.prototype.open;
    window.tries = 0;
    IDBFactory.prototype.open = function (...given) {
        window.tries += 1;
        if (window.tries <= %d) throw new DOMException("Internal error", "UnknownError");
        return open.apply(this, given);
    };
})();"""


@hosted_only
def test_a_record_that_does_not_open_at_first_is_tried_again(page: Page, base: str) -> None:
    page.goto(base + RECORD)
    page.evaluate("entry => window.furrowbook.record.add(entry)", {**NOTE, "note": "Old."})
    page.add_init_script(UNOPENED % 3)
    page.reload()
    expect(page.locator(".fb-files__kept")).to_contain_text("1 entry kept on this device")
    assert page.evaluate("() => [window.tries, window.furrowbook.record.trouble]") == [4, ""]


@hosted_only
def test_a_record_that_stays_shut_is_not_told_to_be_empty(page: Page, base: str) -> None:
    page.add_init_script(UNOPENED % 99)
    page.goto(base + RECORD)
    kept = page.locator(".fb-files__kept")
    expect(kept).to_contain_text("The browser did not open the record that it keeps here.")
    expect(kept).not_to_contain_text("Nothing is kept")
    give(page, as_json([example("noted")])).get_by_role("button", name="Add them").click()
    assert entries(page) == [example("noted")]


MAKE = """(version) => new Promise((done, failed) => {
    const asked = indexedDB.open("furrowbook.Furrowbook.record", version);
    asked.onsuccess = () => { asked.result.close(); done(); };
    asked.onerror = () => failed(asked.error);
})"""


@hosted_only
def test_a_record_of_a_newer_build_is_shown_and_not_added_to(page: Page, base: str) -> None:
    page.goto(base + RECORD)
    page.evaluate("entry => window.furrowbook.record.add(entry)", {**NOTE, "note": "Old."})
    page.goto(base + "licences.html")
    page.evaluate(MAKE, 99)
    page.goto(base + RECORD)
    expect(page.locator(".fb-files__kept")).to_contain_text(
        "A newer build of this book has kept a record here."
    )
    assert [one["note"] for one in entries(page)] == ["Old."]
    give(page, as_json([example("noted")])).get_by_role("button", name="Add them").click()
    expect(page.locator(".fb-files__found p")).to_contain_text("adds nothing to it")
    assert page.evaluate(COUNT) == 1


@hosted_only
def test_a_page_that_a_newer_build_overtakes_says_so(context: BrowserContext, page: Page, base: str) -> None:
    page.goto(base + RECORD)
    expect(page.locator(".fb-files__kept")).to_contain_text("Nothing is kept")
    other = context.new_page()
    other.goto(base + "404.html")
    other.evaluate(MAKE, 99)
    expect(page.locator(".fb-files__kept")).to_contain_text("Another page has renewed the record.")
    other.close()


@hosted_only
def test_it_reminds_of_the_export(page: Page, base: str) -> None:
    page.goto(base + RECORD)
    page.evaluate("entry => window.furrowbook.record.add(entry)", NOTE)
    kept = page.locator(".fb-files__kept")
    expect(kept).to_contain_text("Never exported yet. Export it now: a lost phone takes it along.")
    entries(page)
    expect(kept).to_contain_text("Last exported on")
    expect(kept).not_to_contain_text("Export it now")
    page.evaluate(
        "() => localStorage.setItem('furrowbook.Furrowbook.record.exported', '2020-01-01T00:00:00.000Z')"
    )
    page.reload()
    expect(kept).to_contain_text("Export it now")


def test_from_a_folder_the_page_asks_for_an_export(page: Page, base: str) -> None:
    page.goto(base + RECORD)
    kept = page.locator(".fb-files__kept")
    if base.startswith("file:"):
        expect(kept).to_contain_text("From a folder, the browser may drop what it keeps.")
    else:
        expect(kept).to_have_text("Nothing is kept on this device yet.")
