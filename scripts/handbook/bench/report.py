"""What a measurement comes to: medians, their ratios, and the aims beside them."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import NamedTuple

from handbook.bench.keys import Key
from handbook.bench.runs import Start
from handbook.bench.sums import Sum, sums_table
from handbook.measured import Part, Table, explained, verdict

# Title and name of each state, in the order of the table; None where a group of them begins.
STATES = (
    ("The handbook", None),
    ("cold", "cold"),
    ("warm", "warm"),
    ("offline", "offline"),
    ("from a folder", "folder"),
    ("warm, slower page", "slow-page"),
    ("warm, slower browser", "slow-all"),
    ("Bare Pyodide", None),
    ("cold", "bare-cold"),
    ("warm", "bare-warm"),
    ("from a folder", "bare-folder"),
    ("PyScript", None),
    ("cold", "pyscript-cold"),
    ("warm", "pyscript-warm"),
)
RATIOS = (  # title, ours, what stands beside it, and the aim: at most this share of it
    ("warm / bare Pyodide, warm", "warm", "bare-warm", 0.30),
    ("warm / PyScript, warm", "warm", "pyscript-warm", None),
    ("offline / bare Pyodide, warm", "offline", "bare-warm", None),
    ("cold / bare Pyodide, cold", "cold", "bare-cold", None),
    ("cold / PyScript, cold", "cold", "pyscript-cold", None),
    ("from a folder / bare Pyodide, the same", "folder", "bare-folder", 0.50),
    ("from a folder / bare Pyodide, warm", "folder", "bare-warm", None),
)
UNBLOCKED = (("cold", "cold"), ("warm", "warm"), ("offline", "offline"), ("from a folder", "folder"))
SLOWED = (("first answer, slower page", "slow-page"), ("first answer, slower browser", "slow-all"))
BLOCK_AIM, KEY_AIM, SLOW_AIM = 50, 50, 3000  # ms

EXPLAINED = explained("""
Example: From the visit to the first frame painted with the whole worked example in the page, which may
    lie below what the screen shows. It is the end of that frame's task, or the browser's own first
    contentful paint where that is later.
Answer: From the visit to the first live answer of the rate form, which is filled in before Python is up.
    Of bare Pyodide and PyScript, to the answer of 1 + 1.
Block: The longest task of over 50 ms in the page's own thread, begun before that answer or in the second
    after it. Browsers tell of no shorter ones.
Cold: A new browser with a new profile each time, with nothing cached, stored or compiled. What the
    machine itself keeps of its files in memory stays.
Warm: A visit like several before it in one profile. The book is stored on the device and comes through
    its service worker, which is started for the visit.
Ratio: The highest of all profiles. A browser that has kept what it compiled of bare Pyodide starts it in
    two thirds of the time. Whether it has is settled by chance.
Offline: The same with its host gone: its port refuses.
Bare: Pyodide alone in the page, without a snapshot; from a folder, in a worker and brought by scripts.
PyScript: A page with one script that displays 1 + 1, all its files from this machine.
Slower: A page is slowed by the browser's own means. They reach the page's thread, but neither Python's
    worker nor the service worker. A browser is slowed by pausing all its processes most of the time, which
    reaches everything.
Key: From the key's own time to the end of the task of the frame with the changed answer. What the form
    waits for after a key is part of it. One digit is typed or taken away, by turns.
Hand: A hand goes to the field three seconds after the page has answered, waits for one more, and types
    five keys a second. One in a hurry goes there at once. Without a pause each key comes when the answer
    to the one before is seen. For some two seconds after Python's first work the browser still compiles
    what it runs most.
p50, p95: Half of the keys, and 95 in 100, took no longer (nearest rank).
Host: One on this machine, with none of the time that a network takes. Only the ratios carry over to
    another machine.
""")


class Keys(NamedTuple):
    """What was pressed by each hand."""

    typed: Sequence[Key]
    hurried: Sequence[Key]
    at_once: Sequence[Key]


@dataclass(frozen=True)
class Judged:
    """One line of what is judged: its figure as printed, the aim, and whether it is met."""

    title: str
    figure: str
    aim: str = ""
    met: bool | None = None

    def row(self) -> tuple[str, ...]:
        """One row of the table."""
        return (self.title, self.figure, *(() if self.met is None else (self.aim, verdict(self.met))))


def busy_line() -> str:
    """A warning where this machine is doing something else already; empty where it is not known to be."""
    if not hasattr(os, "getloadavg"):
        return ""
    load, processors = os.getloadavg()[0], os.cpu_count() or 1
    if load < 0.3 * processors:
        return ""
    return f"This machine is busy (load {load:.1f} on {processors} processors): these times will mean little."


def report(
    starts: Mapping[str, Sequence[Start]],
    keys: Keys,
    slowed: Mapping[str, tuple[float, float]],
    build_seconds: float,
    sums: Sequence[Sum] = (),
) -> list[Part]:
    """All that is told; `slowed` has how many times slower a page and a worker were in such a state."""
    return [
        *_starts(starts),
        *_keys(keys),
        *(sums_table(sums) if sums else []),
        "The ratios of the medians, and what has an aim:",
        Table(
            ("what is judged", "figure", "aim", "verdict"),
            tuple(one.row() for one in judged(starts, keys.typed)),
        ),
        EXPLAINED,
        *_slowed(slowed),
        f"A build, with the snapshot kept from the one before, takes {build_seconds:.1f} s.",
    ]


def judged(starts: Mapping[str, Sequence[Start]], keys: Sequence[Key]) -> list[Judged]:
    """Each ratio and each figure with an aim."""
    found = []
    for title, ours, beside, most in RATIOS:
        ratio = max(_in_each_profile(starts[ours], starts[beside]))
        met = None if most is None else ratio <= most
        found.append(Judged(title, f"{ratio:.3f}", "" if most is None else f"{most:.2f} at most", met))
    for title, name in UNBLOCKED:
        longest = max(start.block for start in starts[name])
        found.append(
            Judged(f"longest block, {title}", _block(longest), f"none over {BLOCK_AIM} ms", not longest)
        )
    slowest = percentile([key.whole for key in keys], 95)
    found.append(Judged("key to painted answer, p95", f"{slowest:.0f} ms", f"{KEY_AIM} ms at most",
                        slowest <= KEY_AIM))  # fmt: skip
    for title, name in SLOWED:
        if name in starts:
            answer = median(_answers(starts[name]))
            found.append(Judged(title, f"{answer:.0f} ms", f"{SLOW_AIM} ms at most", answer <= SLOW_AIM))
    return found


def _in_each_profile(ours: Sequence[Start], beside: Sequence[Start]) -> list[float]:
    """The ratio of the medians in each profile by itself."""
    medians = [
        [median(one.answer for one in starts if one.profile == profile) for starts in (ours, beside)]
        for profile in sorted({one.profile for one in ours})
    ]
    return [own / other for own, other in medians]


def percentile(values: Sequence[float], percent: int) -> float:
    """The smallest of `values` that at least `percent` in a hundred of them do not exceed (nearest rank)."""
    return sorted(values)[math.ceil(len(values) * percent / 100) - 1]


def _answers(starts: Sequence[Start]) -> list[float]:
    return [start.answer for start in starts]


def _starts(starts: Mapping[str, Sequence[Start]]) -> list[Part]:
    rows: list[tuple[str, ...]] = []
    for title, name in STATES:
        if name is None:
            rows.append((title,))
        elif taken := starts.get(name):
            examples = [start.example for start in taken if start.example is not None]
            example = _figures(examples) if examples else "-"
            blocks = _figures([start.block for start in taken], _short_block)
            blocks = blocks if any(start.block for start in taken) else "under 50"
            rows.append((title, example, _figures(_answers(taken)), blocks))
    return [
        f"Starts in milliseconds: the median of {len(starts['warm'])}, with the lowest and the highest.",
        Table(("start", "example painted", "first live answer", "longest block"), tuple(rows)),
    ]


def _keys(keys: Keys) -> list[Part]:
    rows = []
    for title, times in (
        ("as a hand types", [key.whole for key in keys.typed]),
        ("of it from the question to Python", [key.asked for key in keys.typed]),
        ("as a hand types in a hurry", [key.whole for key in keys.hurried]),
        ("at once and without a pause", [key.whole for key in keys.at_once]),
    ):
        figures = (percentile(times, 50), percentile(times, 95), max(times))
        rows.append((title, *(f"{figure:.0f}" for figure in figures)))
    return [
        f"From a key to its painted answer, in milliseconds, of {len(keys.typed)} keys:",
        Table(("keys", "p50", "p95", "highest"), tuple(rows)),
    ]


def _slowed(slowed: Mapping[str, tuple[float, float]]) -> list[Part]:
    rows = tuple(
        (title, *(f"{times:.1f}" for times in slowed[name]))
        for title, name in (("slower page", "slow-page"), ("slower browser", "slow-all"))
        if name in slowed
    )
    if not rows:
        return []
    return ["How many times slower one sum was there:", Table(("slowed", "in the page", "in a worker"), rows)]


def _figures(times: Sequence[float], written: Callable[[float], str] = "{:.0f}".format) -> str:
    return f"{written(median(times))} ({written(min(times))} to {written(max(times))})"


def _block(longest: float) -> str:
    return f"{longest:.0f} ms" if longest else "under 50"


def _short_block(longest: float) -> str:
    return f"{longest:.0f}" if longest >= BLOCK_AIM else "<50"
