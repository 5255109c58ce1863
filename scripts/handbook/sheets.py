"""Machine sheets: `docs/machines/ID.yml`, checked by a typed schema, with file and line in every message."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from calc import units as u
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


def presets(sheet: Sheet, inputs: list[str], tank_name: str = "") -> dict[str, Any]:
    """What a sheet says of a calculator's inputs, by their names; a tank's own figures where one is named."""
    known: dict[str, Any] = {
        "width": sheet.width,
        "spacing": sheet.spacing,
        "runs": sheet.runs,
        "speed": sheet.speed.planned,
        "speed_low": sheet.speed.low,
        "speed_high": sheet.speed.high,
        "tanks": [_tank_row(tank) for tank in sheet.tanks],
    }
    if tank := sheet.tank(tank_name):
        known |= {
            "rate": tank.rate.set,
            "mass_per_turn": tank.meter.mass_per_turn,
            "bulk_density": tank.bulk_density,
        }
    if "body" in inputs:  # a calculator of shapes: its measures are a tank's, and never the machine's width
        known |= {"width": None, **(tank.shape.model_dump() if tank else {})}
    return {name: known[name] for name in inputs if known.get(name) is not None}


def _tank_row(tank: Tank) -> dict[str, str]:
    return {
        "name": tank.name,
        "rate_low": tank.rate.low,
        "rate_high": tank.rate.high,
        "mass_per_turn": tank.meter.mass_per_turn,
        "meter_low": tank.meter.low,
        "meter_high": tank.meter.high,
    }
