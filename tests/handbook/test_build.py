"""Building the whole book: the same bytes from the same commit, and never at the cost of the last good site.

The builds run as a person starts them, in copies of the working tree, each its own git repository.
Sources: reproducible-builds.org, "SOURCE_DATE_EPOCH" and what varies between builds; HTML Standard for what a
page fetches by itself; the book's own promise for the rest.
"""

from __future__ import annotations

import hashlib
import logging
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path
from typing import NamedTuple

import pytest

from handbook import build as building
from handbook import settings
from handbook.console import Stop
from handbook.copying import PROGRAMS, copy_book

COMMITTED = datetime(2026, 3, 1, 12, 30, tzinfo=UTC)
HEAD = "The book has problems; nothing was changed:"
# Any use of the network from Python ends the build, and says so.
NO_NETWORK = """
import socket, sys

def refused(*arguments, **named):
    sys.exit("the network was asked for")

socket.socket.connect = socket.socket.connect_ex = socket.getaddrinfo = socket.create_connection = refused
"""


class Copy(NamedTuple):
    """A copy of the working tree that has been built, and what the build said."""

    folder: Path
    variables: dict[str, str]
    said: str

    @property
    def site(self) -> Path:
        return self.folder / "site"

    def build(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        return run_build(self.folder, self.variables, *arguments)


def copy_tree(root: Path, folder: Path) -> None:
    """Copy what a build reads, as one commit of a fixed date."""
    copy_book(root, folder, *PROGRAMS, "pyproject.toml", "LICENSE", ".gitignore")
    moment = f"{int(COMMITTED.timestamp())} +0000"
    variables = os.environ | {"GIT_AUTHOR_DATE": moment, "GIT_COMMITTER_DATE": moment}
    who = ["-c", "user.name=A", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false"]
    for command in (["init", "-q"], ["add", "-A"], [*who, "commit", "-q", "-m", "all"]):
        subprocess.run(["git", *command], cwd=folder, env=variables, check=True, capture_output=True)


def without_network() -> list[str]:
    """What starts a command, and all it starts in turn, without a network; nothing where a system cannot."""
    if shutil.which("unshare"):
        done = subprocess.run(["unshare", "--net", "true"], capture_output=True, check=False)
        return ["unshare", "--net"] if done.returncode == 0 else []
    return []


def run_build(folder: Path, more: dict[str, str], *arguments: str) -> subprocess.CompletedProcess[str]:
    variables = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"}
    path = os.pathsep.join([str(folder), str(folder / "scripts"), more.get("PYTHONPATH", "")])
    forbidden = without_network() if "PYTHONPATH" in more else []
    command = [*forbidden, sys.executable, "-P", "-m", "handbook.build", *arguments]
    return subprocess.run(
        command,
        cwd=folder.parent,
        env=variables | more | {"PYTHONPATH": path},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture(scope="module")
def built(root: Path, tmp_path_factory: pytest.TempPathFactory, node: Path, node_modules: Path) -> list[Copy]:
    """Two builds from nothing: of one commit, in all else as unlike as can be."""
    assert node.is_file()
    assert node_modules.is_dir()
    forbidding = tmp_path_factory.mktemp("forbidding")
    (forbidding / "sitecustomize.py").write_text(NO_NETWORK, "utf-8")
    ways = [
        ("field", {"TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "1"}),
        (
            "far/north field é",
            {
                "TZ": "America/St_Johns",
                "LC_ALL": "C",
                "LANGUAGE": "fr",
                "PYTHONHASHSEED": "4711",
                "PYTHONPATH": str(forbidding),
            },
        ),
    ]
    copies = []
    for name, variables in ways:
        folder = tmp_path_factory.mktemp("copy") / name
        folder.mkdir(parents=True)
        copy_tree(root, folder)
        if copies:  # files of another day
            for path in folder.rglob("*"):
                os.utime(path, (1_700_000_000, 1_700_000_000))
        done = run_build(folder, variables)
        assert done.returncode == 0, done.stderr
        assert done.stdout == ""
        copies.append(Copy(folder, variables, done.stderr))
    return copies


def contents(folder: Path) -> dict[str, str]:
    """Every file below a folder, by the hash of its bytes."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files
    }


# --- a good build ---


def test_two_builds_of_one_commit_are_alike_to_the_last_byte(built: list[Copy]) -> None:
    one, other = (contents(copy.site) for copy in built)
    assert len(one) > 40
    assert [name for name in one.keys() | other.keys() if one.get(name) != other.get(name)] == []


def test_the_network_was_forbidden_to_the_second_build(built: list[Copy]) -> None:
    # That it could be built is told by the test above; here, that the ban works.
    copy = built[1]
    variables = os.environ | {"PYTHONPATH": copy.variables["PYTHONPATH"]}
    asking = "import urllib.request; urllib.request.urlopen('http://127.0.0.1:9/')"
    done = subprocess.run(
        [sys.executable, "-c", asking], env=variables, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert "the network was asked for" in done.stderr


def test_a_build_says_where_it_went_and_its_id(built: list[Copy]) -> None:
    said = re.fullmatch(r"Built (.*) \(build ([0-9a-f]{12})\)\. Open (.*) in a browser\.\n", built[0].said)
    assert said
    assert (Path(said[1]), Path(said[3])) == (built[0].site, built[0].site / "index.html")
    pages = {path.name: path.read_text("utf-8") for path in built[0].site.rglob("*.html")}
    assert any(said[2] in text for text in pages.values())
    assert not [name for name, text in pages.items() if settings.BUILD_ID_MARK in text]


def test_pages_carry_the_day_of_the_commit(built: list[Copy]) -> None:
    text = (built[0].site / "index.html").read_text("utf-8")
    assert COMMITTED.strftime("%Y-%m-%d") in text
    assert str(datetime.now(UTC).year + 1) not in text


def test_nothing_is_left_behind_but_the_cache(built: list[Copy]) -> None:
    for copy in built:
        made = {path.name for path in copy.folder.iterdir()} - {".git"}
        assert made - {
            "docs",
            "calc",
            "scripts",
            "mkdocs.yml",
            "pyproject.toml",
            "LICENSE",
            ".gitignore",
        } == {
            "site",
            ".furrowbook",
        }
        assert [path.name for path in (copy.folder / ".furrowbook" / "cache").glob("site-*")] == []


def test_every_script_of_ours_goes_out() -> None:
    written = {path.stem for path in (building.WEB / "js").glob("*.js")}
    assert written == {"units", *building.SCRIPTS}


def test_every_page_of_the_book_is_in_the_site(built: list[Copy]) -> None:
    copy = built[0]
    pages = {
        path.relative_to(copy.folder / "docs").with_suffix(".html")
        for path in (copy.folder / "docs").rglob("*.md")
    }
    assert pages
    assert [page for page in pages if not (copy.site / page).is_file()] == []


def test_no_block_and_no_quantity_is_left_as_text(built: list[Copy]) -> None:
    for path in built[0].site.rglob("*.html"):
        text = re.sub(r"<(pre|code|script)\b.*?</\1>", "", path.read_text("utf-8"), flags=re.S)
        assert not re.search(r"(^|>)\s*/{3,}(\s|$)", text, re.M), path
        assert "{.q}" not in text, path


def test_other_peoples_work_comes_with_its_licence(built: list[Copy]) -> None:
    page = (built[0].site / "licences.html").read_text("utf-8")
    site = {path.name for path in built[0].site.rglob("*")}
    for kind, name in (
        ("pyodide.asm.mjs", "Pyodide"),
        ("python_stdlib.zip", "CPython and its standard library"),
        ("atkinson-hyperlegible-next-latin-wght-normal.woff2", "Atkinson Hyperlegible Next"),
    ):
        assert kind in site
        assert f">{name}</h2>" in page
    assert page.count("Permission is hereby granted, free of charge") >= 3


class Fetched(HTMLParser):
    """The addresses a page fetches by itself, and its policy."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []
        self.policies = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.policies += given.get("http-equiv", "").lower() == "content-security-policy"
        self.addresses += [given[name] for name in ("src", "poster", "data", "action") if name in given]
        self.addresses += [part.split()[0] for part in given.get("srcset", "").split(",") if part.strip()]
        if tag == "link" and given.get("rel", "").lower() not in ("canonical", "next", "prev"):
            self.addresses.append(given.get("href", ""))
        self.addresses += re.findall(r"url\(\s*['\"]?([^'\")]+)", given.get("style", ""))


def test_no_page_or_style_fetches_anything_from_elsewhere(built: list[Copy]) -> None:
    site = built[0].site
    fetched: list[tuple[Path, str]] = []
    for path in site.rglob("*.html"):
        page = Fetched()
        page.feed(path.read_text("utf-8"))
        assert page.policies == 1, path
        fetched += [(path, address) for address in page.addresses]
    for path in site.rglob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.S)
        found = re.findall(r"url\(\s*['\"]?([^'\")]+)|@import\s+['\"]([^'\"]+)", text)
        fetched += [(path, first or second) for first, second in found]
    assert len(fetched) > 100
    for path, address in fetched:
        if address.startswith("data:"):
            continue
        if path.name == "404.html" and re.match("/[^/]", address):
            continue  # see the test below
        assert not re.match(r"[\w+.-]+:|//|/", address), (path, address)
        local = address.partition("?")[0].partition("#")[0]
        assert not local or (path.parent / local).exists(), (path, address)


def test_the_page_for_a_missing_address_needs_no_other_file(built: list[Copy]) -> None:
    # It is shown at any depth, below any folder of a host: no relative and no rooted address is right.
    page = Fetched()
    page.feed((built[0].site / "404.html").read_text("utf-8"))
    assert [address for address in page.addresses if not address.startswith("data:")] == []


def test_the_same_again_keeps_the_same_id(built: list[Copy]) -> None:
    copy, before = built[0], contents(built[0].site)
    done = copy.build()
    assert (done.returncode, done.stderr) == (0, copy.said)
    assert contents(copy.site) == before


# --- a build with mistakes ---


@pytest.fixture
def changed(built: list[Copy]) -> Iterator[Callable[[str, str], int]]:
    """Adds text to the end of a page, gives the line it begins at, and takes it away afterwards."""
    kept: dict[Path, bytes] = {}

    def add(name: str, text: str) -> int:
        path = built[0].folder / name
        before = kept.setdefault(path, path.read_bytes())
        path.write_bytes(before + b"\n" + text.encode("utf-8"))
        return before.count(b"\n") + 2

    yield add
    for path, before in kept.items():
        path.write_bytes(before)


def refused(copy: Copy) -> list[str]:
    """Build what cannot be built; the lines said. The last good site must stand as it did."""
    before = contents(copy.site)
    done = copy.build()
    assert done.returncode == 1
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert contents(copy.site) == before
    assert [path.name for path in (copy.folder / ".furrowbook" / "cache").glob("site-*")] == []
    return done.stderr.splitlines()


def test_a_mistake_in_a_page_is_said_and_the_last_site_stays(
    built: list[Copy], changed: Callable[[str, str], int]
) -> None:
    line = changed("docs/lessons/rate.md", "/// calculator | rate\n    widht: 40 ft\n///\n")
    assert refused(built[0]) == [
        HEAD,
        (
            f"docs/lessons/rate.md:{line + 1}: unknown option “widht” for calculator; "
            "did you mean “width”? [option-name]"
        ),
    ]


def test_all_mistakes_are_said_at_once(built: list[Copy], changed: Callable[[str, str], int]) -> None:
    last = changed("docs/procedures/standing-test.md", "Drive at `5 kmh`{.q}.\n")
    first = changed("docs/lessons/calibration.md", "/// notice | Look\n///\n")
    sheet = changed("docs/machines/prairie-four.yml", "colour: red\n")
    said = refused(built[0])
    assert said[0] == HEAD
    assert [line.partition(": ")[0] for line in said[1:]] == [
        f"docs/lessons/calibration.md:{first}",
        f"docs/machines/prairie-four.yml:{sheet}",
        f"docs/procedures/standing-test.md:{last}",
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[See](no-such-page.md)\n", ["docs/lessons/rate.md:", "no-such-page.md", "leads to no page"]),
        (
            "[See](calibration.md#no-such-part)\n",
            ["docs/lessons/rate.md:", "calibration.md#no-such-part", "heading"],
        ),
        ("[See](/lessons/calibration.html)\n", ["docs/lessons/rate.md:", "/lessons/calibration.html"]),
        ("![See](no-such-picture.svg)\n", ["lessons/rate.md", "no-such-picture.svg", "not found"]),
    ],
)
def test_a_broken_link_is_said_in_words(
    built: list[Copy], changed: Callable[[str, str], int], text: str, words: list[str]
) -> None:
    changed("docs/lessons/rate.md", text)
    head, *said = refused(built[0])
    assert head == HEAD
    assert len(said) == 1
    assert [word for word in words if word not in said[0]] == []


def test_a_picture_from_elsewhere_is_refused(built: list[Copy], changed: Callable[[str, str], int]) -> None:
    changed("docs/lessons/rate.md", "![A seeder](https://example.org/seeder.png)\n")
    assert "https://example.org/seeder.png" in "\n".join(refused(built[0]))


def test_a_page_that_no_menu_names_is_said(built: list[Copy]) -> None:
    extra = built[0].folder / "docs" / "lessons" / "extra.md"
    extra.write_text("---\nkind: lesson\n---\n\nText.\n", "utf-8")
    try:
        assert "lessons/extra.md" in "\n".join(refused(built[0]))
    finally:
        extra.unlink()


# --- where a site may go ---


def test_a_folder_of_something_else_is_not_replaced(built: list[Copy], tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "letter.txt").write_text("keep me", "utf-8")
    done = built[0].build("--output", str(tmp_path / "letters"))
    assert done.returncode == 1
    assert done.stderr == (
        f"{tmp_path / 'letters'} holds something other than a built site. Name a new or an empty folder.\n"
    )
    assert contents(tmp_path) == {"letters/letter.txt": hashlib.sha256(b"keep me").hexdigest()}


def test_the_book_itself_is_not_replaced(tmp_path: Path) -> None:
    root = tmp_path / "book"
    for output in (root, tmp_path, Path(root.anchor)):
        with pytest.raises(Stop, match="the book itself is in it"):
            building._check_output(root, output)


def test_a_new_folder_an_empty_one_and_a_former_site_may_be_replaced(tmp_path: Path) -> None:
    root, former, empty = tmp_path / "book", tmp_path / "former", tmp_path / "empty"
    empty.mkdir()
    (former / building.OWN).mkdir(parents=True)
    for output in (root / "site", empty, former):
        building._check_output(root, output)
    (tmp_path / "file").touch()
    with pytest.raises(Stop, match="something other than a built site"):
        building._check_output(root, tmp_path / "file")


def test_the_old_site_comes_back_if_the_new_cannot_go_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    new, output = tmp_path / "cache" / "site", tmp_path / "site"
    for folder in (new, output):
        folder.mkdir(parents=True)
        (folder / "index.html").write_text(folder.parent.name, "utf-8")
    before = contents(output)
    really = shutil.move

    def move(source: Path, target: Path) -> object:
        if Path(source) == new:
            raise PermissionError(13, "Permission denied", str(target))
        return really(source, target)

    monkeypatch.setattr(building.shutil, "move", move)
    with pytest.raises(PermissionError):
        building._swap(new, output)
    assert contents(output) == before


# --- our own faults, and dates ---


def test_a_fault_of_our_own_is_one_line_to_report(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    def fails(root: Path, output: Path) -> str:
        raise KeyError("no such thing")

    monkeypatch.setattr(building, "build", fails)
    assert building.main(["--output", str(tmp_path / "site")]) == 1
    said = capsys.readouterr().err
    assert re.fullmatch(r"The generator failed; please report this: test_build\.py:\d+: KeyError.*\n", said)


@pytest.mark.parametrize("name", ["FURROWBOOK_NODE", "FURROWBOOK_NODE_MODULES"])
def test_without_its_environment_a_build_says_how_to_start(
    monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.delenv(name, raising=False)
    with pytest.raises(Stop, match=r"python3 scripts/build\.py"):
        {"FURROWBOOK_NODE": settings.node, "FURROWBOOK_NODE_MODULES": settings.node_modules}[name]()


def test_the_date_is_the_commits_unless_it_is_given(
    built: list[Copy], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settings, "ROOT", built[0].folder)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert settings.dated().seconds == int(COMMITTED.timestamp())
    assert settings.dated().day == "2026-03-01"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86399")
    assert settings.dated().day == "1970-01-01"


def test_a_book_without_history_has_a_fixed_date(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settings, "ROOT", tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert settings.dated().seconds == 0


@pytest.mark.parametrize("given", ["yesterday", "-5", "1.5", "٣"])
def test_a_date_that_cannot_be_read_is_said(monkeypatch: pytest.MonkeyPatch, given: str) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", given)
    with pytest.raises(Stop, match=f"SOURCE_DATE_EPOCH is “{given}”"):
        settings.dated()


def test_the_logger_of_the_builder_is_given_back(root: Path, tmp_path: Path) -> None:
    before = list(logging.getLogger("mkdocs").handlers)
    with pytest.raises(Stop):
        building._run_mkdocs(tmp_path, tmp_path / "site")
    assert logging.getLogger("mkdocs").handlers == before
