"""What a machine sheet, `docs/machines/ID.yml`, holds: a typed schema, in which each figure has its unit."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler, WithJsonSchema, model_validator
from pydantic_core import CoreSchema, core_schema

from calc import units as u
from calc.errors import InputError
from calc.quantity import Units, exact, example_of
from calc.units import Kind
from handbook.typed_yaml import Part, Text

BodyShape = Literal["box", "upright-cylinder", "lying-cylinder"]
HopperShape = Literal["none", "cone", "wedge", "pyramid"]
LidPlace = Literal["none", "central"]


@dataclass(frozen=True)
class Written:
    """A quantity as it is written: of what kind, an example, and whether it may be nothing."""

    kind: Kind
    example: str
    may_be_zero: bool = False

    def check(self, value: Any) -> str:
        """What was written, if it is such a quantity. Raises `ValueError`."""
        if not isinstance(value, str):
            raise ValueError(f"is one figure; write it like {example_of(self.kind, Units())}")
        try:
            figure = exact(value, self.kind)
        except InputError as error:
            raise ValueError(str(error)) from error
        if figure < 0 or not (figure or self.may_be_zero):
            raise ValueError(f"“{value}” is not above zero; check the figure")
        return value

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.check, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        # Every figure is read as it is written, so a bare count may stand there as a number.
        return {"type": ["string", "integer"] if self.kind.bare else "string", "examples": [self.example]}


def _rising(kind: Kind, **written: str) -> None:
    """Refuse figures of a range that do not rise in the order given."""
    for (lower, low), (upper, high) in pairwise(written.items()):
        if exact(low, kind) > exact(high, kind):
            raise ValueError(f"“{lower}” is {low}, above “{upper}”, {high}; swap them or correct one")


Length = Annotated[str, Written(u.LENGTH, "40 ft")]
Speed = Annotated[str, Written(u.SPEED, "5 mph")]
Rate = Annotated[str, Written(u.MASS_PER_AREA, "120 lb/ac")]
MassPerTurn = Annotated[str, Written(u.MASS_PER_TURN, "1.4 lb/rev")]
Turning = Annotated[str, Written(u.TURNING_SPEED, "110 rpm")]
Density = Annotated[str, Written(u.DENSITY, "48 lb/ft3")]
Outlet = Annotated[str, Written(u.LENGTH, "1 ft", may_be_zero=True)]
Angle = Annotated[str, Written(u.ANGLE, "25 deg", may_be_zero=True)]
Count = Annotated[str, Written(u.COUNT, "48")]
ShortLength = Annotated[str, Written(u.SHORT_LENGTH, "2.5 in")]
Share = Annotated[str, Written(u.SHARE, "95 %")]
VolumePerTurn = Annotated[str, Written(u.VOLUME_PER_TURN, "1.5 in3/rev")]
Pressure = Annotated[str, Written(u.GAUGE_PRESSURE, "2200 psi")]
LiquidFlow = Annotated[str, Written(u.LIQUID_FLOW, "40 gpm")]
Area = Annotated[str, Written(u.AREA, "320 ac")]
Distance = Annotated[str, Written(u.DISTANCE, "5280 ft")]
Mass = Annotated[str, Written(u.MASS, "24500 lb")]
LiquidRate = Annotated[str, Written(u.VOLUME_PER_AREA, "15 us gal/ac")]
LiquidDensity = Annotated[str, Written(u.LIQUID_DENSITY, "10.65 lb/us gal")]
LiquidVolume = Annotated[str, Written(u.LIQUID_VOLUME, "1000 us gal")]
Temperature = Annotated[str, Written(u.TEMPERATURE, "50 °F")]


class Rates(Part):
    """The rates a tank is asked for, and the step by which the machine changes them."""

    low: Rate
    """The lowest rate that will be asked for."""
    set: Rate
    """The rate that it works at."""
    high: Rate
    """The highest rate that will be asked for."""
    step: Rate
    """By how much one press changes the rate."""

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.MASS_PER_AREA, low=self.low, set=self.set, high=self.high)
        if exact(self.step, u.MASS_PER_AREA) >= exact(self.set, u.MASS_PER_AREA):
            raise ValueError(f"one “step” down, {self.step}, leaves nothing of “set”; write a smaller step")
        return self


class Meter(Part):
    """A tank's meter."""

    mass_per_turn: MassPerTurn
    """What one turn gives of this product, by the last calibration."""
    low: Turning
    """The slowest that it turns evenly."""
    high: Turning
    """The fastest that it turns."""

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.TURNING_SPEED, low=self.low, high=self.high)
        return self


class Shape(Part):
    """A tank's inside measures, as the calculator `bin-capacity` takes them."""

    body: BodyShape
    """What its upper part is."""
    length: Length | None = None
    """Of a box or a lying cylinder."""
    width: Length | None = None
    """Of a box."""
    height: Length | None = None
    """Of the straight part of a box or an upright cylinder."""
    diameter: Length | None = None
    """Of a cylinder."""
    hopper: HopperShape = "none"
    """What is below the body."""
    hopper_depth: Length | None = None
    """From the outlet up to the body."""
    outlet_length: Outlet | None = None
    """Of a wedge's or a pyramid's outlet."""
    outlet_width: Outlet | None = None
    """Of a pyramid's outlet."""
    outlet_diameter: Outlet | None = None
    """Of a cone's outlet."""
    lid: LidPlace = "none"
    """Where it is filled from, if it can be heaped."""
    heap_angle: Angle | None = None
    """How steep the product heaps."""


class Tank(Part):
    """A tank and what is in it."""

    name: Text
    """What people call it, once only on this machine."""
    product: Text
    """What is in it."""
    stream: Text = "air stream"
    """Which stream of air carries its product, where there is more than one."""
    bulk_density: Density
    """The mass of what fills a measure."""
    rate: Rates
    meter: Meter
    shape: Shape


class Speeds(Part):
    """The ground speeds the machine works at."""

    low: Speed
    """The slowest that it works at."""
    planned: Speed
    """The one that it is set up for."""
    high: Speed
    """The fastest that it works at."""

    @model_validator(mode="after")
    def _ordered(self) -> Self:
        _rising(u.SPEED, low=self.low, planned=self.planned, high=self.high)
        return self


class Fan(Part):
    """The fan."""

    least: Turning
    """Below this the meters do not run."""
    working: Turning
    """What it is set to."""


class Air(Part):
    """The hoses that the air goes through."""

    hoses: Count
    """How many lead from the meters to the heads."""
    hose_bore: ShortLength
    """Their inside diameter."""


class Oil(Part):
    """The fan's motor and the oil for it."""

    displacement: VolumePerTurn
    """What the fan's motor takes in one turn."""
    volumetric_efficiency: Share
    """The share of the oil that turns the motor."""
    pressure: Pressure
    """At the motor, while it works."""
    tractor_flow: LiquidFlow
    """What the tractor gives."""
    meters_flow: LiquidFlow | None = None
    """What the meters' drives take, if they are driven by oil."""
    hose_bore: ShortLength | None = None
    """The inside diameter of the pressure hose."""


class Liquid(Part):
    """A liquid that the machine puts on, and its outlets."""

    product: Text
    """What it is."""
    density: LiquidDensity
    """Its mass by its volume."""
    rate: LiquidRate
    """The rate that it is put on at."""
    rate_low: LiquidRate | None = None
    """The lowest rate that will be asked for."""
    rate_high: LiquidRate | None = None
    """The highest rate that will be asked for."""
    known_flow: LiquidFlow | None = None
    """What one outlet gives of water, from its maker's table."""
    known_pressure: Pressure | None = None
    """The pressure at which it does."""


class Ammonia(Part):
    """The anhydrous ammonia that the machine puts on."""

    nitrogen_rate: Rate
    """The nitrogen asked for."""
    tank_volume: LiquidVolume
    """What the tank holds, brim full."""
    temperature: Temperature
    """A temperature of the tank to plan with."""


class Road(Part):
    """The machine on the road, as the calculator `road-load` takes it."""

    empty_mass: Mass
    """With nothing in its tanks."""
    limit: Mass
    """The most that it may weigh, by its plate or by law."""
    tyre_limit: Mass | None = None
    """The most that its tires carry together."""


class Land(Part):
    """A field that its refills are planned for."""

    area: Area
    """Its size."""
    pass_length: Distance
    """How long one pass is."""


class Control(Part):
    """A control, and every way it is worked."""

    name: Text
    """What it works."""
    ways: tuple[Text, ...] = Field(min_length=1)
    """Each way to work it, as it would be said: on the screen, by the switch."""
    stop: Annotated[Literal["yes", "no"], WithJsonSchema({"enum": ["yes", "no", True, False]})] = "no"
    """Whether it is a stop switch, which is tested apart from the others."""

    @property
    def stops(self) -> bool:
        """Whether it is a stop switch."""
        return self.stop == "yes"


class Sheet(Part):
    """A machine."""

    format: Annotated[Literal["1"], WithJsonSchema({"enum": ["1", 1]})]
    """How this file is written: 1."""
    name: Text
    """What the machine is called."""
    note: Text
    """Whose machine it is, and where these figures come from."""
    units: Literal["metric", "us", "imperial"]
    """The units that messages about this sheet are written in."""
    width: Length
    """The working width."""
    spacing: Length
    """From one run to the next."""
    runs: Count
    """How many runs there are."""
    heads: Count
    """How many heads share the product out to the runs."""
    sections: tuple[Length, ...] = ()
    """The widths of the parts that are switched by themselves, from left to right; none if it is one part."""
    speed: Speeds
    fan: Fan
    air: Air | None = None
    oil: Oil | None = None
    liquid: Liquid | None = None
    ammonia: Ammonia | None = None
    road: Road | None = None
    field: Land | None = None
    tanks: tuple[Tank, ...] = Field(min_length=1)
    """The tanks of seed and granular fertilizer, in their order from the front."""
    controls: tuple[Control, ...] = Field(min_length=1)
    """Everything that an operator works, with every way to work it."""

    def tank(self, name: str) -> Tank | None:
        """The tank of this name."""
        return next((tank for tank in self.tanks if tank.name == name), None)
