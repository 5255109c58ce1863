"""Serves the preview: the pages with its own script in each, and the events that tell them of a new build."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http import HTTPStatus
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from handbook.hosting import Handler, host
from handbook.media_types import media_type
from handbook.preview.board import Board

PARTS = Path(__file__).parents[1] / "web" / "preview"
AT = "/furrowbook-preview/"
EVENTS = f"{AT}events"
PAGE = "page"  # what the page that listens is called, in the address of the events
FILES = {
    **{f"{AT}{name}": name for name in ("preview.js", "preview.css")},
    # Where a browser has stored the book from this very address, it asks for the program of that by itself.
    "/service-worker.js": "leaving.js",
}
MARKS = (
    '<link rel="stylesheet" href="{AT}preview.css">'
    '<script src="{AT}preview.js" data-build="{build}" defer></script></head>'
)
KEPT = "/assets/engine/"  # never written again, so a browser may go by their time
PULSE = 10.0
"""How often (s) a page hears something: a page that has gone is noticed only when it is written to."""


class PreviewHandler(Handler):
    """The files below a folder, and what a preview adds to them."""

    def __init__(self, *arguments: Any, board: Board, **named: Any) -> None:
        self._board = board
        super().__init__(*arguments, **named)  # which answers the request already

    def do_GET(self) -> None:
        """Answer a request."""
        path, query = urlsplit(self.path)[2:4]
        if path == EVENTS:
            page = self._page(parse_qs(query).get(PAGE, ["/"])[0])
            with self._board.reading(page.relative_to(self.directory).as_posix()):
                self._tell()
        elif path in FILES:
            content = (PARTS / FILES[path]).read_bytes()
            self._send(HTTPStatus.OK, media_type(FILES[path]), content)
        elif path.endswith((".html", "/")):
            self._show(self._page(self.path))
        else:
            if not path.startswith(KEPT):
                # Times are told to the second, and a picture may be saved twice in one.
                del self.headers["If-Modified-Since"]
            super().do_GET()

    def _page(self, address: str) -> Path:
        """The file of a page, whether it is there or not."""
        path = Path(self.translate_path(address))
        return path / "index.html" if path.is_dir() else path

    def _show(self, page: Path) -> None:
        """Send a page; its build is read before the page is, so that it can only be too old, not too new."""
        build = self._board.notice.build
        status = HTTPStatus.OK
        if not build:
            status, page = HTTPStatus.SERVICE_UNAVAILABLE, PARTS / "waiting.html"
        elif not page.is_file():
            status, page = HTTPStatus.NOT_FOUND, Path(self.directory) / "404.html"
        try:
            content = page.read_bytes()
        except OSError:  # taken away in this very moment
            self.send_error(HTTPStatus.NOT_FOUND)
            return
        marked = content.replace(b"</head>", MARKS.format(AT=AT, build=build).encode(), 1)
        self._send(status, "text/html; charset=utf-8", marked)

    def _send(self, status: HTTPStatus, kind: str, content: bytes) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def _tell(self) -> None:
        """Send each notice as a Server-Sent Event, the newest at once. Source: HTML Standard, section 9.2."""
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream")
        self.end_headers()
        told = None
        while notice := self._board.after(told, PULSE):
            line = ":" if notice == told else f"data: {notice.as_json()}"
            self.wfile.write(f"{line}\n\n".encode())
            told = notice


def preview_server(port: int, folder: Path, board: Board) -> ThreadingHTTPServer:
    """A server on this machine only, of what `folder` will hold. Raises `Stop` if the port cannot be had."""
    return host(folder, port, partial(PreviewHandler, board=board), "python3 scripts/serve.py")


@contextmanager
def answering(server: ThreadingHTTPServer) -> Iterator[str]:
    """Have a server answer in a thread of its own; gives its address."""
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}/"
    finally:
        server.shutdown()
        thread.join()
