"""The list of what a device keeps: every file, with its type, size and hash, and nothing that is not known.

Sources: SHA-256 of "abc", FIPS 180-4's own example (from memory), and Python's hashlib; the IANA registry of
media types, through Python's mimetypes.
"""

from __future__ import annotations

import base64
import hashlib
import json
import mimetypes
from pathlib import Path
from typing import Any

import pytest

from handbook.console import Stop
from handbook.media_types import MEDIA_TYPES, media_type
from handbook.offline import LIST, WORKER, write_list, write_worker

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site of four files, one of them in a folder and one with a letter that is not ASCII."""
    files = {
        "index.html": b"abc",
        "lessons/größe.html": b"a longer page",
        "a.css": b"",
        "folder.js": b"for a folder",
    }
    for name, content in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(content)
    return tmp_path


def written(site: Path, *left_out: str) -> dict[str, Any]:
    write_list(site, "0123456789ab", "2027-03-01", left_out)
    listed: dict[str, Any] = json.loads((site / LIST).read_text("utf-8"))
    return listed


def test_every_file_is_listed_the_largest_first(site: Path) -> None:
    listed = written(site)
    assert (listed["build"], listed["date"]) == ("0123456789ab", "2027-03-01")
    assert [(one["path"], one["type"], one["size"]) for one in listed["files"]] == [
        ("lessons/größe.html", "text/html", 13),
        ("folder.js", "text/javascript", 12),
        ("index.html", "text/html", 3),
        ("a.css", "text/css", 0),
    ]


def test_hashes_are_those_of_the_content(site: Path) -> None:
    hashes = {one["path"]: base64.b64decode(one["hash"]) for one in written(site)["files"]}
    assert hashes["index.html"].hex() == ABC
    for path, digest in hashes.items():
        assert digest == hashlib.sha256((site / path).read_bytes()).digest()


def test_what_a_page_from_a_folder_reads_and_the_worker_itself_are_left_out(site: Path) -> None:
    write_worker(site)
    paths = {one["path"] for one in written(site, "folder.js")["files"]}
    assert paths == {"index.html", "lessons/größe.html", "a.css"}
    assert (site / WORKER).is_file()


def test_written_again_it_is_the_same_and_does_not_list_itself(site: Path) -> None:
    written(site)
    first = (site / LIST).read_bytes()
    written(site)
    assert (site / LIST).read_bytes() == first


def test_of_many_machines_each_file_names_its_own(site: Path) -> None:
    for name in ("one/index.html", "one/figures.js", "two/index.html", "index.html", "one.yml"):
        path = site / "machines" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"0123456789" if path.suffix == ".html" else b"")

    def machines(most: int) -> dict[str, str]:
        write_list(site, "0123456789ab", "2027-03-01", (), most)
        listed = json.loads((site / LIST).read_text("utf-8"))
        return {one["path"]: one["machine"] for one in listed["files"] if "machine" in one}

    assert machines(1_000) == {}
    assert machines(20) == {  # two pages, each of more than ten bytes when it is packed
        "machines/one/index.html": "one",
        "machines/one/figures.js": "one",
        "machines/two/index.html": "two",
    }


def test_a_file_of_no_known_kind_stops_the_build(site: Path) -> None:
    (site / "lessons" / "film.xyz").write_bytes(b"?")
    with pytest.raises(Stop) as stop:
        written(site)
    assert str(stop.value) == (
        "lessons/film.xyz is a kind of file that the book does not know. Use another kind, "
        "or name its type in scripts/handbook/media_types.py."
    )
    assert not (site / LIST).exists()


@pytest.mark.parametrize("ending", sorted(MEDIA_TYPES))
def test_types_are_the_registered_ones(ending: str) -> None:
    # Python's own table, without what this machine adds to it. Where it names none, or an older one:
    # RFC 9239 (scripts), RFC 9512 (YAML), the Web App Manifest, RFC 8081 (fonts), W3C WebAssembly.
    newer = {
        ".js": "text/javascript",
        ".mjs": "text/javascript",
        ".yml": "application/yaml",
        ".webmanifest": "application/manifest+json",
        ".woff2": "font/woff2",
        ".webp": "image/webp",
        ".wasm": "application/wasm",
    }
    table = mimetypes.MimeTypes()
    expected = newer.get(ending) or table.types_map[True].get(ending)
    assert media_type(f"a/b{ending}") == expected


@pytest.mark.parametrize("name", ["README", "a.HTML", "a.tar.gz", ".html/x"])
def test_any_other_ending_has_no_type(name: str) -> None:
    with pytest.raises(KeyError):
        media_type(name)
