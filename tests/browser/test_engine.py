"""The engine in a page: started either way, and sabotaged; a page is never left without a word."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route

from calc.asked import answer as answer_to
from calc.record.kinds import KINDS
from calc.reply import answer, compact
from handbook.engine import pack
from handbook.hosting import Handler, host
from tests.browser.conftest import Watch
from tests.calculators.record_entries import example
from tests.calculators.test_practice import RATE

DEEP = "calculators/rate.html"
QUIET = "licences.html"  # a page without a form
PLAIN = "?engine=plain"  # starts without the snapshot
READY = "() => window.furrowbook.engine.state === 'ready'"
FAILED = "() => window.furrowbook.engine.state === 'failed'"
# A promise awaited by `evaluate` has no time limit of its own.
ASK = """requests => Promise.race([
    Promise.all(requests.map((request) => window.furrowbook.engine.ask(request)
        .then((text) => text, (error) => `! ${error.message}`))),
    new Promise((_, reject) => setTimeout(() => reject(new Error("no answer")), 60_000)),
])"""

REQUESTS = [
    json.dumps({"calculator": "rate", "given": given, "units": units})
    for given, units in (
        ({"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}, "metric"),
        ({"width": "12 m", "rate": "1,234 kg/ha"}, "us"),
        (
            {"width": "12 m", "rate": "110 kg/ha", "speed": "8 km/h", "mass_per_turn": "0,4 kg/rev"},
            "imperial",
        ),
    )
]


def ask(page: Page) -> None:
    """Ask three things at once; each reply is the native one, in its place."""
    assert page.evaluate(ASK, REQUESTS) == [answer(request) for request in REQUESTS]


def problem(page: Page) -> str:
    """The sentence a reader is shown."""
    page.wait_for_function(FAILED)
    sentence: str = page.evaluate("() => window.furrowbook.engine.problem.sentence")
    return sentence


def setback(page: Page) -> str | None:
    found: str | None = page.evaluate("() => window.furrowbook.engine.setback?.message ?? null")
    return found


# --- both ways -------------------------------------------------------------------------------------------


def test_nothing_is_fetched_before_it_is_wanted(page: Page, base: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.removeprefix(base)))
    page.goto(base + QUIET)
    page.wait_for_load_state("networkidle")
    engine = [name for name in asked if name.startswith("assets/engine/")]
    assert set(engine) == {"assets/engine/iframe-worker.js", "assets/engine/engine.js"}
    assert page.evaluate("() => window.furrowbook.engine.state") == "idle"
    ask(page)  # the first question starts it
    assert page.evaluate("() => window.furrowbook.engine.state") == "ready"


def test_it_answers_as_the_command_line_does(page: Page, base: str) -> None:
    page.goto(base + DEEP)
    ask(page)
    assert setback(page) is None


def test_it_answers_without_the_snapshot(page: Page, base: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(base + DEEP + "?engine=plain")
    ask(page)
    assert not [url for url in asked if "snapshot-" in url]
    assert setback(page) is None


def test_search_works_beside_the_engine(page: Page, base: str) -> None:
    page.goto(base + DEEP)
    page.locator(".md-header__button[for='__search']").click()
    page.keyboard.type("hopper", delay=20)
    found = page.locator(".md-search-result__link").first
    found.wait_for(state="attached")
    assert (found.get_attribute("href") or "").startswith(base)
    ask(page)


# --- sabotage, hosted ------------------------------------------------------------------------------------


def half(route: Route) -> None:
    response = route.fetch()
    body = response.body()
    kept = {name: value for name, value in response.headers.items() if name != "content-length"}
    route.fulfill(status=200, headers=kept, body=body[: len(body) // 2])


def bent(route: Route) -> None:
    """One byte in the middle is another, as a bad stick would do it."""
    response = route.fetch()
    body = bytearray(response.body())
    body[len(body) // 2] ^= 1
    route.fulfill(response=response, body=bytes(body))


def page_instead(route: Route) -> None:
    """Some hosts answer everything with their own page, and call that a success."""
    route.fulfill(status=200, content_type="text/html", body="<!doctype html><title>Sign in</title>")


def missing(route: Route) -> None:
    route.fulfill(status=404, body="")


@pytest.mark.parametrize(
    ("sabotage", "says"),
    [
        (missing, "could not be fetched: the host answered 404."),
        (half, "came cut short, or is not what it should be."),
        (bent, "came cut short, or is not what it should be."),
        (page_instead, "came cut short, or is not what it should be."),
    ],
)
def test_without_a_good_snapshot_it_starts_all_the_same(
    hosted_watch: Watch, hosted: str, sabotage: Callable[[Route], None], says: str
) -> None:
    page = hosted_watch.page
    page.route("**/snapshot-*.bin", sabotage)
    page.goto(hosted + DEEP)
    ask(page)
    assert (setback(page) or "").endswith(says)


@pytest.mark.parametrize(
    ("part", "start"), [("wasm-*.bin", ""), ("python_stdlib.zip", PLAIN), ("calc-*.zip", "")]
)
@pytest.mark.parametrize("sabotage", [missing, half, page_instead])
def test_without_a_part_it_says_so_and_starts_again_when_asked(
    hosted_watch: Watch, hosted: str, part: str, start: str, sabotage: Callable[[Route], None]
) -> None:
    page = hosted_watch.page
    page.route(f"**/{part}", sabotage)
    page.goto(hosted + DEEP + start)
    page.evaluate(
        """request => {
            window.furrowbook.engine.ask(request).then((text) => { window.early = text; });
        }""",
        REQUESTS[0],
    )
    sentence = problem(page)
    assert sentence.startswith("The calculators cannot start. “")
    assert part.partition("*")[0] in sentence
    page.unroute(f"**/{part}")
    page.evaluate("() => window.furrowbook.engine.retry()")
    # What was asked before the failure is answered after it.
    page.wait_for_function("() => window.early")
    assert page.evaluate("() => window.early") == answer(REQUESTS[0])


def test_a_snapshot_needs_nothing_more_of_the_standard_library(hosted_watch: Watch, hosted: str) -> None:
    entries = [example(kind) for kind in KINDS]
    record = [
        json.dumps({"record": "write", "as": kind, "entries": [compact(one) for one in entries]})
        for kind in ("json", "csv")
    ]
    practice = json.dumps({"practice": RATE, "seed": 7, "units": "us", "working": True})
    assert all(json.loads(answer_to(one))["ok"] for one in [*record, practice])
    wanted = [*REQUESTS, *record, practice]
    page = hosted_watch.page
    page.route("**/python_stdlib.zip", missing)
    page.goto(hosted + DEEP)
    assert page.evaluate(ASK, wanted) == [answer_to(one) for one in wanted]
    assert setback(page) is None


def test_a_wrong_type_for_the_wasm_does_no_harm(hosted_watch: Watch, hosted: str) -> None:
    page = hosted_watch.page
    page.route(
        "**/wasm-*.bin", lambda route: route.fulfill(response=route.fetch(), content_type="text/plain")
    )
    page.goto(hosted + DEEP)
    ask(page)


def test_without_its_program_it_says_so(hosted_watch: Watch, hosted: str) -> None:
    page = hosted_watch.page
    page.route("**/worker-*.mjs", missing)
    page.goto(hosted + DEEP)
    assert problem(page) == "The calculators cannot start. The program of the engine could not be loaded."


def test_without_a_line_it_says_so(hosted_watch: Watch, hosted: str) -> None:
    page = hosted_watch.page
    page.route("**/calc-*.zip", lambda route: route.abort())
    page.goto(hosted + DEEP)
    assert "could not be fetched from the host." in problem(page)


class Slow(Handler):
    """Sends the wasm in pieces, each when the test lets it go."""

    go = threading.Semaphore(0)
    pieces = 6

    def do_GET(self) -> None:  # the library's name
        """Send a file, the wasm slowly."""
        if "/wasm-" not in self.path:
            super().do_GET()
            return
        body = Path(self.translate_path(self.path)).read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", "application/octet-stream")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        step = len(body) // self.pieces + 1
        for at in range(0, len(body), step):
            self.go.acquire()
            try:
                self.wfile.write(body[at : at + step])
            except OSError:
                return


@pytest.fixture
def slow_host(site: Path) -> Iterator[str]:
    Slow.go = threading.Semaphore(0)
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Slow, directory=str(site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}/"
        Slow.go.release(2 * Slow.pieces)
        server.shutdown()


COUNT_WORDS = """
    window.words = 0;
    window.Worker = class extends Worker {
        constructor(...given) {
            super(...given);
            this.addEventListener("message", ({ data }) => {
                window.words += data.type === "progress" ? 1 : 0;
            });
        }
    };
"""
"""Counts what the workers say of what moves."""


def test_a_slow_line_is_waited_for_and_a_dead_one_is_not(browser: Browser, slow_host: str) -> None:
    # A profile of its own: a clock that is set stays set in all later pages.
    context = browser.new_context(service_workers="block")
    watch = Watch(context.new_page(), origin=slow_host)
    page = watch.page
    page.add_init_script(COUNT_WORDS)
    page.clock.install()
    page.goto(slow_host + DEEP)
    page.wait_for_function("() => window.furrowbook.engine.state === 'loading'")
    for _ in range(Slow.pieces):
        # Twenty seconds of silence each time: two minutes in all, and yet never thirty at once.
        page.clock.run_for(20_000)
        # A worker tells of bytes at most four times a second of the true time.
        page.wait_for_timeout(300)
        words = page.evaluate("() => window.words")
        Slow.go.release()
        page.wait_for_function("words => window.words > words", arg=words)
        assert page.evaluate("() => window.furrowbook.engine.problem") is None
    ask(page)

    page.goto(slow_host + DEEP + "?again")
    page.wait_for_function("() => window.furrowbook.engine.state === 'loading'")
    page.wait_for_timeout(1000)
    page.clock.run_for(31_000)
    assert problem(page) == "The calculators cannot start: nothing has arrived for some time."
    watch.check()
    context.close()


# --- sabotage, in a folder -------------------------------------------------------------------------------


@pytest.fixture
def folder(site: Path, tmp_path: Path) -> Path:
    """The site as a folder of its own that a test may harm: links to the files, but for the engine's."""
    copy = tmp_path / "my stick é"
    copy.mkdir()
    for entry in site.iterdir():
        if entry.name != "assets":
            (copy / entry.name).symlink_to(entry)
    (copy / "assets").mkdir()
    for entry in (site / "assets").iterdir():
        if entry.name != "engine":
            (copy / "assets" / entry.name).symlink_to(entry)
    for path in (site / "assets" / "engine").rglob("*.js"):
        target = copy / "assets" / "engine" / path.relative_to(site / "assets" / "engine")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(path.read_bytes())
    return copy


def payload(folder: Path, part: str) -> Path:
    (found,) = (folder / "assets" / "engine" / "folder").glob(f"{part}-*.js")
    return found


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def test_a_folder_with_a_space_and_an_accent(context: BrowserContext, folder: Path) -> None:
    watch = Watch(context.new_page(), origin="file://")
    watch.page.goto(f"{folder.as_uri()}/{DEEP}")
    ask(watch.page)
    assert setback(watch.page) is None
    watch.check()


def test_a_folder_without_the_snapshot(context: BrowserContext, folder: Path) -> None:
    watch = Watch(context.new_page(), origin="file://")
    watch.expect("Failed to load resource: net::ERR_FILE_NOT_FOUND")
    payload(folder, "snapshot").unlink()
    watch.page.goto(f"{folder.as_uri()}/{DEEP}")
    ask(watch.page)
    assert (setback(watch.page) or "").endswith("is missing from the folder.")
    watch.check()


@pytest.mark.parametrize(("part", "start"), [("wasm", ""), ("stdlib", PLAIN), ("calc", "")])
def test_a_folder_copied_in_part(context: BrowserContext, folder: Path, part: str, start: str) -> None:
    watch = Watch(context.new_page(), origin="file://")
    watch.expect("page error: Invalid or unexpected token")
    whole = payload(folder, part).read_bytes()
    cut(payload(folder, part))
    watch.page.goto(f"{folder.as_uri()}/{DEEP}{start}")
    assert problem(watch.page) == (
        f"The calculators cannot start. “folder/{payload(folder, part).name}” "
        "was cut short when the folder was copied."
    )
    payload(folder, part).write_bytes(whole)
    watch.page.evaluate("() => window.furrowbook.engine.retry()")
    ask(watch.page)
    watch.check()


# --- a question that breaks something --------------------------------------------------------------------


@pytest.fixture(scope="module")
def fragile(tmp_path_factory: pytest.TempPathFactory, node: Path, node_modules: Path) -> Path:
    """A page with the engine alone, over a stand-in for `calc` that breaks when told to."""
    here = tmp_path_factory.mktemp("fragile")
    (here / "calc").mkdir()
    (here / "calc" / "__init__.py").write_text("", "utf-8")
    (here / "calc" / "asked.py").write_text(
        "import os\n\n\n"
        "def warm_up():\n    pass\n\n\n"
        "def answer(request):\n"
        "    if request == 'raise':\n        raise ValueError('as asked')\n"
        "    if request == 'abort':\n        os.abort()\n"
        "    return request.upper()\n",
        "utf-8",
    )
    site = here / "site"
    pack(here / "calc", node, node_modules, site / "engine", here / "cache")
    (site / "index.html").write_text(
        '<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,"><title>Engine</title>'
        '<script src="engine/engine.js" data-start></script>',
        "utf-8",
    )
    return site


@pytest.fixture(params=["http", "folder"])
def fragile_page(request: pytest.FixtureRequest, context: BrowserContext, fragile: Path) -> Iterator[Watch]:
    with host(fragile, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        hosted = f"http://127.0.0.1:{server.server_address[1]}/"
        base = hosted if request.param == "http" else f"{fragile.as_uri()}/"
        watching = Watch(context.new_page(), origin=base)
        watching.page.goto(f"{base}index.html")
        watching.page.wait_for_function(READY)
        yield watching
        watching.check()
        server.shutdown()


BROKE = "This answer could not be worked out. Please report it, with the figures you typed."


def test_a_question_python_cannot_answer_harms_no_other(fragile_page: Watch) -> None:
    page = fragile_page.page
    assert page.evaluate(ASK, ["a", "raise", "b"]) == ["A", f"! {BROKE}", "B"]
    assert page.evaluate("() => window.furrowbook.engine.state") == "ready"


def test_a_question_that_kills_python_is_not_asked_again(fragile_page: Watch) -> None:
    page = fragile_page.page
    page.evaluate(
        """() => {
            const { engine } = window.furrowbook;
            window.said = {};
            engine.ask("abort").catch((error) => { window.said.abort = error.message; });
            engine.ask("next").then((text) => { window.said.next = text; });
            window.states = [];
            engine.onchange = (state) => window.states.push(state);
        }"""
    )
    page.wait_for_function(FAILED)
    assert page.evaluate("() => window.said") == {"abort": BROKE}
    page.evaluate("() => window.furrowbook.engine.retry()")
    page.wait_for_function("() => window.said.next")
    assert page.evaluate("() => window.said.next") == "NEXT"
    assert page.evaluate("() => window.states") == ["failed", "loading", "ready"]
    # Python says in the console how it broke down; below the first line stand addresses that change.
    fragile_page.errors = [error.splitlines()[0] for error in fragile_page.errors]
    for line in (
        "Aborted()",
        "Pyodide has suffered a fatal error. Please report this to the Pyodide maintainers.",
        "The cause of the fatal error was:",
        "RuntimeError: unreachable",
    ):
        fragile_page.expect(line)
