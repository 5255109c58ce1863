"""Quantities in prose: read once, written in every system of units, the reader's own shown by CSS."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from html import escape

from calc.by_unit import kind_of, limit_kind
from calc.number import split_number, to_digits, trimmed
from calc.quantity import exact
from calc.units import COUNT, KINDS, SYSTEMS, Unit

INCH_WORDS = {
    "in",
    "ft",
    "mile",
    "mph",
    "ft/s",
    "ft/min",
    "lb",
    "oz",
    "ton",
    "ac",
    "gal",
    "bu",
    "psi",
    "hp",
    "gpm",
    "cfm",
    "°F",
    "inH2O",
}
ONLY_US = {"gal", "bu", "gal/ac", "lb/bu", "lb/gal", "°F"}
CONVERTED_DIGITS = 3


def limit_html(text: str) -> str:
    """A limit as HTML that every reader sees in their own units."""
    return escape(text) if limit_kind(text) is COUNT else quantity_html(text)


def limit_markdown(text: str) -> str:
    """A limit as it is written in prose, so that every reader sees it in their own units."""
    return text if limit_kind(text) is COUNT else quantity_markdown(text)


def quantity_markdown(text: str) -> str:
    """A quantity as prose marks it."""
    return f"`{text}`{{.q}}"


def in_system(text: str, system: str) -> str:
    """The quantity as a reader of one system sees it: as written where the unit is theirs, else converted."""
    kind, unit = kind_of(text)
    written, shown = _as_written(text), kind.shown_unit(system)
    of_no_system = len(set(kind.shown)) == 1  # minutes or turns a second are everyone's
    if shown is None or of_no_system or shown == unit or _is_theirs(unit, system):
        return f"{written} {unit.name}"
    converted = (exact(text, kind) - shown.zero) / shown.factor
    return f"{trimmed(to_digits(converted, max(CONVERTED_DIGITS, _digits(written))))} {shown.name}"


def _is_theirs(unit: Unit, system: str) -> bool:
    inch = any(
        word in INCH_WORDS for word in unit.name.replace("/", " ").replace("²", "").replace("³", "").split()
    )
    if unit.name in ONLY_US:
        return system == "us"
    if "imp" in unit.name:
        return system == "imperial"
    return inch == (system != "metric")


def _as_written(text: str) -> str:
    _, spelling = split_number(text, text)
    return text.strip().removesuffix(spelling).strip().replace("-", "−")


def _digits(written: str) -> int:
    """How many digits of a number as written count: 28.10 has four, 3600 two, 0.5 one."""
    digits = re.sub("[^0-9]", "", written.lower().partition("e")[0]).lstrip("0")
    return len(digits if re.search("[.,]", written) else digits.rstrip("0"))


def by_systems(text: str) -> dict[str, list[str]]:
    """Each way the quantity is shown, with the systems that show it so."""
    return alike({system: in_system(text, system) for system in SYSTEMS})


def alike(ways: Mapping[str, str]) -> dict[str, list[str]]:
    """What is shown in each system, turned round: each way once, with the systems that it is for."""
    found: dict[str, list[str]] = {}
    for system, way in ways.items():
        found.setdefault(way, []).append(system)
    return found


@lru_cache(maxsize=10_000)  # few figures stand in a book only once
def quantity_html(text: str) -> str:
    """The quantity as HTML that every reader sees in their own units."""
    kind, _ = kind_of(text)
    return variants_html({escape(way): systems for way, systems in by_systems(text).items()}, kind.id)


def duration_html(seconds: float) -> str:
    """A length of time for reading: seconds below a minute and a half, else minutes, to two digits."""
    size, name = (seconds, "s") if seconds < 90 else (seconds / 60, "min")
    return f"{trimmed(to_digits(Fraction(size), 2))} {name}"


def variants_html(ways: dict[str, list[str]], kind: str = "", tag: str = "span") -> str:
    """HTML of which the reader sees the part for their system; each part goes with the systems it is for."""
    if len(ways) == 1:
        return next(iter(ways))
    parts = "".join(
        f'<{tag} class="{" ".join(f"q-{s}" for s in systems)}">{way}</{tag}>' for way, systems in ways.items()
    )
    marked = f' data-kind="{kind}"' if kind else ""
    return f'<{tag} class="q"{marked}>{parts}</{tag}>'


def units_css(default: str) -> str:
    """The rules that show the reader's choice, for the whole page and for single kinds."""
    rules = [f":root:not([data-units]) .q>:not(.q-{default}){{display:none}}"]
    rules += [f':root[data-units="{s}"] .q>:not(.q-{s}){{display:none}}' for s in SYSTEMS]
    for kind in KINDS.values():
        if len(set(kind.shown)) > 1:
            for system in SYSTEMS:
                chosen = f':root[data-u-{kind.id}="{system}"] .q[data-kind="{kind.id}"]'
                rules.append(
                    f"{chosen}>:not(.q-{system}){{display:none}}{chosen}>.q-{system}{{display:inline}}"
                )
    return "\n".join(rules) + "\n"
