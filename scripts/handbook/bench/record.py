"""A record of many entries: how soon its page opens, and how soon one entry more is kept."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from playwright.sync_api import Page

from handbook.bench.browsers import Browsers
from handbook.bench.report import percentile
from handbook.hosting import host
from handbook.measured import Part, Table, explained, verdict

PAGE = "record/index.html"
WORK = "procedures/geometry.html"
ROUNDS = 9
ADDED = 60
OPEN_MOST, ADD_MOST = 1000.0, 50.0  # ms


@dataclass(frozen=True)
class Kept:
    """So many entries in so many jobs: ms until the page of the last job stands, and for each entry more."""

    entries: int
    jobs: int
    opened: Sequence[float]
    kept: Sequence[float]
    shown: Sequence[float]
    bare: Sequence[float]


# Entries of the size of a step; all of them invented here.
_FILL = """async ([entries, jobs]) => {
    const { record, job } = window.furrowbook;
    const ids = Array.from({ length: jobs }, () => record.newId());
    const common = { who: "R. Field", second: "T. Furrow", build: record.build };
    const when = (number) => new Date(Date.UTC(2027, 0, 1) + number * 60000).toISOString();
    const page = "procedures/geometry.html";
    const texts = [];
    for (let number = 0; number < entries; number += 1) {
        const of = ids[Math.floor((number * jobs) / entries)];
        const begun = { kind: "begun", name: "Trial One" };
        const done = { kind: "done", page, step: `step-${number}`, says: "x".repeat(80) };
        const first = number === 0 || of !== ids[Math.floor(((number - 1) * jobs) / entries)];
        const own = { id: record.newId(), when: when(number), job: of };
        texts.push(JSON.stringify({ ...common, ...own, ...(first ? begun : done) }));
    }
    await record.addTexts(texts);
    await job.choose({ job: ids.at(-1), who: "R. Field", second: "T. Furrow" });
}"""
_OPENED = """() => new Promise((done) => {
    const look = () => {
        if (document.querySelector(".fb-record__head")) {
            requestAnimationFrame(() => done(performance.now()));
        } else {
            requestAnimationFrame(look);
        }
    };
    look();
})"""
# From the press to the moment when the disk has the entry, and to that when the next step is offered.
_ADD = """async (count) => {
    const kept = [];
    const shown = [];
    let began = 0;
    window.furrowbook.record.addEventListener("change", () => kept.push(performance.now() - began));
    const place = () => document.querySelector(".fb-next__place")?.textContent;
    for (let number = 0; number < count; number += 1) {
        const before = place();
        for (const ask of document.querySelectorAll(".fb-is-now .fb-ask:not([hidden])")) {
            ask.querySelector("input").value = ask.dataset.high || ask.dataset.low;
            const left = () => document.querySelectorAll(".fb-is-now .fb-ask:not([hidden])").length;
            const then = left();
            ask.querySelector(".fb-ask__keep").click();
            while (left() === then) await new Promise(requestAnimationFrame);
        }
        await new Promise((go) => setTimeout(go, 50));
        kept.length = number;
        began = performance.now();
        document.querySelector(".fb-next .fb-key--main").click();
        while (place() === before) await new Promise((go) => setTimeout(go));
        shown.push(performance.now() - began);
        await new Promise((go) => setTimeout(go, 50));
    }
    return { kept, shown };
}"""
# The same bytes into a database of their own, by the browser's own means.
_BARE = """async (count) => {
    const opened = (asked) => new Promise((done) => { asked.onsuccess = () => done(asked.result); });
    const asked = indexedDB.open("bare", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("entries", { autoIncrement: true });
    const database = await opened(asked);
    const times = [];
    for (let number = 0; number < count; number += 1) {
        const began = performance.now();
        const transaction = database.transaction("entries", "readwrite", { durability: "strict" });
        transaction.objectStore("entries").add({ text: "x".repeat(400) });
        await new Promise((done) => { transaction.oncomplete = done; });
        times.push(performance.now() - began);
        await new Promise((go) => setTimeout(go, 50));
    }
    return times;
}"""


EXPLAINED = explained("""
Opens: From the start of the way to the page until the job stands on it, the median.
Kept: From the press until the disk has the entry, Python's check of it included.
Shown: From the press until the next step is offered.
Bare: As many bytes written by the browser's own means, in the same page.
""")


def measured_records(browsers: Browsers, site: Path) -> list[Kept]:
    """Records of a few entries and of many, each in a browser that has seen nothing before."""
    found = []
    with host(site, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        base = f"http://127.0.0.1:{server.server_address[1]}/"
        for entries, jobs in ((20, 1), (20_000, 60), (20_000, 1)):
            with browsers.fresh() as browser:
                found.append(_measured(browser.pages[0], base, entries, jobs))
        server.shutdown()
    return found


def _measured(page: Page, base: str, entries: int, jobs: int) -> Kept:
    page.set_default_timeout(120_000)
    page.goto(base + PAGE)
    page.evaluate(_FILL, [entries, jobs])
    opened = []
    for _ in range(ROUNDS):
        page.goto("about:blank")
        page.goto(base + PAGE, wait_until="commit")
        opened.append(float(page.evaluate(_OPENED)))
    page.goto(base + WORK)
    page.locator(".fb-next").wait_for()
    page.locator(".fb-next .fb-key--main").click()  # Python is up then
    page.wait_for_timeout(4000)
    added = page.evaluate(_ADD, ADDED)
    return Kept(entries, jobs, opened, added["kept"], added["shown"], page.evaluate(_BARE, ADDED))


def record_table(found: Sequence[Kept]) -> list[Part]:
    """A row a record, with what is asked of the long one that a season makes."""
    heads = ("ms", "opens", "kept p50", "p95", "shown p50", "p95", "bare p50", "p95")
    rows = []
    for one in found:
        figures = [median(one.opened), *_two(one.kept), *_two(one.shown), *_two(one.bare)]
        name = f"{one.entries} entries, {one.jobs} {'job' if one.jobs == 1 else 'jobs'}"
        rows.append((name, *(f"{figure:.0f}" for figure in figures)))
    season = max(found, key=lambda one: (one.entries, one.jobs))
    opens, adds = median(season.opened), percentile(season.kept, 95)
    judged = [
        ("It opens in", opens, OPEN_MOST),
        ("An entry is kept in (p95)", adds, ADD_MOST),
    ]
    return [
        Table(heads, tuple(rows)),
        *(
            f"{what} {time:.0f} ms, asked are {most:.0f}: {verdict(time <= most)}."
            for what, time, most in judged
        ),
        EXPLAINED,
    ]


def _two(times: Sequence[float]) -> tuple[float, float]:
    return percentile(times, 50), percentile(times, 95)
