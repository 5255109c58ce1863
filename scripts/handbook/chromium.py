"""Finding the browser that the tests drive, or installing Debian's where that is allowed."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from handbook.console import Runner, Stop, child_variables, expect_success, run_quietly, say

# How tests and measurements start it: without a screen, as root, and asking nobody for anything.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
_COMMANDS = (
    "chromium",
    "chromium-browser",
    "google-chrome-stable",
    "google-chrome",
    "microsoft-edge-stable",
    "microsoft-edge",
)
_MAC_PLACES = (
    "Chromium.app/Contents/MacOS/Chromium",
    "Google Chrome.app/Contents/MacOS/Google Chrome",
    "Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
)
_WINDOWS_PLACES = (
    r"Chromium\Application\chrome.exe",
    r"Google\Chrome\Application\chrome.exe",
    r"Microsoft\Edge\Application\msedge.exe",
)
_INSTALL = (
    "The tests drive a browser: install Chromium, Chrome or Edge (on Debian, as root: apt-get install "
    "chromium), or set FURROWBOOK_BROWSER to the one to use."
)


def find_browser(
    variables: Mapping[str, str] | None = None,
    which: Callable[[str], str | None] = shutil.which,
    run: Runner = run_quietly,
    root_user: bool | None = None,
    system: str = sys.platform,
) -> Path:
    """The browser to test with: the one named, else one found, else Debian's, newly installed as root.

    Raises `Stop` with one line saying what to install where there is none. It never returns nothing:
    a run of the tests without its browser must not pass for a whole one.
    """
    variables = os.environ if variables is None else variables
    named = variables.get("FURROWBOOK_BROWSER", "")
    if named:
        if Path(named).is_file():
            return Path(named)
        raise Stop(f"FURROWBOOK_BROWSER names {named}, which is not there. Correct it, or unset it.")
    found = _look(variables, which, system)
    if found:
        return found
    if root_user is None:
        root_user = hasattr(os, "geteuid") and os.geteuid() == 0
    apt = which("apt-get")
    if not (root_user and apt):
        raise Stop(_INSTALL)
    say("Installing Debian's chromium for the tests (once) …")
    quiet = child_variables({"DEBIAN_FRONTEND": "noninteractive"})
    waiting = ["-o", "DPkg::Lock::Timeout=300"]
    # A list that cannot be renewed may still be good enough; the install decides.
    run([apt, *waiting, "update"], Path.cwd(), quiet)
    wanted = [apt, *waiting, "install", "--yes", "--no-install-recommends", "chromium"]
    expect_success(run(wanted, Path.cwd(), quiet), "Installing chromium")
    found = _look(variables, which, system)
    if not found:
        raise Stop(_INSTALL)
    return found


def _look(variables: Mapping[str, str], which: Callable[[str], str | None], system: str) -> Path | None:
    for command in _COMMANDS:
        place = which(command)
        if place:
            return Path(place)
    folders: list[str] = []
    inside: tuple[str, ...] = ()
    if system == "darwin":
        folders, inside = ["/Applications", str(Path.home() / "Applications")], _MAC_PLACES
    elif system == "win32":
        names = ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")
        folders, inside = [variables[name] for name in names if variables.get(name)], _WINDOWS_PLACES
    places = (Path(folder) / end for end in inside for folder in folders)
    return next((place for place in places if place.is_file()), None)
