"""The preview without a browser: builds again on a change, says what to mend, keeps the last good pages.

Sources: HTML Standard, "Server-sent events", for how a page is told; `scripts/serve.py`'s own promise
for the rest. A change may take its time, for the machine may be busy.
"""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from urllib.parse import quote

import pytest

from handbook.blocks import BookExtension
from handbook.console import Stop
from handbook.hosting import host
from handbook.preview import press
from handbook.preview.board import Board
from handbook.preview.press import Press
from handbook.preview.preview import Preview
from handbook.preview.problems import problems_of
from handbook.preview.serving import EVENTS, PARTS, answering, preview_server
from handbook.preview.watching import Watch
from handbook.problems import BookError, Problem
from tests.conftest import HEARS_CTRL_C, stopped
from tests.handbook.conftest import TRIAL_TWO

PATIENCE = 60.0  # seconds
HEAD = "---\ntitle: {title}\nkind: {kind}\nsummary: A page of a small book.\n---\n\n"
GLOSSARY = "format: 1\nnote: Two words.\nterms:\n  - name: opener\n    means: {means}\n"
PAGES = {
    "index.md": HEAD.format(title="Small book", kind="front")
    + "# Small book\n\nThe [lesson](lessons/first.md).\n",
    "lessons/first.md": HEAD.format(title="First", kind="lesson") + "## The idea\n\nThe first words.\n",
    "lessons/second.md": HEAD.format(title="Second", kind="lesson") + "## More\n\nEach opener makes a row.\n",
    "machines/trial-two.md": HEAD.format(title="Trial Two", kind="reference")
    + "## The tanks\n\n/// figures | tanks\n    machine: trial-two\n///\n",
    "faults/quiet.md": HEAD.format(title="It is quiet", kind="fault")
    + "//// fault | It is quiet\n    words: [it makes no sound]\n\n"
    + "".join(
        f"/// cause | The {cause} is off\n    id: {cause}\n    shows: On the panel.\n    check: Look.\n"
        "    fix: Turn it on.\n///\n\n"
        for cause in ("fan", "key")
    )
    + "////\n",
    "faults/chances.yml": "format: 1\nnote: Invented.\nfaults:\n  quiet:\n"
    "    fan: {chance: 20 %, time: 1 min}\n    key: {chance: 10 %, time: 1 min}\n",
    "machines/trial-two.yml": TRIAL_TWO,
    "reference/glossary.yml": GLOSSARY.format(means="What opens the soil."),
    "assets/drawing.svg": '<svg xmlns="http://www.w3.org/2000/svg"><title>One</title></svg>',
}
MENU = """\
nav:
  - index.md
  - Learn:
      - lessons/first.md
      - lessons/second.md
  - Faults:
      - faults/quiet.md
  - Machines:
      - machines/trial-two.md
  - Reference:
      - reference/coverage.md
      - reference/hazards.md
      - reference/limits.md
      - reference/glossary.md
      - reference/machine-sheet.md
      - reference/rules.md
      - licences.md
"""


def small_book(root: Path, folder: Path) -> Path:
    """A small book with the settings of the large one, which lends it its theme, its hooks and its engine."""
    for name, text in PAGES.items():
        write(folder / "docs" / name, text)
    settings, _, _ = (root / "mkdocs.yml").read_text("utf-8").partition("nav:\n")
    settings = re.sub(r"(?<= )scripts/handbook/", f"{root.as_posix()}/scripts/handbook/", settings)
    write(folder / "mkdocs.yml", settings + MENU)
    (folder / "calc").symlink_to(root / "calc", target_is_directory=True)
    (root / ".furrowbook" / "cache").mkdir(parents=True, exist_ok=True)
    (folder / ".furrowbook").mkdir()
    (folder / ".furrowbook" / "cache").symlink_to(root / ".furrowbook" / "cache", target_is_directory=True)
    return folder


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")


@dataclass
class Shown:
    """A small book with a preview of it."""

    book: Path
    site: Path
    board: Board
    address: str
    preview: Preview
    packed: list[Path]
    kept: dict[Path, str | None] = field(default_factory=dict)

    def write(self, name: str, text: str) -> None:
        """Write a file of the book; it is put back after the test."""
        path = self.book / name
        self.keep(name)
        write(path, text)

    def keep(self, name: str) -> None:
        path = self.book / name
        self.kept.setdefault(path, path.read_text("utf-8") if path.exists() else None)

    def text(self, name: str) -> str:
        return (self.book / name).read_text("utf-8")

    def get(self, name: str) -> tuple[HTTPResponse, str]:
        connection = HTTPConnection(self.address.split("/")[2], timeout=PATIENCE)
        connection.request("GET", f"/{name}")
        answer = connection.getresponse()
        body = answer.read().decode("utf-8")
        connection.close()
        return answer, body

    def problems(self) -> list[str]:
        return list(self.board.notice.problems)


class Events:
    """What a page hears."""

    def __init__(self, shown: Shown, page: str = "/") -> None:
        self._connection = HTTPConnection(shown.address.split("/")[2], timeout=PATIENCE)
        self._connection.request("GET", f"{EVENTS}?page={quote(page, safe='')}")
        self.answer = self._connection.getresponse()

    def next(self) -> dict[str, object]:
        end = time.monotonic() + PATIENCE
        while line := self.answer.readline().decode("utf-8"):
            assert time.monotonic() < end, "nothing was told"
            if line.startswith("data: "):
                told: dict[str, object] = json.loads(line.removeprefix("data: "))
                return told
        pytest.fail("the line was closed")

    def until(self, wanted: Callable[[dict[str, object]], bool]) -> dict[str, object]:
        """The first that is wanted; a line is heard every few seconds, so the patience is counted here."""
        end = time.monotonic() + PATIENCE
        while not wanted(told := self.next()):
            assert time.monotonic() < end, told
        return told

    def close(self) -> None:
        self.answer.close()
        self._connection.close()


@pytest.fixture(scope="module")
def one(root: Path, tmp_path_factory: pytest.TempPathFactory, node_modules: Path) -> Iterator[Shown]:
    """One preview for all tests here. Its engine is not packed, only counted: no page here is ever run."""
    assert node_modules.is_dir()
    book = small_book(root, tmp_path_factory.mktemp("preview") / "a book é")
    site, board = book / ".furrowbook" / "preview" / "0", Board()
    packed: list[Path] = []

    def pack(calc: Path, node: Path, modules: Path, out: Path, cache: Path) -> None:
        write(out / "engine.js", "")
        packed.append(out)

    with pytest.MonkeyPatch.context() as patch, preview_server(0, site, board) as server:
        patch.setattr(press, "pack", pack)
        preview = Preview(book, site, board)
        preview.renew()
        assert board.notice.problems == ()
        with answering(server) as address:
            yield Shown(book, site, board, address, preview, packed)
        board.close()


@pytest.fixture
def shown(one: Shown) -> Iterator[Shown]:
    """The preview, with the book as it was at first."""
    yield one
    for path, text in one.kept.items():
        if text is None:
            path.unlink(missing_ok=True)
        else:
            write(path, text)
    if one.kept:
        one.kept.clear()
        one.preview.renew()
    assert one.problems() == []


@pytest.fixture
def watched(shown: Shown) -> Iterator[Shown]:
    """The preview, building again by itself."""
    done = threading.Event()

    def follow(watch: Watch) -> None:
        while not done.is_set():
            if watch.changed():
                shown.preview.renew()

    with Watch(shown.book) as watch:
        thread = threading.Thread(target=follow, args=[watch])
        thread.start()
        yield shown
        done.set()
        thread.join()


@pytest.fixture
def events(watched: Shown) -> Iterator[Events]:
    """An open page that watches."""
    heard = Events(watched)
    yield heard
    heard.close()


FIRST, SECOND, THIRD = (f"docs/lessons/{name}.md" for name in ("first", "second", "third"))
SHEET = "docs/machines/trial-two.yml"
GLOSSARY_FILE = "docs/reference/glossary.yml"

# --- a change, as it comes from an editor ---


def test_a_saved_change_is_told_of_and_shown(watched: Shown, events: Events) -> None:
    before = events.next()
    assert events.answer.getheader("Content-Type") == "text/event-stream"
    watched.write(FIRST, watched.text(FIRST).replace("The first words", "Other words"))
    told = events.until(lambda told: told["build"] != before["build"])
    assert (told["heading"], told["problems"]) == ("", [])
    answer, page = watched.get("lessons/first.html")
    assert "Other words" in page
    assert f'data-build="{told["build"]}"' in page
    assert answer.getheader("Cache-Control") == "no-cache"


def test_an_editor_that_saves_by_renaming_is_followed(watched: Shown, events: Events) -> None:
    before = events.next()
    watched.keep(FIRST)
    new = watched.book / "docs" / "lessons" / ".first.md.new"
    write(new, watched.text(FIRST).replace("The first words", "Renamed words"))
    os.replace(new, watched.book / FIRST)
    events.until(lambda told: told["build"] != before["build"])
    assert "Renamed words" in watched.get("lessons/first.html")[1]


def test_a_mistake_is_told_of_and_the_last_good_page_stays_until_it_is_mended(
    watched: Shown, events: Events
) -> None:
    before = events.next()
    good = watched.text(FIRST)
    watched.write(FIRST, good.replace("The first words", "Wrong words") + "\n/// nonsense | x\n///\n")
    line = good.count("\n") + 2
    told = events.until(lambda told: bool(told["problems"]))
    assert told["build"] == before["build"]
    assert told["heading"] == "1 mistake: this page shows the last good book"
    assert len(told["problems"]) == 1  # type: ignore[arg-type]
    assert str(told["problems"]).startswith(f"['{FIRST}:{line}: unknown block “nonsense”")
    assert "The first words" in watched.get("lessons/first.html")[1]
    late = Events(watched)
    assert late.next() == told  # a page that is opened now hears it at once
    late.close()

    watched.write(FIRST, good)
    mended = events.until(lambda told: not told["problems"])
    assert mended["heading"] == ""
    assert mended["build"] != before["build"]  # so that every page opens anew


def test_several_writes_are_one_change_and_reading_is_none(shown: Shown) -> None:
    with Watch(shown.book) as watch:
        shown.text(FIRST)
        assert not watch.changed()
        for words in ("one", "two", "three"):
            shown.write(FIRST, shown.text(FIRST) + f"\n{words}\n")
        assert watch.changed()
        assert not watch.changed()
        shown.write("docs/.hidden.md.swp", "x")
        assert not watch.changed()


def test_without_watchers_to_be_had_it_looks_by_itself(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    def none_left(*_: object, **__: object) -> None:
        raise OSError(28, "inotify watch limit reached")

    watch = Watch(shown.book)
    monkeypatch.setattr(watch._observer, "schedule", none_left)
    with watch:
        shown.write(FIRST, shown.text(FIRST) + "\nMore.\n")
        assert watch.changed()


# --- what is made anew, and what stands ---


def written(shown: Shown) -> dict[str, int]:
    """Each page of the site, by the file it is: one that was written again is another."""
    return {
        path.relative_to(shown.site).as_posix(): path.stat().st_ino for path in shown.site.rglob("*.html")
    }


def changed(shown: Shown, name: str, old: str, new: str) -> set[str]:
    """Which pages are written after a change, but for the one that belongs to none."""
    before = written(shown)
    assert old in shown.text(name)
    shown.write(name, shown.text(name).replace(old, new))
    shown.preview.renew()
    assert shown.problems() == []
    after = written(shown)
    assert before.keys() == after.keys()
    return {page for page in after if after[page] != before[page]} - {"404.html"}


def test_only_the_page_that_was_changed_is_written(shown: Shown) -> None:
    assert changed(shown, FIRST, "The first words", "Other words") == {"lessons/first.html"}


def test_a_figure_of_a_machine_sheet_changes_the_pages_that_show_it(shown: Shown) -> None:
    made = {f"machines/trial-two/{name}.html" for name in ("index", "readings", "tanks", "card")}
    assert changed(shown, SHEET, "name: Front", "name: Foremost") == {"machines/trial-two.html", *made}
    assert "Foremost" in shown.get("machines/trial-two.html")[1]


def test_a_sheet_changes_no_page_that_shows_other_figures_of_it(shown: Shown) -> None:
    pages = changed(shown, SHEET, "note: An invented machine", "note: A machine that we invented")
    assert pages == {"machines/trial-two/index.html"}


def test_the_chances_of_a_fault_change_its_own_page(shown: Shown) -> None:
    first, second = "The fan is off", "The key is off"
    page = shown.get("faults/quiet.html")[1]
    assert page.index(first) < page.index(second)
    name = "docs/faults/chances.yml"
    assert changed(shown, name, "chance: 10 %", "chance: 30 %") == {"faults/quiet.html"}
    page = shown.get("faults/quiet.html")[1]
    assert page.index(second) < page.index(first)


def test_a_new_page_makes_only_menus_anew(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    start = BookExtension.start_page

    def start_page(book: BookExtension, url: str) -> None:
        made.append(url)
        start(book, url)

    monkeypatch.setattr(BookExtension, "start_page", start_page)
    shown.write(THIRD, HEAD.format(title="Third", kind="lesson") + "## The end\n\nThe last words.\n")
    menu = shown.text("mkdocs.yml").replace("second.md\n", "second.md\n      - lessons/third.md\n")
    shown.write("mkdocs.yml", menu)
    shown.preview.renew()
    assert made == ["lessons/third.html"]
    assert "Third" in shown.get("lessons/second.html")[1]


def test_a_word_of_the_glossary_changes_the_pages_that_use_it(shown: Shown) -> None:
    pages = changed(shown, GLOSSARY_FILE, "What opens the soil.", "What parts the soil.")
    assert {"lessons/second.html", "reference/glossary.html"} <= pages
    assert "lessons/first.html" not in pages
    assert "What parts the soil." in shown.get("lessons/second.html")[1]


def test_a_title_changes_every_page_for_it_stands_in_the_menu(shown: Shown) -> None:
    pages = changed(shown, FIRST, "title: First", "title: Foremost")
    assert pages == set(written(shown)) - {"404.html"}
    page = shown.get("lessons/second.html")[1]
    assert "Foremost" in page
    assert page.count('http-equiv="Content-Security-Policy"') == 1


Seen = Callable[..., list[list[bool]]]


@pytest.fixture
def seen(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> Seen:
    """Notes whether a word stands in each of some pages, whenever the open pages are told of a build."""
    renew = shown.board.renew

    def follow(word: str, *pages: str) -> list[list[bool]]:
        found: list[list[bool]] = []

        def told() -> None:
            found.append([word in shown.get(page)[1] for page in pages])
            renew()

        monkeypatch.setattr(shown.board, "renew", told)
        return found

    return follow


def test_nobody_waits_for_the_menus_to_see_a_page(shown: Shown, seen: Seen) -> None:
    found = seen("Foremost", "lessons/first.html", "lessons/second.html")
    changed(shown, FIRST, "title: First", "title: Foremost")
    assert found == [[True, False], [True, True]]


OF_A_TANK = ("machines/trial-two/tanks.html", "machines/trial-two.html")


def test_the_page_that_is_read_comes_before_the_others(shown: Shown, seen: Seen) -> None:
    found = seen("Foremost", *OF_A_TANK)
    with shown.board.reading(OF_A_TANK[0]), shown.board.reading("index.html"):
        pages = changed(shown, SHEET, "name: Front", "name: Foremost")
    assert found == [[True, False], [True, True]]
    assert pages > {*OF_A_TANK}
    assert not shown.board.read


def test_all_come_at_once_where_none_of_them_is_read(shown: Shown, seen: Seen) -> None:
    found = seen("Foremost", *OF_A_TANK)
    with shown.board.reading("index.html"):
        changed(shown, SHEET, "name: Front", "name: Foremost")
    assert found == [[True, True]]


def test_a_word_that_is_explained_anew_comes_to_the_page_that_is_read_and_then_to_the_others(
    shown: Shown, seen: Seen
) -> None:
    found = seen("What parts the soil.", "lessons/second.html", "reference/glossary.html")
    with shown.board.reading("reference/glossary.html"):
        changed(shown, GLOSSARY_FILE, "What opens the soil.", "What parts the soil.")
    assert found == [[False, True], [True, True]]


def test_a_page_says_which_it_is_for_as_long_as_it_listens(shown: Shown) -> None:
    heard = Events(shown, "/lessons/first.html")
    heard.next()
    assert shown.board.read == {"lessons/first.html"}
    other = Events(shown, "/lessons/../")
    other.next()
    assert shown.board.read == {"lessons/first.html", "index.html"}
    heard.close()
    other.close()
    # Whoever has gone is noticed when there is something to tell.
    end = time.monotonic() + PATIENCE
    while shown.board.read:
        assert time.monotonic() < end, shown.board.read
        shown.board.renew()
        time.sleep(0.05)


def test_the_menu_may_be_changed(shown: Shown) -> None:
    changed(shown, "mkdocs.yml", "- Learn:", "- Study:")
    assert "Study" in shown.get("index.html")[1]


def test_a_picture_may_be_changed(shown: Shown) -> None:
    name = "assets/drawing.svg"
    modified = shown.get(name)[0].getheader("Last-Modified") or ""
    assert changed(shown, f"docs/{name}", "One", "Two") == set()
    # Within the same second: a browser that goes by the time must get it all the same.
    connection = HTTPConnection(shown.address.split("/")[2], timeout=PATIENCE)
    connection.request("GET", f"/{name}", headers={"If-Modified-Since": modified})
    answer = connection.getresponse()
    assert (answer.status, "Two" in answer.read().decode()) == (200, True)
    connection.close()


def contents(site: Path) -> dict[str, object]:
    """Every file of a site; what the search knows without regard to the order in which it came to know it."""
    found: dict[str, object] = {}
    for path in site.rglob("*"):
        if path.is_file():
            found[path.relative_to(site).as_posix()] = content = path.read_bytes()
            if path.name.startswith("search_index."):
                known = json.loads(content.decode().removeprefix("var __index = "))
                found[path.relative_to(site).as_posix()] = sorted(map(json.dumps, known["docs"]))
    return found


def test_after_many_changes_it_is_what_a_new_preview_would_be(shown: Shown) -> None:
    with shown.board.reading("lessons/first.html"):
        changed(shown, FIRST, "The first words", "Each row is a row")
        changed(shown, FIRST, "title: First", "title: Foremost")
        changed(shown, SHEET, "width: 40 ft", "width: 30 ft")
        shown.write(
            GLOSSARY_FILE, shown.text(GLOSSARY_FILE) + "  - name: row\n    means: A line of plants.\n"
        )
        shown.write(FIRST, shown.text(FIRST) + "\n/// nonsense | x\n///\n")
        shown.preview.renew()
        assert len(shown.problems()) == 1
        shown.write(FIRST, shown.text(FIRST).partition("\n///")[0])
        shown.keep(SECOND)
        (shown.book / SECOND).rename(shown.book / "docs/lessons/last.md")
        shown.kept[shown.book / "docs/lessons/last.md"] = None
        shown.write("mkdocs.yml", shown.text("mkdocs.yml").replace("second.md", "last.md"))
        shown.preview.renew()
        assert shown.problems() == []
        assert shown.get("lessons/last.html")[0].status == 200
        assert shown.get("lessons/second.html")[0].status == 404
        assert "row" in shown.get("lessons/first.html")[1]
    new = Press(shown.book, shown.site.parent / "new")
    assert new.build()
    ours, theirs = contents(shown.site), contents(shown.site.parent / "new")
    assert [name for name in ours.keys() | theirs.keys() if ours.get(name) != theirs.get(name)] == []


def test_the_engine_was_packed_once(shown: Shown) -> None:
    assert [out for out in shown.packed if shown.site in out.parents] == [shown.site / "assets" / "engine"]


# --- mistakes: each is a line with its file, and the preview goes on ---


@dataclass(frozen=True)
class Mistakes:
    """What is written in place of something else, a file each, and the pattern of each line that says so."""

    edits: list[tuple[str, str, str]]
    said: list[str]


MISTAKES = {
    "several in pages and sheets": Mistakes(
        [
            (FIRST, "The first", "[A](gone.md) [B](/lessons/second.html) The first"),
            (SHEET, "runs: 48", "runs: many"),
            (GLOSSARY_FILE, "terms:", "terms: : x"),
        ],
        [
            r"docs/lessons/first\.md:9: .*“gone\.md”.*",
            r"docs/lessons/first\.md:9: .*“/lessons/second\.html”.*",
            r"docs/machines/trial-two\.yml:7: .*runs.*",
            r"docs/reference/glossary\.yml:3: .*",
        ],
    ),
    "broken sheet": Mistakes(
        [(SHEET, "runs: 48", "runs: [48")], [r"docs/machines/trial-two\.yml:\d+: this is not readable .*"]
    ),
    "no such picture": Mistakes(
        [(FIRST, "The first", "![A](gone.svg) The first")],
        [r"docs/lessons/first\.md:9: “gone\.svg” leads to nothing that is there; write .*"],
    ),
    "picture from outside": Mistakes(
        [(FIRST, "The first", "![A](https://example.org/a.png) The first")],
        [r"docs/lessons/first\.md:9: “https://example\.org/a\.png” would be fetched from outside; save .*"],
    ),
    "unknown kind of file": Mistakes(
        [("docs/assets/drawing.gif", "", "GIF89a")],
        [r"docs/assets/drawing\.gif:1: this kind of file is not known to the book; use another kind"],
    ),
    "broken settings": Mistakes(
        [("mkdocs.yml", "theme:\n", "theme: : x\n")], [r"mkdocs\.yml:\d+: this is not readable as YAML: .*"]
    ),
    "no such setting": Mistakes(
        [("mkdocs.yml", "docs_dir:", "docs_folder:")], [r"mkdocs\.yml:3: docs_folder: Unrecognised .*"]
    ),
    "menu and pages at odds": Mistakes(
        [("mkdocs.yml", "lessons/second.md", "lessons/third.md")],
        [r"mkdocs\.yml:\d+: .*lessons/third\.md.*", r"mkdocs\.yml:\d+: .*docs/lessons/second\.md.*"],
    ),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_each_mistake_has_its_file_and_line(
    shown: Shown, capfd: pytest.CaptureFixture[str], name: str
) -> None:
    mistakes = MISTAKES[name]
    build, before = shown.board.notice.build, written(shown)
    for file, old, new in mistakes.edits:
        text = shown.text(file) if old else ""
        assert old in text
        shown.write(file, text.replace(old, new, 1) if old else new)
    shown.preview.renew()
    notice = shown.board.notice
    count = len(mistakes.said)
    assert len(notice.problems) == count, notice.problems
    for pattern in mistakes.said:
        assert [line for line in notice.problems if re.fullmatch(pattern, line)], (pattern, notice.problems)
    assert notice.heading == f"{count} mistake{'s' * (count > 1)}: this page shows the last good book"
    assert capfd.readouterr().err.splitlines() == [f"{notice.heading}.", *notice.problems]
    assert notice.build == build
    assert written(shown) == before


def test_a_page_that_was_taken_away_is_asked_for_where_it_is_named(shown: Shown) -> None:
    shown.keep(FIRST)
    (shown.book / FIRST).unlink()
    shown.preview.renew()
    assert "docs/index.md:9: " in shown.problems()[0]
    assert "The first words" in shown.get("lessons/first.html")[1]
    shown.write("docs/index.md", shown.text("docs/index.md").replace("[lesson](lessons/first.md)", "lesson"))
    shown.preview.renew()
    assert re.match(r"mkdocs\.yml:\d+: there is no page docs/lessons/first\.md", shown.problems()[0])
    shown.write("mkdocs.yml", shown.text("mkdocs.yml").replace("      - lessons/first.md\n", ""))
    shown.preview.renew()
    assert shown.problems() == []
    answer, page = shown.get("lessons/first.html")
    assert answer.status == 404
    assert "data-build=" in page  # so that it opens by itself when the page comes back


def test_a_fault_of_our_own_is_one_line_to_report(shown: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(site: Path, build_id: str) -> None:
        raise KeyError("no such thing")

    monkeypatch.setattr(press, "mark_pages", fails)
    shown.write(FIRST, shown.text(FIRST) + "\nMore.\n")
    shown.preview.renew()
    assert len(shown.problems()) == 1
    assert shown.problems()[0].startswith("The generator failed; please report this: test_preview.py:")


def test_what_could_not_be_put_in_its_place_is_made_again(
    shown: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(made: Path, site: Path) -> None:
        raise OSError(28, "No space left on device", "docs/x")

    monkeypatch.setattr(press, "_move", full)
    shown.write(FIRST, shown.text(FIRST) + "\nLate words.\n")
    shown.preview.renew()
    assert shown.problems() == [
        "docs/x:1: this cannot be read or written (No space left on device); save it again"
    ]
    monkeypatch.undo()
    shown.preview.renew()
    assert shown.problems() == []
    assert "Late words." in shown.get("lessons/first.html")[1]


def test_the_problems_of_a_book_are_said_once_each() -> None:
    one, other = Problem("docs/a.md", 3, "wrong", "block"), Problem("docs/a.md", 12, "wrong too", "link")
    said = ["docs/a.md:3: wrong [block]", "docs/a.md:12: wrong too [link]"]
    assert problems_of(BookError([other, one, one])) == said
    assert problems_of(Stop("One.\nTwo.\nOne.")) == ["One.", "Two."]


# --- new pages, and a list of things to mend ---


def test_pages_may_be_new_and_something_to_mend_all_the_same(shown: Shown) -> None:
    found = ["docs/lessons/first.md:9: a sentence of 40 words; make two of it"]
    preview = Preview(shown.book, shown.site.parent / "further", shown.board, lambda book: found)
    preview.renew()
    notice = shown.board.notice
    assert notice.heading == "1 thing to mend"
    assert notice.problems == tuple(found)
    found.append("docs/lessons/first.md:1: another")
    shown.write(FIRST, shown.text(FIRST).replace("The first words", "New words"))
    preview.renew()
    assert shown.board.notice.heading == "2 things to mend"
    assert shown.board.notice.build != notice.build
    assert "New words" in (shown.site.parent / "further" / "lessons" / "first.html").read_text("utf-8")
    found.clear()
    build = shown.board.notice.build
    preview.renew()
    assert shown.board.notice == type(notice)(build)  # the list goes; no page has to open anew for that


# --- what a preview adds to the pages, and leaves out ---


def test_the_preview_adds_its_own_part_to_each_page_and_keeps_it_out_of_the_files(shown: Shown) -> None:
    for name in ("index.html", "", "lessons/first.html", "lessons/nothing.html"):
        page = shown.get(name)[1]
        assert page.count("/furrowbook-preview/preview.js") == 1, name
        assert page.count("/furrowbook-preview/preview.css") == 1, name
    assert [p for p in shown.site.rglob("*.html") if "furrowbook-preview" in p.read_text("utf-8")] == []
    for name in ("preview.js", "preview.css"):
        answer, content = shown.get(f"furrowbook-preview/{name}")
        assert answer.status == 200
        assert content == (PARTS / name).read_text("utf-8")
    answer, _ = shown.get("furrowbook-preview/preview.js")
    assert (answer.getheader("Content-Type") or "").startswith("text/javascript")


def test_nothing_of_a_preview_is_stored_on_a_device(shown: Shown) -> None:
    assert not (shown.site / "offline.json").exists()
    assert not (shown.site / "service-worker.js").exists()
    assert "serviceWorker" not in (shown.site / "assets" / "furrowbook" / "book.js").read_text("utf-8")
    # What stands in the place of the book's own, for a browser that has stored it from this address.
    assert shown.get("service-worker.js")[1] == (PARTS / "leaving.js").read_text("utf-8")


def test_without_a_good_book_there_is_a_page_that_waits_for_one(root: Path, tmp_path: Path) -> None:
    book = small_book(root, tmp_path / "book")
    write(book / FIRST, PAGES["lessons/first.md"] + "\n/// nonsense | x\n///\n")
    site, board = tmp_path / "site", Board()
    preview = Preview(book, site, board)
    preview.renew()
    with preview_server(0, site, board) as server, answering(server) as address:
        shown = Shown(book, site, board, address, preview, [])
        answer, page = shown.get("lessons/second.html")
        assert answer.status == 503
        assert 'data-build=""' in page
        heard = Events(shown)
        told = heard.next()
        assert told["build"] == ""
        assert told["heading"] == "1 mistake: there is no book to show yet"
        heard.close()
        board.close()


def test_each_notice_comes_at_once_and_a_closed_board_lets_go() -> None:
    board = Board()
    heard: list[object] = []
    first = board.notice
    waiting = threading.Thread(target=lambda: heard.append(board.after(first, PATIENCE)))
    waiting.start()
    board.renew()
    waiting.join(PATIENCE)
    assert heard == [board.notice]
    waiting = threading.Thread(target=lambda: heard.append(board.after(board.notice, PATIENCE)))
    waiting.start()
    began = time.monotonic()
    board.close()
    waiting.join(PATIENCE)
    assert heard[1:] == [None]
    assert time.monotonic() - began < PATIENCE / 2
    other = Board()
    other.renew()
    assert other.notice.build != board.notice.build  # a page must not take another run's build for its own


def test_the_next_build_waits_for_a_page_that_comes_anew_and_not_for_one_that_stays_away() -> None:
    board = Board()
    began = time.monotonic()
    board.renew()
    board.wait_for_a_reader(PATIENCE)  # nobody reads
    with board.reading("index.html"):
        board.wait_for_a_reader(PATIENCE)  # somebody reads the last build already
        board.renew()
        board.wait_for_a_reader(0.2)
        assert time.monotonic() - began >= 0.2
        waiting = threading.Thread(target=board.wait_for_a_reader, args=[PATIENCE])
        waiting.start()
        with board.reading("index.html"):
            waiting.join(PATIENCE)
            assert not waiting.is_alive()
        board.renew()
        waiting = threading.Thread(target=board.wait_for_a_reader, args=[PATIENCE])
        waiting.start()
        board.close()
        waiting.join(PATIENCE)
        assert not waiting.is_alive()
    assert time.monotonic() - began < PATIENCE / 2


# --- the command ---


def test_a_taken_port_is_one_line_that_names_another(tmp_path: Path) -> None:
    with host(tmp_path, 0) as server:
        taken = server.server_address[1]
        with pytest.raises(Stop) as stop:
            preview_server(taken, tmp_path, Board())
    other = taken + 1 if taken < 65535 else 8000
    assert (
        str(stop.value) == f"Port {taken} is in use; choose another: python3 scripts/serve.py --port {other}"
    )


@pytest.mark.parametrize("told", [signal.SIGINT, signal.SIGTERM])
def test_it_says_where_and_what_to_mend_and_stops_when_told(
    root: Path, tmp_path: Path, told: signal.Signals
) -> None:
    # Of a book with a mistake in it, which is read in no time.
    book = small_book(root, tmp_path / "book")
    write(book / "mkdocs.yml", "theme: : x\n")
    code = (
        HEARS_CTRL_C
        + "import sys; from pathlib import Path; from handbook.preview import __main__ as command; "
        "command.ROOT = Path(sys.argv[1]); sys.exit(command.main(['--port', '0']))"
    )
    variables = os.environ | {"PYTHONUTF8": "1"}
    with subprocess.Popen(
        [sys.executable, "-c", code, book], stderr=subprocess.PIPE, env=variables
    ) as process:
        assert process.stderr
        said = [process.stderr.readline().decode() for _ in range(4)]
        assert said[0] == "Building the book …\n"
        assert said[1] == "1 mistake: there is no book to show yet.\n"
        assert said[2].startswith("mkdocs.yml:1: this is not readable as YAML: ")
        assert re.fullmatch(r"Showing it at http://127\.0\.0\.1:\d+/ until you press Ctrl\+C\. .*\n", said[3])
        assert stopped(process, told) == 0
        assert process.stderr.read().decode() == "Stopped.\n"
    assert not list((book / ".furrowbook").glob("preview/*"))


def test_its_help_says_how_it_is_used(root: Path) -> None:
    done = subprocess.run(
        [sys.executable, root / "scripts" / "serve.py", "--help"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0
    assert "python3 scripts/serve.py --port N" in done.stdout
