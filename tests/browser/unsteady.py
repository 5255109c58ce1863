"""A host that can be stopped and made to fail, other builds to put on it, and what a page says of them."""

from __future__ import annotations

import json
import shutil
import threading
import time
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, CDPSession, Page

from handbook.hosting import Handler, Server
from handbook.offline import ALL_MACHINES, LIST, write_list
from tests.browser.conftest import PATIENCE

BOOK = "books/"  # the book is a folder of its host, as it is on many
SIGN_IN = b"<!doctype html><title>Sign in</title><h1>Sign in to this network</h1>"
PHASE = "phase => window.furrowbook?.offline?.state.phase === phase"

Fault = Callable[["Unsteady", bytes], object]


class Unsteady(Handler):
    """Serves one of the book's builds, and fails where the test says so."""

    host: Host

    def do_GET(self) -> None:  # the library's name
        """Send a file, or do what was planned for it."""
        path = self.path.partition("?")[0].removeprefix(f"/{BOOK}")
        self.host.asked.append(path)
        if self.host.dies_after == 0:
            self.close_connection = True
            self.connection.close()
            return
        fault = self.host.portal or self.host.faults.get(path)
        file = self.host.site / path
        if fault and (self.host.portal or file.is_file()):
            fault(self, file.read_bytes() if file.is_file() else b"")
        else:
            super().do_GET()
        self.host.dies_after -= self.host.dies_after > 0

    def translate_path(self, path: str) -> str:
        """Serve what the host has now."""
        inside = path.partition("?")[0].removeprefix(f"/{BOOK}")
        return str(self.host.site / inside) if inside != path else str(self.host.site / "no such file")

    def send(self, body: bytes, kind: str, status: int = 200, length: int | None = None) -> None:
        """Send a whole reply."""
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body) if length is None else length))
        self.end_headers()
        self.wfile.write(body)


def missing(handler: Unsteady, _: bytes) -> None:
    handler.send_error(404)


def other_content(handler: Unsteady, body: bytes) -> None:
    changed = bytes([body[0] ^ 1]) + body[1:]
    handler.send(changed, handler.guess_type(handler.path))


def cut_short(handler: Unsteady, body: bytes) -> None:
    """Half of it, as if that were all."""
    handler.send(body[: len(body) // 2], handler.guess_type(handler.path))


def broken_off(handler: Unsteady, body: bytes) -> None:
    """Half of it, and the line is gone."""
    handler.send(body[: len(body) // 2], handler.guess_type(handler.path), length=len(body))
    handler.close_connection = True
    handler.connection.close()


def page_instead(handler: Unsteady, _: bytes) -> None:
    """A network that wants its users to sign in answers everything so, and calls it a success."""
    handler.send(SIGN_IN, "text/html")


def answer_instead(handler: Unsteady, _: bytes) -> None:
    """Some networks answer in the language that was asked for."""
    handler.send(b'{"build": "0123456789ab", "error": "Sign in to this network"}', "application/json")


def wrong_type(handler: Unsteady, body: bytes) -> None:
    handler.send(body, "text/plain")


class Host:
    """A host at one address, whatever happens to it."""

    def __init__(self, site: Path) -> None:
        self.site = site
        self.faults: dict[str, Fault] = {}
        self.portal: Fault | None = None
        self.dies_after = -1  # replies; below nothing it lives
        self.asked: list[str] = []
        self.port = 0
        self._server: Server | None = None
        self.start()

    @property
    def address(self) -> str:
        """Of the book, with its last slash."""
        return f"http://127.0.0.1:{self.port}/{BOOK}"

    def start(self) -> None:
        """Answer at the address, again if it was stopped."""
        self.dies_after = -1
        if not self._server:
            handler = type("Its", (Unsteady,), {"host": self})
            self._server = Server(("127.0.0.1", self.port), partial(handler, directory=str(self.site)))
            self.port = self._server.server_address[1]
            threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def stop(self) -> None:
        """From here on nothing answers."""
        if self._server:
            self._server.shutdown()
            self._server.server_close()
            self._server = None


@contextmanager
def hosting(site: Path) -> Iterator[Host]:
    """A host for as long as this lasts."""
    host = Host(site)
    try:
        yield host
    finally:
        host.stop()


def listed(site: Path) -> dict[str, int]:
    """What a device keeps of a build: the room that each file takes."""
    return {
        one["path"]: one.get("packed", one["size"])
        for one in json.loads((site / LIST).read_text("utf-8"))["files"]
    }


def build_of(site: Path) -> str:
    """The id of a build."""
    return str(json.loads((site / LIST).read_text("utf-8"))["build"])


def renewed(
    site: Path, copy: Path, build: str, without: Collection[str] = (), all_machines: int = ALL_MACHINES
) -> Path:
    """Another build of the book, with some files gone: every page says in its heading that it is another."""
    old = json.loads((site / LIST).read_text("utf-8"))
    for one in old["files"]:
        if one["path"] not in without:
            target = copy / one["path"]
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(site / one["path"], target)
    shutil.copyfile(site / "service-worker.js", copy / "service-worker.js")
    for page in copy.rglob("*.html") if build != old["build"] else ():
        text = page.read_text("utf-8").replace(old["build"], build)
        page.write_text(text.replace("<h1", f'<h1 data-of="{build}"', 1), encoding="utf-8", newline="\n")
    write_list(copy, build, "2027-03-01", (), all_machines)
    return copy


def phase(page: Page, wanted: str) -> None:
    """Wait until the page says that the book stands so on the device."""
    page.wait_for_function(PHASE, arg=wanted, timeout=PATIENCE)


def trouble(page: Page) -> str:
    """The code of what kept the book from being stored, once there is something."""
    page.wait_for_function("() => window.furrowbook.offline.state.trouble", timeout=PATIENCE)
    return str(page.evaluate("() => window.furrowbook.offline.state.trouble.code"))


def said(page: Page) -> str:
    """What stands at the foot of the page about it."""
    return page.locator("footer [data-offline='line']").inner_text()


def kept(page: Page) -> list[str]:
    """The builds of which something is kept, in order."""
    names: list[str] = page.evaluate("() => caches.keys()")
    return [name.split(" ")[-1] for name in sorted(names, key=lambda name: int(name.split(" ")[-2]))]


def kept_whole(page: Page) -> list[str]:
    """The builds that are kept as a whole, by the very files and not by what anyone says."""
    whole: list[str] = page.evaluate(
        """async () => {
            const found = [];
            for (const name of await caches.keys()) {
                const cache = await caches.open(name);
                const urls = new Set((await cache.keys()).map(({ url }) => url));
                const list = [...urls].find((url) => url.endsWith("/offline.json"));
                if (list) {
                    const { build, files } = await (await cache.match(list)).json();
                    if (files.every(({ path }) => urls.has(new URL(path, list).href))) {
                        found.push(build);
                    }
                }
            }
            return found;
        }"""
    )
    return whole


def whole_again(page: Page, builds: list[str]) -> None:
    """Wait until exactly these are kept as a whole: mending goes on after the page has said how it stands."""
    until = time.monotonic() + PATIENCE / 1000
    while (found := kept_whole(page)) != builds:
        assert time.monotonic() < until, f"kept as a whole: {found}"
        page.wait_for_timeout(100)


def devtools(page: Page) -> CDPSession:
    """The browser's own protocol, for what only a browser can do to a page."""
    return page.context.new_cdp_session(page)


def stop_workers(page: Page) -> None:
    """End every service worker, as a browser does after a while; the next request starts it again."""
    session = devtools(page)
    session.send("ServiceWorker.enable")
    session.send("ServiceWorker.stopAllWorkers")
    session.detach()


def taken_over(context: BrowserContext, host: Host) -> None:
    """Wait until no worker of the host waits, its pages being closed.

    Chromium lets the one before end what it was at. A page that is opened as that one is stopped, within
    milliseconds, is asked of it and never comes; no hand is so quick.
    """
    page = context.new_page()
    session = devtools(page)
    status: dict[str, str] = {}

    def told(found: dict[str, Any]) -> None:
        own = [one for one in found["versions"] if one["scriptURL"].startswith(host.address)]
        status.update({one["versionId"]: one["status"] for one in own})

    session.on("ServiceWorker.workerVersionUpdated", told)
    session.send("ServiceWorker.enable")
    until = time.monotonic() + PATIENCE / 1000
    while "activated" not in status.values() or "installed" in status.values():
        assert time.monotonic() < until, f"the workers are {list(status.values())}"
        page.wait_for_timeout(50)
    page.close()
