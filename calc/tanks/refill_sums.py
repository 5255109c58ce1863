"""How far one fill goes, in land and in passes, and what the stops leave in each tank."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from calc.number import settle
from calc.quantity import Amount
from calc.units import SHARE


class Tank(NamedTuple):
    """A tank in SI: the mass (kg) it is filled to and its rate (kg/m²)."""

    name: str
    mass: float
    rate: float

    def kept(self, reserve: Amount) -> float:
        """The mass (kg) kept back in it: the same in each tank, or the same share of each."""
        return reserve.value * self.mass if reserve.kind is SHARE else reserve.value

    def usable(self, reserve: Amount) -> float:
        """The mass (kg) that may go out."""
        return self.mass - self.kept(reserve)

    def area(self, reserve: Amount) -> float:
        """The area (m²) that one fill of this tank does."""
        return self.usable(reserve) / self.rate

    def needs(self, area: float, reserve: Amount) -> float:
        """The mass (kg) it must hold to do an area (m²) and still keep its reserve."""
        if reserve.kind is SHARE:
            return area * self.rate / (1 - reserve.value)
        return area * self.rate + reserve.value


@dataclass(frozen=True)
class Passes:
    """How many passes one fill lasts; `lasts` is settled, so that twelve whole ones are twelve."""

    lasts: float
    length: float
    back: bool  # whether a stop must be at the end where the first pass began

    @property
    def done(self) -> int:
        """Whole passes before the first tank ends."""
        return math.floor(self.lasts)

    @property
    def to_stop(self) -> int:
        """Whole passes from one stop to the next: pairs, where the machine must come back."""
        return self.done - self.done % 2 if self.back else self.done

    @property
    def last(self) -> int:
        """The number, from 1, of the pass in which the first tank ends, at its very end included."""
        return math.ceil(self.lasts)

    @property
    def into(self) -> float:
        """How far (m) into that pass it ends."""
        return (self.lasts - (self.last - 1)) * self.length


@dataclass(frozen=True)
class Ground:
    """The machine's width and the passes (m), and the share of the width that runs on seeded ground."""

    width: float
    length: float | None
    field: float | None
    overlap: float

    @property
    def gained(self) -> float:
        """The share of what is worked that is new ground."""
        return 1 - self.overlap

    @property
    def worked(self) -> float | None:
        """The area (m²) that the openers go over until the field is done, some of it twice."""
        return None if self.field is None else self.field / self.gained

    @property
    def pass_area(self) -> float | None:
        """The area (m²) that the openers go over in a pass."""
        return None if self.length is None else self.width * self.length

    @property
    def passes(self) -> int | None:
        """The passes that the field takes; a piece of one counts as one."""
        if self.worked is None or self.pass_area is None:
            return None
        return math.ceil(settle(self.worked / self.pass_area))

    @property
    def less_than_a_pass(self) -> bool:
        """Whether the field is smaller than what one pass does."""
        if self.worked is None or self.pass_area is None:
            return False
        return settle(self.worked / self.pass_area) < 1


def first_to_end(tanks: Sequence[Tank], reserve: Amount) -> tuple[float, list[str]]:
    """The area (m²) that all tanks can do on one fill, and the tanks that end there."""
    area = min(tank.area(reserve) for tank in tanks)
    return area, [tank.name for tank in tanks if settle(tank.area(reserve) / area) <= 1]


def times(whole: int, each: int) -> int:
    """How many times `each` it takes to make `whole`."""
    return -(-whole // each)


def fills_for(passes: int, lasting: Passes) -> int | None:
    """Fills for a field, the first one included, stopping only after whole passes (or pairs)."""
    return times(passes, lasting.to_stop) if lasting.to_stop else None


def fills_ending_away(passes: int, lasting: Passes) -> int | None:
    """Fewer fills than `fills_for`, where the last of them need not come back; None where there are none."""
    before = max(0, passes - lasting.done)
    if not lasting.done or (before and not lasting.to_stop):
        return None
    fewer = 1 + (times(before, lasting.to_stop) if before else 0)
    usual = fills_for(passes, lasting)
    return fewer if usual is None or fewer < usual else None


@dataclass(frozen=True)
class Plan:
    """All that a plan rests on: the area (m²) of one fill and the tanks that end there, and its passes."""

    tanks: Sequence[Tank]
    reserve: Amount
    ground: Ground
    area: float
    first: Sequence[str]
    lasting: Passes | None

    @property
    def fills(self) -> int | None:
        """Fills for the field, the first one included; None while it is not known, or no pass is whole."""
        if self.lasting is None or self.ground.passes is None:
            return None
        return fills_for(self.ground.passes, self.lasting)

    @property
    def to_stop(self) -> float | None:
        """The area (m²) worked up to the first stop, or to the end of the field where there is none."""
        if self.lasting is None or self.ground.pass_area is None or not self.lasting.to_stop:
            return None
        if self.fills == 1:
            return self.ground.worked
        return self.lasting.to_stop * self.ground.pass_area

    @property
    def last_stretch(self) -> float | None:
        """The area (m²) worked on the last fill."""
        if self.fills is None or self.to_stop is None or self.ground.worked is None:
            return None
        return self.ground.worked - (self.fills - 1) * self.to_stop


def plan_of(given: Mapping[str, Any]) -> Plan:
    """The plan for what was given, by the names of the inputs."""
    tanks, reserve = given["tanks"], given["reserve"]
    area, first = first_to_end(tanks, reserve)
    ground = Ground(given["width"], given["pass_length"], given["field_area"], given["overlap"])
    lasting = None
    if ground.pass_area is not None and ground.length is not None:
        lasting = Passes(settle(area / ground.pass_area), ground.length, given["ends"] == "one")
    return Plan(tanks, reserve, ground, area, first, lasting)
