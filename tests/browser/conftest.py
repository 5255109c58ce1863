"""The built site in a real browser, hosted and from a folder; a console error fails the test."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    ViewportSize,
    expect,
    sync_playwright,
)

from handbook.chromium import FLAGS
from handbook.hosting import host

PATIENCE = 30_000  # milliseconds for what waits on the engine, on a machine that may be busy
WAYS = ("http", "folder")
expect.set_options(timeout=PATIENCE)
NO_WORKER = "Service Worker registration blocked by Playwright"  # as asked for below


def pages_of(site: Path, room: str = "*") -> list[str]:
    """The path of each page below the site; of one room, or with "" of none."""
    found = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert len(found) > 15
    return found if room == "*" else [one for one in found if one.rpartition("/")[0].split("/")[0] == room]


@pytest.fixture(scope="session")
def hosted(site: Path) -> Iterator[str]:
    """The address of the site on a host, under a sub-folder, ending in a slash."""
    yield from serve_below(site, "books")


# Enough to be read, left and come back to; the whole book is stored in `test_offline`.
FEW = {
    *("index.html", "404.html", "licences.html", "lessons/index.html", "lessons/rate.html"),
    *("lessons/calibration.html", "calculators/index.html", "calculators/rate.html", "procedures/index.html"),
    *("procedures/standing-test.html", "machines/index.html", "reference/stored.html"),
}


@pytest.fixture(scope="session")
def short(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same build with few of its pages and all else: it is stored in half the time."""
    from tests.browser.unsteady import build_of, listed, renewed  # which needs this module

    left_out = [path for path in listed(site) if path.endswith(".html") and path not in FEW]
    return renewed(site, tmp_path_factory.mktemp("short") / "site", build_of(site), without=left_out)


def serve_below(site: Path, folder: str) -> Iterator[str]:
    """Serve `site` as a sub-folder of a host, which is how many hosts do."""
    parent = site.parent / f"host-{os.getpid()}"
    shutil.rmtree(parent, ignore_errors=True)
    parent.mkdir()
    (parent / folder).symlink_to(site, target_is_directory=True)
    with host(parent, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/{folder}/"
        server.shutdown()


# What looks at every page goes room by room; the last is of what stands in none.
ROOMS = (
    "calculators",
    "lessons",
    "procedures",
    "cards",
    "faults",
    "machines",
    "record",
    "trainers",
    "reference",
    "",
)
each_room = pytest.mark.parametrize("room", ROOMS, ids=lambda room: room or "top")

# For what a page does by itself, whichever way it was opened: it is then looked at on a host only.
hosted_only = pytest.mark.parametrize("base", ["http"], indirect=True)
folder_only = pytest.mark.parametrize("base", ["folder"], indirect=True)


@pytest.fixture(params=WAYS)
def base(request: pytest.FixtureRequest, site: Path, hosted: str) -> str:
    """Where the site is opened: on a host, and from a folder by double click."""
    return hosted if request.param == "http" else f"{site.as_uri()}/"


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """What drives browsers; there may be only one of it."""
    with sync_playwright() as one:
        yield one


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """Debian's Chromium, or the browser that FURROWBOOK_BROWSER names."""
    launched = playwright.chromium.launch(executable_path=os.environ["FURROWBOOK_BROWSER"], args=[*FLAGS])
    yield launched
    launched.close()


@dataclass
class Watch:
    """A page, and what went wrong in it; a test that provokes an error says so by its text and count."""

    page: Page
    origin: str
    errors: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Begin to watch."""
        self.page.set_default_timeout(PATIENCE)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.errors.append(f"page error: {error}"))
        self.page.context.on("request", self._request)

    def expect(self, text: str, count: int = 1) -> None:
        """Declare errors that the test provokes."""
        self.expected += [text] * count

    def check(self) -> None:
        """Fail unless exactly what was expected went wrong; what happens later is no longer looked at."""
        self.page.context.remove_listener("request", self._request)
        assert sorted(self.errors) == sorted(self.expected)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and message.text != NO_WORKER:
            self.errors.append(message.text)

    def _request(self, request: Request) -> None:
        if not request.url.startswith((self.origin, "blob:", "data:")):
            self.errors.append(f"asked for {request.url}")


PHONE = {"width": 390, "height": 844}


class Shelf:
    """A profile that serves one test after another, wiped between them; a new one costs twice the time.

    It keeps one empty page open, for a browser puts away most of what it has ready with the last page.
    """

    def __init__(
        self, browser: Browser, service_workers: Literal["allow", "block"] = "block", scripts: bool = True
    ) -> None:
        self.context = browser.new_context(
            viewport=ViewportSize(PHONE), service_workers=service_workers, java_script_enabled=scripts
        )
        self._keeper = self.context.new_page()
        self._visited: set[str] = set()
        self.context.on("request", lambda request: self._visited.add(origin_of(request.url)))

    def wipe(self) -> None:
        """Close every page and forget what they stored."""
        for page in self.context.pages:
            if page is not self._keeper:
                page.close()
        session = self.context.new_cdp_session(self._keeper)
        for origin in sorted(self._visited - {""}):
            session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
        session.send("ServiceWorker.enable")
        session.send("ServiceWorker.stopAllWorkers")  # one that is watched would never end by itself
        session.detach()
        self._visited.clear()


def origin_of(url: str) -> str:
    """The origin that a browser files what a page stores under; nothing for what stores nothing."""
    parts = urlsplit(url)
    return f"{parts.scheme}://{parts.netloc}" if parts.scheme in ("http", "file") else ""


@pytest.fixture(scope="session")
def shelf(browser: Browser) -> Iterator[Shelf]:
    """The profile of most tests: a phone that stores nothing for use offline."""
    made = Shelf(browser)
    yield made
    made.context.close()


@pytest.fixture(scope="session")
def storing_shelf(browser: Browser) -> Iterator[Shelf]:
    """The profile of tests that store the book, each from a host of its own."""
    made = Shelf(browser, "allow")
    yield made
    made.context.close()


@pytest.fixture
def context(shelf: Shelf) -> Iterator[BrowserContext]:
    """A profile without anything stored. What a test does to the profile itself stays in it."""
    yield shelf.context
    shelf.wipe()


@pytest.fixture
def storing(storing_shelf: Shelf) -> Iterator[BrowserContext]:
    """The same, for a test that stores the book."""
    yield storing_shelf.context
    storing_shelf.wipe()


@pytest.fixture
def watch(context: BrowserContext, base: str) -> Iterator[Watch]:
    """A new page; what went wrong in it is checked at the end of the test."""
    watching = Watch(context.new_page(), origin=base)
    yield watching
    watching.check()


@pytest.fixture
def page(watch: Watch) -> Page:
    """The watched page."""
    return watch.page


@pytest.fixture
def hosted_watch(context: BrowserContext, hosted: str) -> Iterator[Watch]:
    """A page for the hosted site only, watched as any other."""
    watching = Watch(context.new_page(), origin=hosted)
    yield watching
    watching.check()


@pytest.fixture(scope="session")
def axe(node_modules: Path) -> str:
    """The text of axe-core. It is evaluated, not added: the page's policy allows no script of others."""
    return (node_modules / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
