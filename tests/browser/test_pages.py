"""Every page of the built book: opened both ways without an error, whole, and every link leads somewhere."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from html.parser import HTMLParser
from http.server import ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit
from urllib.request import urlopen

import pytest
from playwright.sync_api import BrowserContext, Page

from handbook.hosting import Handler
from tests.browser.conftest import ROOMS, Watch, each_room, folder_only, hosted_only, pages_of
from tests.browser.looks import AT_REST, for_everyone, opened, what_breaks, whole

NOT_FOUND = "Failed to load resource: the server responded with a status of 404 (File not found)"

# What may name another host: links that a reader may follow, and only on the page that owes them.
LINKS_OUT = {"licences.html"}


OWN = ("index", "readings", "tanks", "card")  # what every machine has beside its copies
COPIES = ("standing-test", "calibration", "ammonia-live")  # that are looked over, of those that are opened


def opened_here(name: str) -> bool:
    """Whether a page is opened: of the copies of procedures, those of one machine."""
    copy = name.startswith(("machines/marsh-two/", "machines/prairie-four/"))
    return not copy or Path(name).stem in OWN


def looked_over(name: str) -> bool:
    """Whether a page stands for those that are made as it is."""
    if name.startswith("reference/calculators/"):
        return name.endswith(("/rate.html", "/ammonia.html", "/stand.html"))
    if name.startswith("machines/ridge-mixed/"):
        return Path(name).stem in (*OWN, "liquid", "ammonia", *COPIES)
    return not name.startswith(("machines/marsh-two/", "machines/prairie-four/"))


# --- opened ----------------------------------------------------------------------------------------------


@each_room
@hosted_only
def test_every_page_opens_whole_and_everyone_can_use_it(
    page: Page, watch: Watch, base: str, site: Path, axe: str, room: str
) -> None:
    """The pages of the calculators, which have more to be looked at, are opened in `test_accessibility`.

    Of pages that are made alike some are looked at: all of one machine, and a few that tell of a calculator.
    """
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    found = {}
    broken = what_breaks(page)
    names = pages_of(site, room) if room != "calculators" else ["calculators/index.html"]
    for name in filter(opened_here, names):
        opened(page, base + name)
        assert not watch.errors, name
        whole(page, name)
        if looked_over(name):
            found[name] = for_everyone(page, axe, name)
    assert {name: one for name, one in found.items() if one} == {}
    assert broken == []


@each_room
@folder_only
def test_pages_of_every_room_open_from_a_folder(
    page: Page, watch: Watch, base: str, site: Path, room: str
) -> None:
    """Of each room every third: a page from a folder differs from a hosted one in how its parts come, and all
    pages of a room have the same parts. The calculators are opened so where their cases are.
    """
    broken = what_breaks(page)
    names = pages_of(site, room)[::3] if room != "calculators" else ["calculators/index.html"]
    for name in filter(opened_here, names):
        opened(page, base + name)
        assert not watch.errors, name
        whole(page, name)
    assert broken == []


def test_no_page_is_left_out(site: Path) -> None:
    by_room = [name for room in ROOMS for name in pages_of(site, room)]
    assert sorted(by_room) == pages_of(site)


def test_no_two_pages_carry_the_same_title(readings: dict[str, Reading]) -> None:
    titles = [reading.title for reading in readings.values()]
    assert sorted(set(titles)) == sorted(titles)
    assert all(title.endswith("Furrowbook") for title in titles)


def test_the_policy_is_in_force(page: Page, watch: Watch, base: str) -> None:
    opened(page, base + "calculators/rate.html")
    seen = page.evaluate(
        """async () => {
            const refused = [];
            document.addEventListener("securitypolicyviolation",
                (event) => refused.push(event.effectiveDirective));
            const script = document.createElement("script");
            script.textContent = "window.ran = true";
            document.head.append(script);
            const image = new Image();
            image.src = "http://127.0.0.1:9/seen.png";
            const fetched = await fetch("http://127.0.0.1:9/told").then(() => "let through", () => "refused");
            await new Promise((resolve) => setTimeout(resolve, 200));
            return { ran: window.ran ?? false, fetched, refused: refused.sort() };
        }"""
    )
    assert seen == {
        "ran": False,
        "fetched": "refused",
        "refused": ["connect-src", "img-src", "script-src-elem"],
    }
    # What Chromium says of it quotes the whole policy. A request that was stopped counts as asked for.
    said = [error for error in watch.errors if "Content Security Policy" in error]
    tried = [f"asked for http://127.0.0.1:9/{one}" for one in ("told", "seen.png")]
    watch.errors = [error for error in watch.errors if error not in said and error not in tried]


# --- links -----------------------------------------------------------------------------------------------


@dataclass
class Reading(HTMLParser):
    """The addresses a page names, and the places in it that an address may name."""

    links: list[str] = field(default_factory=list)
    assets: list[str] = field(default_factory=list)
    places: set[str] = field(default_factory=set)
    title: str = ""

    def __post_init__(self) -> None:
        """Begin to read."""
        super().__init__(convert_charrefs=True)
        self._heading = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take what a tag names."""
        self._heading = tag == "title" and not self.title
        for name, value in attrs:
            if name == "id" and value:
                self.places.add(value)
            elif name == "href" and value is not None:
                (self.links if tag == "a" else self.assets).append(value)
            elif name == "src" and value:
                self.assets.append(value)

    def handle_data(self, data: str) -> None:
        """Take the title: the first element of that name, for a drawing may have another."""
        if self._heading:
            self.title += data

    def handle_endtag(self, tag: str) -> None:
        """End the title."""
        self._heading = False


def read(site: Path, name: str) -> Reading:
    reading = Reading()
    reading.feed((site / name).read_text(encoding="utf-8"))
    return reading


@pytest.fixture(scope="module")
def readings(site: Path) -> dict[str, Reading]:
    """Every page, read by Python's own parser of HTML and not by ours."""
    return {name: read(site, name) for name in pages_of(site)}


def answered(address: str) -> str:
    """The type a host gives for an address; a test fails on anything but a plain yes."""
    with urlopen(address, timeout=10) as reply:
        assert reply.status == 200
        assert reply.url == address, "the host sent the browser elsewhere"
        return str(reply.headers.get_content_type())


def test_every_link_and_asset_leads_somewhere(readings: dict[str, Reading], hosted: str, site: Path) -> None:
    lost: list[str] = []
    known: dict[str, str] = {}
    for name, reading in readings.items():
        if name == "404.html":  # its links are counted from wherever it is shown: see below
            continue
        for address in [*reading.links, *reading.assets]:
            parts = urlsplit(address)
            if parts.scheme in ("http", "https") and name in LINKS_OUT and address in reading.links:
                continue
            if parts.scheme == "data":
                continue
            whole = urljoin(hosted + name, address)
            target = unquote(whole.partition("#")[0].partition("?")[0]).removeprefix(hosted)
            if parts.scheme or not whole.startswith(hosted) or not (site / target).is_file():
                # a folder too: opened from a stick it would show a list of files
                lost.append(f"{name}: {address}")
                continue
            asked = whole.partition("#")[0]
            if asked not in known:
                known[asked] = answered(asked)
            if parts.fragment and unquote(parts.fragment) not in readings[target].places:
                lost.append(f"{name}: there is no place {address}")
    assert not lost
    own = [path for path in (site / "assets" / "furrowbook").iterdir() if path.is_file()]
    assert own
    wanted = {*(readings.keys() - {"404.html"}), *(path.relative_to(site).as_posix() for path in own)}
    assert {hosted + name for name in wanted} <= known.keys(), (
        "something is in the site that no page leads to"
    )
    assert len(known) > 25
    assert set(known.values()) <= {
        "text/html", "text/css", "text/javascript", "image/svg+xml", "image/png", "application/manifest+json",
        "application/json"
    }  # fmt: skip


def test_style_sheets_name_only_files_that_are_there(site: Path) -> None:
    sheets = sorted(site.rglob("*.css"))
    named = 0
    for sheet in sheets:
        for address in re.findall(r"url\(\s*[\"']?([^\"')]+)", sheet.read_text(encoding="utf-8")):
            if not address.startswith("data:"):
                named += 1
                named_file = sheet.parent / address.partition("?")[0].partition("#")[0]
                assert named_file.is_file(), (sheet, address)
    assert named >= 2  # the font at least


def test_every_page_can_be_reached_from_the_first(readings: dict[str, Reading], hosted: str) -> None:
    reached, waiting = {"index.html"}, ["index.html"]
    while waiting:
        name = waiting.pop()
        for address in readings[name].links:
            target = urljoin(hosted + name, address).partition("#")[0].removeprefix(hosted)
            if target in readings and target not in reached:
                reached.add(target)
                waiting.append(target)
    assert reached == set(readings) - {"404.html"}


def test_nothing_in_the_site_names_this_machine(site: Path, root: Path) -> None:
    for path in sorted(site.rglob("*")):
        if path.suffix in (".html", ".css", ".js", ".mjs", ".json", ".svg", ".txt"):
            text = path.read_text(encoding="utf-8", errors="ignore")
            assert str(root) not in text, path
            assert str(site) not in text, path


# --- ways through the book -------------------------------------------------------------------------------


def test_the_calculators_are_two_taps_away(page: Page, base: str) -> None:
    for start in ("index.html", "procedures/standing-test.html"):
        opened(page, base + start)
        page.get_by_role("navigation", name="Quick links").get_by_role("link", name="Calculators").click()
        page.wait_for_url(base + "calculators/index.html")
        page.locator("article").get_by_role("link", name="Rate and meter speed").click()
        page.wait_for_url(base + "calculators/rate.html")
        assert page.locator('[data-calculator="rate"] [name="width"]').is_visible()
        page.wait_for_function(AT_REST)


def test_the_bar_stays_within_reach_on_a_phone(page: Page, base: str) -> None:
    opened(page, base + "procedures/standing-test.html")
    page.evaluate("() => window.scrollTo(0, document.body.scrollHeight / 2)")
    page.wait_for_function("() => window.scrollY > 1000")
    box = page.get_by_role("navigation", name="Quick links").bounding_box()
    assert box is not None
    assert 0 <= box["y"] < 200


def test_the_three_doors_open(page: Page, base: str) -> None:
    for door, room in (("Learn it", "lessons"), ("Do it", "procedures"), ("Teach it", "trainers")):
        opened(page, base + "index.html")
        page.locator("article").get_by_role("link", name=door).click()
        page.wait_for_url(f"{base}{room}/index.html")


def test_the_licences_of_other_peoples_work_are_reached_from_every_page(
    page: Page, base: str, readings: dict[str, Reading], hosted: str
) -> None:
    for name, reading in readings.items():
        assert name == "404.html" or any(
            urljoin(hosted + name, address) == f"{hosted}licences.html" for address in reading.links
        ), name
    opened(page, base + "lessons/rate.html")
    page.get_by_role("contentinfo").get_by_role("link", name="licenses").click()
    page.wait_for_url(base + "licences.html")
    text = page.locator("main").inner_text()
    for part in ("Pyodide", "Python", "Material", "Atkinson Hyperlegible", "MIT", "Mozilla Public License"):
        assert part in text, part


# --- an address that is not in the book -------------------------------------------------------------------


class OwnNotFound(Handler):
    """As many hosts do: a missing address is answered with the site's own page for it."""

    site: Path

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """Answer with the page of the site."""
        body = (self.site / "404.html").read_bytes()
        self.send_response(code, message)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


@pytest.fixture
def lost_host(site: Path, hosted: str) -> Iterator[str]:
    """A host that has the book in a sub-folder; asking for anything above that is an error of the page."""
    OwnNotFound.site = site
    above = next(site.parent.glob("host-*"))
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(OwnNotFound, directory=str(above))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/books/"
        server.shutdown()


@pytest.mark.parametrize(
    ("asked", "way", "leads_to"),
    [
        ("nowhere.html", "this folder", "index.html"),
        ("lessons/nowhere.html", "this folder", "lessons/index.html"),
        ("lessons/nowhere.html", "one folder up", "index.html"),
        ("no-such-room/nowhere.html", "one folder up", "index.html"),
        ("lessons/deeper/nowhere.html", "one folder up", "lessons/index.html"),
    ],
)
def test_a_missing_page_says_so_at_any_depth(
    context: BrowserContext, lost_host: str, asked: str, way: str, leads_to: str
) -> None:
    watch = Watch(context.new_page(), origin=lost_host)
    watch.expect(NOT_FOUND)  # the page itself, and nothing that it would fetch
    page = watch.page
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(lost_host + asked)
    assert page.locator("h1").inner_text() == "This page is not in Furrowbook"
    assert requests == [lost_host + asked]
    page.get_by_role("link", name=way).click()
    page.wait_for_url(lost_host + leads_to)
    assert page.get_by_role("navigation", name="Quick links").is_visible()
    watch.check()


@pytest.mark.parametrize("name", ["index.html", "standing-test.html"])
def test_a_table_has_all_the_room_there_is(page: Page, base: str, name: str) -> None:
    """It may scroll only where the column of text is too narrow for it."""
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(f"{base}machines/prairie-four/{name}")
    narrow = page.locator(".fb-figures .fb-table").evaluate_all(
        """tables => tables.filter((one) => {
            const column = one.closest(".fb-figures").clientWidth;
            return one.clientWidth < Math.min(one.scrollWidth, column);
        }).map((one) => one.getAttribute("aria-label"))"""
    )
    assert page.locator(".fb-figures .fb-table").count() > 0
    assert narrow == []
