"""How far a result may be off, from the give or take of what was measured.

A give or take is the half-width of a range that holds the true figure about 19 times in 20. It is carried
through to first order, as JCGM 100:2008 (GUM) has it: each measured figure is moved to both ends of its
range by itself, half the difference of the two results is its part (5.1.3, note 2), and the parts, taken as
independent, are added as squares (5.1.2). Where all are given for the same chance, so is the result.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calc.declare import Found, Say
from calc.errors import InputError, refuse


class Measured(float):
    """A measured value in SI, with its give or take in SI."""

    give_or_take: float

    def __new__(cls, value: float, give_or_take: float) -> Measured:
        """A float that knows its give or take."""
        made = super().__new__(cls, value)
        made.give_or_take = give_or_take
        return made


@dataclass(frozen=True)
class Carried:
    """What the give or take of the measured figures makes of the results.

    `parts` has, for each result that is a figure, what each measured figure contributes by itself, with its
    sign; None where a result is lost at an end of a range. `unsure` names the results in words that could be
    others.
    """

    parts: dict[str, dict[str, float] | None] = field(default_factory=dict)
    unsure: list[str] = field(default_factory=list)

    def half_width(self, name: str) -> float | None:
        """The give or take of one result, in SI; None where it cannot be told."""
        parts = self.parts[name]
        return None if parts is None else math.hypot(*parts.values())

    def largest(self, name: str) -> tuple[str, float] | None:
        """Where most of it comes from, and that figure's share of the squares; None where there is none."""
        parts, whole = self.parts[name], self.half_width(name)
        if not parts or not whole:
            return None
        place = max(parts, key=lambda one: abs(parts[one]))
        return place, (parts[place] / whole) ** 2


def carry(function: Callable[..., Found], values: Mapping[str, Any], found: Found) -> Carried | None:
    """What becomes of the give or take among `values`; None where there is none.

    Raises `InputError` on the measured figure that cannot be moved so far.
    """
    places = list(_measured(values))
    if not places:
        return None
    # A count, which is whole, cannot be a little off.
    carried = Carried({name: {} for name, value in found.values.items() if isinstance(value, float)})
    for where, path, value in places:
        ends = [
            _moved(function, values, where, path, value + move)
            for move in (value.give_or_take, -value.give_or_take)
        ]
        for name, parts in carried.parts.items():
            above, below = (end.values.get(name) for end in ends)
            if not (isinstance(above, float) and isinstance(below, float)):
                carried.parts[name] = None
            elif parts is not None:
                parts[where] = (above - below) / 2
        for name, said in found.values.items():
            codes = {_code(one.values.get(name)) for one in (found, *ends)}
            if isinstance(said, Say) and len(codes) > 1 and name not in carried.unsure:
                carried.unsure.append(name)
    return carried


def _code(value: Any) -> str | None:
    return value.code if isinstance(value, Say) else None


def _measured(values: Mapping[str, Any]) -> Iterator[tuple[str, tuple[Any, ...], Measured]]:
    """Each figure with a give or take: its field, the way to it, and the figure."""
    for name, value in values.items():
        if isinstance(value, Measured):
            yield name, (name,), value
        elif isinstance(value, tuple) and not hasattr(value, "_fields"):
            for number, row in enumerate(value):
                for column in row._fields:
                    if isinstance(one := getattr(row, column), Measured):
                        yield f"{name}[{number + 1}].{column}", (name, number, column), one


def _moved(
    function: Callable[..., Found], values: Mapping[str, Any], where: str, path: Sequence[Any], value: float
) -> Found:
    """What is found with one figure moved, and all else as it is."""
    name, *inside = path
    moved: Any = value
    if inside:
        number, column = inside
        rows = values[name]
        moved = (*rows[:number], rows[number]._replace(**{column: value}), *rows[number + 1 :])
    try:
        return function(**{**values, name: moved})
    except (InputError, ArithmeticError, ValueError) as error:
        raise refuse(where, "give-too-wide") from error
