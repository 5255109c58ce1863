"""The browsers that measure: one whose profile is kept from visit to visit, and new ones."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Playwright, sync_playwright

from handbook.chromium import FLAGS
from handbook.console import Stop

SETTLED = 300  # ms that a browser just started is left alone


class Browsers:
    """Starts browsers, each with a profile on the disk: only there are compiled programs kept."""

    def __init__(self, playwright: Playwright, kept: BrowserContext) -> None:
        self._playwright = playwright
        self.kept = kept

    @contextmanager
    def fresh(self) -> Iterator[BrowserContext]:
        """A browser that has seen nothing yet: no cache, store, service worker or compiled program."""
        with (
            tempfile.TemporaryDirectory(prefix="furrowbook-", ignore_cleanup_errors=True) as folder,
            _started(self._playwright, Path(folder)) as browser,
        ):
            browser.pages[0].wait_for_timeout(SETTLED)
            yield browser

    def end_service_workers(self) -> None:
        """End those of the kept profile, as they end by themselves soon after a visit.

        Being watched keeps them running, so that each visit would find one awake, which a reader's does not.
        """
        session = self.kept.new_cdp_session(self.kept.pages[0])
        session.send("ServiceWorker.enable")
        session.send("ServiceWorker.stopAllWorkers")
        session.detach()


@contextmanager
def browsers(profile: Path) -> Iterator[Browsers]:
    """Browsers for as long as this lasts; `profile` is an empty folder for the one that is kept.

    Raises `Stop` with what the browser says where it fails.
    """
    try:
        with sync_playwright() as playwright, _started(playwright, profile) as kept:
            yield Browsers(playwright, kept)
    except Error as error:
        raise Stop(f"The browser failed: {first_line(error)}") from error


def first_line(error: Error) -> str:
    """What went wrong, without the log of calls that follows it."""
    return error.message.splitlines()[0]


@contextmanager
def _started(playwright: Playwright, profile: Path) -> Iterator[BrowserContext]:
    program = os.environ.get("FURROWBOOK_BROWSER")
    if not program:
        raise Stop("Start the measurement with python3 scripts/bench.py, which finds a browser for it.")
    browser = playwright.chromium.launch_persistent_context(
        str(profile), executable_path=program, headless=True, args=list(FLAGS)
    )
    try:
        yield browser
    finally:
        browser.close()
