"""Quantities: read with their unit whatever the reader's system, and shown so that they read back."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import units as u
from calc.errors import InputError
from calc.number import settle, trimmed
from calc.quantity import Units, exact, in_unit, parse, show, show_bare
from calc.units import KINDS, SYSTEMS, Kind, unit_named
from tests.calculators.many import examples

METRIC, US, IMPERIAL = Units("metric"), Units("us"), Units("imperial")
LB, FT, IN, ACRE = Fraction("0.45359237"), Fraction("0.3048"), Fraction("0.0254"), Fraction("4046.8564224")
GAL, IMP_GAL = Fraction("0.003785411784"), Fraction("0.00454609")

# Each unit that the trade writes, with its size from NIST SP 811 and Handbook 44
# (from memory, confirmed with pint).
SPELT: list[tuple[str, Kind, Fraction]] = [
    ("kg/ha", u.MASS_PER_AREA, Fraction(1, 10_000)),
    ("g/m2", u.MASS_PER_AREA, Fraction(1, 1000)),
    ("g/m²", u.MASS_PER_AREA, Fraction(1, 1000)),
    ("lb/ac", u.MASS_PER_AREA, LB / ACRE),
    ("plants/m2", u.PLANTS_PER_AREA, Fraction(1)),
    ("plants/ft2", u.PLANTS_PER_AREA, 1 / FT**2),
    ("plants/ha", u.PLANTS_PER_AREA, Fraction(1, 10_000)),
    ("plants/ac", u.PLANTS_PER_AREA, 1 / ACRE),
    ("seeds/m²", u.SEEDS_PER_AREA, Fraction(1)),
    ("seeds/ft²", u.SEEDS_PER_AREA, 1 / FT**2),
    ("mm", u.LENGTH, Fraction(1, 1000)),
    ("cm", u.LENGTH, Fraction(1, 100)),
    ("m", u.LENGTH, Fraction(1)),
    ("km", u.DISTANCE, Fraction(1000)),
    ("in", u.SHORT_LENGTH, IN),
    ("ft", u.LENGTH, FT),
    ("mile", u.DISTANCE, Fraction("1609.344")),
    ("m2", u.AREA, Fraction(1)),
    ("ha", u.AREA, Fraction(10_000)),
    ("ac", u.AREA, ACRE),
    ("ft2", u.SMALL_AREA, FT**2),
    ("m/s", u.SPEED, Fraction(1)),
    ("km/h", u.SPEED, Fraction(1000, 3600)),
    ("mph", u.SPEED, Fraction("0.44704")),
    ("rpm", u.TURNING_SPEED, Fraction(1, 60)),
    ("rev/min", u.TURNING_SPEED, Fraction(1, 60)),
    ("rev/s", u.TURNING_SPEED, Fraction(1)),
    ("g", u.MASS, Fraction(1, 1000)),
    ("kg", u.MASS, Fraction(1)),
    ("t", u.MASS, Fraction(1000)),
    ("oz", u.MASS, LB / 16),
    ("lb", u.MASS, LB),
    ("ton", u.MASS, 2000 * LB),
    ("g/rev", u.MASS_PER_TURN, Fraction(1, 1000)),
    ("kg/rev", u.MASS_PER_TURN, Fraction(1)),
    ("lb/rev", u.MASS_PER_TURN, LB),
    ("cm3/rev", u.VOLUME_PER_TURN, Fraction(1, 10**6)),
    ("in3/rev", u.VOLUME_PER_TURN, IN**3),
    ("L", u.VOLUME, Fraction(1, 1000)),
    ("m3", u.VOLUME, Fraction(1)),
    ("ft³", u.VOLUME, FT**3),
    ("gal", u.VOLUME, GAL),
    ("us gal", u.VOLUME, GAL),
    ("imp gal", u.VOLUME, IMP_GAL),
    ("bu", u.VOLUME, Fraction("0.03523907016688")),
    ("us bu", u.VOLUME, Fraction("0.03523907016688")),
    ("imp bu", u.VOLUME, Fraction("0.03636872")),
    ("kg/m3", u.DENSITY, Fraction(1)),
    ("kg/L", u.DENSITY, Fraction(1000)),
    ("lb/ft3", u.DENSITY, LB / FT**3),
    ("lb/bu", u.DENSITY, LB / Fraction("0.03523907016688")),
    ("lb/imp bu", u.DENSITY, LB / Fraction("0.03636872")),
    ("lb/gal", u.DENSITY, LB / GAL),
    ("L/ha", u.VOLUME_PER_AREA, Fraction(1, 10**7)),
    ("gal/ac", u.VOLUME_PER_AREA, GAL / ACRE),
    ("imp gal/ac", u.VOLUME_PER_AREA, IMP_GAL / ACRE),
    ("L/min", u.LIQUID_FLOW, Fraction(1, 60_000)),
    ("gpm", u.LIQUID_FLOW, GAL / 60),
    ("m3/s", u.AIR_FLOW, Fraction(1)),
    ("cfm", u.AIR_FLOW, FT**3 / 60),
    ("kg/min", u.MASS_FLOW, Fraction(1, 60)),
    ("lb/min", u.MASS_FLOW, LB / 60),
    ("kg/h", u.MASS_FLOW, Fraction(1, 3600)),
    ("Pa", u.GAUGE_PRESSURE, Fraction(1)),
    ("kPa", u.ABSOLUTE_PRESSURE, Fraction(1000)),
    ("bar", u.GAUGE_PRESSURE, Fraction(100_000)),
    ("psi", u.GAUGE_PRESSURE, LB * Fraction("9.80665") / IN**2),
    ("inH2O", u.FAN_PRESSURE, Fraction("249.08891")),
    ("W", u.POWER, Fraction(1)),
    ("kW", u.POWER, Fraction(1000)),
    ("hp", u.POWER, 550 * FT * LB * Fraction("9.80665")),
    ("s", u.TIME, Fraction(1)),
    ("min", u.TIME, Fraction(60)),
    ("h", u.LONG_TIME, Fraction(3600)),
    ("%", u.SHARE, Fraction(1, 100)),
]


@pytest.mark.parametrize(("spelling", "kind", "size"), SPELT, ids=[s[0] for s in SPELT])
def test_each_unit_is_read_as_the_trade_writes_it(spelling: str, kind: Kind, size: Fraction) -> None:
    assert exact(f"2.5 {spelling}", kind) == Fraction(5, 2) * size
    assert exact(f"2.5{spelling}", kind) == Fraction(5, 2) * size


@pytest.mark.parametrize("spelling", ["C", "F"])
@pytest.mark.parametrize("prefix", ["deg", "°"])
def test_temperatures_have_a_zero_and_differences_none(spelling: str, prefix: str) -> None:
    """Freezing and boiling water, 0 and 100 °C, 32 and 212 °F: the definition of the scales."""
    low, high = ("0", "100") if spelling == "C" else ("32", "212")
    kelvin = [exact(f"{figure} {prefix}{spelling}", u.TEMPERATURE) for figure in (low, high)]
    assert kelvin == [Fraction("273.15"), Fraction("373.15")]
    difference = 100 if spelling == "C" else 180
    assert exact(f"{difference} {prefix}{spelling}", u.TEMPERATURE_DIFFERENCE) == 100


def test_an_angle_is_read_into_radians() -> None:
    assert math.isclose(parse("180 deg", u.ANGLE), math.pi, rel_tol=1e-15)
    assert parse("28°", u.ANGLE) == parse("28 deg", u.ANGLE)


REFUSED = [
    ("100", u.MASS_PER_AREA, "missing-unit", "“100 kg/ha”"),
    ("5 mph", u.MASS_PER_AREA, "wrong-kind", "is a measure of speed"),
    ("5 lb", u.MASS_PER_AREA, "wrong-kind", "kg/ha"),
    ("5 lb/acre", u.MASS_PER_AREA, "misspelt-unit", "did you mean “lb/ac”?"),
    ("5 LB/AC", u.MASS_PER_AREA, "misspelt-unit", "did you mean “lb/ac”?"),
    ("5 lb / ac", u.MASS_PER_AREA, "misspelt-unit", "did you mean “lb/ac”?"),
    ("5 furlongs", u.LENGTH, "unknown-unit", "write one of m, mm"),
    ("5 kg ha", u.MASS_PER_AREA, "misspelt-unit", "did you mean “kg/ha”?"),
    ("5 kg/ha 3", u.MASS_PER_AREA, "misspelt-unit", "kg/ha"),
    ("5-3 kg/ha", u.MASS_PER_AREA, "misspelt-unit", "kg/ha"),
    ("1,234 kg/ha", u.MASS_PER_AREA, "thousands-comma", "1.234"),
    ("nan kg/ha", u.MASS_PER_AREA, "not-a-number", "12.5 kg/ha"),
    ("", u.MASS_PER_AREA, "empty", "12.5 kg/ha"),
    ("10 rev", u.TURNS, "not-bare", "write 10"),
    ("0 rev", u.TURNS, "not-bare", "write 0"),
    ("500000000 rev", u.TURNS, "not-bare", "write 500\u2009000\u2009000"),
    ("2.50 x", u.RATIO, "not-bare", "write 2.5"),
    ("5²", u.COUNT, "not-bare", "write 5"),
    ("2.5", u.COUNT, "whole", "write it like 12"),
    ("1e-1", u.COUNT, "whole", "write it like 12"),
]


@pytest.mark.parametrize(("text", "kind", "code", "said"), REFUSED, ids=[r[0] for r in REFUSED])
def test_a_refusal_says_what_to_write(text: str, kind: Kind, code: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        exact(text, kind)
    [problem] = caught.value.problems
    assert (problem.field, problem.code) == ("", code)
    assert said in problem.text


def test_counts_and_turns_are_bare() -> None:
    assert exact("10", u.COUNT) == 10 and exact("10.0", u.COUNT) == 10 and exact("1e1", u.COUNT) == 10
    assert exact("10.25", u.TURNS) == Fraction(41, 4)
    assert exact("1.28", u.RATIO) == Fraction(32, 25)


@pytest.mark.parametrize("system", SYSTEMS)
def test_reading_does_not_depend_on_the_reader(system: str) -> None:
    for spelling, kind, size in SPELT:
        if spelling not in ("gal", "bu", "lb/bu", "lb/gal", "gal/ac"):
            assert exact(f"3 {spelling}", kind, Units(system)) == 3 * size


@pytest.mark.parametrize(
    ("text", "kind", "offered"),
    [
        ("5 gal", u.LIQUID_VOLUME, "write “us gal” or “imp gal”"),
        ("5 bu", u.VOLUME, "write “us bu” or “imp bu”"),
        ("5gal/ac", u.VOLUME_PER_AREA, "write “us gal/ac” or “imp gal/ac”"),
        ("60 lb/bu", u.DENSITY, "write “lb/us bu” or “lb/imp bu”"),
        ("11 lb/gal", u.DENSITY, "write “lb/us gal” or “kg/L”"),
    ],
)
def test_an_imperial_reader_is_asked_which_gallon(text: str, kind: Kind, offered: str) -> None:
    for units in (IMPERIAL, Units("metric", {"volume": "imperial"})):
        with pytest.raises(InputError) as caught:
            exact(text, kind, units)
        [problem] = caught.value.problems
        assert problem.code == "which-gallon" and offered in problem.text
    assert exact(text, kind, US) == exact(text, kind, METRIC)


def test_a_gallon_in_the_wrong_field_is_first_of_the_wrong_kind() -> None:
    with pytest.raises(InputError, match="is a measure of volume; this field takes mass"):
        exact("5 gal", u.MASS, IMPERIAL)


def test_named_gallons_and_bushels_are_always_understood() -> None:
    for units in (METRIC, US, IMPERIAL):
        assert exact("2 us gal", u.VOLUME, units) == 2 * GAL
        assert exact("2 imp gal", u.VOLUME, units) == 2 * IMP_GAL
        assert exact("2 us bu", u.VOLUME, units) == 2 * Fraction("0.03523907016688")


def test_units_offered_begin_with_the_readers_own() -> None:
    with pytest.raises(InputError, match="“5 mph”, “5 m/s” or “5 km/h”"):
        exact("5", u.SPEED, US)
    with pytest.raises(InputError, match="“5 km/h”, “5 m/s” or “5 mph”"):
        exact("5", u.SPEED, Units.read("us,speed=metric"))


# ---- showing

SHOWN = [  # plain conversions by hand from the factors above; our own invention
    (1.0, u.LENGTH, "1.000 m", "3.281 ft", "3.281 ft"),
    (0.0254, u.SHORT_LENGTH, "25.40 mm", "1.000 in", "1.000 in"),
    (0.0112085116, u.MASS_PER_AREA, "112.1 kg/ha", "100.0 lb/ac", "100.0 lb/ac"),
    (0.45359237, u.MASS_PER_TURN, "453.6 g/rev", "1.000 lb/rev", "1.000 lb/rev"),
    (2.2352, u.SPEED, "8.047 km/h", "5.000 mph", "5.000 mph"),
    (0.003785411784, u.LIQUID_VOLUME, "3.785 L", "1.000 gal", "0.8327 imp gal"),
    (3.636872, u.VOLUME, "3637 L", "103.2 bu", "100.0 imp bu"),
    (273.15, u.TEMPERATURE, "0 °C", "32.00 °F", "0 °C"),
    (233.15, u.TEMPERATURE, "−40.00 °C", "−40.00 °F", "−40.00 °C"),
    (10.0, u.TEMPERATURE_DIFFERENCE, "10.00 °C", "18.00 °F", "10.00 °C"),
    (25_000.0, u.MASS, "25\u2009000 kg", "55\u2009120 lb", "55\u2009120 lb"),
    (-0.0125, u.SHARE, "−1.250 %", "−1.250 %", "−1.250 %"),
    (0.0, u.SPEED, "0 km/h", "0 mph", "0 mph"),
    (1.0005, u.LENGTH, "1.001 m", "3.282 ft", "3.282 ft"),  # the float lies below 1.0005
    (2.0005, u.LENGTH, "2.001 m", "6.563 ft", "6.563 ft"),
]


@pytest.mark.parametrize(("value", "kind", "metric", "us", "imperial"), SHOWN)
def test_shown_in_each_system(value: float, kind: Kind, metric: str, us: str, imperial: str) -> None:
    assert [show(value, kind, units) for units in (METRIC, US, IMPERIAL)] == [metric, us, imperial]
    assert show(value, kind) == metric


def test_one_kind_may_be_shown_in_another_system() -> None:
    mixed = Units.read("us,speed=metric")
    assert show(2.0, u.SPEED, mixed) == "7.200 km/h"
    assert show(1.0, u.LENGTH, mixed) == "3.281 ft"
    assert str(mixed) == "us,speed=metric" and str(Units()) == "metric"
    assert str(Units.read("us,speed=metric,area=imperial")) == "us,speed=metric,area=imperial"


@pytest.mark.parametrize(
    "text",
    ["", "US", "si", "us,", "us,speed", "us,speed=", "us,sped=metric", "us,speed=si", "us speed=metric"],
)
def test_unknown_units_are_refused(text: str) -> None:
    with pytest.raises(InputError) as caught:
        Units.read(text)
    assert [(p.field, p.code) for p in caught.value.problems] == [("", "unknown-units")]


def test_counts_are_shown_bare_and_whole_ones_in_full() -> None:
    assert [show(v, u.COUNT) for v in (0, 7, 48, 12345, 1_234_567)] == [
        "0",
        "7",
        "48",
        "12\u2009345",
        "1\u2009234\u2009567",
    ]
    assert show_bare(10.25, u.TURNS) == "10.25" and show_bare(12.0, u.TURNS) == "12"
    assert show_bare(1.28, u.RATIO) == "1.280"


def test_a_value_in_a_unit_is_exact_after_settling() -> None:
    assert in_unit(3.762756, unit_named("length", "ft")) == Fraction("12.345")
    assert in_unit(0.1 + 0.2, unit_named("length", "m")) == Fraction(3, 10)


FIGURES = st.floats(min_value=1e-3, max_value=1e6).flatmap(lambda v: st.sampled_from([v, -v]))


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@settings(max_examples=examples(25))
@given(figure=FIGURES)
def test_every_shown_text_reads_back_to_itself(kind: Kind, system: str, figure: float) -> None:
    units = Units(system)
    unit = units.unit(kind)
    value = float(Fraction(figure) * unit.factor + unit.zero) if unit else figure
    shown = show(round(value) if kind is u.COUNT else value, kind, units)
    read = parse(shown, kind, units)
    again = show(read, kind, units)
    # A whole number of turns is shown in full, so 10.001 turns, shown as 10.00, come back as 10.
    assert again == (trimmed(shown) if kind is u.TURNS and read == int(read) else shown)
    coarse = 0.5 if kind is u.COUNT else 0.0
    assert math.isclose(read, value, rel_tol=5.1e-4, abs_tol=coarse)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("kind", [k for k in KINDS.values() if not k.bare], ids=lambda kind: kind.id)
@settings(max_examples=examples(15))
@given(figure=st.decimals(min_value=Decimal("0.01"), max_value=9999, places=4).filter(bool))
def test_a_typed_figure_is_shown_rounded_as_it_was_typed(kind: Kind, system: str, figure: Decimal) -> None:
    """Halves go away from zero on the decimal text, not on the float: `decimal` says what it should be."""
    unit = Units(system).unit(kind)
    assert unit is not None
    if kind is u.TEMPERATURE:  # ten digits of kelvin are seven decimals of a degree: no halves further down
        figure = figure.quantize(Decimal("0.01"), ROUND_HALF_UP)
    shown = show(parse(f"{figure} {unit.name}", kind), kind, Units(system))
    number = shown.removesuffix(unit.name).strip().replace("\u2009", "")
    assert Decimal(number) == Context(prec=4, rounding=ROUND_HALF_UP).plus(figure)


@given(FIGURES)
def test_what_leaves_is_settled_before_it_is_shown(value: float) -> None:
    assert show(value, u.LENGTH, US) == show(settle(value), u.LENGTH, US)


@pytest.mark.parametrize("degrees", range(-40, 121))
@pytest.mark.parametrize(("unit", "units"), [("°F", US), ("°C", METRIC)])
def test_whole_degrees_are_shown_as_such(degrees: int, unit: str, units: Units) -> None:
    """A temperature in kelvin to ten digits is one to a millionth of a degree, and so is 0 °F."""
    shown = show(parse(f"{degrees} {unit}", u.TEMPERATURE), u.TEMPERATURE, units)
    assert trimmed(shown.removesuffix(f" {unit}")) == str(degrees).replace("-", "−")
