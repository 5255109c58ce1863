"""Measuring works: the pages to compare with answer, what goes wrong stops it, the sums are right.

No time is judged here: a machine that runs tests is no place to measure.
Sources: arithmetic for the table, done by hand; the TypeScript checker for the scripts; `calc`'s own reply
for the answers; common practice for the rest.
"""

from __future__ import annotations

import json
import socket
import subprocess
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from calc.declare import Calculator, Rows, catalogue
from calc.reply import respond
from handbook.bench import edits, growth, pyscript, results, runs
from handbook.bench.bare import FROM_FOLDER, OVER_HTTP, SAYS, make_bare
from handbook.bench.browsers import Browsers, browsers
from handbook.bench.keys import AT_ONCE, Key, press_keys
from handbook.bench.machines import grown, grown_table
from handbook.bench.pages import PAGE, Subject, book, example, expected, filling, references
from handbook.bench.pyscript import make_pyscript
from handbook.bench.report import Keys, judged, percentile, report
from handbook.bench.runs import Start, measure
from handbook.bench.serving import Served, served
from handbook.bench.sums import Sum, largest
from handbook.console import Stop
from handbook.measured import Table, as_markdown, as_text, explained
from handbook.scanner import scan

# A stand-in for the book, without Python: a form, answers out of a table, and a service worker that keeps it.
STAND_IN = """\
<!doctype html><html lang="en"><meta charset="utf-8"><title>Stand-in</title>
<section data-calculator="rate"><form>FIELDS</form><div class="fb-live"></div>
<details class="fb-example" open><summary>Example</summary></details><p>More</p></section>
<script src="page.js"></script></html>
"""
STAND_IN_PAGE = """\
const ANSWERS = {};
const form = document.querySelector("form");
const live = document.querySelector(".fb-live");
const engine = { setback: null, ask: async (rate) => ANSWERS[rate] };
const offline = { state: { using: null } };
window.furrowbook = { engine, offline };
const answer = async () => {
    const text = await engine.ask(form.elements.rate.value);
    live.innerHTML = `<div data-result="meter_speed"><dd>${text}</dd></div>`;
};
form.addEventListener("submit", (event) => { event.preventDefault(); answer(); });
form.addEventListener("input", answer);
const kept = () => navigator.serviceWorker.register("keep.js").then(() => navigator.serviceWorker.ready);
if (location.protocol !== "file:") {
    kept().then(() => { offline.state = { using: { build: "stand-in" } }; });
}
"""
STAND_IN_WORKER = """\
const keep = async () => (await caches.open("all")).addAll(["rate.html", "page.js"]);
self.oninstall = (event) => event.waitUntil(keep());
self.onfetch = (event) => event.respondWith(caches.match(event.request));
"""


def apart(work: Callable[..., Any], *given: Any, **named: Any) -> Any:
    """Do it in a thread of its own: in this one the browser of other tests may be open."""
    with ThreadPoolExecutor(1) as threads:
        return threads.submit(work, *given, **named).result()


def once(pages: Sequence[Subject], profile: Path, asked: list[str] | None = None) -> dict[str, list[Start]]:
    """One start of each page; `asked` takes the addresses asked for in the kept profile."""

    def work() -> dict[str, list[Start]]:
        with browsers(profile) as open_browsers:
            if asked is not None:
                open_browsers.kept.on("request", lambda request: asked.append(request.url))
            return measure(open_browsers, pages, rounds=1, uncounted=0)

    return apart(work)


def pressed(page: Subject, profile: Path, count: int) -> list[Key]:
    """What so many keys took, in a page that is not to be stored first."""

    def work() -> list[Key]:
        with browsers(profile) as open_browsers:
            return press_keys(open_browsers, page, AT_ONCE, count)

    return apart(work)


@pytest.fixture(scope="module")
def bare(node_modules: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages of a bare start."""
    folder = tmp_path_factory.mktemp("bare")
    make_bare(node_modules, folder)
    return folder


@pytest.fixture
def stand_in(tmp_path: Path) -> Path:
    """The site of the stand-in."""
    page = tmp_path / "site" / PAGE
    page.parent.mkdir(parents=True)
    fields = "".join(f'<input name="{name}">' for name in example())
    page.write_text(STAND_IN.replace("FIELDS", fields), "utf-8")
    typed = ["100 lb/ac", *(f"100{digit} lb/ac" for digit in range(1, 10))]
    answers = {rate: expected({**example(), "rate": rate}) for rate in typed}
    table = STAND_IN_PAGE.replace("ANSWERS = {}", f"ANSWERS = {json.dumps(answers)}")
    (page.parent / "page.js").write_text(table, "utf-8")
    (page.parent / "keep.js").write_text(STAND_IN_WORKER, "utf-8")
    return tmp_path / "site"


def change(site: Path, old: str, new: str) -> None:
    """Change the script of the stand-in."""
    script = site / "calculators" / "page.js"
    text = script.read_text("utf-8")
    assert old in text
    script.write_text(text.replace(old, new), "utf-8")


def state(name: str, site: Path, host: Served) -> Subject:
    """The book in this state."""
    return next(page for page in book(site, host) if page.name == name)


def test_both_bare_starts_answer(bare: Path, tmp_path: Path) -> None:
    with served(bare) as host:
        pages = [
            *references("bare", f"{host.address}/{OVER_HTTP}"),
            Subject("bare-folder", (bare / FROM_FOLDER).as_uri(), SAYS, "bare"),
        ]
        taken = once(pages, tmp_path)
    assert set(taken) == {"bare-cold", "bare-warm", "bare-folder"}
    assert all(len(starts) == 1 and starts[0].answer > 0 for starts in taken.values())


def test_pyscript_answers_and_asks_nobody_else(node_modules: Path, tmp_path: Path) -> None:
    (tmp_path / "pyscript").mkdir()
    make_pyscript(node_modules, tmp_path / "pyscript")
    asked: list[str] = []
    with served(tmp_path / "pyscript") as host:
        address = f"{host.address}/{pyscript.PAGE}"
        taken = once([Subject("pyscript-warm", address, "2", "pyscript")], tmp_path / "profile", asked)
        elsewhere = [url for url in asked if not url.startswith((f"{host.address}/", "blob:", "data:"))]
    assert taken["pyscript-warm"][0].answer > 0
    assert f"{host.address}/pyodide/pyodide.asm.wasm" in asked
    assert elsewhere == []


def test_a_wrong_answer_is_no_measurement(bare: Path, tmp_path: Path) -> None:
    page = Subject("bare-folder", (bare / FROM_FOLDER).as_uri(), "3", "bare")
    with pytest.raises(Stop, match="bare-folder answered '2' and not '3'"):
        once([page], tmp_path)


def test_a_browser_that_cannot_be_started_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FURROWBOOK_BROWSER", str(tmp_path / "none"))
    with pytest.raises(Stop, match=r"^The browser failed: "):
        once([], tmp_path / "profile")


def test_the_form_is_told_what_to_type_and_what_to_wait_for() -> None:
    text = filling()
    assert '"rate": "100 lb/ac"' in text
    assert 'const RESULT = "meter_speed";' in text
    assert expected() == "40.40 rpm"  # arithmetic in US units: 100 · 40 · 5 / 495


def test_the_book_is_measured_in_every_state(stand_in: Path, tmp_path: Path) -> None:
    with served(stand_in) as host:
        pages = book(stand_in, host)
        taken = once(pages, tmp_path / "profile")
    assert set(taken) >= {"cold", "warm", "offline", "folder", "slow-page"}
    for name, (start,) in taken.items():
        assert start.answer > 0, name
        assert start.example, name
        assert start.example > 0, name
        assert start.block >= 0, name


def test_the_book_itself_is_measured_warm_and_offline_and_by_keys(site: Path, tmp_path: Path) -> None:
    def work(host: Served) -> tuple[dict[str, list[Start]], list[Key]]:
        pages = [state("warm", site, host), state("offline", site, host)]
        with browsers(tmp_path / "profile") as open_browsers:
            return measure(open_browsers, pages, rounds=1), press_keys(open_browsers, pages[0], AT_ONCE, 4)

    with served(site) as host:
        taken, keys = apart(work, host)
    assert set(taken) == {"warm", "offline"}
    for (start,) in taken.values():
        assert start.answer > 0
        assert start.example
        assert start.example > 0
        assert start.block >= 0
    assert len(keys) == 4
    assert all(0 < key.asked <= key.whole for key in keys)


def test_keys_are_pressed_one_after_another(stand_in: Path, tmp_path: Path) -> None:
    with served(stand_in) as host:
        keys = pressed(replace(state("warm", stand_in, host), stored=False), tmp_path / "profile", 20)
    assert len(keys) == 20
    assert all(0 < key.asked <= key.whole for key in keys)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('"405.3 rpm"', '"405.4 rpm"', "With “1003 lb/ac” typed .* '405.4 rpm' and not '405.3 rpm'"),
        ("await engine.ask(form.elements.rate.value)", "ANSWERS[form.elements.rate.value]", "not asked"),
    ],
)
def test_a_key_with_a_wrong_answer_is_no_measurement(
    stand_in: Path, tmp_path: Path, old: str, new: str, told: str
) -> None:
    change(stand_in, old, new)
    with served(stand_in) as host, pytest.raises(Stop, match=told):
        pressed(replace(state("warm", stand_in, host), stored=False), tmp_path / "profile", 20)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("setback: null", 'setback: "no snapshot"', "did not start from the snapshot.*no snapshot"),
        ("engine, offline }", "engine }", "does not store itself on the device"),
        ('{ build: "stand-in" }', "null", "not stored on the device: .*[Tt]imeout"),
        (
            'register("keep.js").then(() => navigator.serviceWorker.ready)',
            "ready",
            "not stored on the device",
        ),
        (
            "const kept = () => ",
            "const kept = async () => null; () => ",
            "not come through the service worker",
        ),
    ],
)
def test_what_did_not_come_as_it_should_is_no_measurement(
    stand_in: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, old: str, new: str, told: str
) -> None:
    if told.startswith("not stored"):
        monkeypatch.setattr(runs, "PATIENCE", 2000)  # it will never be
    change(stand_in, old, new)
    with served(stand_in) as host, pytest.raises(Stop, match=told):
        once([state("warm", stand_in, host)], tmp_path / "profile")


def test_a_host_that_is_away_refuses_and_comes_back_at_its_port(stand_in: Path) -> None:
    with served(stand_in) as host:
        port = host.port
        with host.down(), pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.1", port), timeout=5)
        assert host.port == port
        socket.create_connection(("127.0.0.1", port), timeout=5).close()


def test_a_port_taken_meanwhile_is_told(stand_in: Path) -> None:
    host = Served(stand_in)
    host.stop()
    with served(stand_in) as other:
        host.port = other.port
        with pytest.raises(Stop, match=f"Another program took port {other.port} "):
            host.start()


def test_pages_are_opened_turn_about(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []

    def visit(browsers: Browsers, subject: Subject) -> Start:
        opened.append(subject.name)
        return Start(1, 0)

    monkeypatch.setattr(runs, "visit", visit)
    a, b = (Subject(name, "", "", "bare") for name in "ab")
    cold = Subject("c", "", "", "bare", fresh=True)
    unused: Any = None
    taken = measure(unused, [a, b, cold], rounds=3, uncounted=1)
    assert "".join(opened) == "ab" + "bca" + "cab" + "abc"
    assert {name: len(starts) for name, starts in taken.items()} == {"a": 3, "b": 3, "c": 3}


def test_the_longest_block_before_the_answer_is_taken(root: Path, node: Path) -> None:
    watch = root / "scripts" / "handbook" / "bench" / "watch.js"
    told = [(10, 60), (100, 130), (400, 90), (900, 400)]
    program = f"""
        globalThis.window = globalThis;
        const entries = {json.dumps(told)}.map(([startTime, duration]) => ({{ startTime, duration }}));
        globalThis.PerformanceObserver = class {{
            constructor(call) {{ call({{ getEntries: () => entries.slice(0, 2) }}); }}
            observe({{ type, buffered }}) {{ if (type !== "longtask" || !buffered) throw new Error(type); }}
            takeRecords() {{ return entries.splice(2); }}
        }};
        {watch.read_text("utf-8")}
        const {"{"} longestUntil {"}"} = window.furrowbookWatch;
        console.log([5, 50, 500, 1000].map((moment) => longestUntil(moment)).join(" "));
    """
    done = subprocess.run([node, "--eval", program], capture_output=True, encoding="utf-8", check=False)
    assert done.stdout.split() == ["0", "60", "130", "400"], done.stderr


def test_percentiles_are_by_nearest_rank() -> None:
    # The worked example of the nearest-rank method: 5th, 30th, 40th, 50th and 100th of five values.
    values = [35.0, 15.0, 50.0, 20.0, 40.0]
    assert [percentile(values, p) for p in (5, 30, 40, 50, 100)] == [15, 20, 20, 35, 50]
    assert percentile([float(n) for n in range(1, 61)], 95) == 57  # 0.95 · 60 = 57


def starts(*answers: float, block: float = 0, example: float | None = None) -> list[Start]:
    """Starts with these answers."""
    return [Start(answer, block, example) for answer in answers]


@pytest.fixture
def taken() -> dict[str, list[Start]]:
    """Invented figures."""
    return {
        "cold": starts(700, 800, 900, block=51),
        "warm": starts(90, 300, 5000, example=120),
        "offline": [Start(250, 0), Start(260, 62), Start(240, 90)],
        "folder": starts(1000, 1002, 900),
        "slow-page": starts(3000, 3000, 1),
        "slow-all": starts(3001, 3001, 1),
        "bare-cold": starts(1600, 2000, 3000, block=900),
        "bare-warm": starts(900, 1000, 1100, block=900),
        "bare-folder": starts(2000, 2000, 9),
        "pyscript-cold": starts(2500, 2500, 2500, block=900),
        "pyscript-warm": starts(1200, 1500, 1900, block=900),
    }


def test_ratios_are_those_of_the_medians_with_the_aims_beside(taken: dict[str, list[Start]]) -> None:
    keys = [Key(50, 9)] * 57 + [Key(400, 9)] * 3
    assert [" ".join(line.row()) for line in judged(taken, keys)] == [
        "warm / bare Pyodide, warm 0.300 0.30 at most met",
        "warm / PyScript, warm 0.200",
        "offline / bare Pyodide, warm 0.250",
        "cold / bare Pyodide, cold 0.400",
        "cold / PyScript, cold 0.320",
        "from a folder / bare Pyodide, the same 0.500 0.50 at most met",
        "from a folder / bare Pyodide, warm 1.000",
        "longest block, cold 51 ms none over 50 ms not met",
        "longest block, warm under 50 none over 50 ms met",
        "longest block, offline 90 ms none over 50 ms not met",
        "longest block, from a folder under 50 none over 50 ms met",
        "key to painted answer, p95 50 ms 50 ms at most met",
        "first answer, slower page 3000 ms 3000 ms at most met",
        "first answer, slower browser 3001 ms 3000 ms at most not met",
    ]


def test_a_ratio_is_the_highest_of_the_profiles(taken: dict[str, list[Start]]) -> None:
    second = {name: [replace(one, profile=1) for one in those] for name, those in taken.items()}
    second["warm"] = [replace(one, profile=1) for one in starts(300, 390, 500)]
    taken |= {name: those + second[name] for name, those in taken.items()}
    assert judged(taken, [Key(1, 1)])[0].figure == "0.390"


def test_an_aim_just_missed_is_not_met(taken: dict[str, list[Start]]) -> None:
    taken |= {"warm": starts(301, 301, 1), "folder": starts(1002, 1002, 1)}
    keys = [Key(50, 9)] * 56 + [Key(51, 9)] * 4
    lines = {line.title: line for line in judged(taken, keys)}
    assert lines["warm / bare Pyodide, warm"].met is False
    assert lines["from a folder / bare Pyodide, the same"].met is False
    assert lines["key to painted answer, p95"].met is False


def test_the_tables_show_every_state_and_fit_a_terminal(taken: dict[str, list[Start]]) -> None:
    keys = [Key(float(n), n / 2) for n in range(1, 61)]
    told = report(
        taken,
        Keys(keys, [Key(88, 9)], [Key(99, 9)]),
        {"slow-page": (3.94, 1.0), "slow-all": (4.0, 4.12)},
        2.36,
    )
    text = as_text(told)
    assert max(len(line) for line in text.splitlines()) <= 100
    folded = [" ".join(line.split()) for line in text.splitlines()]
    assert "the median of 3," in folded[0]
    assert folded[4] == "cold - 800 (700 to 900) 51 (51 to 51)"
    assert folded[5] == "warm 120 (120 to 120) 300 (90 to 5000) under 50"
    assert folded[6] == "offline - 250 (240 to 260) 62 (<50 to 90)"
    assert "as a hand types 30 57 60" in folded
    assert "as a hand types in a hurry 88 88 88" in folded
    assert "at once and without a pause 99 99 99" in folded
    assert "of it from the question to Python 15 28 30" in folded
    assert "slower page 3.9 1.0" in folded
    assert folded[-1].endswith(" 2.4 s.")
    assert "| warm | 120 (120 to 120) | 300 (90 to 5000) | under 50 |" in as_markdown(told)


def test_a_book_of_more_machines_is_measured(tmp_path: Path) -> None:
    one, two = grown(tmp_path, (1, 4))
    assert (one.machines, two.machines) == (1, 4)
    assert two.size > one.size + 1_000_000  # the pages of three machines
    assert two.seconds > 0
    assert list(tmp_path.iterdir()) == []
    head, first, second = as_text(grown_table([one, two])).splitlines()
    assert len(head) == len(second)
    assert first.split()[0] == "1"
    assert second.split()[-1] == f"{(two.size - one.size) / 3e6:.2f}"


@pytest.mark.parametrize("calculator", catalogue().values(), ids=lambda one: one.id)
def test_every_calculator_answers_at_its_most_rows(calculator: Calculator) -> None:
    request, rows = largest(calculator)
    assert respond(request)["ok"], respond(request)
    assert rows == sum(one.most for one in calculator.inputs if isinstance(one, Rows))


def test_each_calculator_has_a_line_with_its_ratio(taken: dict[str, list[Start]]) -> None:
    sums = [Sum("rate", 0, 2.0, 30.0), Sum("evenness", 240, 4.0, 50.0)]
    text = as_text(report(taken, Keys([Key(1, 1)], [Key(1, 1)], [Key(1, 1)]), {}, 1, sums))
    folded = [" ".join(line.split()) for line in text.splitlines()]
    assert "rate - 2.00 30.0 15.0" in folded
    assert "evenness 240 4.00 50.0 12.5" in folded


def test_where_a_browser_cannot_be_paused_its_lines_are_left_out(taken: dict[str, list[Start]]) -> None:
    del taken["slow-all"]
    keys = Keys([Key(1, 1)], [Key(1, 1)], [Key(1, 1)])
    text = as_text(report(taken, keys, {"slow-page": (4.0, 1.0)}, 1))
    assert "warm, slower page" in text
    assert "warm, slower browser" not in text
    assert "first answer, slower browser" not in text


def test_the_scripts_of_the_measurement_pass_the_checker(root: Path, node: Path, node_modules: Path) -> None:
    checker = node_modules / "typescript" / "bin" / "tsc"
    done = subprocess.run(
        [node, checker, "--project", "scripts/handbook/bench/tsconfig.json", "--listFilesOnly"],
        cwd=root, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert {Path(line).name for line in done.stdout.splitlines()} >= {
        path.name for path in (root / "scripts" / "handbook" / "bench").glob("*.js")
    }
    done = subprocess.run(
        [node, checker, "--project", "scripts/handbook/bench/tsconfig.json"],
        cwd=root, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout


def test_the_page_of_results_shows_what_was_kept_and_says_why_an_aim_is_missed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(results, "KEPT", tmp_path / "kept")
    page = tmp_path / "results.md"
    assert results.write_page(page) == [one.name for one in results.MEASUREMENTS]
    results.keep("pages", [Table(("pages", "s"), (("50", "1.5"),)), "Asked is little: met."])
    assert "pages" not in results.write_page(page)
    assert "| pages | s |\n| --- | ---: |\n| 50 | 1.5 |\n\nAsked" in page.read_text(encoding="utf-8")
    assert "misses its aim" not in page.read_text(encoding="utf-8")
    results.keep("pages", ["Asked is little: not met."])
    results.write_page(page)
    assert "The build of a small book misses its aim:" in page.read_text(encoding="utf-8")
    assert scan(page.read_text(encoding="utf-8")).problems == []


def test_books_of_pages_are_built_both_ways(tmp_path: Path) -> None:
    """The two have the same pages, which `built` looks at; no time is judged."""
    [one] = growth.built(tmp_path, (40,))
    assert one.pages == 40 and min(*one.ours, *one.plain, one.closing) > 0
    table = growth.built_table([growth.Built(40, (3.0, 200_000_000), (2.0, 50_000_000), 0.4)])
    title, line, _, aim, *_ = as_text(table).splitlines()
    assert line.split() == ["40", "3.0", "2.0", "1.50", "200", "50", "0.4"]
    assert aim.endswith(": met.") and "ratio" in title
    assert ": not met." in as_text(growth.built_table([growth.Built(40, (5.0, 1), (2.0, 1))]))


def test_each_edit_to_be_timed_can_be_made_and_the_slowest_is_judged(root: Path) -> None:
    for one in edits.EDITS:
        assert (root / one.file).read_text(encoding="utf-8").count(one.old) == 1, one
    found = [edits.Shown("a line", (0.4, 0.5, 3.0)), edits.Shown("a figure", (2.1, 1.0, 2.3))]
    told = as_text(edits.edited_table(found, 4.44))
    rows = [line.rsplit(maxsplit=2) for line in told.splitlines()]
    assert ["a line", "0.5", "3.0"] in rows
    assert ["a figure", "2.1", "2.3"] in rows
    assert told.endswith(
        "Asked are 2 s: not met.\n\nPlain MkDocs, which builds every page at each change, takes 4.4 s."
    )


def test_what_is_said_is_the_same_for_a_terminal_and_for_a_page() -> None:
    table = Table(("", "s", "MB"), (("Ours",), ("first", "1.5", "10"), ("second", "12.5"), ("Theirs",)))
    told = [table, explained("One: it is\n    so.\nThe other: no.")]
    assert as_text(told).splitlines() == [
        "             s  MB",
        "Ours",
        "  first    1.5  10",
        "  second  12.5",
        "Theirs",
        "",
        "One        it is so.",
        "The other  no.",
    ]
    assert as_markdown(told).splitlines() == [
        "|  | s | MB |",
        "| --- | ---: | ---: |",
        "| **Ours** |  |  |",
        "| first | 1.5 | 10 |",
        "| second | 12.5 |  |",
        "| **Theirs** |  |  |",
        "",
        "- **One**: it is so.",
        "- **The other**: no.",
    ]
