"""Machine sheets: `docs/machines/ID.yml`, checked by a typed schema, with file and line in every message."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal, Self

import yaml
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, model_validator

from calc import units as u
from calc.errors import InputError, nearest
from calc.quantity import Units, exact, example_of
from calc.units import Kind
from handbook.plain_yaml import Unreadable, composed
from handbook.problems import Problem

FORMAT = 1
WRONG_KIND = {  # the schema's names of what stands in the place of something else
    "string_type": "is one text; write it behind the colon",
    "string_too_short": "says nothing; write something behind the colon",
    "list_type": "is a list; begin each of its lines with “- ”",
    "model_type": "holds named values; write each as “name: value”",
    "too_short": "is an empty list; write at least one",
}


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
Text = Annotated[str, Field(min_length=1)]


class Part(BaseModel):
    """A part of a sheet: nothing may stand in it that is not known."""

    model_config = ConfigDict(extra="forbid", frozen=True)


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
    speed: Speeds
    fan: Fan
    tanks: list[Tank] = Field(min_length=1)
    controls: list[Control] = Field(min_length=1)

    def tank(self, name: str) -> Tank | None:
        """The tank of this name."""
        return next((tank for tank in self.tanks if tank.name == name), None)


def read_sheet(path: Path, shown_as: str) -> tuple[Sheet | None, list[Problem]]:
    """The sheet in a file, or every problem in it."""
    try:
        root = composed(path.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError:
        return None, [Problem(shown_as, 1, "this is not UTF-8 text; save it as UTF-8")]
    except Unreadable as error:
        return None, [Problem(shown_as, error.line + 1, f"this is not readable as YAML: {error}")]
    lines: dict[tuple[Any, ...], int] = {}
    problems: list[Problem] = []
    data = _plain(root, (), lines, problems, shown_as)
    if not isinstance(data, Mapping) or data.get("format") != str(FORMAT):
        found = data.get("format", "nothing") if isinstance(data, Mapping) else "nothing"
        said = f"the format of this sheet is {found}; this book reads “format: {FORMAT}”, on the first line"
        return None, [*problems, Problem(shown_as, lines.get(("format",), 1), said)]
    try:
        sheet = Sheet.model_validate(data)
    except ValidationError as error:
        return None, problems + [_said(fault, lines, shown_as) for fault in error.errors()]
    problems += _repeated_names(sheet, lines, shown_as)
    return (None if problems else sheet), problems


def _repeated_names(sheet: Sheet, lines: Mapping[tuple[Any, ...], int], path: str) -> list[Problem]:
    """Two parts of one name could not be told apart, by a page or by a reader."""
    return [
        Problem(path, lines[(part, number, "name")], f"{part}.{number + 1}.name: “{name}” stands twice")
        for part, listed in (("tanks", sheet.tanks), ("controls", sheet.controls))
        for number, name in enumerate(one.name for one in listed)
        if name in [one.name for one in listed[:number]]
    ]


def _plain(
    node: Any, at: tuple[Any, ...], lines: dict[tuple[Any, ...], int], problems: list[Problem], path: str
) -> Any:
    """YAML as text, lists and mappings, every figure as written, with the line of each place."""
    if node is None:
        return None
    lines.setdefault(at, node.start_mark.line + 1)
    if isinstance(node, yaml.MappingNode):
        made: dict[str, Any] = {}
        for key, value in node.value:
            if key.value in made:
                said = f"{key.value} stands twice; keep one"
                problems.append(Problem(path, key.start_mark.line + 1, said))
            lines[(*at, key.value)] = key.start_mark.line + 1
            made[key.value] = _plain(value, (*at, key.value), lines, problems, path)
        return made
    if isinstance(node, yaml.SequenceNode):
        return [_plain(value, (*at, i), lines, problems, path) for i, value in enumerate(node.value)]
    return node.value


def _said(fault: Any, lines: Mapping[tuple[Any, ...], int], path: str) -> Problem:
    """One fault of the schema, in words, at its line."""
    at = tuple(fault["loc"])
    line = next(lines[at[:n]] for n in range(len(at), -1, -1) if at[:n] in lines)
    name = ".".join(str(part + 1) if isinstance(part, int) else part for part in at)
    kind = fault["type"]
    if kind == "missing":
        said = "is missing; add it"
    elif kind == "extra_forbidden":
        meant = nearest(str(at[-1]), _known(at[:-1]))
        said = "is not known in a sheet; " + (f"did you mean “{meant}”?" if meant else "take it out")
    elif kind == "literal_error":
        said = f"is {fault['input']!r}; write {fault['ctx']['expected']}"
    elif kind == "value_error":
        said = str(fault["ctx"]["error"])
    elif kind in WRONG_KIND:
        said = WRONG_KIND[kind]
    else:
        said = f"is not right: {fault['msg'].lower()}"
    return Problem(path, line, f"{name}: {said}")


def _known(at: tuple[Any, ...]) -> list[str]:
    """The names that may stand at a place of the sheet."""
    parts: dict[str, type[Part]] = {
        "tanks": Tank,
        "rate": Rates,
        "meter": Meter,
        "shape": Shape,
        "speed": Speeds,
        "fan": Fan,
        "controls": Control,
    }
    names = [part for part in at if isinstance(part, str)]
    return list((parts[names[-1]] if names and names[-1] in parts else Sheet).model_fields)


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
