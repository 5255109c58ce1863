"""What every command of the project shares: UTF-8 streams, short messages and commands run quietly."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple


class Stop(Exception):
    """A reason to stop, in words for the person at the keyboard; shown without a traceback."""


class Finished(NamedTuple):
    """How a command ended: its exit code, and what it printed on both streams."""

    code: int
    output: str


Runner = Callable[[Sequence[str], Path, Mapping[str, str]], Finished]

# What a failing pip, npm or apt-get prints, and what it means to the person who waits for it.
_CAUSES = (
    (r"no space left on device|\bENOSPC\b", "the disk is full"),
    (
        r"do not match the hashes|hashes are required|\bEINTEGRITY\b",
        "a package that came is not the one the lock file names, so it was not installed",
    ),
    (
        (
            r"name resolution|could not resolve|failed to establish|unreachable|timed out|\bproxyerror\b"
            r"|\b(?:ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT)\b"
        ),
        "the package registry could not be reached (the network is needed for the first set-up only)",
    ),
    (
        r"no matching distribution found|\b(?:ETARGET|EBADPLATFORM)\b",
        "no release named in the lock file was found for this Python on this machine",
    ),
    (r"permission denied|\b(?:EACCES|EPERM)\b", "a file or folder may not be written"),
)


def use_utf8() -> None:
    """Make the streams of this process UTF-8, whatever the locale.

    Paths that an ASCII locale could not decode come out as the bytes they were.
    """
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure:
            reconfigure(encoding="utf-8", errors="surrogateescape")


def say(text: str) -> None:
    """Print a line of progress at once, on standard error."""
    print(text, file=sys.stderr, flush=True)


def run_quietly(command: Sequence[str], folder: Path, variables: Mapping[str, str]) -> Finished:
    """Run `command` in `folder` and keep what it prints.

    Raises `Stop` when it cannot be started at all.
    """
    try:
        done = subprocess.run(
            command,
            cwd=folder,
            env=variables,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            check=False,
            close_fds=False,  # a lock marked as inheritable goes on with the child (see environment.py)
        )
    except OSError as error:
        raise Stop(f"{command[0]} could not be started: {error.strerror or error}.") from error
    return Finished(done.returncode, done.stdout.decode("utf-8", "replace"))


def expect_success(done: Finished, doing: str) -> None:
    """Raise `Stop` with the likely cause and the last lines printed, unless the command went well."""
    if done.code == 0:
        return
    cause = next((words for pattern, words in _CAUSES if re.search(pattern, done.output, re.I)), "")
    lines = [line.rstrip() for line in done.output.splitlines() if line.strip()]
    # pip warns of configured folders that hold nothing of use: noise beside the reason.
    telling = [line for line in lines if not line.startswith(("WARNING: Location", "npm warn"))]
    last = "\n".join(f"    {line[:160]}" for line in telling[-5:])
    reason = f": {cause}" if cause else f" (exit code {done.code})"
    raise Stop(f"{doing} failed{reason}.\n{last}".rstrip())


def child_variables(extra: Mapping[str, str] | None = None) -> dict[str, str]:
    """The environment variables for a child process: UTF-8, and no other Python's paths."""
    variables = dict(os.environ)
    for foreign in ("PYTHONPATH", "PYTHONHOME", "__PYVENV_LAUNCHER__"):
        variables.pop(foreign, None)
    variables["PYTHONUTF8"] = "1"
    variables.update(extra or {})
    return variables


def command(arguments: Sequence[str], words: str | None, work: Callable[[], int]) -> int:
    """What each script does: print the words at its top if asked for help, else its work; the exit code."""

    def helpful() -> int:
        if "-h" in arguments or "--help" in arguments:
            print((words or "").strip())
            return 0
        return work()

    return stoppable(helpful)


def stoppable(work: Callable[[], int]) -> int:
    """Do `work` and return its exit code, turning every foreseeable stop into a line or two."""
    use_utf8()
    try:
        code = work()
        sys.stdout.flush()
        return code
    except Stop as stop:
        say(str(stop))
        return 1
    except BrokenPipeError:
        # Whoever read along has had enough (`| head`); what is still unwritten has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as error:
        where = f": {error.filename}" if error.filename else ""
        say(f"Stopped: {error.strerror or error}{where}.")
        return 1
    except KeyboardInterrupt:
        say("Interrupted. The same command picks up from here.")
        return 130
