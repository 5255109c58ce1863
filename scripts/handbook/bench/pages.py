"""The pages to be measured: the handbook in each of its states, and the bare ones and PyScript beside it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from calc.declare import catalogue
from calc.reply import compact, respond
from handbook.bench import pyscript
from handbook.bench.bare import FROM_FOLDER, OVER_HTTP, SAYS
from handbook.bench.serving import Served, served
from handbook.bench.slowing import CAN_SLOW_ALL
from handbook.console import Stop
from handbook.settings import DEFAULT_UNITS

HERE = Path(__file__).parent
CALCULATOR = "rate"
RESULT = "meter_speed"
PAGE = "calculators/rate.html"
_GIVEN_LINE = "const GIVEN = /** @type {Record<string, string>} */ ({});"
_RESULT_LINE = 'const RESULT = "";'


@dataclass(frozen=True)
class Subject:
    """One page in one state: where it is, what it must say, and how it is to be opened."""

    name: str
    address: str
    says: str
    kind: Literal["book", "bare", "pyscript"]
    fresh: bool = False  # in a new profile each time
    stored: bool = False  # out of the device's store, which its service worker hands out
    gone: Served | None = None  # this host is away meanwhile
    slowed: Literal["", "page", "browser"] = ""

    @property
    def counted_from_the_first(self) -> bool:
        """Whether it needs no uncounted visits: it is new each time, or another state's have served."""
        return self.fresh or bool(self.slowed)

    @property
    def scripts(self) -> list[str]:
        """What runs in the page before its own scripts."""
        if self.kind == "book":
            return [_script("watch"), _script("example"), filling()]
        return [_script("watch"), *([_script("pyscript")] if self.kind == "pyscript" else [])]


def example() -> dict[str, str]:
    """What is typed into the form: its calculator's worked example."""
    return {name: str(text) for name, text in catalogue()[CALCULATOR].example.items()}


def expected(given: Mapping[str, str] | None = None) -> str:
    """The answer that the measured form must show: `calc`'s own, to its worked example if not to `given`."""
    request = {"calculator": CALCULATOR, "given": given or example(), "units": DEFAULT_UNITS}
    return str(respond(compact(request))["results"][RESULT]["shown"])


def filling() -> str:
    """The script that types the worked example into the form. Raises `Stop` if it cannot be prepared."""
    return _told("fill", {_GIVEN_LINE: f"const GIVEN = {json.dumps(example())};", **_looked_for()})


def key_watching() -> str:
    """The script that watches keys and answers. Raises `Stop` if it cannot be prepared."""
    return _told("keys", _looked_for())


def _looked_for() -> dict[str, str]:
    return {_RESULT_LINE: f"const RESULT = {json.dumps(RESULT)};"}


def _told(name: str, lines: Mapping[str, str]) -> str:
    text = _script(name)
    for line, told in lines.items():
        if line not in text:
            raise Stop(f"bench/{name}.js no longer has the line “{line}”, in which it is told what to do.")
        text = text.replace(line, told)
    return text


def _script(name: str) -> str:
    return (HERE / f"{name}.js").read_text("utf-8")


@contextmanager
def subjects(site: Path, bare: Path, scripted: Path) -> Iterator[list[Subject]]:
    """All pages, served for as long as this lasts: the book, bare Pyodide and PyScript."""
    with served(site) as ours, served(bare) as other, served(scripted) as third:
        yield [
            *book(site, ours),
            *references("bare", f"{other.address}/{OVER_HTTP}"),
            Subject("bare-folder", (bare / FROM_FOLDER).as_uri(), SAYS, "bare"),
            *references("pyscript", f"{third.address}/{pyscript.PAGE}"),
        ]


def book(site: Path, host: Served) -> list[Subject]:
    """The rate page of the book in `site` in each of its states."""
    there, says = f"{host.address}/{PAGE}", expected()
    states = [
        Subject("cold", there, says, "book", fresh=True),
        Subject("warm", there, says, "book", stored=True),
        Subject("offline", there, says, "book", stored=True, gone=host),
        Subject("folder", (site / PAGE).as_uri(), says, "book"),
        Subject("slow-page", there, says, "book", stored=True, slowed="page"),
    ]
    if CAN_SLOW_ALL:
        states.append(Subject("slow-all", there, says, "book", stored=True, slowed="browser"))
    return states


def references(kind: Literal["bare", "pyscript"], address: str) -> list[Subject]:
    """A page to compare with, cold and warm."""
    return [
        Subject(f"{kind}-cold", address, SAYS, kind, fresh=True),
        Subject(f"{kind}-warm", address, SAYS, kind),
    ]
