"""Slows a page or a whole browser down, as a phone is slower than a desk, and says by how much it did."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from playwright.sync_api import BrowserContext, Page

from handbook.console import Stop

TIMES = 4
PERIOD = 0.02  # s, of which the browser runs 1 part in `TIMES`: shorter ones lose too much to waking up

# Only POSIX systems can make a process pause.
CAN_SLOW_ALL = sys.platform != "win32"

# How long the same sum takes in the page's own thread and in a worker of it, each the best of three (ms).
_SUMS = """async () => {
    const sum = () => {
        const began = performance.now();
        let sum = 0;
        for (let i = 0; i < 6e6; i++) {
            sum = (sum + i * i) % 7;
        }
        return performance.now() - began;
    };
    const text = `const sum = ${sum}; onmessage = () => postMessage(sum());`;
    const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
    const worker = new Worker(address);
    const ask = () => new Promise((resolve) => {
        worker.onmessage = ({ data }) => resolve(data);
        worker.postMessage(null);
    });
    const best = async (once) => Math.min(await once(), await once(), await once());
    const found = [await best(sum), await best(ask)];
    worker.terminate();
    URL.revokeObjectURL(address);
    return found;
}"""


@contextmanager
def page_slowed(page: Page) -> Iterator[None]:
    """The browser's own slowing, for as long as this lasts: that of the page's thread, not of its workers."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": TIMES})
    try:
        yield
    finally:
        session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        session.detach()


@contextmanager
def browser_slowed(browser: BrowserContext) -> Iterator[None]:
    """Every process of the browser paused most of the time: pages, workers, its store and its screen alike.

    Raises `Stop` where its processes cannot be told from ours.
    """
    group = _group(browser)
    over = threading.Event()
    pausing = threading.Thread(target=_pause_on_and_off, args=(group, over), daemon=True)
    pausing.start()
    try:
        yield
    finally:
        over.set()
        pausing.join()


def slowed_by(page: Page) -> dict[str, tuple[float, float]]:
    """How many times slower a sum is in the page and in a worker, for each way of slowing."""
    plain = page.evaluate(_SUMS)
    found = {}
    with page_slowed(page):
        found["slow-page"] = _ratio(page.evaluate(_SUMS), plain)
    if CAN_SLOW_ALL:
        with browser_slowed(page.context):
            found["slow-all"] = _ratio(page.evaluate(_SUMS), plain)
    return found


def _ratio(slow: list[float], plain: list[float]) -> tuple[float, float]:
    return slow[0] / plain[0], slow[1] / plain[1]


def _group(browser: BrowserContext) -> int:
    if sys.platform == "win32" or not browser.browser:
        raise Stop("This browser's processes cannot be paused on this system.")
    session = browser.browser.new_browser_cdp_session()
    processes = session.send("SystemInfo.getProcessInfo")["processInfo"]
    session.detach()
    group = os.getpgid(next(one["id"] for one in processes if one["type"] == "browser"))
    if group == os.getpgid(0):
        raise Stop("The browser shares a process group with this command, which would pause itself.")
    return group


def _pause_on_and_off(group: int, over: threading.Event) -> None:
    # By the clock and not by lengths of sleep: what one sleep is late by, the next makes up for.
    due = time.perf_counter()
    try:
        while not over.is_set():
            _let_run(group, False)
            due += PERIOD * (TIMES - 1) / TIMES
            time.sleep(max(0.0, due - time.perf_counter()))
            _let_run(group, True)
            due += PERIOD / TIMES
            time.sleep(max(0.0, due - time.perf_counter()))
    finally:
        _let_run(group, True)


def _let_run(group: int, run: bool) -> None:
    if sys.platform != "win32":
        with suppress(ProcessLookupError):  # it has ended; whoever waits for it says so
            os.killpg(group, signal.SIGCONT if run else signal.SIGSTOP)
