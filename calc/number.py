"""Reading a number as people write it, strictly, and writing one back to a set number of digits."""

from __future__ import annotations

import functools
import re
from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from calc.errors import refuse

THIN_SPACE = "\u2009"
MINUS = "\u2212"
_GROUPS = "[\u2009\u202f]"
_NUMBER = re.compile(
    rf"(?P<sign>[+\-{MINUS}]?)"
    rf"(?P<whole>[0-9]{{1,3}}(?:{_GROUPS}[0-9]{{3}})+|[0-9]+)"
    r"(?:(?P<mark>[.,])(?P<part>[0-9]+))?"
    rf"(?:[eE](?P<power>[+\-{MINUS}]?[0-9]{{1,2}})(?![0-9]))?"
)
_FRACTIONS = "[¼½¾⅐-⅟↉]"
_LONGEST = 60
_WIDE = Context(prec=60)
_DECIMAL_TEXT_DIGITS = 9


def split_number(text: str, example: str) -> tuple[Fraction, str]:
    """The number that `text` starts with, exactly, and what follows it.

    Raises `InputError` (field "") with the way to write it, `example`, in its words.
    """
    text = text.strip()
    if not text:
        raise refuse("", "empty", example=example)
    if len(text) > _LONGEST:
        raise refuse("", "too-long", example=example)
    found = _NUMBER.match(text)
    if not found:
        if re.match(rf"[+\-{MINUS}]?[.,][0-9]", text):
            raise refuse("", "bare-mark", text=text, example=example)
        raise refuse("", _unread(text), text=text, example=example)
    _refuse_tail(text, text[found.end() :], example)
    whole = re.sub(_GROUPS, "", found["whole"])
    part = found["part"] or ""
    if found["mark"] == "," and len(part) == 3 and int(whole) != 0:
        raise refuse("", "thousands-comma", text=text, joined=whole + part, point=f"{whole}.{part}")
    value = Fraction(int(whole + part), 10 ** len(part))
    value *= Fraction(10) ** int((found["power"] or "0").replace(MINUS, "-"))
    return (value if found["sign"] in ("", "+") else -value), text[found.end() :].strip()


def _unread(text: str) -> str:
    """The code for a text that does not start with a number."""
    if re.match(rf"[+\-{MINUS}]?{_FRACTIONS}", text):
        return "fraction"
    foreign = any(c.isnumeric() and not "0" <= c <= "9" for c in text)
    return "digits" if foreign else "not-a-number"


def _refuse_tail(text: str, tail: str, example: str) -> None:
    """Refuse what shows that the number went on in a way that is not read."""
    if re.match(r"[.,][0-9]", tail):
        raise refuse("", "two-marks", text=text, example=example)
    if re.match(r"[.,](?![0-9])", tail):
        raise refuse("", "bare-mark", text=text, example=example)
    if re.match(r"\s+[0-9]", tail):
        raise refuse("", "inner-space", text=text, example=example)
    if re.match(r"\s*[/⁄]\s*[0-9]", tail) or re.match(rf"\s*{_FRACTIONS}", tail):
        raise refuse("", "fraction", text=text, example=example)
    if re.match(r"[_'’0-9]|[eE][+\-0-9]", tail):
        raise refuse("", "not-a-number", text=text, example=example)
    if tail[:1].isnumeric() and tail[:1] not in "²³":
        raise refuse("", "digits", text=text, example=example)


def settle(value: float, digits: int = 10) -> float:
    """`value` to 10 significant digits: what leaves `calc`, and what verdicts are decided on.

    Platforms differ in the last bit of `tan` or `acos`; ten digits hide that and lose nothing a meter shows.
    A zero loses its sign.
    """
    return float(f"{value:.{digits - 1}e}") + 0.0


def to_digits(value: Fraction, digits: int) -> str:
    """`value` to `digits` significant digits, halves away from zero on its decimal text.

    No exponent, trailing zeros kept, a minus sign `−`, thin spaces from 10 000.
    """
    read = _rounding(digits).plus(_decimal_text(value))
    return grouped(read, max(digits - 1 - read.adjusted(), 0) if read else 0)


def to_places(value: Fraction, places: int) -> str:
    """`value` to `places` decimals, rounded as `to_digits` rounds: to compare with a printed figure."""
    return grouped(_decimal_text(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _WIDE))


def as_decimal(value: Fraction) -> Decimal:
    """`value` as a decimal of at most sixty digits."""
    return _WIDE.divide(*map(Decimal, value.as_integer_ratio()))


def _decimal_text(value: Fraction) -> Decimal:
    return _rounding(_DECIMAL_TEXT_DIGITS).divide(*map(Decimal, value.as_integer_ratio()))


@functools.cache
def _rounding(digits: int) -> Context:
    return Context(prec=digits, rounding=ROUND_HALF_UP)


def trimmed(shown: str) -> str:
    """A shown number without the zeros that end its decimals."""
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def grouped(value: Decimal, places: int | None = None) -> str:
    """A decimal as readers see it: no exponent, `−`, and thin spaces between thousands from 10 000.

    It is written with `places` decimals if they are given: zeros are added, and nothing is to be rounded.
    """
    text = f"{value:f}" if places is None else f"{value:.{places}f}"
    whole, mark, part = text.lstrip("-").partition(".")
    if len(whole) >= 5:
        whole = f"{int(whole):,}".replace(",", THIN_SPACE)
    return f"{MINUS if value < 0 else ''}{whole}{mark}{part}"
