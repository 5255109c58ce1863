"""Units with exact factors, and the kinds of quantity that are measured in them.

Factors: NIST SP 811 and NIST Handbook 44, Appendix C; the acre is the one of the international foot.
A dimension is a set of units that convert into each other. A kind is what a figure means (a gauge
pressure, an absolute pressure), the dimension it is measured in, and the unit it is shown in.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from fractions import Fraction

SYSTEMS = ("metric", "us", "imperial")

INCH = Fraction(254, 10_000)
FOOT = 12 * INCH
MILE = 5280 * FOOT
ACRE = 43_560 * FOOT**2
HECTARE = Fraction(10_000)
POUND = Fraction(45_359_237, 100_000_000)
LITER = Fraction(1, 1000)
US_GALLON = 231 * INCH**3
IMPERIAL_GALLON = Fraction(454_609, 100_000) * LITER
US_BUSHEL = Fraction(215_042, 100) * INCH**3
IMPERIAL_BUSHEL = 8 * IMPERIAL_GALLON
GRAVITY = Fraction(980_665, 100_000)
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2
HORSEPOWER = 550 * FOOT * POUND_FORCE
WATER_INCH = INCH * GRAVITY * 1000  # the conventional inch of water, at 1000 kg/m³
DEGREE = Fraction(math.pi) / 180


@dataclass(frozen=True)
class Unit:
    """A unit: its written name, its exact size in SI, where its zero lies, and other spellings read."""

    name: str
    factor: Fraction
    zero: Fraction = Fraction(0)
    also: tuple[str, ...] = ()

    @functools.cached_property
    def ratio(self) -> tuple[int, int]:
        """The size, as one whole number over another."""
        return self.factor.as_integer_ratio()

    @functools.cached_property
    def zero_ratio(self) -> tuple[int, int]:
        """The zero, as one whole number over another."""
        return self.zero.as_integer_ratio()


def _u(name: str, factor: Fraction | int, *also: str, zero: Fraction | int = 0) -> Unit:
    return Unit(name, Fraction(factor), Fraction(zero), also)


_MILLI = Fraction(1, 1000)
_MINUTE = Fraction(1, 60)
_HOUR = Fraction(1, 3600)
_FAHRENHEIT = Fraction(5, 9)

_AREAS = {"m²": Fraction(1), "ft²": FOOT**2, "ha": HECTARE, "ac": ACRE}

DIMENSIONS: dict[str, tuple[Unit, ...]] = {
    "mass per area": (_u("kg/ha", 1 / HECTARE), _u("g/m²", _MILLI), _u("lb/ac", POUND / ACRE)),
    "plants per area": tuple(_u(f"plants/{name}", 1 / area) for name, area in _AREAS.items()),
    "seeds per area": tuple(_u(f"seeds/{name}", 1 / area) for name, area in _AREAS.items()),
    "length": (
        _u("mm", _MILLI),
        _u("cm", Fraction(1, 100)),
        _u("m", 1),
        _u("km", 1000),
        _u("in", INCH),
        _u("ft", FOOT),
        _u("mile", MILE, "miles"),
    ),
    "area": (_u("m²", 1), _u("ha", HECTARE), _u("ac", ACRE), _u("ft²", FOOT**2)),
    "speed": (
        _u("m/s", 1),
        _u("km/h", Fraction(1000, 3600)),
        _u("mph", MILE / 3600),
        _u("ft/s", FOOT),
        _u("ft/min", FOOT / 60, "fpm"),
    ),
    "turning speed": (_u("rpm", _MINUTE, "rev/min"), _u("rev/s", 1)),
    "mass": (
        _u("g", _MILLI),
        _u("kg", 1),
        _u("t", 1000),
        _u("oz", POUND / 16),
        _u("lb", POUND, "lbs"),
        _u("ton", 2000 * POUND, "tons"),
    ),
    "mass per turn": (_u("g/rev", _MILLI), _u("kg/rev", 1), _u("lb/rev", POUND)),
    "volume per turn": (_u("cm³/rev", Fraction(1, 10**6)), _u("in³/rev", INCH**3)),
    "volume": (
        _u("L", LITER, "l"),
        _u("m³", 1),
        _u("ft³", FOOT**3),
        _u("gal", US_GALLON, "us gal"),
        _u("imp gal", IMPERIAL_GALLON),
        _u("bu", US_BUSHEL, "us bu"),
        _u("imp bu", IMPERIAL_BUSHEL),
    ),
    "density": (
        _u("kg/m³", 1),
        _u("kg/L", 1000, "kg/l"),
        _u("lb/ft³", POUND / FOOT**3),
        _u("lb/bu", POUND / US_BUSHEL, "lb/us bu"),
        _u("lb/imp bu", POUND / IMPERIAL_BUSHEL),
        _u("lb/gal", POUND / US_GALLON, "lb/us gal"),
    ),
    "volume per area": (
        _u("L/ha", LITER / HECTARE, "l/ha"),
        _u("gal/ac", US_GALLON / ACRE, "us gal/ac"),
        _u("imp gal/ac", IMPERIAL_GALLON / ACRE),
    ),
    "volume flow": (
        _u("L/min", LITER / 60, "l/min"),
        _u("gpm", US_GALLON / 60),
        _u("m³/s", 1),
        _u("cfm", FOOT**3 / 60),
    ),
    "mass flow": (_u("kg/min", _MINUTE), _u("lb/min", POUND / 60), _u("kg/h", _HOUR)),
    "pressure": (
        _u("Pa", 1),
        _u("kPa", 1000),
        _u("bar", 100_000),
        _u("psi", PSI),
        _u("inH2O", WATER_INCH),
    ),
    "temperature": (
        _u("°C", 1, "degC", zero=Fraction(27_315, 100)),
        _u("°F", _FAHRENHEIT, "degF", zero=Fraction(27_315, 100) - 32 * _FAHRENHEIT),
    ),
    "temperature difference": (_u("°C", 1, "degC"), _u("°F", _FAHRENHEIT, "degF")),
    "power": (_u("W", 1), _u("kW", 1000), _u("hp", HORSEPOWER)),
    "time": (_u("s", 1), _u("min", 60), _u("h", 3600)),
    "voltage": (_u("V", 1),),
    "angle": (_u("deg", DEGREE, "°"),),
    "share": (_u("%", Fraction(1, 100)),),
    "area per time": (_u("ha/h", HECTARE / 3600), _u("ac/h", ACRE / 3600)),
    "area per turn": (_u("m²/rev", 1), _u("ft²/rev", FOOT**2)),
    "turns per area": (_u("rev/ha", 1 / HECTARE), _u("rev/ac", 1 / ACRE)),
    "seeds per mass": (_u("seeds/kg", 1), _u("seeds/lb", 1 / POUND)),
    "seeds per length": (_u("seeds/m", 1), _u("seeds/ft", 1 / FOOT)),
    "seeds per time": (_u("seeds/s", 1),),
    "count": (),
}

AMBIGUOUS = {  # bare US names that a reader of imperial measures could mean otherwise: us, imperial
    "gal": ("us gal", "imp gal"),
    "bu": ("us bu", "imp bu"),
    "lb/bu": ("lb/us bu", "lb/imp bu"),
    "lb/gal": ("lb/us gal", "kg/L"),
    "gal/ac": ("us gal/ac", "imp gal/ac"),
}


@dataclass(frozen=True)
class Kind:
    """What a figure means: a stable id, its name in words, its dimension, shown units and digits."""

    id: str
    title: str
    dimension: str
    shown: tuple[str, str, str] = ("", "", "")
    digits: int = 4

    @property
    def bare(self) -> bool:
        """Whether it is written without a unit."""
        return self.dimension == "count"

    @property
    def units(self) -> tuple[Unit, ...]:
        """Every unit it may be written in."""
        return DIMENSIONS[self.dimension]

    def shown_unit(self, system: str) -> Unit | None:
        """The unit it is shown in under one of `SYSTEMS`; None where it is bare."""
        if self.bare:
            return None
        return unit_named(self.dimension, self.shown[SYSTEMS.index(system)])


@functools.cache
def unit_named(dimension: str, name: str) -> Unit:
    """The unit of a dimension by its written name. Raises KeyError."""
    for unit in DIMENSIONS[dimension]:
        if unit.name == name:
            return unit
    raise KeyError(f"{dimension} has no unit {name}")


def plain(spelling: str) -> str:
    """A spelling as it is looked up: `²` and `2`, `³` and `3` are alike."""
    return " ".join(spelling.replace("²", "2").replace("³", "3").split())


SPELLINGS: dict[str, dict[str, Unit]] = {
    dimension: {plain(spelling): unit for unit in units for spelling in (unit.name, *unit.also)}
    for dimension, units in DIMENSIONS.items()
}

KINDS: dict[str, Kind] = {}


def _kind(id: str, title: str, dimension: str, *shown: str, digits: int = 4) -> Kind:
    """Declare a kind; shown in one unit for all, in metric and inch units, or in one for each system."""
    metric, us, imperial = {0: ("", "", ""), 1: shown * 3, 2: (*shown, *shown[1:]), 3: shown}[len(shown)]
    KINDS[id] = Kind(id, title, dimension, (metric, us, imperial), digits)
    return KINDS[id]


MASS_PER_AREA = _kind("mass_per_area", "mass per area", "mass per area", "kg/ha", "lb/ac")
PLANTS_PER_AREA = _kind(
    "plants_per_area", "number of plants per area", "plants per area", "plants/m²", "plants/ft²"
)
SEEDS_PER_AREA = _kind(
    "seeds_per_area", "number of seeds per area", "seeds per area", "seeds/m²", "seeds/ft²"
)
LENGTH = _kind("length", "length", "length", "m", "ft")
SHORT_LENGTH = _kind("short_length", "short length", "length", "mm", "in")
DISTANCE = _kind("distance", "distance in the field", "length", "m", "ft")
AREA = _kind("area", "area of land", "area", "ha", "ac")
SMALL_AREA = _kind("small_area", "small area", "area", "m²", "ft²")
SPEED = _kind("speed", "speed", "speed", "km/h", "mph")
AIR_SPEED = _kind("air_speed", "air speed", "speed", "m/s", "ft/min")
OIL_SPEED = _kind("oil_speed", "oil speed in a line", "speed", "m/s", "ft/s")
TURNING_SPEED = _kind("turning_speed", "turning speed", "turning speed", "rpm")
MASS = _kind("mass", "mass", "mass", "kg", "lb")
SMALL_MASS = _kind("small_mass", "small mass", "mass", "g", "oz")
KERNEL_MASS = _kind("kernel_mass", "mass of a thousand seeds", "mass", "g")
MASS_PER_TURN = _kind("mass_per_turn", "mass per turn", "mass per turn", "g/rev", "lb/rev")
VOLUME_PER_TURN = _kind("volume_per_turn", "volume per turn", "volume per turn", "cm³/rev", "in³/rev")
VOLUME = _kind("volume", "volume", "volume", "L", "bu", "imp bu")
LIQUID_VOLUME = _kind("liquid_volume", "volume of liquid", "volume", "L", "gal", "imp gal")
DENSITY = _kind("density", "density", "density", "kg/m³", "lb/ft³")
LIQUID_DENSITY = _kind("liquid_density", "density of liquid", "density", "kg/L", "lb/gal", "kg/L")
VOLUME_PER_AREA = _kind(
    "volume_per_area", "volume per area", "volume per area", "L/ha", "gal/ac", "imp gal/ac"
)
LIQUID_FLOW = _kind("liquid_flow", "flow of liquid", "volume flow", "L/min", "gpm")
AIR_FLOW = _kind("air_flow", "flow of air", "volume flow", "m³/s", "cfm")
MASS_FLOW = _kind("mass_flow", "mass flow", "mass flow", "kg/min", "lb/min")
GAUGE_PRESSURE = _kind("gauge_pressure", "pressure above the air's", "pressure", "kPa", "psi")
ABSOLUTE_PRESSURE = _kind("absolute_pressure", "absolute pressure", "pressure", "kPa", "psi")
FAN_PRESSURE = _kind("fan_pressure", "fan pressure", "pressure", "kPa", "inH2O")
TEMPERATURE = _kind("temperature", "temperature", "temperature", "°C", "°F", "°C")
TEMPERATURE_DIFFERENCE = _kind(
    "temperature_difference", "difference of temperature", "temperature difference", "°C", "°F", "°C"
)
POWER = _kind("power", "power", "power", "kW", "hp")
TIME = _kind("time", "time", "time", "s")
LONG_TIME = _kind("long_time", "length of work", "time", "h")
VOLTAGE = _kind("voltage", "voltage", "voltage", "V")
ANGLE = _kind("angle", "angle", "angle", "deg")
SHARE = _kind("share", "share", "share", "%")
CAPACITY = _kind("capacity", "area worked per time", "area per time", "ha/h", "ac/h")
AREA_PER_TURN = _kind("area_per_turn", "area per turn", "area per turn", "m²/rev", "ft²/rev")
TURNS_PER_AREA = _kind("turns_per_area", "turns per area", "turns per area", "rev/ha", "rev/ac")
SEEDS_PER_MASS = _kind("seeds_per_mass", "number of seeds per mass", "seeds per mass", "seeds/kg", "seeds/lb")
SEEDS_PER_LENGTH = _kind(
    "seeds_per_length", "number of seeds along a row", "seeds per length", "seeds/m", "seeds/ft"
)
SEEDS_PER_TIME = _kind("seeds_per_time", "number of seeds per time", "seeds per time", "seeds/s")
TURNS = _kind("turns", "number of turns", "count")
COUNT = _kind("count", "count", "count")
RATIO = _kind("ratio", "ratio", "count")

# What the difference of two figures of a kind is, where it is of another.
DIFFERENCES = {TEMPERATURE.id: TEMPERATURE_DIFFERENCE}
