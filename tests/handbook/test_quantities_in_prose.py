"""Quantities in prose: kept as written for readers of that system, converted for the others, shown by CSS.

Sources: `pint` for the conversions, with the acre of the international foot (NIST Handbook 44, Appendix C;
that of pint is of the US survey foot), rounded by `decimal`.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import InputError
from calc.units import DIMENSIONS, KINDS, SYSTEMS
from handbook.quantities import (
    by_systems,
    in_system,
    kind_of,
    limit_html,
    quantity_html,
    units_css,
    variants_html,
)

REGISTRY = pint.UnitRegistry(non_int_type=Fraction)
REGISTRY.define("field_acre = 43560 * foot**2")
ATOMS = {
    "kg": "kilogram",
    "g": "gram",
    "t": "metric_ton",
    "lb": "pound",
    "oz": "ounce",
    "ton": "US_ton",
    "ha": "hectare",
    "ac": "field_acre",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "km": "kilometer",
    "in": "inch",
    "ft": "foot",
    "mile": "mile",
    "mph": "mile/hour",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "rpm": "1/minute",
    "rev": "1",
    "seeds": "1",
    "plants": "1",
    "L": "liter",
    "gal": "gallon",
    "imp gal": "imperial_gallon",
    "bu": "US_dry_gallon*8",
    "imp bu": "imperial_bushel",
    "gpm": "gallon/minute",
    "cfm": "foot**3/minute",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "bar": "bar",
    "psi": "psi",
    "inH2O": "inch*kilogram/meter**3*1000*standard_gravity",
    "W": "watt",
    "kW": "kilowatt",
    "hp": "550*foot*pound*standard_gravity/second",
    "%": "0.01",
    "deg": "degree",
}
POWERS = {"²": 2, "³": 3}


def in_pint(unit: str) -> pint.Quantity:
    """One of our units in pint's terms."""
    above, _, below = unit.partition("/")
    size = REGISTRY.Quantity(Fraction(1))
    for name, sign in ((above, 1), (below, -1)):
        if name:
            power = POWERS.get(name[-1], 1)
            size *= REGISTRY.parse_expression(ATOMS[name.rstrip("²³")]) ** (power * sign)
    return size


def converted(number: str, unit: str, shown: str) -> Fraction:
    if unit in ("°C", "°F"):
        names = {"°C": "degC", "°F": "degF"}
        return REGISTRY.Quantity(Fraction(number), names[unit]).to(names[shown]).magnitude
    ratio = (in_pint(unit) / in_pint(shown)).to_base_units()
    assert ratio.dimensionless
    return Fraction(number) * Fraction(ratio.magnitude)


def rounded(value: Fraction, digits: int) -> Decimal:
    wide = Context(prec=60).divide(Decimal(value.numerator), Decimal(value.denominator))
    return Context(prec=digits, rounding=ROUND_HALF_UP).plus(wide)


def figure(shown: str) -> tuple[Decimal, str]:
    number, _, unit = shown.partition(" ")
    return Decimal(number.replace("−", "-").replace("\u2009", "")), unit


# What is written, and what readers of metric, US and imperial measures see.
EXAMPLES = [
    ("5 mph", "8.05 km/h", "5 mph", "5 mph"),
    ("8 km/h", "8 km/h", "4.97 mph", "4.97 mph"),
    ("120 lb/ac", "135 kg/ha", "120 lb/ac", "120 lb/ac"),
    (
        "28.10 lb/ac",
        "31.5 kg/ha",
        "28.10 lb/ac",
        "28.10 lb/ac",
    ),  # 31.495…, four digits, and no zero at its end
    ("62.70 lb/ac", "70.28 kg/ha", "62.70 lb/ac", "62.70 lb/ac"),
    ("60 ft", "18.3 m", "60 ft", "60 ft"),
    ("10 in", "254 mm", "10 in", "10 in"),
    ("12,5 kg", "12,5 kg", "27.6 lb", "27.6 lb"),
    ("160 ac", "64.7 ha", "160 ac", "160 ac"),
    ("36.36 ac/h", "14.71 ha/h", "36.36 ac/h", "36.36 ac/h"),
    ("5 gal", "18.9 L", "5 gal", "4.16 imp gal"),
    ("5 us gal", "18.9 L", "5 gal", "4.16 imp gal"),
    ("5 imp gal", "22.7 L", "6 gal", "5 imp gal"),
    ("10 bu", "352 L", "10 bu", "9.69 imp bu"),
    ("60 lb/bu", "772 kg/m³", "60 lb/bu", "48.2 lb/ft³"),
    ("10 gal/ac", "93.5 L/ha", "10 gal/ac", "8.33 imp gal/ac"),
    ("30 psi", "207 kPa", "30 psi", "30 psi"),
    ("20 °C", "20 °C", "68 °F", "20 °C"),
    ("50 °F", "10 °C", "50 °F", "10 °C"),
    ("-40 °F", "−40 °C", "−40 °F", "−40 °C"),
    ("0 mph", "0 km/h", "0 mph", "0 mph"),
    ("12 m2", "12 m²", "129 ft²", "129 ft²"),
    ("100000 lb", "45\u2009400 kg", "100000 lb", "100000 lb"),
    # measures of no system are everyone's
    ("40 rpm", "40 rpm", "40 rpm", "40 rpm"),
    ("2 rev/s", "2 rev/s", "2 rev/s", "2 rev/s"),
    ("10 min", "10 min", "10 min", "10 min"),
    ("90 s", "90 s", "90 s", "90 s"),
    ("3 h", "3 h", "3 h", "3 h"),
    ("-3 %", "−3 %", "−3 %", "−3 %"),
    ("30 deg", "30 deg", "30 deg", "30 deg"),
    ("25 m/s", "25 m/s", "4920 ft/min", "4920 ft/min"),
    ("15 ft/s", "4.57 m/s", "15 ft/s", "15 ft/s"),
]


@pytest.mark.parametrize(("written", "metric", "us", "imperial"), EXAMPLES, ids=[e[0] for e in EXAMPLES])
def test_each_reader_sees_their_own_units(written: str, metric: str, us: str, imperial: str) -> None:
    assert [in_system(written, system) for system in SYSTEMS] == [metric, us, imperial]


# A kind in every unit it may be written in, to the unit of every other system.
PAIRS = [
    (unit.name, system)
    for dimension, units in DIMENSIONS.items()
    for unit in units
    for system in SYSTEMS
    if dimension != "temperature difference" and figure(in_system(f"7 {unit.name}", system))[1] != unit.name
]


def test_every_dimension_of_two_systems_is_converted() -> None:
    seen = {kind_of(f"7 {unit}")[0].dimension for unit, _ in PAIRS}
    of_two = {k.dimension for k in KINDS.values() if len(set(k.shown)) > 1} - {"temperature difference"}
    assert seen == of_two


@pytest.mark.parametrize(("unit", "system"), PAIRS, ids=[f"{unit}-{system}" for unit, system in PAIRS])
@pytest.mark.parametrize("number", ["7", "0.25", "36.36", "1250", "98765", "-12.345"])
def test_a_conversion_is_that_of_pint_to_its_printed_digits(unit: str, system: str, number: str) -> None:
    shown, name = figure(in_system(f"{number} {unit}", system))
    digits = max(3, len(re.sub("[-.]", "", number).lstrip("0").rstrip("" if "." in number else "0")))
    assert shown == rounded(converted(number, unit, name), digits)


@given(
    st.decimals(min_value=-99_999, max_value=99_999, places=3),
    st.sampled_from(["lb/ac", "mph", "°F", "gal", "ft"]),
)
def test_any_figure_is_within_half_of_its_last_printed_digit(number: Decimal, unit: str) -> None:
    written = f"{number:f}"
    shown, name = figure(in_system(f"{written} {unit}", "metric"))
    exact = converted(written, unit, name)
    digits = max(3, len(written.replace("-", "").replace(".", "").lstrip("0")))
    unit_of_last = Fraction(10) ** (rounded(exact, digits).adjusted() - digits + 1)
    # Rounded first to nine digits, as every figure is: half a unit, and a hair for that.
    assert abs(Fraction(shown) - exact) <= unit_of_last * (Fraction(1, 2) + Fraction(1, 1000))


# --- as HTML ---


def test_variants_that_read_alike_are_one() -> None:
    assert by_systems("5 mph") == {"8.05 km/h": ["metric"], "5 mph": ["us", "imperial"]}
    assert by_systems("5 gal") == {"18.9 L": ["metric"], "5 gal": ["us"], "4.16 imp gal": ["imperial"]}
    assert by_systems("40 rpm") == {"40 rpm": ["metric", "us", "imperial"]}


def test_one_variant_needs_no_choice() -> None:
    assert quantity_html("-3 %") == "−3 %"
    assert variants_html({"a": ["metric", "us", "imperial"]}, "speed") == "a"


def test_variants_are_marked_with_their_systems_and_kind() -> None:
    assert quantity_html("5 mph") == (
        '<span class="q" data-kind="speed"><span class="q-metric">8.05 km/h</span>'
        '<span class="q-us q-imperial">5 mph</span></span>'
    )


def test_a_limit_may_be_a_bare_count() -> None:
    assert limit_html("3") == "3"
    assert limit_html("5 mph") == quantity_html("5 mph")


@pytest.mark.parametrize("text", ["", "mph", "5", "5 puddings", "1,234 kg", "5 <b>", "5 mph 6"])
def test_what_is_no_quantity_is_refused_with_words(text: str) -> None:
    with pytest.raises(InputError) as refused:
        quantity_html(text)
    assert str(refused.value)
    assert "{" not in str(refused.value).replace("{.q}", "")


# --- the rules of CSS ---


def test_there_is_a_rule_for_every_kind_that_can_be_chosen() -> None:
    ruled = set(re.findall(r"data-u-(\w+)=", units_css("us")))
    assert ruled == {kind.id for kind in KINDS.values() if len(set(kind.shown)) > 1}
