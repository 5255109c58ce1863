"""The preview in a browser: a change shows by itself, a mistake is listed and the last good page stays."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from handbook.copying import PROGRAMS, copy_book, copy_engine, previewed
from tests.browser.conftest import PATIENCE as USUAL

PATIENCE = 3 * USUAL  # each change is a build

LESSON = "docs/lessons/rate.md"
SHEET = "docs/machines/prairie-four.yml"
WORDS = "The machine cannot see the rate."


@dataclass
class Writing:
    """A copy of the book that is being written, and where it shows."""

    folder: Path
    address: str

    def change(self, file: str, old: str, new: str) -> int:
        """Write something in place of something else; the line it stands on."""
        path = self.folder / file
        text = path.read_text("utf-8")
        assert text.count(old) == 1, old
        path.write_text(text.replace(old, new), encoding="utf-8", newline="\n")
        return text[: text.index(old)].count("\n") + 1


@pytest.fixture(scope="module")
def writing(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Writing]:
    folder = copy_book(root, tmp_path_factory.mktemp("writing") / "a folder é", *PROGRAMS)
    copy_engine(root, folder)
    with previewed(folder) as (address, process):
        yield Writing(folder, address)
        process.terminate()
        assert process.stderr
        said = process.stderr.read()
        assert process.wait(PATIENCE / 1000) == 0
    assert said.endswith("Stopped.\n")
    assert "Traceback" not in said


@pytest.fixture(autouse=True)
def patient() -> Iterator[None]:
    """A build takes its time on a machine that is busy."""
    expect.set_options(timeout=PATIENCE)
    yield
    expect.set_options(timeout=USUAL)


def test_what_is_written_shows_and_a_mistake_is_listed(context: BrowserContext, writing: Writing) -> None:
    page: Page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(writing.address + "lessons/rate.html")
    panel = page.locator(".fb-preview")
    text = page.locator("article")
    expect(text).to_contain_text(WORDS)
    expect(panel).to_be_empty()

    page.evaluate("scrollTo(0, 600)")
    line = writing.change(LESSON, WORDS, "The machine is blind to the rate.")
    expect(text).to_contain_text("The machine is blind to the rate.")
    expect(panel).to_be_empty()
    # The reader's place is kept; the list above the page may add its own height.
    page.wait_for_function("() => scrollY > 300")

    # What can be shown is shown, and what is to be mended is listed.
    writing.change(LESSON, "The machine is blind to the rate.", "The machine sees it as required.")
    expect(text).to_contain_text("The machine sees it as required.")
    expect(panel.get_by_role("heading")).to_have_text("1 thing to mend")
    expect(panel).to_contain_text(f"{LESSON}:{line}: “as required” says too little; say when, or how much")

    # What cannot be shown leaves the last good page.
    writing.change(LESSON, "The machine sees it as required.", "It is `5 mhp`{.q} fast.")
    expect(panel.get_by_role("heading")).to_have_text("1 mistake: this page shows the last good book")
    expect(panel).to_contain_text(f"{LESSON}:{line}: ")
    expect(text).to_contain_text("The machine sees it as required.")

    # A page that is opened now says so at once, and so does one that is not there.
    other = context.new_page()
    other.goto(writing.address + "lessons/no-such-page.html")
    expect(other.locator(".fb-preview").get_by_role("heading")).to_have_text(re.compile("^1 mistake: "))
    other.close()

    writing.change(LESSON, "It is `5 mhp`{.q} fast.", WORDS)
    expect(text).to_contain_text(WORDS)
    expect(panel).to_be_empty()
    page.close()


def test_a_figure_of_a_machine_goes_wherever_it_is_used(context: BrowserContext, writing: Writing) -> None:
    page: Page = context.new_page()
    page.set_default_timeout(PATIENCE)
    with page.expect_request("**/events?*") as listening:  # a page says which it is, so that it comes first
        page.goto(writing.address + "machines/prairie-four/standing-test.html")
    assert listening.value.url.endswith("?page=%2Fmachines%2Fprairie-four%2Fstanding-test.html")
    figures = page.locator(".fb-figures").first
    before = figures.inner_text()
    assert "rpm" in before
    writing.change(SHEET, "planned: 5 mph", "planned: 5.5 mph")
    expect(figures).not_to_have_text(before, use_inner_text=True)
    expect(page.locator(".fb-preview")).to_be_empty()
    page.close()


def test_a_worker_that_stored_the_book_from_this_address_goes(
    storing: BrowserContext, writing: Writing
) -> None:
    # A browser that knows a worker asks for its program again by itself; here it is asked to take it at once.
    page = storing.new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(writing.address + "lessons/no-such-page.html")
    page.evaluate("async () => { await navigator.serviceWorker.register('/service-worker.js'); }")
    page.wait_for_function("async () => (await navigator.serviceWorker.getRegistrations()).length === 0")
    page.close()
