"""Tables computed from a machine sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape

from calc import units as u
from calc.metering.rate import meter_speed_for
from calc.quantity import Units, parse, show
from calc.units import SYSTEMS, Kind
from handbook.consistency import doubts
from handbook.quantities import variants_html
from handbook.sheets import Sheet, Tank
from handbook.templating import template

TOLERANCE = 0.03  # of an expected meter speed in the standing test: common practice

Cell = str


def figures_html(name: str, sheet: Sheet) -> str:
    """The table `name` of a machine, as HTML; under that of its tanks, what its sheet leaves in doubt."""
    title, head, rows = TABLES[name](sheet)
    doubted = doubts(sheet) if name == "tanks" else []
    return template("figures.html").render(title=title, head=head, rows=rows, doubts=doubted)


def _cell(si: float, kind: Kind) -> Cell:
    """A figure as HTML, in every reader's units."""
    ways: dict[str, list[str]] = {}
    for system in SYSTEMS:
        ways.setdefault(show(si, kind, Units(system)), []).append(system)
    return variants_html(ways, kind.id)


def _written(text: str, kind: Kind) -> Cell:
    return _cell(parse(text, kind), kind)


def _tanks(sheet: Sheet) -> tuple[str, Sequence[str], list[list[Cell]]]:
    head = [
        "Tank",
        "Product",
        "Low rate",
        "Set rate",
        "High rate",
        "Mass per turn",
        "Meter, slowest",
        "Meter, fastest",
    ]
    rows = [
        [
            escape(tank.name),
            escape(tank.product),
            *(_written(rate, u.MASS_PER_AREA) for rate in (tank.rate.low, tank.rate.set, tank.rate.high)),
            _written(tank.meter.mass_per_turn, u.MASS_PER_TURN),
            *(_written(limit, u.TURNING_SPEED) for limit in (tank.meter.low, tank.meter.high)),
        ]
        for tank in sheet.tanks
    ]
    return f"{sheet.name}: tanks", head, rows


def _standing_test(sheet: Sheet) -> tuple[str, Sequence[str], list[list[Cell]]]:
    """Expected meter speeds, with their limits, at the planned speed; the doubling starts from half of it."""
    speed = parse(sheet.speed.planned, u.SPEED)
    head = ["Step", "Simulated speed", *(tank.name for tank in sheet.tanks)]
    rows = []
    for title, rates, at in (
        ("Low rate", [_rate(tank.rate.low) for tank in sheet.tanks], speed),
        ("Set rate", [_rate(tank.rate.set) for tank in sheet.tanks], speed),
        ("One step up", [_rate(tank.rate.set) + _rate(tank.rate.step) for tank in sheet.tanks], speed),
        ("One step down", [_rate(tank.rate.set) - _rate(tank.rate.step) for tank in sheet.tanks], speed),
        ("High rate", [_rate(tank.rate.high) for tank in sheet.tanks], speed),
        ("Half the speed", [_rate(tank.rate.set) for tank in sheet.tanks], speed / 2),
        ("Speed doubled", [_rate(tank.rate.set) for tank in sheet.tanks], speed),
    ):
        turning = [_expected(sheet, tank, rate, at) for tank, rate in zip(sheet.tanks, rates, strict=True)]
        rows.append([title, _cell(at, u.SPEED), *turning])
    rows.append(["Speed to zero", _cell(0.0, u.SPEED), *("stands still" for _ in sheet.tanks)])
    return f"{sheet.name}: expected meter speeds", head, rows


def _rate(text: str) -> float:
    return parse(text, u.MASS_PER_AREA)


def _expected(sheet: Sheet, tank: Tank, rate: float, speed: float) -> Cell:
    width, mass_per_turn = parse(sheet.width, u.LENGTH), parse(tank.meter.mass_per_turn, u.MASS_PER_TURN)
    turning = meter_speed_for(rate, width, speed, mass_per_turn)
    low, high = (_cell(turning * (1 + share), u.TURNING_SPEED) for share in (-TOLERANCE, TOLERANCE))
    return f"<strong>{_cell(turning, u.TURNING_SPEED)}</strong><br><small>{low} to {high}</small>"


TABLES: dict[str, Callable[[Sheet], tuple[str, Sequence[str], list[list[Cell]]]]] = {
    "tanks": _tanks,
    "standing-test": _standing_test,
}
