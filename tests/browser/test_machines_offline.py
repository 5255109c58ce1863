"""A book of many machines: a device keeps what all share and its reader's machine, for use without signal."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import PATIENCE
from tests.browser.unsteady import Host, hosting, missing, phase, renewed, said, trouble

BUILD, NEXT = "aaaaaaaaaaaa", "bbbbbbbbbbbb"
KEPT = """async () => {
    const found = [];
    for (const name of (await caches.keys()).sort()) {
        const urls = (await (await caches.open(name)).keys()).map(({ url }) => url);
        found.push(urls.map((url) => /machines\\/([\\w-]+)\\//.exec(url)?.[1] ?? "").filter(Boolean));
    }
    return found;
}"""


@pytest.fixture(scope="module")
def many(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book as it would be with more machines than a device should keep."""
    return renewed(site, tmp_path_factory.mktemp("many"), BUILD, all_machines=0)


@pytest.fixture
def host(many: Path) -> Iterator[Host]:
    with hosting(many) as running:
        yield running


@pytest.fixture
def reader(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield context
    context.close()


def stored(reader: BrowserContext, host: Host) -> Page:
    """A page of a reader who has opened the book and chosen nothing."""
    page = reader.new_page()
    page.goto(host.address + "machines/index.html")
    phase(page, "stored")
    return page


def machines(page: Page) -> list[set[str]]:
    """Of which machines something is kept, build by build."""
    return [set(one) for one in page.evaluate(KEPT)]


def soon(page: Page, wanted: list[set[str]], least: int = 1) -> None:
    """Wait until of these machines something is kept, and of the last build so many files."""
    until = time.monotonic() + PATIENCE / 1000
    while machines(page) != wanted or len(page.evaluate(KEPT)[-1]) < least:
        assert time.monotonic() < until, f"kept of machines: {machines(page)}"
        page.wait_for_timeout(100)


def choose(page: Page, id: str) -> None:
    page.locator(f'[data-use-machine="{id}"] button').click()
    soon(page, [{id}])


def test_the_machine_that_is_chosen_is_kept_and_no_other(reader: BrowserContext, host: Host) -> None:
    page = stored(reader, host)
    assert machines(page) == [set()]
    before = said(page)
    choose(page, "ridge-mixed")
    page.wait_for_function(
        "before => document.querySelector(\"footer [data-offline='line']\").innerText !== before", arg=before
    )
    assert "Stored for use without signal" in said(page)
    assert machines(page) == [{"ridge-mixed"}]
    host.stop()
    for name in ("index", "readings", "tanks", "card", "liquid", "ammonia", "standing-test", "calibration"):
        reply = page.goto(f"{host.address}machines/ridge-mixed/{name}.html")
        assert reply
        assert (reply.status, reply.from_service_worker) == (200, True), name
        assert "Ridge Mixed" in page.locator("h1").inner_text()
    page.goto(host.address + "calculators/rate.html")
    expect(page.locator(".fb-from-machine")).to_contain_text("Ridge Mixed")
    reply = page.goto(f"{host.address}machines/marsh-two/index.html")
    assert reply
    assert reply.status == 503
    expect(page.get_by_text("It belongs to a machine that is not chosen here.")).to_be_visible()
    page.get_by_role("link", name="Go to the first page of the book").click()
    assert page.locator("h1").inner_text() != ""


def test_with_signal_every_machine_can_be_looked_at(reader: BrowserContext, host: Host) -> None:
    page = stored(reader, host)
    reply = page.goto(f"{host.address}machines/marsh-two/readings.html")
    assert reply
    assert reply.status == 200
    assert "Marsh Two" in page.locator("h1").inner_text()


def test_a_new_build_brings_the_chosen_machine_too(
    reader: BrowserContext, host: Host, site: Path, tmp_path: Path
) -> None:
    page = stored(reader, host)
    choose(page, "prairie-four")
    host.site = renewed(site, tmp_path / "next", NEXT, all_machines=0)
    page.goto(host.address + "index.html")
    phase(page, "newer")
    assert machines(page) == [{"prairie-four"}, {"prairie-four"}]


def test_a_file_of_the_machine_that_does_not_come_is_said_and_the_rest_stays(
    reader: BrowserContext, host: Host
) -> None:
    page = stored(reader, host)
    host.faults["machines/marsh-two/readings.html"] = missing
    page.locator('[data-use-machine="marsh-two"] button').click()
    assert trouble(page) == "refused"
    assert "Stored for use without signal" in said(page)
    host.faults.clear()
    page.goto(host.address + "index.html")
    soon(page, [{"marsh-two"}], least=7)
