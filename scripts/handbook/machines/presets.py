"""What a machine sheet says of a calculator's inputs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from calc import units as u
from calc.declare import Calculator, Field, Input, Rows, catalogue
from calc.errors import InputError, listed
from calc.quantity import Units
from calc.reading import read_field, read_given
from calc.reply import reply
from calc.units import Kind
from handbook.machines.sheet import Sheet, Tank
from handbook.typed_yaml import Part, Place

PARTS: dict[str, tuple[str, dict[str, str]]] = {
    "air": ("air", {}),
    "ammonia": ("ammonia", {}),
    "field-work": ("field", {}),
    "liquid": ("liquid", {}),
    "oil": ("oil", {}),
    "refill-plan": ("field", {"area": "field_area"}),
    "road-load": ("road", {}),
}
"""The part of a sheet that is a calculator's own, and what it has another name for, by the calculator."""


class Figure(NamedTuple):
    """What a sheet says, and where: a figure of a kind, or a name, which is of none."""

    text: str
    place: Place
    kind: Kind | None = None


class Known(NamedTuple):
    """What a sheet says to a calculator, by the names of inputs: what is all its own, and what is shared."""

    own: Mapping[str, Figure]
    shared: Mapping[str, Figure]

    def of(self, one: Field) -> Figure | None:
        """What is known of an input: the figure of its name, if it is of its dimension too."""
        if one.name in self.own:
            return self.own[one.name]
        figure = self.shared.get(one.name)
        kind = one.kind if isinstance(one, Input) else None
        fits = figure and (figure.kind and figure.kind.dimension) == (kind and kind.dimension)
        return figure if fits else None


def presets(sheet: Sheet, calculator: Calculator, tank_name: str = "") -> dict[str, Any]:
    """What a sheet says of a calculator's inputs, by their names; a tank's own figures where one is named.

    A figure goes into an input of its name and dimension. A part of the sheet that is a calculator's own is
    all its own, and so is a tank's shape, whose width is not the machine's.
    """
    known = _known(sheet, calculator, sheet.tank(tank_name))
    found: dict[str, Any] = {}
    for one in calculator.inputs:
        if not isinstance(one, Rows):
            if said := known.of(one):
                found[one.name] = said.text
        elif one.name == "tanks":
            found[one.name] = [_row(sheet, tank, one) for tank in sheet.tanks]
    return found


def beyond_bounds(sheet: Sheet) -> Iterator[tuple[Place, str]]:
    """Every figure that a calculator does not take, where it stands, in the calculator's words; each once."""
    told: set[Place] = set()
    for calculator in catalogue().values():
        for tank in sheet.tanks:
            for place, said in _refused(sheet, calculator, tank):
                if place not in told:
                    told.add(place)
                    yield place, said


def _refused(sheet: Sheet, calculator: Calculator, tank: Tank) -> Iterator[tuple[Place, str]]:
    known = _known(sheet, calculator, tank)
    if calculator.id == "bin-capacity":
        # A tank's measures have to go together too.
        try:
            reply(calculator.id, presets(sheet, calculator, tank.name), sheet.units)
        except InputError as error:
            for problem in error.problems:
                figure = known.own.get(problem.field) or known.shared.get(problem.field)
                place = figure.place if figure else (*_place(sheet, tank), "shape")
                yield place, problem.text if figure else f"{problem.field}: {problem.text}"
        return
    for one in calculator.inputs:
        row = isinstance(one, Rows) and one.name == "tanks"
        for single in one.columns if isinstance(one, Rows) else [one]:
            figure = (Known({}, _of_tank(sheet, tank)) if row else known).of(single)
            if not figure:
                continue
            try:
                read_field(single, figure.text, Units(sheet.units))
            except InputError as error:
                yield figure.place, str(error)


def _known(sheet: Sheet, calculator: Calculator, tank: Tank | None) -> Known:
    """Everything that the sheet says to this calculator."""
    of_tank = _of_tank(sheet, tank) if tank else {}
    if calculator.id == "bin-capacity":
        return Known(_of_part(tank.shape, (*_place(sheet, tank), "shape")) if tank else {}, of_tank)
    name, renamed = PARTS.get(calculator.id, ("", {}))
    part: Part | None = getattr(sheet, name) if name else None
    own = _of_part(part, (name,)) if part else {}
    own = {renamed.get(one, one): figure for one, figure in own.items()}
    return Known(own, _of_machine(sheet) | of_tank)


def _row(sheet: Sheet, tank: Tank, rows: Rows) -> dict[str, str]:
    """What is known of a tank's row; the mass in it is what the tank holds."""
    known = Known({}, _of_tank(sheet, tank))
    row = {column.name: said.text for column in rows.columns if (said := known.of(column))}
    if any(column.name == "mass" for column in rows.columns):
        row["mass"] = full_mass(tank, sheet.units)
    return row


def unsaid(sheet: Sheet, figures: str, tank_name: str = "") -> str:
    """What a sheet does not say of that which these figures show; nothing if they can be shown."""
    if figures == "oil-path":
        return "" if sheet.oil else "anything of the oil; write “oil:”"
    calculator = catalogue().get(figures)
    if not calculator:
        return ""
    known = presets(sheet, calculator, tank_name)
    try:
        read_given(calculator, known, Units(sheet.units))
    except InputError as error:
        missing = [problem.field for problem in error.problems if problem.code == "required"]
        if missing and not tank_name and presets(sheet, calculator, sheet.tanks[0].name) != known:
            return f"of which tank; write “tank: {sheet.tanks[0].name}” below it"
        return f"{listed(missing, 'and')}, which “{figures}” needs" if missing else str(error)
    return ""


@cache
def full_mass(tank: Tank, units: str) -> str:
    """What a tank holds when it is full of its product, as `bin-capacity` shows it."""
    given = {**tank.shape.model_dump(exclude_none=True), "bulk_density": tank.bulk_density}
    shown: str = reply("bin-capacity", given, units)["results"]["mass"]["shown"]
    return shown


def _place(sheet: Sheet, tank: Tank) -> Place:
    return ("tanks", sheet.tanks.index(tank))


def _of_part(part: Part, place: Place) -> dict[str, Figure]:
    """What stands in a part, by the names it has there."""
    said = part.model_dump(exclude_none=True)
    return {name: Figure(text, (*place, name)) for name, text in said.items()}


def _of_machine(sheet: Sheet) -> dict[str, Figure]:
    return {
        "width": Figure(sheet.width, ("width",), u.LENGTH),
        "spacing": Figure(sheet.spacing, ("spacing",), u.LENGTH),
        "runs": Figure(sheet.runs, ("runs",), u.COUNT),
        "speed": Figure(sheet.speed.planned, ("speed", "planned"), u.SPEED),
        "speed_low": Figure(sheet.speed.low, ("speed", "low"), u.SPEED),
        "speed_high": Figure(sheet.speed.high, ("speed", "high"), u.SPEED),
        "shaft_speed": Figure(sheet.fan.working, ("fan", "working"), u.TURNING_SPEED),
    }


def _of_tank(sheet: Sheet, tank: Tank) -> dict[str, Figure]:
    place = _place(sheet, tank)
    rate, meter = (*place, "rate"), (*place, "meter")
    return {
        "name": Figure(tank.name, (*place, "name")),
        "rate": Figure(tank.rate.set, (*rate, "set"), u.MASS_PER_AREA),
        "rate_low": Figure(tank.rate.low, (*rate, "low"), u.MASS_PER_AREA),
        "rate_high": Figure(tank.rate.high, (*rate, "high"), u.MASS_PER_AREA),
        "mass_per_turn": Figure(tank.meter.mass_per_turn, (*meter, "mass_per_turn"), u.MASS_PER_TURN),
        "meter_low": Figure(tank.meter.low, (*meter, "low"), u.TURNING_SPEED),
        "meter_high": Figure(tank.meter.high, (*meter, "high"), u.TURNING_SPEED),
        "bulk_density": Figure(tank.bulk_density, (*place, "bulk_density"), u.DENSITY),
    }
