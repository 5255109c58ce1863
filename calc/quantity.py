"""Reading a quantity with its unit into an SI float, and showing one in the reader's units."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction

from calc.errors import InputError, listed, nearest, refuse
from calc.number import MINUS, split_number, to_digits, trimmed
from calc.units import (
    AMBIGUOUS,
    COUNT,
    DIFFERENCES,
    KINDS,
    SHARE,
    SPELLINGS,
    SYSTEMS,
    TURNS,
    Kind,
    Unit,
    plain,
)


@dataclass(frozen=True)
class Units:
    """The reader's choice: one of `SYSTEMS`, and another of them for single kinds.

    Written `us`, or `us,speed=metric` for a reader who thinks in lb/ac and km/h.
    """

    system: str = "metric"
    by_kind: dict[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, text: str) -> Units:
        """The choice written in `text`. Raises `InputError` (field "")."""
        system, *rest = text.split(",")
        by_kind = dict(part.partition("=")[::2] for part in rest)
        if not {system, *by_kind.values()} <= set(SYSTEMS) or not set(by_kind) <= set(KINDS):
            raise refuse("", "unknown-units", text=text)
        return cls(system, by_kind)

    def __str__(self) -> str:
        return ",".join([self.system, *(f"{kind}={system}" for kind, system in self.by_kind.items())])

    def unit(self, kind: Kind) -> Unit | None:
        """The unit in which a quantity of this kind is shown; None where it is bare."""
        return kind.shown_unit(self.by_kind.get(kind.id, self.system))


def exact(text: str, kind: Kind, units: Units | None = None) -> Fraction:
    """The quantity written in `text` in SI, exactly.

    Raises `InputError` (field "") that says what to write. Reading does not depend on `units`, except
    that an imperial reader is asked which gallon or bushel a bare one is.
    """
    units = units or Units()
    number, spelling = split_number(text, example_of(kind, units))
    if kind.bare:
        if spelling:
            raise refuse("", "not-bare", text=text.strip(), bare=trimmed(to_digits(number, 9)))
        if kind is COUNT and number.denominator != 1:
            raise refuse("", "whole", text=text.strip(), example=example_of(kind, units))
        return number
    if not spelling:
        written = text.strip()
        suggestions = listed(f"“{written} {name}”" for name in dict.fromkeys(_names(kind, units)[:3]))
        raise refuse("", "missing-unit", text=written, suggestions=suggestions)
    unit = _unit(text.strip(), spelling, kind, units)
    return number * unit.factor + unit.zero


def parse(text: str, kind: Kind, units: Units | None = None) -> float:
    """The quantity written in `text` as an SI float. Raises `InputError` (field "")."""
    return float(exact(text, kind, units))


_GIVE_OR_TAKE = re.compile(rf"±|\+/?[-{MINUS}]")


def split_give_or_take(text: str) -> tuple[str, str | None]:
    """What stands before and after `±`, which may be written `+-` or `+/-`; None where there is none."""
    figure, *give = _GIVE_OR_TAKE.split(text, maxsplit=1)
    return figure, give[0] if give else None


def exact_give_or_take(text: str, kind: Kind, figure: Fraction, units: Units | None = None) -> Fraction:
    """The give or take written in `text` in SI, exactly: of the kind itself, or a share of `figure`.

    What is itself a share takes points: `95 % ± 1 %` is 94 % to 96 %. Raises `InputError` (field "").
    """
    of_share = kind.dimension != SHARE.dimension and is_written_in(text, SHARE)
    size = exact(text, SHARE if of_share else DIFFERENCES.get(kind.id, kind), units)
    if size < 0:
        raise refuse("", "give-negative", example=trimmed(to_digits(-size, 3)) if kind.bare else "0.5 %")
    return abs(figure) * size if of_share else size


def is_written_in(text: str, kind: Kind) -> bool:
    """Whether a number with one of this kind's units is written in `text`."""
    try:
        _, spelling = split_number(text, "")
    except InputError:
        return False
    return plain(spelling) in SPELLINGS[kind.dimension]


def _unit(text: str, spelling: str, kind: Kind, units: Units) -> Unit:
    looked_up = plain(spelling)
    if "imperial" in (units.system, *units.by_kind.values()) and looked_up in AMBIGUOUS:
        us, imperial = AMBIGUOUS[looked_up]
        if looked_up in SPELLINGS[kind.dimension]:
            raise refuse("", "which-gallon", unit=spelling, us=us, imperial=imperial)
    unit = SPELLINGS[kind.dimension].get(looked_up)
    if unit:
        return unit
    for dimension, spellings in SPELLINGS.items():
        if looked_up in spellings:
            wanted, names = kind.dimension, listed(_names(kind, units))
            raise refuse("", "wrong-kind", text=text, got=dimension, wanted=wanted, units=names)
    meant = nearest(looked_up, SPELLINGS[kind.dimension])
    if meant:
        raise refuse("", "misspelt-unit", unit=spelling, meant=SPELLINGS[kind.dimension][meant].name)
    raise refuse("", "unknown-unit", unit=spelling, units=listed(_names(kind, units)))


def _names(kind: Kind, units: Units) -> list[str]:
    """The units a kind may be written in, the reader's own first."""
    own = units.unit(kind)
    others = [unit for unit in kind.units if unit != own]
    return [unit.name for unit in ([own] if own else []) + others]


def example_of(kind: Kind, units: Units) -> str:
    """How a quantity of this kind is written, for a reader who wrote it otherwise."""
    unit = units.unit(kind)
    return f"12.5 {unit.name}" if unit else ("12" if kind is COUNT else "12.5")


def show(value: float, kind: Kind, units: Units | None = None) -> str:
    """An SI value as the reader sees it: the kind's digits, and the unit of the reader's choice."""
    unit = (units or Units()).unit(kind)
    if unit is None:
        return show_bare(value, kind)
    return f"{to_digits(in_unit(value, unit), kind.digits)} {unit.name}"


def show_size(value: float, kind: Kind, units: Units | None = None) -> str:
    """A give or take as the reader sees it: two digits, as JCGM 100:2008, 7.2.6, has it."""
    return show(value, replace(DIFFERENCES.get(kind.id, kind), digits=2), units)


def show_bare(value: float, kind: Kind) -> str:
    """A count or ratio without a unit; a whole count in full."""
    number = exact_number(value)
    if kind in (COUNT, TURNS) and number.denominator == 1:
        return to_digits(number, max(len(str(abs(int(number)))), 1))
    return to_digits(number, kind.digits)


_PLACES_BESIDE_A_ZERO = 6


def in_unit(value: float, unit: Unit) -> Fraction:
    """An SI value, as its ten settled digits, in `unit`, exactly.

    On a scale with a zero of its own to a millionth: the settled digits of the SI value say no more there.
    """
    number, parts = _settled(value)
    zero, zero_parts = unit.zero_ratio
    factor, factor_parts = unit.ratio
    # In one fraction: every step through another one would be brought to its lowest terms.
    above = number * zero_parts - zero * parts
    size = Fraction(above * factor_parts, parts * zero_parts * factor)
    return round(size, _PLACES_BESIDE_A_ZERO) if zero else size


def exact_number(value: float) -> Fraction:
    """The ten settled digits of a value, exactly."""
    return Fraction(*_settled(value))


def _settled(value: float) -> tuple[int, int]:
    """The ten settled digits of a value, as one whole number over another."""
    digits, _, power = f"{value:.9e}".partition("e")
    number, tens = int(digits.replace(".", "")), int(power) - 9
    return (number * 10**tens, 1) if tens >= 0 else (number, 10**-tens)


@dataclass(frozen=True)
class Amount:
    """An SI value with its kind, to be shown once the reader's units are known."""

    value: float
    kind: Kind

    def shown(self, units: Units | None = None) -> str:
        """The amount in the reader's units."""
        return show(self.value, self.kind, units)
