"""What a measurement comes to: medians, their ratios, and the aims beside them."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from statistics import median

PAIRS = (  # title, ours, the bare start beside it, and the aim: at most this share of it
    ("over http", "http", "http-bare", 0.40),
    ("from a folder", "folder", "folder-bare", 0.65),
    ("  the same", "folder", "http-bare", 0.65),
)
EXPLAINED = """\
A start is the time from navigation to the first live answer of the rate form, filled in before Python is up.
Bare over http: Pyodide alone in the page, to the answer of 1 + 1.
Bare from a folder: Pyodide alone and without a snapshot in a worker, brought by scripts, to the same answer.
The third line sets the start from a folder beside the bare one over http, which is the harder comparison.
Only the ratios carry over to another machine."""


def busy_line() -> str:
    """A warning where this machine is doing something else already; empty where it is not known to be."""
    if not hasattr(os, "getloadavg"):
        return ""
    load, processors = os.getloadavg()[0], os.cpu_count() or 1
    if load < 0.3 * processors:
        return ""
    return f"This machine is busy (load {load:.1f} on {processors} processors): these times will mean little."


def report(taken: Mapping[str, Sequence[float]], build_seconds: float) -> str:
    """The table to print. `taken` holds milliseconds for `http`, `folder` and each with `-bare` behind it."""
    rounds = len(taken["http"])
    lines = [
        f"Start to first live answer, milliseconds: median (lowest to highest) of {rounds}, cache warm",
        f"{'':<14}{'handbook':<24}{'bare Pyodide':<24}{'ratio':<7}aim",
    ]
    for title, name, beside, aim in PAIRS:
        ours, bare = taken[name], taken[beside]
        ratio = median(ours) / median(bare)
        met = "met" if ratio <= aim else "not met"
        lines.append(
            f"{title:<14}{_figures(ours):<24}{_figures(bare):<24}{ratio:<7.3f}{aim:.2f} at most: {met}"
        )
    lines += ["", EXPLAINED, "", f"Build, with the snapshot kept from the one before: {build_seconds:.1f} s"]
    return "\n".join(lines)


def _figures(times: Sequence[float]) -> str:
    return f"{median(times):.0f} ({min(times):.0f} to {max(times):.0f})"
