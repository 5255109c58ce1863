"""After one visit the host is gone, and the whole book works: pages, search, every calculator."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from calc.declare import catalogue
from tests.browser.conftest import Watch
from tests.browser.form import Form, native_results, same
from tests.browser.sheet import Sheet, entries
from tests.browser.test_practice import pass_all
from tests.browser.test_search import search
from tests.browser.unsteady import Host, build_of, devtools, hosting, kept_whole, listed, phase, said

REST = "() => ['idle', 'ready'].includes(window.furrowbook?.engine?.state ?? 'idle')"
ENGINE_MOST = 12_000_000  # bytes
BOOK_MOST = 20_000_000


@pytest.fixture(scope="module")
def host(site: Path) -> Iterator[Host]:
    with hosting(site) as running:
        yield running


@pytest.fixture(scope="module")
def reader(browser: Browser, host: Host) -> Iterator[BrowserContext]:
    """A phone that has opened one page of the book, and whose signal is gone since."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(host.address + "lessons/index.html")
    phase(page, "stored")
    page.close()
    host.stop()
    yield context
    context.close()


@pytest.fixture
def page(reader: BrowserContext, host: Host) -> Iterator[Page]:
    watch = Watch(reader.new_page(), origin=host.address)
    yield watch.page
    watch.check()
    watch.page.close()


def test_every_page_opens(page: Page, host: Host, site: Path) -> None:
    """By going there; the pages of machines that are made like those of another only by asking for them."""
    pages = [path for path in listed(site) if path.endswith(".html") and path != "404.html"]
    assert len(pages) > 15
    alike = [path for path in pages if path.startswith(("machines/marsh-two/", "machines/prairie-four/"))]
    assert len(alike) > 20
    page.goto(host.address + "index.html")
    found = page.evaluate(
        """async (paths) => Promise.all(paths.map(async (path) => {
            const reply = await fetch(new URL(path, location.href));
            return [path, reply.status, (await reply.text()).includes("<h1")];
        }))""",
        alike,
    )
    assert [one for one in found if one[1:] != [200, True]] == []
    for path in sorted(set(pages) - set(alike)):
        reply = page.goto(host.address + path, wait_until="domcontentloaded")
        assert reply
        assert reply.from_service_worker, path
        assert reply.status == 200, path
        assert page.locator("h1").inner_text().strip(), path
    page.wait_for_function(REST)


def test_an_address_that_ends_in_a_folder_opens_its_first_page(page: Page, host: Host) -> None:
    for folder in ("", "calculators/"):
        page.goto(host.address + folder)
        assert page.locator("h1").count() == 1


def test_the_search_finds_what_was_never_visited(page: Page, host: Host) -> None:
    page.goto(host.address + "index.html")
    found = search(page, "standing test")
    path = f"{host.address}procedures/standing-test.html"
    found.and_(page.locator(f'[href^="{path}"]')).first.click()
    page.wait_for_url(lambda address: address.startswith(path))
    assert page.locator("h1").inner_text() == "Standing test"


@pytest.mark.parametrize("name", catalogue())
def test_every_calculator_answers(page: Page, host: Host, name: str) -> None:
    page.goto(f"{host.address}calculators/{name}.html")
    form = Form(page, name)
    form.button("Try the example").click()
    same(form.results(), native_results(name, catalogue()[name].example))


def test_the_page_says_what_is_stored(page: Page, host: Host, site: Path) -> None:
    megabytes = sum(listed(site).values()) / 1e6
    date = json.loads((site / "offline.json").read_text("utf-8"))["date"]
    page.goto(host.address + "index.html")
    phase(page, "stored")
    sentence = f"Stored for use without signal: build {build_of(site)} of {date}, {megabytes:.1f} MB."
    assert said(page) == sentence
    assert page.locator("[data-offline='word']").inner_text() == "Stored"
    page.locator("[data-offline='word']").click()
    page.wait_for_url("**/reference/stored.html")
    page.locator("[data-offline='all']", has_text=sentence).wait_for()


def test_a_new_hire_practises_to_mastery_and_a_trainer_signs_for_what_was_watched(
    page: Page, host: Host
) -> None:
    page.goto(f"{host.address}lessons/rate.html")
    pass_all(page)
    expect(page.locator(".fb-practice-score")).to_contain_text("Passed")
    page.goto(f"{host.address}procedures/calibration.html")
    sheet = Sheet(page)
    sheet.mark()
    sheet.level("3 alone")
    sheet.write()
    sheet.sign_by_hand()
    sheet.keep()
    page.locator(".fb-kept a").click()
    expect(page.locator(".fb-skills__list li").first).to_contain_text("T. Furrow")
    [kept] = entries(page)
    assert (kept["title"], kept["level"], kept["build"]) == (
        "Calibrate the meters",
        "3",
        build_of(host.site),
    )


# --- what is kept ----------------------------------------------------------------------------------------


def test_everything_is_kept_and_nothing_that_only_a_folder_needs(page: Page, host: Host, site: Path) -> None:
    page.goto(host.address + "index.html")
    assert kept_whole(page) == [build_of(site)]
    on_disk = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    for_a_folder = {path for path in on_disk if path.startswith("assets/engine/folder/")}
    assert for_a_folder
    aside = {"offline.json", "service-worker.js", "search/search_index.js"}
    assert set(listed(site)) == on_disk - for_a_folder - aside


def test_what_is_kept_is_light(page: Page, host: Host) -> None:
    """By the bodies that lie in the cache, not by the list."""
    page.goto(host.address + "index.html")
    sizes: dict[str, int] = page.evaluate(
        """async () => {
            const sizes = {};
            for (const name of await caches.keys()) {
                const cache = await caches.open(name);
                for (const request of await cache.keys()) {
                    const reply = await cache.match(request);
                    sizes[request.url] = (await reply.arrayBuffer()).byteLength;
                }
            }
            return sizes;
        }"""
    )
    engine = sum(size for url, size in sizes.items() if "/assets/engine/" in url)
    assert 5_000_000 < engine <= ENGINE_MOST
    assert engine < sum(sizes.values()) <= BOOK_MOST


# --- taking it away, and installing ----------------------------------------------------------------------


def test_the_reader_takes_it_away_and_brings_it_back(browser: Browser, site: Path) -> None:
    context = browser.new_context()
    with hosting(site) as host:
        page = context.new_page()
        page.goto(host.address + "reference/stored.html")
        phase(page, "stored")
        page.get_by_role("button", name="Take it off this device").click()
        page.wait_for_function("async () => (await caches.keys()).length === 0")
        page.wait_for_function("async () => (await navigator.serviceWorker.getRegistrations()).length === 0")
        host.asked.clear()
        page.goto(host.address + "reference/stored.html")
        phase(page, "declined")
        page.wait_for_timeout(500)
        assert page.evaluate("async () => (await caches.keys()).length") == 0
        assert "offline.json" not in host.asked
        page.get_by_role("button", name="Store the book on this device").first.click()
        phase(page, "stored")
        assert kept_whole(page) == [build_of(site)]
    context.close()


def test_the_browser_is_asked_to_keep_it_and_not_before_the_reader_says_so(
    browser: Browser, site: Path
) -> None:
    context = browser.new_context()
    with hosting(site) as host:
        page = context.new_page()
        # What a browser decides is its own affair; here it grants what it is asked for.
        page.add_init_script(
            """window.asked = 0;
            navigator.storage.persisted = async () => window.asked > 0;
            navigator.storage.persist = async () => { window.asked += 1; return true; };"""
        )
        page.goto(host.address + "reference/stored.html")
        phase(page, "stored")
        box = page.locator("[data-offline='all']")
        box.filter(has_text="The browser may take it away").wait_for()
        assert page.evaluate("() => window.asked") == 0
        box.get_by_role("button", name="Ask the browser to keep it").click()
        box.filter(has_text="The browser has promised to keep it").wait_for()
        assert page.evaluate("() => window.asked") == 1
        assert box.get_by_role("button", name="Ask the browser to keep it").count() == 0
    context.close()


def test_it_can_be_put_among_the_apps(browser: Browser, site: Path) -> None:
    """By the browser's own judgement (Chrome DevTools Protocol, Page.getInstallabilityErrors)."""
    context = browser.new_context()
    with hosting(site) as host:
        page = context.new_page()
        page.goto(host.address + "calculators/rate.html")
        phase(page, "stored")
        session = devtools(page)
        manifest = session.send("Page.getAppManifest")
        assert manifest["url"] == host.address + "manifest.webmanifest"
        assert manifest["errors"] == []
        errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
        # A profile that is thrown away may never install anything.
        assert [one["errorId"] for one in errors if one["errorId"] != "in-incognito"] == []
        made = json.loads(manifest["data"])
        assert made["start_url"] == "./index.html"
        for icon in made["icons"]:
            reply = page.request.get(host.address + icon["src"])
            assert reply.ok
            if icon["type"] == "image/png":
                width = int.from_bytes(reply.body()[16:20], "big")  # PNG, section 11.2.2
                assert icon["sizes"] == f"{width}x{width}"
    context.close()


# Each icon, and how large the mark is drawn on it: a system may cut one into a circle, or round its corners.
ICONS = {"icon-180": 0.82, "icon-192": 1, "icon-512": 1, "icon-maskable-512": 0.66}


def test_every_icon_is_known(root: Path) -> None:
    icons = root / "scripts" / "handbook" / "web" / "theme" / "assets" / "icons"
    assert {path.stem for path in icons.iterdir()} == set(ICONS)


@pytest.mark.parametrize("name", ICONS)
def test_the_icon_is_the_mark(browser: Browser, root: Path, name: str) -> None:
    """Both are drawn by the browser on the same ground and compared point by point."""
    assets = root / "scripts" / "handbook" / "web" / "theme" / "assets"
    addresses = [
        f"data:{kind};base64,{base64.b64encode((assets / file).read_bytes()).decode()}"
        for kind, file in (("image/svg+xml", "furrowbook-mark.svg"), ("image/png", f"icons/{name}.png"))
    ]
    page = browser.new_page()
    found = page.evaluate(
        """async ([mark, icon, share]) => {
            const loaded = async (address) => {
                const image = new Image();
                image.src = address;
                await image.decode();
                return image;
            };
            const [wanted, made] = [await loaded(mark), await loaded(icon)];
            const size = made.naturalWidth;
            const points = (image, side) => {
                const canvas = Object.assign(document.createElement("canvas"), { width: size, height: size });
                const pen = canvas.getContext("2d");
                pen.fillStyle = "#fff";
                pen.fillRect(0, 0, size, size);
                pen.drawImage(image, (size - side) / 2, (size - side) / 2, side, side);
                return pen.getImageData(0, 0, size, size).data;
            };
            const [first, second] = [points(wanted, size * share), points(made, size)];
            const apart = first.reduce((all, one, at) => all + Math.abs(one - second[at]), 0);
            return { drawn: first.filter((one) => one < 128).length, apart: apart / first.length };
        }""",
        [*addresses, ICONS[name]],
    )
    page.close()
    assert found["drawn"] > 1000
    assert found["apart"] < 1  # of 255


def test_a_page_in_a_folder_needs_no_storing(context: BrowserContext, site: Path) -> None:
    watch = Watch(context.new_page(), origin="file://")
    watch.page.goto(f"{site.as_uri()}/index.html")
    phase(watch.page, "folder")
    assert said(watch.page) == "You read the book from a folder. That works without signal as it is."
    assert not watch.page.locator("[data-offline='word']").is_visible()
    watch.check()
