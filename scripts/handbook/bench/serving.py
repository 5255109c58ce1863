"""A folder served on this machine that can be taken away for a while, as a signal is lost."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import ThreadingHTTPServer
from pathlib import Path

from handbook.console import Stop
from handbook.hosting import host

HOST = "127.0.0.1"


class Served:
    """One folder on one port of this machine, up or down."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._up: tuple[ThreadingHTTPServer, threading.Thread] | None = None
        self.port = 0
        self.start()

    @property
    def address(self) -> str:
        """Where it is served, without a slash at the end."""
        return f"http://{HOST}:{self.port}"

    def start(self) -> None:
        """Serve, on the port of the last time if there was one. Raises `Stop` where that cannot be had."""
        try:
            server = host(self._folder, self.port)
        except Stop as stop:
            raise Stop(
                f"Another program took port {self.port} while the book was offline; measure again."
            ) from stop
        self.port = server.server_address[1]
        thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
        thread.start()
        self._up = server, thread

    def stop(self) -> None:
        """Serve no more, and give up the port."""
        if self._up:
            server, thread = self._up
            self._up = None
            server.shutdown()
            thread.join()
            server.server_close()

    @contextmanager
    def down(self) -> Iterator[None]:
        """Be away for as long as this lasts. Raises `Stop` if something still answers there."""
        self.stop()
        try:
            self._refuses()
            yield
            self._refuses()
        finally:
            self.start()

    def _refuses(self) -> None:
        try:
            socket.create_connection((HOST, self.port), timeout=5).close()
        except ConnectionRefusedError:
            return
        except OSError as error:
            raise Stop(
                f"Port {self.port} should refuse, but it does not say so: {error.strerror or error}."
            ) from error
        raise Stop(f"Something still answers at port {self.port}, so nothing there would be offline.")


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    """`folder`, served for as long as this lasts."""
    one = Served(folder)
    try:
        yield one
    finally:
        one.stop()
