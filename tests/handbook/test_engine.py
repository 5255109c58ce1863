"""Packing the engine: the same bytes each time, nothing of this machine in them, and a stop in words."""

from __future__ import annotations

import gzip
import io
import json
import os
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from handbook.console import Stop
from handbook.engine import pack_search
from handbook.engine.archive import calc_archive, gzipped
from handbook.engine.licences import engine_parts, licence_text
from handbook.engine.program import classic_asm, page_script, worker_classic
from handbook.engine.snapshot import Snapshot, packed_snapshot, start_settings


@pytest.fixture
def pyodide(node_modules: Path) -> Path:
    return node_modules / "pyodide"


def small_calc(folder: Path, body: str = "") -> Path:
    """A stand-in for `calc`, so that a snapshot is soon made."""
    calc = folder / "calc"
    calc.mkdir(parents=True)
    (calc / "__init__.py").write_text("", "utf-8")
    (calc / "asked.py").write_text(f"def warm_up():\n    {body or 'return None'}\n", "utf-8")
    return calc


@pytest.fixture
def lock_info(pyodide: Path) -> dict[str, str]:
    info: dict[str, str] = json.loads((pyodide / "pyodide-lock.json").read_text("utf-8"))["info"]
    return info


@pytest.fixture
def settings(lock_info: dict[str, str]) -> dict[str, object]:
    start = start_settings(lock_info)
    return {**start, "warm_up": start["plain"] + "calc.asked.warm_up()\n"}


# --- the archive of calc ---------------------------------------------------------------------------------


def test_the_archive_depends_on_nothing_but_the_sources(tmp_path: Path) -> None:
    first, second = small_calc(tmp_path / "a"), small_calc(tmp_path / "b é")
    (second / "__pycache__").mkdir()
    (second / "__pycache__" / "asked.cpython-311.pyc").write_bytes(b"old")
    (second / "asked.py").write_bytes((second / "asked.py").read_bytes().replace(b"\n", b"\r\n"))
    os.utime(second / "asked.py", (1, 1))
    (second / "asked.py").chmod(0o600)

    assert calc_archive(first) == calc_archive(second)
    with zipfile.ZipFile(io.BytesIO(calc_archive(second))) as archive:
        assert archive.namelist() == ["calc/__init__.py", "calc/asked.py"]


def test_gzip_names_neither_time_nor_file_nor_system() -> None:
    # RFC 1952, section 2.3: flags in byte 3, the time in bytes 4 to 7, the system in byte 9 (255: unknown).
    packed = gzipped(b"wheat" * 100)
    assert packed[:3] == b"\x1f\x8b\x08"
    assert packed[3:8] == bytes(5)
    assert packed[9] == 255
    assert gzip.decompress(packed) == b"wheat" * 100


# --- the snapshot ----------------------------------------------------------------------------------------


def test_the_snapshot_is_the_same_from_any_folder_in_any_zone_and_language(
    tmp_path: Path,
    node: Path,
    pyodide: Path,
    settings: dict[str, object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = []
    for folder, zone, language in (("one", "America/Regina", "C"), ("zwei é", "Asia/Tokyo", "de_DE.UTF-8")):
        here = tmp_path / folder
        copy = here / "pyodide"
        shutil.copytree(pyodide, copy)
        monkeypatch.setenv("TZ", zone)
        monkeypatch.setenv("LC_ALL", language)
        archive = calc_archive(small_calc(here))
        made.append(packed_snapshot(node, copy, archive, settings, here / "cache"))

    assert made[0] == made[1]
    memory = gzip.decompress(made[0].packed)
    for path in (tmp_path, pyodide, node, Path(__file__)):
        assert str(path).encode() not in memory
    assert b"node_modules" not in memory


MAGIC = b"\x00snp" + (8).to_bytes(4, "little")  # no more in front than where memory begins
PAGE = 4096


@pytest.mark.parametrize(
    ("pages", "of_program", "runs", "same"),
    [
        (["a"], [], [[0, 8 + PAGE]], []),
        (
            ["", "a", "b", "", "", "c"],
            [],
            [[0, 8], [8 + PAGE, 8 + 3 * PAGE], [8 + 5 * PAGE, 8 + 6 * PAGE]],
            [],
        ),
        (["a", "b", "c"], ["a", "b"], [[0, 8], [8 + 2 * PAGE, 8 + 3 * PAGE]], [[8, 8 + 2 * PAGE]]),
        # What the program brings and Python has emptied is empty.
        (["", "b", "a"], ["a", "a", "a"], [[0, 8], [8 + PAGE, 8 + 2 * PAGE]], [[8 + 2 * PAGE, 8 + 3 * PAGE]]),
    ],
)
def test_memory_that_is_empty_or_that_the_program_brings_is_left_out(
    pages: list[str], of_program: list[str], runs: list[list[int]], same: list[list[int]]
) -> None:
    memory = MAGIC + b"".join((page or "\0").encode() * PAGE for page in pages)
    brought = b"".join(page.encode() * PAGE for page in of_program)
    snapshot = Snapshot.of(memory, brought)
    assert snapshot.layout == {"size": len(memory), "begins": 8, "runs": runs, "brought": same}
    rebuilt, at = bytearray(len(memory)), 0
    packed = gzip.decompress(snapshot.packed)
    for start, end in runs:
        rebuilt[start:end] = packed[at : at + end - start]
        at += end - start
    for start, end in same:
        rebuilt[start:end] = brought[start - 8 : end - 8]
    assert (bytes(rebuilt), at) == (memory, len(packed))


def test_a_snapshot_written_in_another_way_is_refused() -> None:
    with pytest.raises(Stop, match="does not say where memory begins"):
        Snapshot.of(b"\x00new" + bytes(100), b"")


def test_an_unchanged_snapshot_is_not_made_again(
    tmp_path: Path, node: Path, pyodide: Path, settings: dict[str, object]
) -> None:
    archive = calc_archive(small_calc(tmp_path / "a"))
    cache = tmp_path / "cache"
    first = packed_snapshot(node, pyodide, archive, settings, cache)
    nowhere = tmp_path / "no-node"
    assert packed_snapshot(nowhere, pyodide, archive, settings, cache) == first

    changed = calc_archive(small_calc(tmp_path / "b", "return 1"))
    with pytest.raises(Stop, match="Node could not be started"):
        packed_snapshot(nowhere, pyodide, changed, settings, cache)


def test_a_calculator_that_fails_on_its_example_stops_the_build(
    tmp_path: Path, node: Path, pyodide: Path, settings: dict[str, object]
) -> None:
    archive = calc_archive(small_calc(tmp_path, "raise ValueError('no such hopper')"))
    with pytest.raises(Stop, match="no such hopper"):
        packed_snapshot(node, pyodide, archive, settings, tmp_path / "cache")
    assert list((tmp_path / "cache").iterdir()) == []


# --- the program texts -----------------------------------------------------------------------------------


def test_pyodide_is_rewritten_into_a_classic_script(tmp_path: Path, node: Path, pyodide: Path) -> None:
    text = worker_classic(
        (pyodide / "pyodide.js").read_text("utf-8"), (pyodide / "pyodide.asm.mjs").read_text("utf-8")
    )
    assert text.startswith("self.importScripts =")
    # The judge is Node itself: `vm.Script` reads a text as a classic script and refuses a module.
    (tmp_path / "worker.txt").write_text(text, "utf-8")
    parse = "new (require('node:vm').Script)(require('node:fs').readFileSync(process.argv[1], 'utf8'))"
    done = subprocess.run([node, "-e", parse, tmp_path / "worker.txt"], capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    (tmp_path / "module.txt").write_text("export default 1;\n", "utf-8")
    refused = subprocess.run([node, "-e", parse, tmp_path / "module.txt"], capture_output=True, text=True)
    assert "SyntaxError" in refused.stderr


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("export default _createPyodideModule;", ""),
        ("export default _createPyodideModule;", "export default _createPyodideModule;\nconst more = 1;"),
        ("export default _createPyodideModule;", "export{more};export default _createPyodideModule;"),
        ("var _scriptName=import.meta.url;", "var _scriptName='';"),
        ("var _scriptName=import.meta.url;", "var _scriptName=import.meta.url+import.meta.url;"),
    ],
)
def test_a_runtime_written_otherwise_stops_the_build(pyodide: Path, old: str, new: str) -> None:
    asm = (pyodide / "pyodide.asm.mjs").read_text("utf-8")
    assert old in asm
    with pytest.raises(Stop, match=r"pyodide\.asm\.mjs is not written as it was"):
        classic_asm(asm.replace(old, new))


def test_the_page_is_told_what_was_packed() -> None:
    text = page_script({"hosted": {"calc": "calc-0123456789ab.zip"}})
    assert 'const PACKED = {"hosted":{"calc":"calc-0123456789ab.zip"}};' in text


# --- the theme's search in a folder ----------------------------------------------------------------------


def test_the_search_worker_is_packed_as_text(tmp_path: Path) -> None:
    workers = tmp_path / "assets" / "javascripts" / "workers"
    workers.mkdir(parents=True)
    text = 'self.found = "a\\"b </script>";\n'
    (workers / "search.0a1b2c3d.min.js").write_text(text + "//# sourceMappingURL=x.map\n", "utf-8")
    shim = pack_search(tmp_path).read_text("utf-8")
    mended = (workers / "search.0a1b2c3d.min.js").read_text("utf-8")
    assert mended.startswith(text)
    assert "TokenSet.prototype.toString" in mended
    assert json.dumps({"name": "search.0a1b2c3d.min.js", "text": mended}, ensure_ascii=False) in shim

    (workers / "search.ffffffff.min.js").write_text("", "utf-8")
    with pytest.raises(Stop, match=r"one search worker .* has 2"):
        pack_search(tmp_path)


# --- licences --------------------------------------------------------------------------------------------


def test_every_part_of_the_engine_has_its_licence(pyodide: Path, lock_info: dict[str, str]) -> None:
    parts = engine_parts(pyodide, lock_info)
    assert {"Pyodide", "CPython and its standard library"} <= {part.name for part in parts}
    for part in parts:
        assert len(part.text) > 100, part.name
        assert part.version, part.name
        assert part.source.startswith("https://"), part.name
    texts = {part.name: part.text for part in parts}
    assert "Mozilla Public License Version 2.0" in texts["Pyodide"]
    assert "PYTHON SOFTWARE FOUNDATION LICENSE VERSION 2" in texts["CPython and its standard library"]


def test_a_new_python_has_to_be_looked_into(pyodide: Path) -> None:
    with pytest.raises(Stop, match=r"Python 3\.99\.0"):
        engine_parts(pyodide, {"python": "3.99.0"})


def test_a_part_without_its_text_stops_the_build() -> None:
    with pytest.raises(Stop, match=r"nobody\.txt is missing"):
        licence_text("nobody")
