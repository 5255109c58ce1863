"""Shows the book while it is written; run by scripts/serve.py inside the environment that it sets up."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Sequence

from handbook import console
from handbook.preview.board import Board
from handbook.preview.press import clear
from handbook.preview.preview import Preview
from handbook.preview.problems import to_mend
from handbook.preview.serving import answering, preview_server
from handbook.preview.watching import Watch
from handbook.settings import ROOT


def show(port: int) -> None:
    """Build, serve and watch until interrupted."""
    board = Board()
    shown = ROOT / ".furrowbook" / "preview" / str(port)
    # The port comes first: if it is taken, that is said at once, and the folder is another preview's.
    with preview_server(port, shown, board) as server:
        clear(shown)
        try:
            console.say("Building the book …")
            preview = Preview(ROOT, shown, board, to_mend)
            with Watch(ROOT) as watch:
                preview.renew()
                with answering(server) as address:
                    console.say(f"Showing it at {address} until you press Ctrl+C. What you save shows there.")
                    while True:
                        if watch.changed():
                            preview.renew()
        except KeyboardInterrupt:
            console.say("Stopped.")
        finally:
            board.close()
            clear(shown)


def main(arguments: Sequence[str]) -> int:
    """Show the book; the exit code."""
    parser = argparse.ArgumentParser(prog="scripts/serve.py", description="Show the book while you write it.")
    parser.add_argument("--port", type=int, default=8000, help="the port to serve on (8000)")
    chosen = parser.parse_args(arguments)

    def work() -> int:
        signal.signal(signal.SIGTERM, signal.default_int_handler)  # told to end, it clears up as after Ctrl+C
        show(chosen.port)
        return 0

    return console.stoppable(work)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
