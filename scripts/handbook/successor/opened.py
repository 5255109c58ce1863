"""Opens what the successor built, on a host and from a folder: does a form answer, does the search find?"""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import ConsoleMessage, Error, Page, Playwright, Request, sync_playwright

from handbook.chromium import FLAGS
from handbook.hosting import host

PATIENCE = 30_000  # ms
FORM, CALCULATOR, MAIN = "calculators/rate.html", "rate", "meter_speed"
ASKED, FOUND = "standing test", "procedures/standing-test.html"


def opened(site: Path) -> Iterator[tuple[str, str]]:
    """What was tried, each with what is wrong with it, or nothing."""
    with host(site, 0) as server, sync_playwright() as playwright:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        for way, base in (
            ("on a host", f"http://127.0.0.1:{server.server_address[1]}/"),
            ("from a folder", f"{site.as_uri()}/"),
        ):
            yield from _opened(playwright, way, base)
        server.shutdown()


def _opened(playwright: Playwright, way: str, base: str) -> Iterator[tuple[str, str]]:
    browser = playwright.chromium.launch(executable_path=os.environ["FURROWBOOK_BROWSER"], args=[*FLAGS])
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.set_default_timeout(PATIENCE)
    wrong: list[str] = []

    def console(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            wrong.append(message.text)

    def request(asked: Request) -> None:
        if not asked.url.startswith((base, "blob:", "data:")):
            wrong.append(f"asked for {asked.url}")

    page.on("console", console)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", request)
    page.goto(base + FORM)
    for what, tried in (("a form answers", _answer), ("the search finds", _search)):
        try:
            tried(page)
            yield f"{what}, {way}", ""
        except Error as error:
            yield f"{what}, {way}", str(error).splitlines()[0]
    yield f"no error and nothing asked of others, {way}", "; ".join(wrong)
    browser.close()


def _answer(page: Page) -> None:
    page.get_by_role("button", name="Try the example").click()
    page.locator(f"[data-calculator='{CALCULATOR}'].fb-answered [data-result='{MAIN}']").first.wait_for()


def _search(page: Page) -> None:
    page.keyboard.press("Control+k")
    page.keyboard.type(ASKED)
    page.locator(f"[href*='{FOUND}']").filter(has_text="Standing test").filter(visible=True).first.wait_for()
