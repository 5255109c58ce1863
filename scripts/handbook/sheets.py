"""Machine sheets: `docs/machines/ID.yml`, checked by a typed schema, with file and line in every message."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Literal

import yaml
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from calc import units as u
from calc.errors import InputError, nearest
from calc.quantity import exact
from calc.units import Kind
from handbook.problems import Problem

FORMAT = 1


def _of(kind: Kind) -> BeforeValidator:
    """What a written quantity of this kind must be."""

    def check(value: Any) -> str:
        try:
            exact(str(value), kind)
        except InputError as error:
            raise ValueError(str(error)) from error
        return str(value)

    return BeforeValidator(check)


Length = Annotated[str, _of(u.LENGTH)]
Speed = Annotated[str, _of(u.SPEED)]
Rate = Annotated[str, _of(u.MASS_PER_AREA)]
MassPerTurn = Annotated[str, _of(u.MASS_PER_TURN)]
Turning = Annotated[str, _of(u.TURNING_SPEED)]
Density = Annotated[str, _of(u.DENSITY)]
Angle = Annotated[str, _of(u.ANGLE)]
Count = Annotated[str, _of(u.COUNT)]


class Part(BaseModel):
    """A part of a sheet: nothing may stand in it that is not known."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Rates(Part):
    """The rates a tank is asked for, and the step by which the machine changes them."""

    low: Rate
    set: Rate
    high: Rate
    step: Rate


class Meter(Part):
    """A tank's meter: its mass per turn with this product, and the range of its speed."""

    mass_per_turn: MassPerTurn
    low: Turning
    high: Turning


class Shape(Part):
    """A tank's measures, as `bin-capacity` takes them."""

    body: Literal["box", "upright-cylinder", "lying-cylinder"]
    length: Length | None = None
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    hopper: Literal["none", "cone", "wedge", "pyramid"] = "none"
    hopper_depth: Length | None = None
    outlet_length: Length | None = None
    outlet_width: Length | None = None
    outlet_diameter: Length | None = None
    lid: Literal["none", "central"] = "none"
    heap_angle: Angle | None = None


class Tank(Part):
    """A tank and what is in it."""

    name: str
    product: str
    bulk_density: Density
    rate: Rates
    meter: Meter
    shape: Shape


class Speeds(Part):
    """The ground speeds the machine works at."""

    low: Speed
    planned: Speed
    high: Speed


class Fan(Part):
    """The fan's least speed that lets the meters run, and its working speed."""

    least: Turning
    working: Turning


class Control(Part):
    """A control, and every way it is worked."""

    name: str
    ways: list[str] = Field(min_length=1)


class Sheet(Part):
    """A machine."""

    format: Literal["1"]
    name: str
    note: str
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
        text = path.read_text(encoding="utf-8")
        root = yaml.compose(text, Loader=yaml.SafeLoader)
    except UnicodeDecodeError:
        return None, [Problem(shown_as, 1, "this is not UTF-8 text; save it as UTF-8")]
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        return None, [Problem(shown_as, line, f"this is not readable as YAML: {error.problem}")]
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
    return (None if problems else sheet), problems


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
        if "body" in inputs:  # a calculator of shapes: its width is the tank's
            known |= {"width": None, **tank.shape.model_dump()}
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
