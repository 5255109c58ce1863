"""What in a machine sheet does not seem to fit together.

A sheet with doubts is read all the same: each may be true of the machine, and each is worth a second look.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import NamedTuple

from calc import units as u
from calc.declare import catalogue
from calc.metering.window_sums import Tank, above, can_open
from calc.metering.window_words import INSIDE
from calc.quantity import Units, parse, show
from calc.reply import reply
from calc.units import Kind
from handbook.machines.presets import presets
from handbook.machines.sheet import Sheet
from handbook.typed_yaml import Place


class Doubt(NamedTuple):
    """Where in the sheet it stands, the id of the rule, and the words: what is so, and what to mend."""

    place: Place
    rule: str
    what: str
    mend: str

    @property
    def said(self) -> str:
        """What a reader of the machine's page is told."""
        return f"{self.what}. Ask whoever keeps the sheet."


def doubts(sheet: Sheet) -> list[Doubt]:
    """Everything in a sheet that is worth a second look, in the order of its parts."""
    return list(chain(_width(sheet), _oil(sheet), _tanks(sheet)))


def _width(sheet: Sheet) -> Iterator[Doubt]:
    """Runs at their spacing make the width, and so do sections side by side: each to half a spacing."""
    spacing, width = parse(sheet.spacing, u.LENGTH), parse(sheet.width, u.LENGTH)
    runs = f"{sheet.runs} runs at a spacing of {sheet.spacing}"
    made = [("width", runs, parse(sheet.runs, u.COUNT) * spacing, "correct one of the three")]
    if sheet.sections:
        together = sum(parse(one, u.LENGTH) for one in sheet.sections)
        mend = "correct a section or the width"
        made.append(("sections", f"{len(sheet.sections)} sections together", together, mend))
    for place, parts, length, mend in made:
        if abs(length - width) > spacing / 2:
            what = f"{parts} make {_shown(sheet, length, u.LENGTH)}, and the width is {sheet.width}"
            yield Doubt((place,), f"sheet-{place}", what, mend)


def _oil(sheet: Sheet) -> Iterator[Doubt]:
    """The tractor gives the oil that is asked for, and has some in hand."""
    if not sheet.oil:
        return
    found = reply("oil", presets(sheet, catalogue()["oil"]), sheet.units)
    if {"do-not-run-short", "keep-in-hand"} & {note["code"] for note in found["notes"]}:
        yield Doubt(
            ("oil", "tractor_flow"),
            "sheet-oil",
            found["results"]["verdict"].rstrip("."),
            "correct the oil, or run the fan slower",
        )


def _tanks(sheet: Sheet) -> Iterator[Doubt]:
    """Each tank by itself has a window of ground speeds, and the planned speed lies well inside it."""
    width, planned = parse(sheet.width, u.LENGTH), parse(sheet.speed.planned, u.SPEED)
    low, high = parse(sheet.speed.low, u.SPEED), parse(sheet.speed.high, u.SPEED)
    for number, tank in enumerate(sheet.tanks):
        meter = Tank(
            tank.name,
            parse(tank.rate.low, u.MASS_PER_AREA),
            parse(tank.rate.high, u.MASS_PER_AREA),
            parse(tank.meter.mass_per_turn, u.MASS_PER_TURN),
            parse(tank.meter.low, u.TURNING_SPEED),
            parse(tank.meter.high, u.TURNING_SPEED),
        )
        slow, fast = meter.slowest(width), meter.fastest(width)
        slowest, fastest = _shown(sheet, slow, u.SPEED), _shown(sheet, fast, u.SPEED)
        if not can_open(meter):
            yield Doubt(
                ("tanks", number, "rate"),
                "sheet-window",
                f"{tank.name} holds its rates at no ground speed: they span more than its meter can follow",
                "raise “low” or cut “high”",
            )
        elif above(slow, high) or above(low, fast):
            yield Doubt(
                ("tanks", number, "rate"),
                "sheet-window",
                f"{tank.name} holds its rates from {slowest} to {fastest}, and the machine works from "
                f"{sheet.speed.low} to {sheet.speed.high}",
                "correct its rates, its meter or the speeds",
            )
        elif above(slow * (1 + INSIDE), planned) or above(planned, fast * (1 - INSIDE)):
            yield Doubt(
                ("speed", "planned"),
                "sheet-planned",
                f"{sheet.speed.planned} is not 10 % inside the limits of {tank.name}, which holds its rates "
                f"from {slowest} to {fastest}",
                "plan another speed, or change the tank's rates or meter",
            )


def _shown(sheet: Sheet, si: float, kind: Kind) -> str:
    return show(si, kind, Units(sheet.units))
