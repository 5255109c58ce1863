"""Every unit against `pint` in exact fractions, and against the published factors."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pint
import pytest

from calc.units import AMBIGUOUS, DIMENSIONS, KINDS, SPELLINGS, SYSTEMS, Kind, plain, unit_named

REGISTRY = pint.UnitRegistry(non_int_type=Fraction)
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
REGISTRY.define("field_acre = 43560 * foot ** 2")

ATOMS = {
    "V": "volt",  # what our units are called in pint; a turn, a seed and a plant are counts
    "kg": "kilogram",
    "g": "gram",
    "t": "metric_ton",
    "oz": "ounce",
    "lb": "pound",
    "ton": "short_ton",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "km": "kilometer",
    "in": "inch",
    "ft": "foot",
    "mile": "mile",
    "m²": "meter**2",
    "ft²": "foot**2",
    "ha": "hectare",
    "ac": "field_acre",
    "cm³": "centimeter**3",
    "in³": "inch**3",
    "ft³": "foot**3",
    "m³": "meter**3",
    "L": "liter",
    "gal": "gallon",
    "imp gal": "imperial_gallon",
    "bu": "bushel",
    "imp bu": "imperial_bushel",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "mph": "mile/hour",
    "rpm": "count/minute",
    "gpm": "gallon/minute",
    "cfm": "foot**3/minute",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "bar": "bar",
    "psi": "psi",
    "inH2O": "inch_H2O",
    "W": "watt",
    "kW": "kilowatt",
    "hp": "horsepower",
    "%": "percent",
    "°C": "delta_degree_Celsius",
    "°F": "delta_degree_Fahrenheit",
    **dict.fromkeys(("rev", "seeds", "plants"), "count"),
}
SI = {
    "mass per area": "kilogram/meter**2",
    "plants per area": "count/meter**2",
    "seeds per area": "count/meter**2",
    "length": "meter",
    "area": "meter**2",
    "speed": "meter/second",
    "turning speed": "count/second",
    "mass": "kilogram",
    "mass per turn": "kilogram/count",
    "volume per turn": "meter**3/count",
    "volume": "meter**3",
    "density": "kilogram/meter**3",
    "volume per area": "meter",
    "volume flow": "meter**3/second",
    "mass flow": "kilogram/second",
    "pressure": "pascal",
    "temperature": "kelvin",
    "temperature difference": "kelvin",
    "power": "watt",
    "time": "second",
    "share": "dimensionless",
    "voltage": "volt",
    "area per time": "meter**2/second",
    "area per turn": "meter**2/count",
    "turns per area": "count/meter**2",
    "seeds per mass": "count/kilogram",
    "seeds per length": "count/meter",
    "seeds per time": "count/second",
}
EVERY = [(dimension, unit.name) for dimension, units in DIMENSIONS.items() for unit in units]


@pytest.mark.parametrize(("dimension", "name"), [pair for pair in EVERY if pair[0] != "angle"])
def test_factor_is_exactly_that_of_pint(dimension: str, name: str) -> None:
    atoms = [f"({ATOMS[atom]})" for atom in name.split("/")]
    one = REGISTRY.Quantity(Fraction(1), "/".join(atoms))
    assert unit_named(dimension, name).factor == one.to(SI[dimension]).magnitude


def test_degree_of_angle_is_that_of_the_standard_library() -> None:
    assert math.isclose(unit_named("angle", "deg").factor, math.radians(1), rel_tol=1e-15)


@pytest.mark.parametrize(("name", "in_pint"), [("°C", "degree_Celsius"), ("°F", "degree_Fahrenheit")])
@pytest.mark.parametrize("figure", [-40, 0, 32, 60, 100])
def test_temperature_is_that_of_pint(name: str, in_pint: str, figure: int) -> None:
    unit = unit_named("temperature", name)
    kelvin = REGISTRY.Quantity(Fraction(figure), in_pint).to("kelvin").magnitude
    assert figure * unit.factor + unit.zero == kelvin


def test_only_a_temperature_has_a_zero_of_its_own() -> None:
    moved = {dimension for dimension, units in DIMENSIONS.items() for unit in units if unit.zero}
    assert moved == {"temperature"}


def test_the_survey_acre_is_another() -> None:
    survey = REGISTRY.Quantity(Fraction(1), "acre").to("meter**2").magnitude
    assert 3e-6 < survey / unit_named("area", "ac").factor - 1 < 5e-6


NIST = "NIST SP 811 and NIST Handbook 44, Appendix C (from memory, confirmed with pint)"
PRINTED = [  # dimension, unit, the factor as the source prints it, and in what
    ("length", "in", "0.0254", 1),
    ("length", "ft", "0.3048", 1),
    ("length", "mile", "1609.344", 1),
    ("speed", "mph", "0.44704", 1),
    ("mass", "lb", "0.45359237", 1),
    ("mass", "oz", "28.349523125", Fraction(1, 1000)),
    ("mass", "ton", "907.18474", 1),
    ("area", "ac", "4046.8564224", 1),
    ("volume", "bu", "0.03523907016688", 1),
    ("volume", "imp bu", "0.03636872", 1),
    ("volume", "gal", "3.785411784", Fraction(1, 1000)),
    ("volume", "imp gal", "4.54609", Fraction(1, 1000)),
    ("pressure", "psi", "6894.757293168", 1),
    ("pressure", "bar", "100", 1000),
    ("power", "hp", "745.69987158227", 1),
    ("pressure", "inH2O", "249.08891", 1),
    ("mass per area", "lb/ac", "1.12085116", Fraction(1, 10_000)),
    ("volume per area", "gal/ac", "9.353956", Fraction(1, 10_000_000)),
    ("density", "lb/bu", "12.87185978", 1),
    ("density", "lb/gal", "119.8264273", 1),
]


@pytest.mark.parametrize(("dimension", "name", "printed", "of"), PRINTED, ids=[p[1] for p in PRINTED])
def test_factor_is_the_published_one_to_its_printed_digits(
    dimension: str, name: str, printed: str, of: Fraction | int
) -> None:
    """Source: NIST, as named in `NIST`."""
    last_place = Fraction(1, 10 ** len(printed.partition(".")[2]))
    assert abs(unit_named(dimension, name).factor / of - Fraction(Decimal(printed))) <= last_place / 2, NIST


def test_canadian_bushel_makes_the_same_weight_less_dense() -> None:
    """The imperial bushel of 36.37 L: 3.1 % less density than on the US bushel (plain arithmetic)."""
    ratio = unit_named("density", "lb/imp bu").factor / unit_named("density", "lb/bu").factor
    assert round(100 * (1 - ratio), 1) == Fraction(31, 10)


def test_no_spelling_means_two_units_of_one_dimension() -> None:
    for dimension, units in DIMENSIONS.items():
        spellings = [plain(text) for unit in units for text in (unit.name, *unit.also)]
        assert len(spellings) == len(set(spellings)), dimension
        assert set(SPELLINGS[dimension]) == set(spellings)


def test_a_raised_digit_and_spaces_are_looked_up_alike() -> None:
    assert plain("ft²") == plain("ft2") and plain("imp  gal") == plain("imp\u00a0gal") == "imp gal"
    assert plain("kg/m³") == "kg/m3"


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_every_kind_is_shown_in_units_of_its_dimension(kind: Kind) -> None:
    shown = [kind.shown_unit(system) for system in SYSTEMS]
    assert all(unit is None for unit in shown) if kind.bare else all(unit in kind.units for unit in shown)
    assert KINDS[kind.id] is kind


def test_an_unknown_unit_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="speed has no unit knot"):
        unit_named("speed", "knot")


def test_what_an_imperial_reader_is_offered_is_known() -> None:
    for bare, offered in AMBIGUOUS.items():
        [known] = [spellings for spellings in SPELLINGS.values() if bare in spellings]
        assert all(plain(name) in known for name in offered)
        assert known[plain(offered[0])] is known[bare]  # the bare one is the US one
