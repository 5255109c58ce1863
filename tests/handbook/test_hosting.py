"""Serving on this machine: types that browsers insist on, on no other address, and words when it cannot be.

Sources: IANA media types (`application/wasm`, `text/javascript` of RFC 9239, `font/woff2` of RFC 8081); the
WebAssembly Web API, which takes a stream of `application/wasm` only; RFC 5735 for 127.0.0.0/8.
"""

from __future__ import annotations

import os
import signal
import socket
import struct
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path

import pytest

from handbook.console import Stop
from handbook.hosting import host
from tests.conftest import HEARS_CTRL_C, stopped

FILES = {
    "index.html": "text/html",
    "assets/engine/pyodide.asm.wasm": "application/wasm",
    "assets/engine/worker.mjs": "text/javascript",
    "assets/engine/engine.js": "text/javascript",
    "assets/engine/calc.zip": "application/zip",
    "assets/engine/snapshot.bin": "application/octet-stream",
    "assets/css/a.css": "text/css",
    "assets/fonts/a.woff2": "font/woff2",
    "search/search_index.json": "application/json",
    "assets/a.svg": "image/svg+xml",
}


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site é"
    for name in FILES:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(name.encode())
    (tmp_path / "secret.txt").write_text("not for the site", "utf-8")
    return folder


@pytest.fixture
def port(site: Path, capfd: pytest.CaptureFixture[str]) -> Iterator[int]:
    """A port the site is served on; it must say nothing of each request."""
    with host(site, 0) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield server.server_address[1]
        server.shutdown()
        thread.join()
    assert capfd.readouterr() == ("", "")


def got(port: int, path: str) -> tuple[HTTPResponse, bytes]:
    connection = HTTPConnection("127.0.0.1", port, timeout=10)
    connection.request("GET", path)
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer, body


@pytest.mark.parametrize("name", FILES)
def test_each_file_comes_whole_with_its_type(port: int, name: str) -> None:
    answer, body = got(port, f"/{name}")
    assert (answer.status, body) == (200, name.encode())
    assert (answer.getheader("Content-Type") or "").partition(";")[0] == FILES[name]
    assert answer.getheader("Cache-Control") == "no-cache"


def test_the_folder_itself_is_its_first_page(port: int) -> None:
    answer, body = got(port, "/")
    assert (answer.status, body) == (200, b"index.html")


@pytest.mark.parametrize(
    "path", ["/no-such.html", "/../secret.txt", "/%2e%2e/secret.txt", "/assets/../../secret.txt"]
)
def test_nothing_outside_the_site_is_served(port: int, path: str) -> None:
    answer, body = got(port, path)
    assert answer.status == 404
    assert b"not for the site" not in body


def test_it_listens_on_one_address_of_this_machine_only(site: Path) -> None:
    with host(site, 0) as server:
        assert server.server_address[0] == "127.0.0.1"
        if sys.platform == "linux":
            with pytest.raises(ConnectionRefusedError):
                socket.create_connection(("127.0.0.2", server.server_address[1]), timeout=5)


def test_a_port_in_use_is_one_line_that_names_another(site: Path) -> None:
    with host(site, 0) as server:
        taken = server.server_address[1]
        with pytest.raises(Stop) as stop:
            host(site, taken)
    said = str(stop.value)
    assert said.startswith(
        f"Port {taken} is in use; choose another: python3 scripts/build.py --serve --port "
    )
    assert "\n" not in said


def test_a_browser_that_goes_away_is_not_a_fault(site: Path, capfd: pytest.CaptureFixture[str]) -> None:
    (site / "large.bin").write_bytes(bytes(20_000_000))
    with host(site, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        with socket.create_connection(("127.0.0.1", server.server_address[1]), timeout=5) as browser:
            browser.sendall(b"GET /large.bin HTTP/1.0\r\n\r\n")
            assert browser.recv(1000)
            # Closed at once, with what is still on its way thrown back.
            browser.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        server.shutdown()
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("port", [-1, 65536, 10**9])
def test_a_port_that_does_not_exist_is_one_line(site: Path, port: int) -> None:
    with pytest.raises(Stop) as stop:
        host(site, port)
    assert str(stop.value) == f"There is no port {port}; choose one from 1024 to 65535, such as --port 8000"


def test_serving_says_where_and_stops_when_told(site: Path) -> None:
    code = (
        HEARS_CTRL_C + "import sys; from pathlib import Path; from handbook.hosting import serve; "
        "serve(Path(sys.argv[1]), 0)"
    )
    variables = os.environ | {"PYTHONUTF8": "1"}
    with subprocess.Popen(
        [sys.executable, "-c", code, site], stderr=subprocess.PIPE, env=variables
    ) as process:
        assert process.stderr
        said = process.stderr.readline().decode()
        assert said.startswith("Serving it at http://127.0.0.1:")
        assert said.endswith("/ until you press Ctrl+C.\n")
        assert got(int(said.split(":")[2].partition("/")[0]), "/")[0].status == 200
        assert stopped(process, signal.SIGINT) == 0
        assert process.stderr.read().decode() == "Stopped.\n"
