"""Serves the built site on this machine, with the types that browsers ask of a host."""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from handbook.console import Stop, say
from handbook.media_types import MEDIA_TYPES


class Handler(SimpleHTTPRequestHandler):
    """Files as they are, quietly, never kept by the browser without asking."""

    extensions_map = {**SimpleHTTPRequestHandler.extensions_map, **MEDIA_TYPES}  # noqa: RUF012  # the library's own form

    def end_headers(self) -> None:
        """Ask the browser to check each file again."""
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:  # the library's name
        """Say nothing of each file."""


class Server(ThreadingHTTPServer):
    """Says nothing of a browser that has gone away before it had all of a file."""

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Report any other fault, as the library does."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


def host(
    site: Path,
    port: int,
    handler: Callable[..., Handler] = Handler,
    command: str = "python3 scripts/build.py --serve",
) -> ThreadingHTTPServer:
    """A server of `site` on this machine only; port 0 takes any free one.

    Raises `Stop` if it is taken, with the command to give another.
    """
    if not 0 <= port <= 65535:
        raise Stop(f"There is no port {port}; choose one from 1024 to 65535, such as --port 8000")
    try:
        return Server(("127.0.0.1", port), partial(handler, directory=str(site)))
    except OSError as error:
        reason = "is in use" if error.errno == errno.EADDRINUSE else f"cannot be had ({error.strerror})"
        other = port + 1 if 1024 <= port < 65535 else 8000
        raise Stop(f"Port {port} {reason}; choose another: {command} --port {other}") from error


def serve(site: Path, port: int) -> None:
    """Serve until interrupted, and say where."""
    with host(site, port) as server:
        say(f"Serving it at http://127.0.0.1:{server.server_address[1]}/ until you press Ctrl+C.")
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            say("Stopped.")
