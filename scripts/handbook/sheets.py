"""Machine sheets: `docs/machines/ID.yml`, checked by a typed schema, with file and line in every message."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from calc import units as u
from calc.declare import Calculator, Input, Rows
from calc.declare import Field as FormField
from calc.errors import InputError
from calc.quantity import Units, exact, example_of
from calc.units import Kind
from handbook.typed_yaml import Part, Text, Typed, named, read_typed


def _of(kind: Kind, may_be_zero: bool = False) -> BeforeValidator:
    """What a written quantity of this kind must be."""

    def check(value: Any) -> str:
        if not isinstance(value, str):
            raise ValueError(f"is one figure; write it like {example_of(kind, Units())}")
        try:
            figure = exact(value, kind)
        except InputError as error:
            raise ValueError(str(error)) from error
        if figure < 0 or not (figure or may_be_zero):
            raise ValueError(f"“{value}” is not above zero; check the figure")
        return value

    return BeforeValidator(check)


def _rising(kind: Kind, **written: str) -> None:
    """Refuse figures of a range that do not rise in the order given."""
    for (lower, low), (upper, high) in pairwise(written.items()):
        if exact(low, kind) > exact(high, kind):
            raise ValueError(f"“{lower}” is {low}, above “{upper}”, {high}; swap them or correct one")


Length = Annotated[str, _of(u.LENGTH)]
Speed = Annotated[str, _of(u.SPEED)]
Rate = Annotated[str, _of(u.MASS_PER_AREA)]
MassPerTurn = Annotated[str, _of(u.MASS_PER_TURN)]
Turning = Annotated[str, _of(u.TURNING_SPEED)]
Density = Annotated[str, _of(u.DENSITY)]
Outlet = Annotated[str, _of(u.LENGTH, may_be_zero=True)]
Angle = Annotated[str, _of(u.ANGLE, may_be_zero=True)]
Count = Annotated[str, _of(u.COUNT)]
ShortLength = Annotated[str, _of(u.SHORT_LENGTH)]
Share = Annotated[str, _of(u.SHARE)]
VolumePerTurn = Annotated[str, _of(u.VOLUME_PER_TURN)]
OilPressure = Annotated[str, _of(u.GAUGE_PRESSURE)]
OilFlow = Annotated[str, _of(u.LIQUID_FLOW)]


class Rates(Part):
    """The rates a tank is asked for, and the step by which the machine changes them."""

    low: Rate
    set: Rate
    high: Rate
    step: Rate

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.MASS_PER_AREA, low=self.low, set=self.set, high=self.high)
        if exact(self.step, u.MASS_PER_AREA) >= exact(self.set, u.MASS_PER_AREA):
            raise ValueError(f"one “step” down, {self.step}, leaves nothing of “set”; write a smaller step")
        return self


class Meter(Part):
    """A tank's meter: its mass per turn with this product, and the range of its speed."""

    mass_per_turn: MassPerTurn
    low: Turning
    high: Turning

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.TURNING_SPEED, low=self.low, high=self.high)
        return self


class Shape(Part):
    """A tank's measures, as `bin-capacity` takes them."""

    body: Literal["box", "upright-cylinder", "lying-cylinder"]
    length: Length | None = None
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    hopper: Literal["none", "cone", "wedge", "pyramid"] = "none"
    hopper_depth: Length | None = None
    outlet_length: Outlet | None = None
    outlet_width: Outlet | None = None
    outlet_diameter: Outlet | None = None
    lid: Literal["none", "central"] = "none"
    heap_angle: Angle | None = None


class Tank(Part):
    """A tank and what is in it."""

    name: Text
    product: Text
    bulk_density: Density
    rate: Rates
    meter: Meter
    shape: Shape


class Speeds(Part):
    """The ground speeds the machine works at."""

    low: Speed
    planned: Speed
    high: Speed

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.SPEED, low=self.low, planned=self.planned, high=self.high)
        return self


class Fan(Part):
    """The fan's least speed that lets the meters run, and its working speed."""

    least: Turning
    working: Turning


class Air(Part):
    """The hoses that the air goes through, as `air` takes them."""

    hoses: Count
    hose_bore: ShortLength


class Oil(Part):
    """The fan's motor and the oil for it, as `oil` takes them."""

    displacement: VolumePerTurn
    volumetric_efficiency: Share
    pressure: OilPressure
    tractor_flow: OilFlow
    meters_flow: OilFlow | None = None
    hose_bore: ShortLength | None = None


class Control(Part):
    """A control, and every way it is worked."""

    name: Text
    ways: list[Text] = Field(min_length=1)


class Sheet(Part):
    """A machine."""

    format: Literal["1"]
    name: Text
    note: Text
    units: Literal["metric", "us", "imperial"]
    width: Length
    spacing: Length
    runs: Count
    heads: Count
    sections: tuple[Length, ...] = ()
    """The widths of the parts that are switched by themselves, from left to right; none if it is one part."""
    speed: Speeds
    fan: Fan
    air: Air | None = None
    oil: Oil | None = None
    tanks: list[Tank] = Field(min_length=1)
    controls: list[Control] = Field(min_length=1)

    def tank(self, name: str) -> Tank | None:
        """The tank of this name."""
        return next((tank for tank in self.tanks if tank.name == name), None)


def read_sheet(path: Path, shown_as: str) -> Typed[Sheet]:
    """The sheet in a file, or every problem in it."""
    read = read_typed(path, shown_as, Sheet, "sheet")
    if read.value:
        _check_names(read, read.value)
    if read.problems:
        read.value = None
    return read


def _check_names(read: Typed[Sheet], sheet: Sheet) -> None:
    """Two parts of one name could not be told apart, by a page or by a reader."""
    for part, listed in (("tanks", sheet.tanks), ("controls", sheet.controls)):
        names = [one.name for one in listed]
        for number, name in enumerate(names):
            if name in names[:number]:
                at = (part, number, "name")
                read.problem(read.lines[at], f"{named(at)}: “{name}” stands twice")


def presets(sheet: Sheet, calculator: Calculator, tank_name: str = "") -> dict[str, Any]:
    """What a sheet says of a calculator's inputs, by their names; a tank's own figures where one is named.

    A figure goes into an input of its name and dimension. A part of the sheet with the calculator's name
    is all its own, and so is a tank's shape, whose width is not the machine's.
    """
    tank = sheet.tank(tank_name)
    if calculator.id == "bin-capacity":
        own = tank.shape.model_dump() if tank else {}
        shared = _of_tank(tank) if tank else {}
    else:
        part = getattr(sheet, calculator.id, None)
        own = part.model_dump() if isinstance(part, Part) else {}
        shared = _of_machine(sheet) | (_of_tank(tank) if tank else {})
    found: dict[str, Any] = {}
    for one in calculator.inputs:
        if not isinstance(one, Rows):
            found[one.name] = own.get(one.name) or _said(shared, one)
        elif one.name == "tanks":
            found[one.name] = [_row(_of_tank(each), one) for each in sheet.tanks]
    return {name: said for name, said in found.items() if said}


Known = dict[str, tuple[Kind | None, str]]
"""Figures by their names, each with its kind; names are of none."""


def _said(known: Known, one: FormField) -> str:
    """What is known of a field: the figure of its name, if it is of its dimension too; else nothing."""
    kind, text = known.get(one.name, (None, ""))
    own = one.kind if isinstance(one, Input) else None
    return text if (kind and kind.dimension) == (own and own.dimension) else ""


def _row(known: Known, rows: Rows) -> dict[str, str]:
    """What is known of the fields of one row."""
    return {column.name: said for column in rows.columns if (said := _said(known, column))}


def _of_machine(sheet: Sheet) -> Known:
    return {
        "width": (u.LENGTH, sheet.width),
        "spacing": (u.LENGTH, sheet.spacing),
        "runs": (u.COUNT, sheet.runs),
        "speed": (u.SPEED, sheet.speed.planned),
        "speed_low": (u.SPEED, sheet.speed.low),
        "speed_high": (u.SPEED, sheet.speed.high),
        "shaft_speed": (u.TURNING_SPEED, sheet.fan.working),
    }


def _of_tank(tank: Tank) -> Known:
    return {
        "name": (None, tank.name),
        "rate": (u.MASS_PER_AREA, tank.rate.set),
        "rate_low": (u.MASS_PER_AREA, tank.rate.low),
        "rate_high": (u.MASS_PER_AREA, tank.rate.high),
        "mass_per_turn": (u.MASS_PER_TURN, tank.meter.mass_per_turn),
        "meter_low": (u.TURNING_SPEED, tank.meter.low),
        "meter_high": (u.TURNING_SPEED, tank.meter.high),
        "bulk_density": (u.DENSITY, tank.bulk_density),
    }
