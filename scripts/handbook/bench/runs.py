"""Opens the pages to be measured, turn about, in one browser with everything already in its cache."""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import BrowserContext, Error, Page, sync_playwright

from calc.declare import catalogue
from calc.reply import compact, respond
from handbook.bench.bare import FROM_FOLDER, OVER_HTTP, SAYS
from handbook.chromium import FLAGS
from handbook.console import Stop
from handbook.hosting import host
from handbook.settings import DEFAULT_UNITS

HERE = Path(__file__).parent
CALCULATOR = "rate"
RESULT = "meter_speed"
PAGE = "calculators/rate.html"
PATIENCE = 120_000  # ms; what takes longer is broken and not slow
_GIVEN_LINE = "const GIVEN = /** @type {Record<string, string>} */ ({});"
_RESULT_LINE = 'const RESULT = "";'


@dataclass(frozen=True)
class Subject:
    """One page to measure: where it is, what it must say, and whether its form has to be filled in first."""

    name: str
    address: str
    says: str
    form: bool


def expected() -> str:
    """The answer that the measured form must show: `calc`'s own to its worked example."""
    calculator = catalogue()[CALCULATOR]
    request = {"calculator": CALCULATOR, "given": calculator.example, "units": DEFAULT_UNITS}
    return str(respond(compact(request))["results"][RESULT]["shown"])


def filling() -> str:
    """The script that types the worked example into the form. Raises `Stop` if it cannot be prepared."""
    text = (HERE / "fill.js").read_text("utf-8")
    if _GIVEN_LINE not in text or _RESULT_LINE not in text:
        raise Stop("bench/fill.js no longer has the two lines in which it is told what to type.")
    given = json.dumps(catalogue()[CALCULATOR].example)
    return text.replace(_GIVEN_LINE, f"const GIVEN = {given};").replace(
        _RESULT_LINE, f"const RESULT = {json.dumps(RESULT)};"
    )


@contextmanager
def subjects(site: Path, bare: Path) -> Iterator[list[Subject]]:
    """The four pages, served for as long as this lasts: ours and a bare one, over http and from a folder."""
    with hosted(site) as ours, hosted(bare) as other:
        yield [
            Subject("http", f"{ours}/{PAGE}", expected(), True),
            Subject("http-bare", f"{other}/{OVER_HTTP}", SAYS, False),
            Subject("folder", (site / PAGE).as_uri(), expected(), True),
            Subject("folder-bare", (bare / FROM_FOLDER).as_uri(), SAYS, False),
        ]


@contextmanager
def hosted(folder: Path) -> Iterator[str]:
    """The address of `folder` on this machine, served for as long as this lasts."""
    with host(folder, 0) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}"
        finally:
            server.shutdown()
            thread.join()


def measure(pages: list[Subject], profile: Path, rounds: int, warm: int = 2) -> Mapping[str, list[float]]:
    """Milliseconds from navigation to answer, `rounds` of each page turn about, after `warm` uncounted ones.

    `profile` is an empty folder for the browser. Raises `Stop` where a page does not answer, answers
    wrongly, or had to take the slow start.
    """
    taken: dict[str, list[float]] = {page.name: [] for page in pages}
    with _browser(profile) as browser:
        for number in range(warm + rounds):
            for subject in pages:
                milliseconds = _open(browser, subject)
                if number >= warm:
                    taken[subject.name].append(milliseconds)
    return taken


@contextmanager
def _browser(profile: Path) -> Iterator[BrowserContext]:
    program = os.environ.get("FURROWBOOK_BROWSER")
    if not program:
        raise Stop("Start the measurement with python3 scripts/bench.py, which finds a browser for it.")
    with sync_playwright() as playwright:
        # A profile of its own on the disk: only there are compiled programs kept from page to page.
        browser = playwright.chromium.launch_persistent_context(
            str(profile), executable_path=program, headless=True, args=list(FLAGS)
        )
        try:
            yield browser
        finally:
            browser.close()


def _open(browser: BrowserContext, subject: Subject) -> float:
    page = browser.new_page()
    try:
        if subject.form:
            page.add_init_script(filling())
        page.goto(subject.address, wait_until="commit")
        page.wait_for_function("() => window.furrowbookMeasured", polling=100, timeout=PATIENCE)
        measured = page.evaluate("() => window.furrowbookMeasured")
        if measured["shown"] != subject.says:
            raise Stop(f"{subject.name} answered {measured['shown']!r} and not {subject.says!r}.")
        if subject.form:
            _refuse_setback(page, subject)
        return float(measured["at"])
    except Error as error:
        raise Stop(f"{subject.name} did not answer: {error.message.splitlines()[0]}") from error
    finally:
        page.close()


def _refuse_setback(page: Page, subject: Subject) -> None:
    setback = page.evaluate(
        "() => window.furrowbook.engine.setback && String(window.furrowbook.engine.setback)"
    )
    if setback:
        raise Stop(f"{subject.name} did not start from the snapshot, so its time means nothing: {setback}")
