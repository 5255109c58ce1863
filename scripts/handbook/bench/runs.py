"""Opens the pages to be measured, turn about, and takes what each start is measured by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass

from playwright.sync_api import BrowserContext, Error, Page

from handbook.bench.browsers import Browsers, first_line
from handbook.bench.pages import Subject
from handbook.bench.slowing import browser_slowed, page_slowed
from handbook.console import Stop

PATIENCE = 120_000  # ms; what takes longer is broken and not slow
UNCOUNTED = 2  # visits to the pages of the kept profile, which fill its caches

_MEASURED = "() => window.furrowbookMeasured"
_EXAMPLE = "() => window.furrowbookExample"
_TAKEN = """() => {
    const { at, shown } = window.furrowbookMeasured;
    const block = window.furrowbookWatch.longestUntil(at + AFTER);
    return { at, shown, block, example: window.furrowbookExample ?? null };
}"""
AFTER = 1000  # ms after the answer, in which a page may bring what it has put off
_SETBACK = "() => window.furrowbook.engine.setback && String(window.furrowbook.engine.setback)"
_CONTROLLED = "() => window.furrowbookWatch.controlled"
_OFFERED = "() => Boolean(window.furrowbook?.offline)"
_STORED = "() => Boolean(window.furrowbook.offline.state.using)"


@dataclass(frozen=True)
class Start:
    """What one visit was measured by, in ms since navigation; `block` is a length, 0 where none was long."""

    answer: float
    block: float
    example: float | None = None
    profile: int = 0
    """Which of the browsers measured with it was, where there were several."""


def measure(
    browsers: Browsers, pages: Sequence[Subject], rounds: int, uncounted: int = UNCOUNTED
) -> dict[str, list[Start]]:
    """`rounds` starts of each page, turn about, after `uncounted` ones of those in the kept profile.

    Raises `Stop` where a page does not answer, answers wrongly, had to take the slow start, or did not
    come from where it should.
    """
    taken: dict[str, list[Start]] = {page.name: [] for page in pages}
    for address in dict.fromkeys(page.address for page in pages if page.stored):
        _store(browsers.kept, address)
    for number in range(uncounted + rounds):
        # Whoever is first in one round is last in the next, so that nobody always follows the same page.
        turn = number % len(pages)
        for subject in (*pages[turn:], *pages[:turn]):
            if number >= uncounted:
                taken[subject.name].append(visit(browsers, subject))
            elif not subject.counted_from_the_first:
                visit(browsers, subject)
    return taken


def visit(browsers: Browsers, subject: Subject) -> Start:
    """One start of this page in its state. Raises `Stop` as `measure` does."""
    with opened(browsers, subject) as page:
        page.wait_for_function(_MEASURED, polling=100, timeout=PATIENCE)
        if subject.kind == "book":
            page.wait_for_function(_EXAMPLE, polling=100, timeout=PATIENCE)
        page.wait_for_timeout(AFTER)
        found = page.evaluate(_TAKEN.replace("AFTER", str(AFTER)))
        if found["shown"] != subject.says:
            raise Stop(f"{subject.name} answered {found['shown']!r} and not {subject.says!r}.")
        if subject.kind == "book":
            refuse_detour(page, subject)
        return Start(found["at"], found["block"], found["example"])


@contextmanager
def opened(browsers: Browsers, subject: Subject) -> Iterator[Page]:
    """The page in its state, on its way. Raises `Stop` with what the browser says if it fails meanwhile."""
    with ExitStack() as stack:
        browser = stack.enter_context(browsers.fresh()) if subject.fresh else browsers.kept
        if subject.stored:
            browsers.end_service_workers()
        if subject.gone:
            stack.enter_context(subject.gone.down())
        page = browser.new_page()
        stack.callback(page.close)
        for script in subject.scripts:
            page.add_init_script(script)
        if subject.slowed == "page":
            stack.enter_context(page_slowed(page))
        elif subject.slowed == "browser":
            stack.enter_context(browser_slowed(browser))
        try:
            page.goto(subject.address, wait_until="commit")
            yield page
        except Error as error:
            raise Stop(f"{subject.name} did not answer: {first_line(error)}") from error


def refuse_detour(page: Page, subject: Subject) -> None:
    """Raise `Stop` unless the page started from the snapshot, and came from where it should."""
    if setback := page.evaluate(_SETBACK):
        raise Stop(f"{subject.name} did not start from the snapshot, so its time means nothing: {setback}")
    controlled = page.evaluate(_CONTROLLED)
    if subject.stored and not controlled:
        raise Stop(f"{subject.name} did not come through the service worker, so its time means nothing.")
    if controlled and not subject.stored:
        raise Stop(f"{subject.name} came through a service worker that should not be there yet.")


def _store(browser: BrowserContext, address: str) -> None:
    """Visit the book and wait until all of it is on the device."""
    page = browser.new_page()
    try:
        page.goto(address, wait_until="load")
        if not page.evaluate(_OFFERED):
            raise Stop("This build does not store itself on the device, so nothing offline can be measured.")
        page.wait_for_function(_STORED, polling=100, timeout=PATIENCE)
    except Error as error:
        raise Stop(f"The book was not stored on the device: {first_line(error)}") from error
    finally:
        page.close()
