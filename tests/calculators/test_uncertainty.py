"""How a give or take is read and carried through: against GTC, and against the GUM's own example.

Sources: JCGM 100:2008 (GUM), 5.1.2 and 5.1.3, and its example H.1 (50 000 838 nm with u = 32 nm, as worked in
the documentation of GTC; its budget from memory); GTC, the uncertainty library of MSLNZ.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from GTC import component, uncertainty, ureal, value
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.declare import Found, say
from calc.errors import InputError
from calc.metering.rate import rate
from calc.quantity import Units
from calc.reading import read_given
from calc.reply import calculator_named, compact, respond
from calc.uncertainty import Carried, Measured, carry
from tests.calculators.many import examples

GOOD = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}
TRUE = {"course": "100 m", "time": "40 s", "shown_speed": "9 km/h"}


def reply(calculator: str, units: str = "metric", **given_: Any) -> dict[str, Any]:
    return respond(compact({"calculator": calculator, "given": given_, "units": units}))


def carried_of(found: Carried | None) -> Carried:
    assert found is not None
    return found


# --- carried through ---


def end_gauge(ls: float, d: float, alpha: float, theta: float, d_alpha: float, d_theta: float) -> Found:
    """GUM H.1.2: the length of an end gauge compared with a standard, in nm."""
    return Found({"length": ls + d - ls * (d_alpha * theta + alpha * d_theta)})


def test_the_end_gauge_of_the_gum() -> None:
    """H.1: 50 000 838 nm with a standard uncertainty of 32 nm."""
    values = {
        "ls": Measured(50_000_623.0, 25.0),
        "d": Measured(215.0, 9.7),
        "alpha": Measured(11.5e-6, 1.2e-6),
        "theta": Measured(-0.1, 0.41),
        "d_alpha": Measured(0.0, 0.58e-6),
        "d_theta": Measured(0.0, 0.029),
    }
    found = end_gauge(**values)
    carried = carried_of(carry(end_gauge, values, found))
    assert f"{found.values['length']:.0f}" == "50000838"
    assert f"{carried.half_width('length'):.0f}" == "32"
    parts = carried.parts["length"]
    assert parts is not None
    # H.1.4: the parts in nm; those of the expansion and of the temperature are nothing to first order.
    assert {name: f"{abs(part):.1f}" for name, part in parts.items()} == {
        "ls": "25.0",
        "d": "9.7",
        "alpha": "0.0",
        "theta": "0.0",
        "d_alpha": "2.9",
        "d_theta": "16.7",
    }


SIZES = {"width": (2.0, 50.0), "rate": (0.002, 0.06), "speed": (1.0, 8.0), "mass_per_turn": (0.02, 5.0)}


@settings(max_examples=examples(100))
@given(
    st.fixed_dictionaries({name: st.floats(low, high) for name, (low, high) in SIZES.items()}),
    st.fixed_dictionaries({name: st.floats(1e-6, 1e-4) for name in SIZES}),
)
def test_agrees_with_gtc(figures: dict[str, float], shares: dict[str, float]) -> None:
    """A product and quotient of four measured figures; the next order is below the square of a share."""
    measured = {name: Measured(x, shares[name] * x) for name, x in figures.items()}
    carried = carried_of(carry(rate, measured, rate(**measured)))
    real = {name: ureal(x, shares[name] * x) for name, x in figures.items()}
    turning = real["rate"] * real["width"] * real["speed"] / real["mass_per_turn"]
    assert math.isclose(value(turning), rate(**figures).values["meter_speed"], rel_tol=1e-12)
    assert math.isclose(carried.half_width("meter_speed") or 0, uncertainty(turning), rel_tol=1e-6)
    parts = carried.parts["meter_speed"]
    assert parts is not None
    for name, one in real.items():
        assert math.isclose(abs(parts[name]), component(turning, one), rel_tol=1e-6)


@given(st.lists(st.tuples(st.floats(1, 100), st.floats(0.001, 0.5)), min_size=1, max_size=8))
def test_a_sum_is_exact_at_any_width(terms: list[tuple[float, float]]) -> None:
    """GUM 5.1.2: of a sum it is the root of the sum of the squares."""
    names = [f"x{number}" for number in range(len(terms))]
    values = {name: Measured(x, give) for name, (x, give) in zip(names, terms, strict=True)}

    def added(**given_: float) -> Found:
        return Found({"sum": math.fsum(given_.values())})

    carried = carried_of(carry(added, values, added(**values)))
    assert math.isclose(
        carried.half_width("sum") or 0, math.sqrt(math.fsum(g * g for _, g in terms)), rel_tol=1e-9
    )


def test_without_any_nothing_is_carried() -> None:
    assert carry(end_gauge, dict.fromkeys("abc", 1.0), Found({"length": 1.0})) is None
    assert not [key for key in reply("rate", **GOOD)["results"].values() if key and "give_or_take" in key]


def limited(x: float) -> Found:
    return Found(
        {
            "root": math.sqrt(x - 1) if x >= 1 else None,
            "count": int(x),
            "verdict": say("high" if x > 2 else "low"),
        }
    )


def test_what_may_be_lost_or_come_out_otherwise_is_told() -> None:
    sure = carried_of(carry(limited, {"x": Measured(5.0, 0.5)}, limited(5.0)))
    assert (sure.unsure, set(sure.parts)) == ([], {"root"})  # a count is whole
    unsure = carried_of(carry(limited, {"x": Measured(1.9, 0.5)}, limited(1.9)))
    assert unsure.unsure == ["verdict"]
    lost = carried_of(carry(limited, {"x": Measured(1.2, 0.5)}, limited(1.2)))
    assert lost.parts == {"root": None}
    assert lost.half_width("root") is None
    assert lost.largest("root") is None


def test_a_figure_that_cannot_be_moved_so_far_is_named() -> None:
    def inverse(x: float) -> Found:
        return Found({"y": 1 / x})

    with pytest.raises(InputError) as refused:
        carry(inverse, {"x": Measured(1.0, 1.0)}, inverse(1.0))
    assert [(p.field, p.code) for p in refused.value.problems] == [("x", "give-too-wide")]


# --- read ---


@pytest.mark.parametrize("mark", [" ± ", "±", " +- ", "+/-", " +/− "])
@pytest.mark.parametrize(
    ("give", "half_width"), [("2 in", 0.0508), ("1 %", 0.12192), ("5 cm", 0.05), ("0 m", 0)]
)
def test_a_give_or_take_is_read_in_any_unit_or_as_a_share(mark: str, give: str, half_width: float) -> None:
    values = read_given(calculator_named("rate"), {**GOOD, "width": f"40 ft{mark}{give}"}, Units())
    width = values["width"]
    assert isinstance(width, Measured)
    assert (float(width), width.give_or_take) == (12.192, pytest.approx(half_width, rel=1e-15))


@pytest.mark.parametrize(
    ("width", "code"),
    [
        ("40 ft ± 2", "give-unread"),
        ("40 ft ± ", "give-unread"),
        ("40 ft ± 2 lb", "give-unread"),
        ("40 ft ± -2 in", "give-unread"),
        ("± 2 in", "give-alone"),
        ("40 ± 2 ft", "missing-unit"),
        ("40 ft ± 1 in ± 1 in", "give-unread"),
        ("40 ft ± 40 ft", "give-too-wide"),
        ("40 ft ± 400 %", "give-too-wide"),
    ],
)
def test_each_mistake_is_told_on_its_field(width: str, code: str) -> None:
    [error] = reply("rate", **{**GOOD, "width": width})["errors"]
    assert (error["field"], error["code"]) == ("width", code)


def test_what_is_not_measured_takes_none() -> None:
    [error] = reply("rate", **{**GOOD, "runs": "48 ± 1"})["errors"]
    assert (error["field"], error["code"]) == ("runs", "give-not-here")


# --- said ---


def test_a_reply_says_how_far_each_result_may_be_off_and_why() -> None:
    """Hand arithmetic: 1 % and 2 % make √5 % of 40.40 rpm, 0.9034 rpm; 4/5 of the squares are the speed's."""
    made = reply("rate", "us", **{**GOOD, "width": "40 ft ± 1 %", "speed": "5 mph ± 2 %"})
    assert made["used"]["width"]["give_or_take"]["shown"] == "0.40 ft"
    assert made["results"]["meter_speed"]["give_or_take"]["shown"] == "0.90 rpm"
    assert made["results"]["area_per_turn"]["give_or_take"]["si"] == 0
    note = next(one for one in made["notes"] if one["code"] == "give-or-take")
    assert note["text"].endswith("For “Meter speed” most of it comes from “Ground speed”: 80.00 %.")


def test_rows_too() -> None:
    catches = [{"turns": "20", "gross": "10 kg ± 100 g"}, {"turns": "20", "gross": "10 kg"}]
    made = reply("calibration", catches=catches)
    assert made["ok"], made
    assert made["results"]["mass_per_turn"]["give_or_take"]["shown"] == "2.5 g/rev"
    note = next(one for one in made["notes"] if one["code"] == "give-or-take")
    assert "of catch 1" in note["text"]


def test_a_temperature_takes_a_difference() -> None:
    given_ = {"nitrogen_rate": "100 lb/ac", "width": "40 ft", "speed": "5 mph", "tank_volume": "1000 gal"}
    made = reply("ammonia", "us", temperature="20 °C ± 1 °C", **given_)
    assert made["ok"], made
    assert made["used"]["temperature"]["give_or_take"]["si"] == 1.0
    assert made["used"]["temperature"]["give_or_take"]["shown"] == "1.8 °F"
