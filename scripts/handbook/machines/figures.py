"""Tables, answers and drawings computed from a machine sheet: what the block `figures` shows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape
from typing import NamedTuple

from calc import units as u
from calc.quantity import Units, parse
from calc.units import SYSTEMS
from handbook.answers import Answer
from handbook.machines.card import card_html
from handbook.machines.consistency import doubts
from handbook.machines.expected import STEPS, TOLERANCE, at_step, meter_speed, speed_at
from handbook.machines.schematics import Drawing, air_path, oil_path
from handbook.machines.sheet import Sheet, Tank
from handbook.machines.worked import Machine, between, plus
from handbook.quantities import alike, quantity_html, variants_html
from handbook.templating import template

Cell = str


class Grid(NamedTuple):
    """A table: its title, the heads of its columns, and its rows of HTML."""

    title: str
    head: Sequence[str]
    rows: Sequence[Sequence[Cell]]


def figures_html(name: str, machine: Machine, tank: str = "") -> str:
    """The figures `name` of a machine, or of one tank of it, as HTML."""
    if name in TABLES:
        return "".join(
            template("figures.html").render(
                title=grid.title,
                head=grid.head,
                rows=grid.rows,
                doubts=doubts(machine.sheet) if name == "tanks" else [],
            )
            for grid in TABLES[name](machine, _tanks_of(machine, tank))
        )
    if name in DRAWINGS:
        return _drawn(DRAWINGS[name], machine)
    if name == "card":
        return card_html(machine)
    return _answer_html(machine.whole(machine.ask(name, tank)), tank)


def _tanks_of(machine: Machine, tank: str) -> Sequence[Tank]:
    return [one for one in machine.sheet.tanks if tank in ("", one.name)]


def _answer_html(answer: Answer, tank: str) -> str:
    """All of an answer, without its form; a page may show that of several tanks."""
    calculator = answer.calculator
    return template("answer.html").render(
        replies=answer.replies(),
        outputs=calculator.outputs,
        title=", ".join([calculator.title, tank] if tank else [calculator.title]),
    )


def _drawn(draw: Callable[[Sheet, Units], Drawing], machine: Machine) -> str:
    """A drawing in each system of units; systems that read alike share one."""

    def html(system: str) -> str:
        drawing = draw(machine.sheet, Units(system))
        return template("drawing.html").render(
            svg=drawing.picture.svg(drawing.title, drawing.description), description=drawing.description
        )

    return variants_html(alike({system: html(system) for system in SYSTEMS}), tag="div")


# --- tables ---


def _tanks(machine: Machine, tanks: Sequence[Tank]) -> Iterator[Grid]:
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
            *(quantity_html(rate) for rate in (tank.rate.low, tank.rate.set, tank.rate.high)),
            quantity_html(tank.meter.mass_per_turn),
            *(quantity_html(limit) for limit in (tank.meter.low, tank.meter.high)),
        ]
        for tank in tanks
    ]
    yield Grid(f"{machine.sheet.name}: tanks", head, rows)


def _capacity(machine: Machine, tanks: Sequence[Tank]) -> Iterator[Grid]:
    """What each tank holds when it is full."""
    rows = []
    for tank in tanks:
        answer = machine.ask("bin-capacity", tank.name)
        rows.append(
            [
                escape(tank.name),
                escape(tank.product),
                *(machine.figure(answer, name) for name in ("volume", "mass", "area")),
            ]
        )
    yield Grid(
        f"{machine.sheet.name}: full tanks",
        ["Tank", "Product", "Volume", "Mass", "Land at the set rate"],
        rows,
    )


def _standing_test(machine: Machine, tanks: Sequence[Tank]) -> Iterator[Grid]:
    """Expected meter speeds, with their limits, at the planned speed; the doubling starts from half of it."""
    head = ["Step", "Simulated speed", *(escape(tank.name) for tank in tanks)]
    rows = []
    for name, step in STEPS.items():
        answers = [at_step(machine, tank, name) for tank in tanks]
        speed = quantity_html(speed_at(machine.sheet, step))
        rows.append([step.title, speed, *(_with_limits(machine, answer) for answer in answers)])
    rows.append(["Speed to zero", quantity_html("0 km/h"), *("stands still" for _ in tanks)])
    yield Grid(f"{machine.sheet.name}: expected meter speeds", head, rows)


def _with_limits(machine: Machine, answer: Answer) -> Cell:
    middle = machine.figure(answer, "meter_speed")
    low, high = (
        machine.figure(answer, "meter_speed", 1 + share, bare=True) for share in (-TOLERANCE, TOLERANCE)
    )
    return f"<strong>{middle}</strong><br><small>{low} to {high}</small>"


def _readings(machine: Machine, tanks: Sequence[Tank]) -> Iterator[Grid]:
    """Meter speeds for rates and ground speeds around the ones it works at, a table a tank."""
    for tank in tanks:
        rate = tank.rate
        down, up = (plus(rate.set, rate.step, times, u.MASS_PER_AREA) for times in (-1, 1))
        rates = {"Low": rate.low, "Step down": down, "Set": rate.set, "Step up": up, "High": rate.high}
        head = [
            "Ground speed",
            *(f"{name}<br>{quantity_html(text)}" for name, text in rates.items()),
        ]
        rows = [
            [
                quantity_html(speed),
                *(
                    _reading(machine, tank, meter_speed(machine, tank, text, speed))
                    for text in rates.values()
                ),
            ]
            for speed in _speeds(machine.sheet)
        ]
        yield Grid(f"{tank.name}, {tank.product}: meter speed in rpm", head, rows)


def _speeds(sheet: Sheet) -> list[str]:
    """From the slowest to the fastest that the machine works at, with what lies between."""
    speed = sheet.speed
    slower, faster = between(speed.low, speed.planned, u.SPEED), between(speed.planned, speed.high, u.SPEED)
    rising = [speed.low, slower, speed.planned, faster, speed.high]
    return list({parse(one, u.SPEED): one for one in rising}.values())


def _reading(machine: Machine, tank: Tank, answer: Answer) -> Cell:
    shown = machine.figure(answer, "meter_speed", bare=True)
    turning, _ = answer.figure("meter_speed")
    assert turning is not None  # `rate` gives what was not given
    if turning < parse(tank.meter.low, u.TURNING_SPEED):
        return f"{shown}<br><small>too slow</small>"
    if turning > parse(tank.meter.high, u.TURNING_SPEED):
        return f"{shown}<br><small>too fast</small>"
    return shown


def _conversions(machine: Machine, tanks: Sequence[Tank]) -> Iterator[Grid]:
    """What the sheet says, in each system of units side by side."""
    rows = []

    def add(title: str, answer: Answer, name: str) -> None:
        ways = (machine.in_system(answer, name, system) for system in SYSTEMS)
        rows.append([escape(title), *ways])

    for tank in tanks:
        for title, text in (("low", tank.rate.low), ("set", tank.rate.set), ("high", tank.rate.high)):
            asked = meter_speed(machine, tank, text, machine.sheet.speed.planned)
            add(f"{tank.name}, {title} rate", asked, "used.rate")
        add(f"{tank.name}, mass per turn", asked, "used.mass_per_turn")
    add("Working width", asked, "used.width")
    speed = machine.sheet.speed
    for title, text in (("Slowest", speed.low), ("Planned", speed.planned), ("Fastest", speed.high)):
        add(f"{title} ground speed", meter_speed(machine, tanks[0], tanks[0].rate.set, text), "used.speed")
    if machine.sheet.liquid:
        add(f"Liquid, {machine.sheet.liquid.product}", machine.ask("liquid"), "used.rate")
    if machine.sheet.ammonia:
        add("Nitrogen as ammonia", machine.ask("ammonia"), "used.nitrogen_rate")
    yield Grid(f"{machine.sheet.name}: in other units", ["What", "Metric", "US", "Imperial"], rows)


TABLES: dict[str, Callable[[Machine, Sequence[Tank]], Iterator[Grid]]] = {
    "tanks": _tanks,
    "capacity": _capacity,
    "standing-test": _standing_test,
    "readings": _readings,
    "conversions": _conversions,
}
DRAWINGS: dict[str, Callable[[Sheet, Units], Drawing]] = {"air-path": air_path, "oil-path": oil_path}
