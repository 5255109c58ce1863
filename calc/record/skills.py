"""Who may do which work, with whom, and until when: from the sheets that were watched and signed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.errors import listed
from calc.record.entry import Entry
from calc.record.fields import is_day
from calc.record.files import merged
from calc.record.kinds import LEVELS

LEADS = 3
"""From this level on, others may do the work beside a person."""
MAY = {
    "0": "Not yet",
    "1": "With help, beside {leaders}",
    "2": "Alone, watched by {leaders}",
    "3": "Alone",
    "4": "Alone, and teaches it",
    "lapsed": "Not before it has been watched again",
}
NOBODY = "someone at level 3 or 4; nobody here is"


@dataclass(frozen=True)
class Standing:
    """How one person stands in one piece of work: the last sheet, and the day before which it is renewed."""

    sheet: Entry
    until: str
    lapsed: bool

    @property
    def level(self) -> int:
        """The level on the sheet."""
        return int(self.sheet["level"])

    @property
    def leads(self) -> bool:
        """Whether others may work beside this person today."""
        return self.level >= LEADS and not self.lapsed


@dataclass(frozen=True)
class Work:
    """One piece of work: its page, its title, whether it is licensed work, and who stands how in it."""

    page: str
    title: str
    apart: str
    people: Sequence[Standing]

    def may(self, one: Standing) -> str:
        """What a person may do, in words."""
        leaders = listed((p.sheet["trainee"] for p in self.people if p.leads and p is not one), "or")
        words = MAY["lapsed"] if one.lapsed else MAY[str(one.level)]
        return words.format(leaders=leaders or NOBODY)


def skills(entries: Iterable[Entry], today: str) -> list[Work]:
    """Every piece of work of which there is a sheet, on this day; licensed work comes last.

    The last sheet counts, by its date. Where it names no refresher, it is good for a year: 29 CFR
    1928.57(a)(6) asks for instruction every year.
    """
    sheets = [one for one in merged(entries) if one["kind"] == "watched"]
    last: dict[tuple[str, str], Entry] = {}
    for one in sorted(sheets, key=lambda sheet: (sheet["date"], sheet["when"])):
        last[one["page"], _person(one["trainee"])] = one
    works: dict[str, list[Standing]] = {}
    for (page, _), sheet in last.items():
        until = sheet.get("next") or year_after(sheet["date"])
        works.setdefault(page, []).append(Standing(sheet, until, until <= today))
    found = [
        Work(
            page,
            people[-1].sheet["title"],
            people[-1].sheet.get("apart", ""),
            sorted(people, key=lambda one: (-one.level, _person(one.sheet["trainee"]))),
        )
        for page, people in works.items()
    ]
    return sorted(found, key=lambda work: (work.apart, work.title, work.page))


def as_reply(works: Iterable[Work]) -> list[dict[str, Any]]:
    """The same as JSON holds it, in words for readers."""
    return [
        {
            "page": work.page,
            "title": work.title,
            "apart": work.apart,
            "people": [_row(work, one) for one in work.people],
        }
        for work in works
    ]


def year_after(day: str) -> str:
    """The same day a year later; after a 29th of February, the 28th."""
    later = f"{int(day[:4]) + 1:04d}{day[4:]}"
    return later if is_day(later) else f"{later[:8]}28"


def _row(work: Work, one: Standing) -> Mapping[str, Any]:
    return {
        "name": one.sheet["trainee"],
        "level": LEVELS[one.sheet["level"]],
        "may": work.may(one),
        "date": one.sheet["date"],
        "evaluator": one.sheet["evaluator"],
        "until": one.until,
        "lapsed": one.lapsed,
    }


def _person(name: str) -> str:
    """A name as it is compared: however it was spaced, in capitals or not."""
    return " ".join(name.split()).casefold()
