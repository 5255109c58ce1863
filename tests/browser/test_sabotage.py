"""Whatever breaks while the book is being stored or read: words, a way on, and never a part of a build."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from handbook.offline import write_list
from tests.browser.conftest import PATIENCE
from tests.browser.form import Form
from tests.browser.unsteady import (
    PHASE,
    Fault,
    Host,
    Unsteady,
    answer_instead,
    broken_off,
    build_of,
    cut_short,
    devtools,
    hosting,
    kept,
    kept_whole,
    listed,
    missing,
    other_content,
    page_instead,
    phase,
    renewed,
    said,
    stop_workers,
    taken_over,
    trouble,
    whole_again,
    wrong_type,
)

NEW = "0123456789ab"
PLAIN = "lessons/index.html"  # a page without a form
FORM = "calculators/rate.html"
GIVEN = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}
NOWHERE = "This page is not on this device, and its host does not answer"


@pytest.fixture
def host(short: Path) -> Iterator[Host]:
    with hosting(short) as running:
        yield running


@pytest.fixture
def page(storing: BrowserContext) -> Page:
    return storing.new_page()


@pytest.fixture
def stored(page: Page, host: Host) -> Page:
    """A page of a book that is stored."""
    page.goto(host.address + PLAIN)
    phase(page, "stored")
    return page


def part(short: Path, stem: str) -> str:
    """The one file of a build whose name begins so."""
    (found,) = [path for path in listed(short) if path.rpartition("/")[2].startswith(stem)]
    return found


def again(page: Page) -> None:
    """Do what the page says."""
    page.locator("footer").get_by_role("button", name="Try again").click()


def it_answers(page: Page, host: Host) -> None:
    """The rate form gives its figure."""
    page.goto(host.address + FORM)
    form = Form(page, "rate")
    form.type(GIVEN)
    assert form.results()["meter_speed"] == "40.40 rpm"


def delete(page: Page, path: str) -> None:
    """Take one file out of what is kept, as a failing disk or a hand would."""
    gone = page.evaluate(
        """async (path) => {
            const gone = [];
            for (const name of await caches.keys()) {
                gone.push(await (await caches.open(name)).delete(new URL(path, document.baseURI)));
            }
            return gone.includes(true);
        }""",
        f"{page.url.partition('/books/')[0]}/books/{path}",
    )
    assert gone


# --- while it is first stored ----------------------------------------------------------------------------

STAGES = ["service-worker.js", "offline.json", "snapshot-", "licences.html", "404.html"]


@pytest.mark.parametrize("stage", STAGES)
def test_the_host_goes_while_the_book_is_being_stored(
    page: Page, host: Host, short: Path, stage: str
) -> None:
    path = stage if "." in stage else part(short, stage)

    def dies(handler: Unsteady, _: bytes) -> None:
        host.dies_after = 0
        handler.close_connection = True
        handler.connection.close()

    host.faults[path] = dies
    page.goto(host.address + PLAIN)
    assert trouble(page) == "unreachable"
    phase(page, "unstored")
    assert "The host could not be reached: “" in said(page)
    assert kept_whole(page) == []
    host.stop()
    if stage != "service-worker.js":  # before that nothing of ours is on the device
        page.goto(host.address + "lessons/rate.html")
        assert page.get_by_role("heading").inner_text() == NOWHERE
        assert page.get_by_role("link", name="Go to the first page of the book").is_visible()
        host.faults.clear()
        host.start()
        page.get_by_role("link", name="Try this page again").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Rate")
    else:
        host.faults.clear()
        host.start()
        again(page)
    phase(page, "stored")
    assert kept(page) == kept_whole(page) == [build_of(short)]


def test_what_came_before_the_host_went_is_not_fetched_again(page: Page, host: Host, short: Path) -> None:
    host.faults["404.html"] = missing
    page.goto(host.address + PLAIN)
    assert trouble(page) == "refused"
    host.faults.clear()
    before = set(host.asked)
    host.asked.clear()
    again(page)
    phase(page, "stored")
    fetched = [path for path in host.asked if path in listed(short)]
    assert "404.html" in fetched
    assert len(fetched) < 10 < len(before)


BAD = [
    (missing, "refused", "does not hand out “{}” (it answers 404)."),
    (other_content, "other-content", "“{}” is not the one of this build."),
    (cut_short, "cut-short", "“{}” came cut short."),
    (broken_off, "cut-short", "“{}” came cut short."),
    (page_instead, "page-instead", "In place of “{}” a web page came."),
]


@pytest.mark.parametrize("stem", ["book.css", "wasm-", "search_index.json", "rate.html"])
@pytest.mark.parametrize(("fault", "code", "words"), BAD, ids=[one[0].__name__ for one in BAD])
def test_one_bad_file(
    page: Page, host: Host, short: Path, stem: str, fault: Fault, code: str, words: str
) -> None:
    path = "lessons/rate.html" if stem == "rate.html" else part(short, stem)
    if path.endswith(".html") and fault is page_instead:  # one page in place of another is told by its length
        code, words = "cut-short", "“{}” came cut short."
    host.faults[path] = fault
    page.goto(host.address + PLAIN)
    assert trouble(page) == code
    phase(page, "unstored")
    assert words.format(path) in said(page)
    assert kept_whole(page) == []
    # A worker that starts anew finds no more than there is.
    stop_workers(page)
    page.reload()
    assert trouble(page) == code
    phase(page, "unstored")
    host.faults.clear()
    again(page)
    phase(page, "stored")
    assert kept(page) == kept_whole(page) == [build_of(short)]


BAD_TEXT = [(missing, "refused"), (cut_short, "other-content"), (page_instead, "page-instead")]


@pytest.mark.parametrize(
    ("path", "fault", "code"),
    [
        *(("service-worker.js", fault, code) for fault, code in BAD_TEXT),
        *(("offline.json", fault, code) for fault, code in [*BAD_TEXT, (answer_instead, "other-content")]),
    ],
)
def test_a_bad_list_or_a_bad_program(page: Page, host: Host, path: str, fault: Fault, code: str) -> None:
    host.faults[path] = fault
    page.goto(host.address + PLAIN)
    assert trouble(page) == code
    phase(page, "unstored")
    assert path in said(page)
    host.faults.clear()
    again(page)
    phase(page, "stored")


def test_wrong_types_do_no_harm_to_what_is_stored(page: Page, host: Host, short: Path) -> None:
    for path in listed(short):
        if path.endswith((".bin", ".mjs", ".css", ".json", ".zip")):
            host.faults[path] = wrong_type
    page.goto(host.address + PLAIN)
    phase(page, "stored")
    host.stop()
    it_answers(page, host)
    assert page.evaluate("() => window.furrowbook.engine.setback") is None


def test_too_little_room(page: Page, host: Host) -> None:
    session = devtools(page)
    origin = host.address.removesuffix("/books/")
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 6_000_000})
    page.goto(host.address + PLAIN)
    assert trouble(page) == "no-room"
    phase(page, "unstored")
    assert "This device has too little room." in said(page)
    assert kept(page) == []  # and does not fill it with a part
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    again(page)
    phase(page, "stored")


def test_the_browser_ends_the_worker_in_the_middle(page: Page, host: Host, short: Path) -> None:
    over = threading.Event()
    host.faults[part(short, "wasm-")] = lambda handler, _: over.wait()  # without an answer
    page.goto(host.address + PLAIN)
    phase(page, "storing")
    page.wait_for_function("() => window.furrowbook.offline.state.storing?.done > 1e6")
    host.faults.clear()
    stop_workers(page)
    # Within half a minute the page misses it and asks again; nobody has to know.
    page.wait_for_function(PHASE, arg="stored", timeout=2 * PATIENCE)
    over.set()
    assert kept(page) == kept_whole(page) == [build_of(short)]


REFUSED = (
    """navigator.serviceWorker.register = async () => { throw new DOMException("no", "SecurityError"); };"""
)
ABSENT = "delete Navigator.prototype.serviceWorker;"


@pytest.mark.parametrize("script", [REFUSED, ABSENT])
def test_a_browser_that_keeps_nothing(page: Page, host: Host, script: str) -> None:
    page.add_init_script(script)
    page.goto(host.address + FORM)
    phase(page, "unable")
    assert said(page).startswith("This browser stores nothing from this address.")
    it_answers(page, host)


# --- once it is stored -----------------------------------------------------------------------------------


def test_a_network_that_wants_a_sign_in_changes_nothing(stored: Page, host: Host) -> None:
    host.portal = page_instead
    sentence = said(stored)
    it_answers(stored, host)
    phase(stored, "stored")
    stored.wait_for_function("() => window.furrowbook.offline.state.trouble")
    assert said(stored) == sentence


def test_the_browser_ends_the_worker_while_a_page_comes(
    page: Page, host: Host, short: Path, tmp_path: Path
) -> None:
    """As it may when a new worker is to take over: met once in some hundred changes of it."""
    host.site = shutil.copytree(short, tmp_path / "site")
    long = host.site / "lessons" / "rate.html"  # so long that it is on its way for a while
    text = long.read_text("utf-8").replace("</article>", f"<!--{30_000_000 * ' '}--></article>")
    long.write_text(text, encoding="utf-8", newline="\n")
    write_list(host.site, build_of(short), "2027-03-01", ())
    page.goto(host.address + PLAIN)
    phase(page, "stored")
    host.stop()
    page.goto(host.address + "lessons/rate.html", wait_until="commit")
    stop_workers(page)
    page.wait_for_load_state("load")
    assert page.locator("footer").count() == 1


@pytest.mark.parametrize("deep", ["lessons/a/b/none.html", "x/y/z/", "lessons/%E0%A4%A.html"])
def test_an_unknown_address_leads_back_to_the_book(stored: Page, host: Host, deep: str) -> None:
    host.stop()
    reply = stored.goto(host.address + deep)
    assert reply
    assert reply.status == 404
    assert stored.get_by_role("heading").inner_text() == "This page is not in Furrowbook"
    stored.get_by_role("link", name="Go to the first page of the book").click()
    stored.wait_for_url(host.address + "index.html")
    assert stored.locator("h1").inner_text() == "Furrowbook"


def evict(page: Page) -> None:
    """What a browser does when the device runs short of room."""
    page.evaluate("async () => { for (const name of await caches.keys()) { await caches.delete(name); } }")
    stop_workers(page)


def test_all_of_it_is_cleared_away_and_the_host_is_there(stored: Page, host: Host, short: Path) -> None:
    evict(stored)
    stored.goto(host.address + FORM)
    phase(stored, "stored")
    assert kept_whole(stored) == [build_of(short)]
    host.stop()
    it_answers(stored, host)


def test_all_of_it_is_cleared_away_and_there_is_no_signal(stored: Page, host: Host) -> None:
    evict(stored)
    host.stop()
    reply = stored.goto(host.address + FORM)
    assert reply
    assert reply.status == 503
    assert stored.get_by_role("heading").inner_text() == NOWHERE
    stored.get_by_role("link", name="Go to the first page of the book").click()
    assert stored.get_by_role("heading").inner_text() == NOWHERE
    host.start()
    stored.get_by_role("link", name="Try this page again").click()
    expect(stored.get_by_role("heading", level=1)).to_have_text("Furrowbook")
    phase(stored, "stored")


def test_one_file_is_gone_and_the_host_still_has_it(stored: Page, host: Host, short: Path) -> None:
    delete(stored, "calculators/rate.html")
    stored.goto(host.address + FORM)
    assert stored.locator("h1").inner_text() == "Rate and meter speed"
    assert kept_whole(stored) == [build_of(short)]
    first = "async (url) => (await (await caches.match(url)).bytes())[0]"
    assert stored.evaluate(first, host.address + FORM) == 0x1F, "as light as before: gzip begins so, RFC 1952"
    host.stop()
    it_answers(stored, host)


def test_one_file_is_gone_and_is_mended_on_the_next_visit(stored: Page, host: Host, short: Path) -> None:
    delete(stored, "lessons/rate.html")
    assert kept_whole(stored) == []
    stored.goto(host.address + "index.html")
    whole_again(stored, [build_of(short)])


def test_one_page_is_gone_and_there_is_no_signal(stored: Page, host: Host) -> None:
    delete(stored, "lessons/rate.html")
    host.stop()
    stored.goto(host.address + "lessons/rate.html")
    assert stored.get_by_role("heading").inner_text() == NOWHERE
    stored.get_by_role("link", name="Go to the first page of the book").click()
    assert stored.locator("h1").inner_text() == "Furrowbook"


def test_without_the_snapshot_it_starts_plainly(stored: Page, host: Host, short: Path) -> None:
    delete(stored, part(short, "snapshot-"))
    host.stop()
    it_answers(stored, host)
    assert stored.evaluate("() => window.furrowbook.engine.setback?.message")


@pytest.mark.parametrize("stem", ["wasm-", "calc-", "worker-"])
def test_without_python_the_worked_example_stands(stored: Page, host: Host, short: Path, stem: str) -> None:
    delete(stored, part(short, stem))
    host.stop()
    stored.goto(host.address + FORM)
    section = stored.locator('[data-calculator="rate"]')
    expect(section.locator(".fb-engine")).to_contain_text("The calculators cannot start.")
    assert section.locator(".fb-example").is_visible()
    expect(section.locator(".fb-example [data-result='meter_speed']").filter(visible=True)).to_be_visible()
    host.start()
    section.get_by_role("button", name="Try again").click()
    Form(stored, "rate").type(GIVEN)
    assert Form(stored, "rate").results()["meter_speed"] == "40.40 rpm"


# --- while a newer build is being stored -----------------------------------------------------------------


@pytest.fixture(scope="module")
def new(short: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return renewed(short, tmp_path_factory.mktemp("new") / "site", NEW)


@pytest.mark.parametrize("fault", [missing, cut_short, other_content, page_instead, broken_off])
def test_a_renewal_that_fails_leaves_the_build_in_use_whole(
    stored: Page, host: Host, short: Path, new: Path, fault: Fault
) -> None:
    host.site = new
    host.faults["lessons/index.html"] = fault
    stored.reload()
    trouble(stored)
    assert "A newer build could not be stored." in said(stored)
    assert kept_whole(stored) == [build_of(short)]
    host.stop()
    for path in ("index.html", "lessons/index.html", FORM):
        stored.goto(host.address + path)
        assert stored.locator("h1").get_attribute("data-of") is None
    phase(stored, "stored")
    host.faults.clear()
    host.start()
    stored.goto(host.address + "index.html")
    phase(stored, "newer")
    assert kept(stored) == kept_whole(stored) == [build_of(short), NEW]


def test_the_host_goes_in_the_middle_of_a_renewal(stored: Page, host: Host, short: Path, new: Path) -> None:
    host.site = new
    host.dies_after = 8
    stored.goto(host.address + "index.html")
    trouble(stored)
    host.stop()
    assert said(stored).startswith(f"Stored for use without signal: build {build_of(short)}")
    it_answers(stored, host)
    assert kept_whole(stored) == [build_of(short)]
    host.start()
    stored.goto(host.address + "index.html")
    phase(stored, "newer")


def test_too_little_room_for_two_builds(stored: Page, host: Host, short: Path, new: Path) -> None:
    session = devtools(stored)
    origin = host.address.removesuffix("/books/")
    used = session.send("Storage.getUsageAndQuota", {"origin": origin})["usage"]
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": used + 3_000_000})
    host.site = new
    stored.reload()
    assert trouble(stored) == "no-room"
    assert "A newer build could not be stored. " in said(stored).replace("\n\n", " ")
    assert "This device has too little room." in said(stored)
    assert kept(stored) == kept_whole(stored) == [build_of(short)]
    it_answers(stored, host)


def test_the_build_in_use_is_damaged_and_a_newer_one_waits(
    stored: Page, host: Host, short: Path, new: Path
) -> None:
    host.site = new
    stored.goto(host.address + "index.html")
    phase(stored, "newer")
    delete(stored, "index.html")  # out of both
    stored.goto(host.address + "lessons/index.html")
    whole_again(stored, [NEW])  # mended from the host, which no longer has the older
    phase(stored, "newer")
    host.stop()
    stored.goto(host.address + "index.html")
    assert stored.get_by_role("heading").inner_text() == NOWHERE
    stored.get_by_role("link", name="Change to the newer build, which is stored as a whole").click()
    expect(stored.locator(f"h1[data-of='{NEW}']")).to_be_visible()
    assert kept(stored) == kept_whole(stored) == [NEW]


CLOCK = """
const Right = Date;
self.Date = class extends Right {
    constructor(...given) { super(...(given.length ? given : [NOW])); }
    static now() { return NOW; }
};
"""


@pytest.mark.parametrize(("first", "then"), [(4_102_444_800_000, 0), (0, 4_102_444_800_000)])
def test_a_clock_that_is_wrong(
    storing: BrowserContext, host: Host, short: Path, new: Path, first: int, then: int
) -> None:
    """The device believes in 2100 and then in 1970, or the other way round."""

    def at(now: int) -> Page:
        prelude = CLOCK.replace("NOW", str(now)).encode()
        host.faults["service-worker.js"] = lambda handler, body: handler.send(
            prelude + body, "text/javascript"
        )
        page = storing.new_page()
        page.add_init_script(f"Date.now = () => {now};")
        page.goto(host.address + PLAIN)
        return page

    page = at(first)
    phase(page, "stored")
    page.close()
    page = at(then)
    # The program with the new clock takes over once no page is left with the one before.
    page.evaluate("async () => { await (await navigator.serviceWorker.ready).update(); }")
    page.wait_for_function("async () => (await navigator.serviceWorker.ready).waiting")
    page.close()
    taken_over(storing, host)
    page = at(then)
    assert page.evaluate("async () => (await navigator.serviceWorker.ready).waiting") is None
    page.close()
    host.site = new
    page = at(then)
    phase(page, "newer")
    assert page.locator("h1").get_attribute("data-of") is None
    assert page.evaluate("() => window.furrowbook.offline.state.using.build") == build_of(short)
    page.locator(".fb-news").get_by_role("button", name="Change to the new build").click()
    expect(page.locator(f"h1[data-of='{NEW}']")).to_be_visible()
    host.stop()
    it_answers(page, host)
