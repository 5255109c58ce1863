"""What calculators answer to a machine's figures. Every figure shown knows of which answer it is a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from html import escape

from calc.declare import catalogue
from calc.number import split_number, to_digits, trimmed
from calc.quantity import Units, exact, show
from calc.units import SYSTEMS, Kind
from handbook.answers import Answer, answered
from handbook.machines.presets import presets
from handbook.machines.sheet import Sheet
from handbook.quantities import alike, variants_html

DIGITS = 12  # of a figure that is worked out to be asked of a calculator


@dataclass(frozen=True)
class Shown:
    """A figure as it stands on a page, in each system of units: so many times a figure of an answer."""

    answer: Answer
    name: str
    times: float
    ways: Mapping[str, str]


@dataclass
class Machine:
    """A machine, and every figure of its that was shown."""

    sheet: Sheet
    shown: list[Shown] = field(default_factory=list)
    wholes: list[Answer] = field(default_factory=list)

    def ask(self, calculator: str, tank: str = "", **given: str) -> Answer:
        """The answer to what the sheet says, and to what else is `given`. Raises `InputError`."""
        known = presets(self.sheet, catalogue()[calculator], tank)
        return answered(calculator, {**known, **given})

    def whole(self, answer: Answer) -> Answer:
        """Note that all of an answer is shown."""
        self.wholes.append(answer)
        return answer

    def figure(self, answer: Answer, name: str, times: float = 1.0, *, bare: bool = False) -> str:
        """A figure as HTML in every reader's units; `bare` leaves out a unit that is everyone's."""
        value, kind = answer.figure(name)
        if value is None:
            return "–"
        ways = {system: show(value * times, kind, Units(system)) for system in SYSTEMS}
        self.shown.append(Shown(answer, name, times, ways))
        grouped = alike({system: escape(way) for system, way in ways.items()})
        if bare and len(grouped) == 1 and not kind.bare:
            return next(iter(grouped)).rpartition(" ")[0]
        return variants_html(grouped, kind.id)

    def in_system(self, answer: Answer, name: str, system: str) -> str:
        """A figure in one system of units, whatever the reader's."""
        value, kind = answer.figure(name)
        if value is None:
            return "–"
        ways = {one: show(value, kind, Units(one)) for one in SYSTEMS}
        self.shown.append(Shown(answer, name, 1.0, ways))
        return escape(ways[system])


def plus(text: str, step: str, times: int, kind: Kind) -> str:
    """A written quantity and so many steps, in its own unit."""
    return _written_like(text, exact(text, kind) + times * exact(step, kind), kind)


def between(low: str, high: str, kind: Kind, share: Fraction = Fraction(1, 2)) -> str:
    """What lies between two written quantities, at a share of the way, in the unit of the second."""
    start, end = exact(low, kind), exact(high, kind)
    return _written_like(high, start + share * (end - start), kind)


def part_of(text: str, share: Fraction, kind: Kind) -> str:
    """A share of a written quantity, in its own unit."""
    return _written_like(text, share * exact(text, kind), kind)


def _written_like(text: str, si: Fraction, kind: Kind) -> str:
    """An SI value, written in the unit of `text`."""
    _, spelling = split_number(text, text)
    one = exact(f"1 {spelling}", kind)
    return f"{trimmed(to_digits(si / one, DIGITS))} {spelling}"
