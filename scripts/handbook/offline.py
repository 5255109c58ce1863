"""What a hosted book needs to be kept on a device: its service worker, and the list of all its files."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
from collections.abc import Collection
from pathlib import Path
from typing import Any

from handbook.console import Stop
from handbook.media_types import media_type

WEB = Path(__file__).parent / "web"
WORKER = "service-worker.js"
LIST = "offline.json"
ALL_MACHINES = 2_000_000  # bytes of machines' pages that a device may well keep, whichever its reader uses

# In the order in which one needs another.
_PARTS = ("builds", "fetching", "storing", "answering", "service-worker")
_LAST_RESORT_LINE = 'const LAST_RESORT = "";\n'


def write_worker(site: Path) -> None:
    """Write the service worker at the top of `site`, which is how far it reaches."""
    text = "".join((WEB / "offline" / f"{name}.js").read_text("utf-8") for name in _PARTS)
    if text.count(_LAST_RESORT_LINE) != 1:
        raise Stop("web/offline/answering.js no longer has the line where the build writes the last page.")
    page = (WEB / "offline" / "last-resort.html").read_text("utf-8")
    text = text.replace(_LAST_RESORT_LINE, f"const LAST_RESORT = {json.dumps(page)};\n")
    (site / WORKER).write_text(f'"use strict";\n{text}', encoding="utf-8", newline="\n")


def write_list(
    site: Path, build_id: str, day: str, left_out: Collection[str], all_machines: int = ALL_MACHINES
) -> None:
    """Write the list of what a device keeps: every file of `site` but those `left_out`, as they are now.

    Where the pages of machines are more than `all_machines` bytes, a device keeps its reader's alone.
    Raises `Stop` for a file whose type is not known, since a device would hand it out as something else.
    """
    aside = {WORKER, LIST, *left_out}
    names = sorted(path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file())
    files = [_entry(site, name) for name in names if name not in aside]
    # The largest first: they take longest.
    files.sort(key=lambda entry: -int(entry["size"]))
    own = [entry for entry in files if _machine(entry["path"])]
    if sum(entry.get("packed", entry["size"]) for entry in own) > all_machines:
        for entry in own:
            entry["machine"] = _machine(entry["path"])
    listed = {"build": build_id, "date": day, "files": files}
    text = json.dumps(listed, ensure_ascii=False, separators=(",", ":"))
    (site / LIST).write_text(text, encoding="utf-8", newline="\n")


def _machine(path: str) -> str:
    """The machine that a file of the site is for; empty if for none."""
    parts = path.split("/")
    return parts[1] if len(parts) == 3 and parts[0] == "machines" else ""


def _entry(site: Path, name: str) -> dict[str, Any]:
    content = (site / name).read_bytes()
    digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
    entry = {"path": name, "type": kind_of_file(name), "size": len(content), "hash": digest}
    if entry["type"] == "text/html":
        entry["packed"] = len(gzip.compress(content, mtime=0))  # as the device keeps it
    return entry


def kind_of_file(name: str) -> str:
    """The type of a file of the site. Raises `Stop` for one that is not known."""
    try:
        return media_type(name)
    except KeyError:
        raise Stop(
            f"{name} is a kind of file that the book does not know. Use another kind, "
            "or name its type in scripts/handbook/media_types.py."
        ) from None
