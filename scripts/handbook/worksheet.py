"""The practice of a page on paper: a worksheet with figures of its own, and its key with the working."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from calc.errors import listed, nearest
from calc.practice import chosen, pose, read, shown, working
from calc.quantity import Units
from handbook.book import read as read_whole
from handbook.console import Stop
from handbook.paper import foot, print_html, styles_of
from handbook.practising import Choice, asked_times, choices, has_practice, placed, written
from handbook.quantity_marks import marked_html
from handbook.scanner import Block, Scan
from handbook.templating import template

LETTERS = "ABCDEFGH"
ITEM = "- "


@dataclass(frozen=True)
class Task:
    """One problem of a sheet: its case as HTML, and what its key says."""

    title: str
    case: Sequence[str]
    ask: str = ""
    choices: Sequence[tuple[str, Choice]] = ()
    answer: str = ""
    lines: Sequence[Mapping[str, str]] = field(default_factory=list)


def write_worksheet(
    root: Path, site: Path, build_id: str, page: str, seed: int, units: str, folder: Path
) -> list[Path]:
    """Print the practice of `page`, such as `rate`, with the figures of a seed: the sheet and its key.

    Raises `Stop` where the page has no practice, or there is no browser.
    """
    reading = read_whole(root / "docs")
    sheets = {Path(name).stem: scan for name, scan in reading.pages.items() if has_practice(scan)}
    if page not in sheets:
        meant = nearest(page, sheets)
        hint = (
            f"did you mean “{meant}”?" if meant else f"the pages with practice are {listed(sheets, 'and')}."
        )
        raise Stop(f"There is no practice “{page}”; {hint}")
    scan = sheets[page]
    title = str(scan.front["title"].value)
    tasks = list(tasks_of(scan, seed, Units(units)))
    made = []
    for key, file in ((False, f"{page}-{seed}.pdf"), (True, f"{page}-{seed}-key.pdf")):
        html = template("worksheet.html").render(
            title=f"{title}: {'key' if key else 'practice'}",
            seed=seed,
            units=units,
            tasks=tasks,
            key=key,
            styles=styles_of(site / "index.html"),
            foot=foot(f"{title}, sheet {seed}{', key' if key else ''}", build_id),
        )
        print_html(html, folder / file)
        made.append(folder / file)
    return made


def tasks_of(scan: Scan, seed: int, units: Units) -> Iterator[Task]:
    """The problems of a page with the figures of a seed, each as often as a round asks it."""
    for block in scan.blocks:
        if block.name == "practice":
            told = {name: option.value for name, option in block.options.items()}
            for number in range(asked_times(told)):
                own = chosen(seed, f"{block.argument} {number}")
                made = _figure if "calculator" in told else _choice
                yield made(scan, block, told, own, units)


def _figure(scan: Scan, block: Block, told: Mapping[str, Any], seed: int, units: Units) -> Task:
    practice = read(written(told))
    posed = pose(practice, seed)
    lines = working(practice, posed, units)
    return Task(
        block.argument,
        _case(scan, block, shown(practice, posed, units)),
        ask=practice.ask.title,
        answer=lines[-1]["shown"],
        lines=lines,
    )


def _choice(scan: Scan, block: Block, told: Mapping[str, Any], seed: int, units: Units) -> Task:
    found = sorted(choices(block.argument, told), key=lambda one: chosen(seed, one.says))
    lettered = list(zip(LETTERS, found, strict=False))
    answer = next(letter for letter, one in lettered if one.right)
    return Task(block.argument, _case(scan, block, {}), choices=lettered, answer=answer)


def _case(scan: Scan, block: Block, figures: Mapping[str, str]) -> list[str]:
    """The paragraphs and lists of a case as HTML, its figures filled in."""
    lines = [scan.markdown.get(number, "") for number in range(block.body, block.end)]
    text = "".join(before + figures.get(name, "") for before, name in placed("\n".join(lines).strip()))
    return [_part(part.splitlines()) for part in text.split("\n\n")]


def _part(lines: Sequence[str]) -> str:
    if all(line.startswith(ITEM) for line in lines):
        return f"<ul>{''.join(f'<li>{marked_html(line.removeprefix(ITEM))}</li>' for line in lines)}</ul>"
    return f"<p>{marked_html(' '.join(lines))}</p>"
