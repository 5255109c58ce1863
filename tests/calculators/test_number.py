"""Reading a number as people write it, strictly, and writing one to a set number of digits."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import InputError
from calc.number import grouped, settle, split_number, to_digits, to_places, trimmed

THIN, NARROW, MINUS = "\u2009", "\u202f", "\u2212"

READ = [  # what is written, its exact value, what is left over as a unit
    ("12", Fraction(12), ""),
    ("+12", Fraction(12), ""),
    ("-12", Fraction(-12), ""),
    (f"{MINUS}12", Fraction(-12), ""),
    ("007", Fraction(7), ""),
    ("12.5 kg", Fraction(25, 2), "kg"),
    ("12,5 kg", Fraction(25, 2), "kg"),
    ("12.5kg", Fraction(25, 2), "kg"),
    ("  12.5   kg  ", Fraction(25, 2), "kg"),
    ("12.5\u00a0kg", Fraction(25, 2), "kg"),
    (f"12.5{THIN}kg", Fraction(25, 2), "kg"),
    ("0,125 lb", Fraction(1, 8), "lb"),
    ("-0,125 lb", Fraction(-1, 8), "lb"),
    ("1,2345 lb", Fraction(12345, 10000), "lb"),
    ("1,23 lb", Fraction(123, 100), "lb"),
    ("1.234 lb", Fraction(1234, 1000), "lb"),
    ("0.1 lb", Fraction(1, 10), "lb"),  # exactly a tenth, which no float is
    ("5e3", Fraction(5000), ""),
    ("5E3 m", Fraction(5000), "m"),
    ("5e+03m", Fraction(5000), "m"),
    ("5e-3 m", Fraction(5, 1000), "m"),
    (f"5e{MINUS}3 m", Fraction(5, 1000), "m"),
    ("1,5e2 m", Fraction(150), "m"),
    (f"12{THIN}345", Fraction(12345), ""),
    (f"12{NARROW}345", Fraction(12345), ""),
    (f"1{THIN}234{THIN}567.5 kg", Fraction(12345675, 10), "kg"),
    ("5%", Fraction(5), "%"),
    ("5 m²", Fraction(5), "m²"),
    ("5m2", Fraction(5), "m2"),
]

REFUSED = [
    ("", "empty"),
    ("   ", "empty"),
    ("nan", "not-a-number"),
    ("NaN", "not-a-number"),
    ("inf", "not-a-number"),
    ("-inf", "not-a-number"),
    ("Infinity", "not-a-number"),
    ("ten kg", "not-a-number"),
    ("kg 10", "not-a-number"),
    ("--5", "not-a-number"),
    ("+-5", "not-a-number"),
    ("- 5", "not-a-number"),
    ("$5", "not-a-number"),
    ("1_000", "not-a-number"),
    ("1'000", "not-a-number"),
    ("1’000", "not-a-number"),
    ("1e123", "not-a-number"),  # the exponent is one or two digits
    ("1e+123", "not-a-number"),
    ("1,234", "thousands-comma"),
    ("-1,234", "thousands-comma"),
    ("12,345 kg", "thousands-comma"),
    ("1,234e2", "thousands-comma"),
    (f"12{THIN}345,678 kg", "thousands-comma"),
    ("1,234.5", "two-marks"),
    ("1.234,5", "two-marks"),
    ("1.2.3", "two-marks"),
    ("1,234,567", "two-marks"),
    (".5", "bare-mark"),
    (",5 kg", "bare-mark"),
    ("-.5", "bare-mark"),
    ("5.", "bare-mark"),
    ("5. kg", "bare-mark"),
    ("1 234", "inner-space"),
    ("1\u00a0234 kg", "inner-space"),
    (f"1{THIN}23", "inner-space"),  # a thin space only between groups of three
    ("12 000.5 kg", "inner-space"),
    ("1/2", "fraction"),
    ("1 / 2 kg", "fraction"),
    ("1⁄2", "fraction"),
    ("½", "fraction"),
    ("-½ kg", "fraction"),
    ("1½", "fraction"),
    ("1 ½ kg", "fraction"),
    ("⅛ kg", "fraction"),
    ("٣٤", "digits"),  # Arabic-Indic
    ("3٤", "digits"),
    ("１２", "digits"),  # full width
    ("१२", "digits"),  # Devanagari
    ("Ⅷ", "digits"),
    ("5₂", "digits"),
    ("1.٣", "bare-mark"),
    ("1" * 61, "too-long"),
]


@pytest.mark.parametrize(("text", "value", "rest"), READ)
def test_reads_exactly_what_is_written(text: str, value: Fraction, rest: str) -> None:
    assert split_number(text, "12.5 kg") == (value, rest)


@pytest.mark.parametrize(("text", "code"), REFUSED)
def test_refuses_what_could_be_meant_otherwise(text: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        split_number(text, "12.5 kg")
    [problem] = caught.value.problems
    assert (problem.field, problem.code) == ("", code)
    if code != "thousands-comma":
        assert "12.5 kg" in problem.text  # says how to write it


def test_a_thousands_comma_is_answered_with_both_readings() -> None:
    with pytest.raises(InputError, match=r"“1,234 kg” could mean 1234 or 1\.234"):
        split_number("1,234 kg", "12.5 kg")


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        value, rest = split_number(text, "12.5 kg")
    except InputError as error:
        assert error.problems[0].text
    else:
        # Whatever is accepted, the standard library's own decimal reading agrees on.
        head = text.strip().removesuffix(rest).strip()
        for groups in (THIN, NARROW):
            head = head.replace(groups, "")
        assert value == Fraction(Decimal(head.replace(",", ".").replace(MINUS, "-")))


@given(st.decimals(min_value=-(10**9), max_value=10**9, places=4))
def test_reads_any_decimal_with_point_or_comma(number: Decimal) -> None:
    text = f"{number:f}"
    assert split_number(text, "")[0] == Fraction(number)
    assert split_number(text.replace(".", ",").replace("-", MINUS), "")[0] == Fraction(number)


# Expected figures below: plain rounding by hand, halves away from zero. Our own invention.
SHOWN = [
    ("0", "0"),
    ("1", "1.000"),
    ("12.5", "12.50"),
    ("1.0005", "1.001"),
    ("1.00049", "1.000"),
    ("-1.0005", f"{MINUS}1.001"),
    ("2.0005", "2.001"),  # an even-rounding display would say 2.000
    ("12.345", "12.35"),
    ("0.00012345", "0.0001235"),
    ("0.00000001", "0.00000001000"),
    ("999.95", "1000"),  # one digit fewer behind the point, not 1000.0
    ("999.94", "999.9"),
    ("9.9996", "10.00"),
    ("9999", "9999"),
    ("9999.5", f"10{THIN}000"),
    ("10000", f"10{THIN}000"),
    ("12345", f"12{THIN}350"),
    ("-12344", f"{MINUS}12{THIN}340"),
    ("1234567", f"1{THIN}235{THIN}000"),
    ("-0.00004", f"{MINUS}0.00004000"),
]


@pytest.mark.parametrize(("value", "shown"), SHOWN)
def test_shows_four_digits(value: str, shown: str) -> None:
    assert to_digits(Fraction(value), 4) == shown


def test_digits_may_be_other_than_four() -> None:
    assert [to_digits(Fraction("2.5"), n) for n in (1, 2, 3)] == ["3", "2.5", "2.50"]


@given(
    st.decimals(min_value=-(10**7), max_value=10**7, places=5).filter(bool),
    st.integers(min_value=1, max_value=8),
)
def test_shown_digits_are_those_of_decimal(number: Decimal, digits: int) -> None:
    """Reference: the standard library's `decimal`, ROUND_HALF_UP, on the nine digits and then on fewer."""
    nine = Context(prec=9, rounding=ROUND_HALF_UP).plus(number)
    expected = Context(prec=digits, rounding=ROUND_HALF_UP).plus(nine)
    shown = to_digits(Fraction(number), digits)
    assert Decimal(shown.replace(THIN, "").replace(MINUS, "-")) == expected
    assert "e" not in shown.lower()
    written = shown.replace(THIN, "").lstrip(MINUS).replace(".", "").lstrip("0")
    assert len(written) >= digits  # trailing zeros are kept
    assert len(written) == digits or "." not in shown  # and no more than the digits behind a point


def test_places_round_halves_away_from_zero() -> None:
    written = [("2.345", 2), ("-2.345", 2), ("2.5", 0), ("12345.678", 1), ("0.004", 2)]
    shown = [to_places(Fraction(text), places) for text, places in written]
    assert shown == ["2.35", f"{MINUS}2.35", "3", f"12{THIN}345.7", "0.00"]


def test_thousands_are_grouped_from_ten_thousand() -> None:
    assert grouped(Decimal("9999.5")) == "9999.5"
    assert grouped(Decimal("-1234567.25")) == f"{MINUS}1{THIN}234{THIN}567.25"
    assert grouped(Decimal("1E+5")) == f"100{THIN}000"


def test_trimming_takes_zeros_of_the_decimals_only() -> None:
    texts = ["10.5000", "10.0000", f"100{THIN}000", "0", "0.0"]
    assert [trimmed(text) for text in texts] == ["10.5", "10", f"100{THIN}000", "0", "0"]


def test_settling_keeps_ten_digits() -> None:
    assert settle(1.23456789012345) == 1.23456789
    assert settle(2 / 3) == 0.6666666667
    assert settle(123456789012.0) == 123456789000.0
    assert settle(0.1 + 0.2) == 0.3


def test_settling_takes_the_sign_from_zero() -> None:
    assert str(settle(-0.0)) == "0.0"


@given(st.floats(min_value=-1e30, max_value=1e30))
def test_settling_twice_changes_nothing_and_once_very_little(value: float) -> None:
    once = settle(value)
    assert settle(once) == once
    assert abs(once - value) <= 5.0001e-10 * abs(value)


@given(st.floats(min_value=1e-6, max_value=1e6))
def test_settling_hides_a_last_bit(value: float) -> None:
    """The two neighbors of a ten-digit number settle on it: platforms may differ by a bit."""
    rounded = settle(value)
    assert settle(math.nextafter(rounded, math.inf)) == rounded
    assert settle(math.nextafter(rounded, -math.inf)) == rounded
