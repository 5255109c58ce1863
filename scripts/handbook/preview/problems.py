"""What stopped a build, in lines that a trainer can work through: `file:line: what, and what to write`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from handbook.build import Refused, reported
from handbook.checking.checker import check
from handbook.console import Stop
from handbook.navigation import FILE as MENU
from handbook.navigation import navigation_problems
from handbook.problems import BookError, Problem
from handbook.settings import ROOT

# What MkDocs says of a link, and what the policy and the list of files say of a page or a picture.
LINK = re.compile(
    r"Doc file '(?P<page>[^']+)' contains an? (?:\w+ )*link '(?P<link>[^']*)',"
    r".*?(?:Did you mean '(?P<meant>[^']+)'.*)?",
    re.DOTALL,
)
OUTSIDE = re.compile(r"(?P<page>\S+)\.html:\d+: “(?P<address>[^”]*)” would be fetched from outside.*")
UNKNOWN_KIND = re.compile(r"(?P<file>.+) is a kind of file that the book does not know\..*")

# What MkDocs says of its own file; which line it is, is found in the file.
OF_THE_MENU = ("A reference to '", "The following pages exist", "MkDocs encountered an error parsing")
SETTING = re.compile(r"Config value '(?P<name>\w+)[^']*': (?P<said>.*)", re.DOTALL)


def problems_of(error: Exception, root: Path = ROOT) -> list[str]:
    """Everything that `error` says is wrong with the book of `root`, a line each and each line once."""
    return list(dict.fromkeys(_lines(error, root)))


def to_mend(root: Path) -> list[str]:
    """What the checker finds in a book that can be built, a line each."""
    return [problem.with_rule for problem in check(root).problems]


def _lines(error: Exception, root: Path) -> Iterator[str]:
    if isinstance(error, BookError):
        yield from (problem.with_rule for problem in error.problems)
    elif isinstance(error, Refused):
        for said in error.said:
            yield from _of_mkdocs(said, root)
    elif isinstance(error, Stop):
        for line in str(error).splitlines():
            yield _of_a_page(line, root)
    elif isinstance(error, OSError):
        yield f"{error.filename or root}:1: this cannot be read or written ({error.strerror}); save it again"
    else:
        yield reported(error)


def _of_mkdocs(said: str, root: Path) -> Iterator[str]:
    """What MkDocs says, where it is not ours already: its own words know no lines."""
    if said.startswith(OF_THE_MENU):
        found = [Problem(MENU, line, text, rule) for line, rule, text in navigation_problems(root)]
        yield from (one.with_rule for one in found) if found else said.splitlines()
    elif link := LINK.fullmatch(said):
        line = _line_of(root / "docs" / link["page"], link["link"])
        hint = f"did you mean “{link['meant']}”?" if link["meant"] else "write the way from this page"
        yield f"docs/{link['page']}:{line}: “{link['link']}” leads to nothing that is there; {hint}"
    elif setting := SETTING.fullmatch(said):
        line = _line_of(root / MENU, f"{setting['name']}:")
        yield f"{MENU}:{line}: {setting['name']}: {' '.join(setting['said'].split())}"
    else:
        yield from said.splitlines()


def _of_a_page(line: str, root: Path) -> str:
    """What was found in a page as it came out, said of the file that it was written in."""
    if found := OUTSIDE.fullmatch(line):
        at = _line_of(root / "docs" / f"{found['page']}.md", found["address"])
        what = f"“{found['address']}” would be fetched from outside"
        return f"docs/{found['page']}.md:{at}: {what}; save the file below docs and name it there"
    if found := UNKNOWN_KIND.fullmatch(line):
        return f"docs/{found['file']}:1: this kind of file is not known to the book; use another kind"
    return line


def _line_of(path: Path, text: str) -> int:
    """The first line of a file with `text` in it; 1 if there is none."""
    try:
        lines = path.read_text("utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError):
        return 1
    return next((number for number, line in enumerate(lines, start=1) if text in line), 1)
