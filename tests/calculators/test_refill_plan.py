"""`refill-plan` against a field driven pass by pass, `shapely`, `numpy` and `pint`, and what must hold."""

from __future__ import annotations

import math
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from calc.declare import Found, Say
from calc.quantity import Amount
from calc.reply import compact, respond
from calc.tanks.refill_cases import EXAMPLE, MILE, tank
from calc.tanks.refill_plan import refill_plan
from calc.tanks.refill_sums import Tank
from calc.units import MASS, SHARE
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

many = settings(max_examples=examples(100))
CLOSE = 1e-9  # far wider than rounding, far narrower than what is drawn at random


@st.composite
def some_tanks(draw: st.DrawFn) -> list[Tank]:
    return [
        Tank(f"Tank {number}", draw(st.floats(200, 12000)), draw(st.floats(0.0005, 0.04)))
        for number in range(1, 1 + draw(st.integers(1, 5)))
    ]


RESERVES = st.one_of(
    st.floats(0, 150).map(lambda mass: Amount(mass, MASS)),
    st.floats(0, 0.6).map(lambda share: Amount(share, SHARE)),
)
WIDTHS, LENGTHS, FIELDS = st.floats(3, 25), st.floats(150, 3000), st.floats(2e4, 5e5)
OVERLAPS = st.one_of(st.just(0.0), st.floats(0, 0.2))
NOTHING = Amount(0.0, MASS)


def work_out(
    tanks: list[Tank],
    width: float = 12.0,
    length: float | None = None,
    field: float | None = None,
    reserve: Amount = NOTHING,
    ends: str = "both",
    overlap: float = 0.0,
) -> Found:
    return refill_plan(
        tanks=tanks,
        width=width,
        pass_length=length,
        field_area=field,
        reserve=reserve,
        ends=ends,
        overlap=overlap,
    )


def kept_of(tank: Tank, reserve: Amount) -> float:
    return reserve.value * tank.mass if reserve.kind is SHARE else reserve.value


def ask(given_: dict[str, Any], units: str = "metric") -> dict[str, Any]:
    return respond(compact({"calculator": "refill-plan", "given": given_, "units": units}))


def errors(given_: dict[str, Any]) -> list[tuple[str, str]]:
    made = ask(given_)
    assert not made["ok"]
    return [(e["field"], e["code"]) for e in made["errors"]]


def code(value: Any) -> str:
    assert isinstance(value, Say)
    return value.code


def notes(found: Found) -> list[str]:
    return [note.code for note in found.notes]


# Against a field that is driven


class Drive:
    """A machine that is driven pass by pass: the question itself, with nothing worked out beforehand."""

    def __init__(self, tanks: list[Tank], width: float, length: float, reserve: Amount) -> None:
        self.tanks, self.reserve = tanks, reserve
        self.a_pass = [tank.rate * width * length for tank in tanks]
        self.floor = [kept_of(tank, reserve) for tank in tanks]
        self.fill()

    def fill(self) -> None:
        self.holds = [tank.mass for tank in self.tanks]

    def can(self, passes: int) -> bool:
        return all(
            held - passes * taken >= floor - CLOSE * tank.mass
            for held, taken, floor, tank in zip(self.holds, self.a_pass, self.floor, self.tanks, strict=True)
        )

    def go(self, passes: int) -> None:
        self.holds = [held - passes * taken for held, taken in zip(self.holds, self.a_pass, strict=True)]

    def field(self, passes: int, leg: int, shorter_at_the_end: bool) -> int | None:
        """Fills until so many passes are done, with a stop wherever the next leg cannot be gone whole."""
        self.fill()
        fills, done = 1, 0
        while done < passes:
            next_leg = min(leg, passes - done) if shorter_at_the_end else leg
            if not self.can(next_leg):
                fills += 1
                self.fill()
                if not self.can(next_leg):
                    return None
            self.go(next_leg)
            done += next_leg
        return fills


@many
@given(some_tanks(), WIDTHS, LENGTHS, FIELDS, RESERVES, st.sampled_from(["both", "one"]), OVERLAPS)
def test_a_field_driven_pass_by_pass(
    tanks: list[Tank],
    width: float,
    length: float,
    field: float,
    reserve: Amount,
    ends: str,
    overlap: float,
) -> None:
    assume(all(kept_of(tank, reserve) < 0.99 * tank.mass for tank in tanks))
    found = work_out(tanks, width, length, field, reserve, ends, overlap)
    made, leg = found.values, 2 if ends == "one" else 1
    drive = Drive(tanks, width, length, reserve)
    done = 0
    while drive.can(leg):
        drive.go(leg)
        done += leg
    assert made["passes_per_fill"] == done
    passes, ground = 0, 0.0
    while ground < field * (1 - CLOSE):  # each pass gains so much, until the field is done
        passes, ground = passes + 1, ground + width * (1 - overlap) * length
    assert made["field_passes"] == passes
    assert made["fills"] == drive.field(passes, leg, shorter_at_the_end=False)
    if done and made["fills"] != 1:
        left = [row[3] for row in found.tables["tanks"]]  # type: ignore[union-attr]
        drive.fill()
        drive.go(done)
        assert left == pytest.approx(drive.holds, rel=1e-9, abs=1e-6)
    fewer = drive.field(passes, leg, shorter_at_the_end=True)
    told = [note.parts["fills"] for note in found.notes if note.code == "end-away"]
    assert told == ([fewer] if fewer != made["fills"] else [])


@many
@given(some_tanks(), WIDTHS, LENGTHS, RESERVES)
def test_where_it_ends_against_numpy(tanks: list[Tank], width: float, length: float, reserve: Amount) -> None:
    # numpy: what each tank holds at 20 000 places along the way, and the first place where one has no more
    assume(all(kept_of(tank, reserve) < 0.99 * tank.mass for tank in tanks))
    found = work_out(tanks, width, length, reserve=reserve)
    lasts = found.values["lasts"]
    assert isinstance(lasts, float)
    way = np.linspace(0, 1.5 * lasts * length, 20001)
    spent = np.array([tank.mass - tank.rate * width * way < kept_of(tank, reserve) for tank in tanks])
    place = int(np.argmax(spent.any(axis=0)))
    assert way[place - 1] * (1 - CLOSE) <= lasts * length <= way[place] * (1 + CLOSE)
    first = found.values["first_empty"]
    assert isinstance(first, Say)
    step = way[1] - way[0]
    ends = {t.name: (t.mass - kept_of(t, reserve)) / t.rate / width for t in tanks}
    surely = [name for name, end in ends.items() if end < min(ends.values()) + 1e-12 * step]
    assert all(name in str(first.parts["tanks"]) for name in surely)


@many
@given(some_tanks(), WIDTHS, LENGTHS)
def test_where_it_ends_against_shapely(tanks: list[Tank], width: float, length: float) -> None:
    # shapely: the passes as one line through the field, and the point at the way that the product lasts
    found = work_out(tanks, width, length)
    way = min(tank.mass / tank.rate for tank in tanks) / width
    passes = math.ceil(way / length) + 1
    assume(passes < 500)
    ends = [(number * width, length * (number % 2 == side)) for number in range(passes) for side in (1, 0)]
    # shapely measures along the line, so the turns, which take no product, are cut out: one line a pass
    lines = [LineString(ends[place : place + 2]) for place in range(0, len(ends), 2)]
    gone, number = 0.0, 0
    while gone + lines[number].length < way * (1 - 1e-10):
        gone, number = gone + lines[number].length, number + 1
    point = lines[number].interpolate(way - gone)
    where = found.values["ends_at"]
    assert isinstance(where, Say)
    assert where.parts["number"] == number + 1 == round(point.x / width) + 1
    into = where.parts["distance"]
    assert isinstance(into, float)
    upward = number % 2 == 0
    assert point.y == pytest.approx(into if upward else length - into, abs=1e-6 * length + 1e-9 * way)


@settings(max_examples=examples(60))
@given(WIDTHS, LENGTHS, st.floats(1e4, 4e5), st.floats(0, 0.3))
def test_overlap_against_shapely(width: float, length: float, field: float, overlap: float) -> None:
    # shapely: strips laid beside seeded ground, each that share of its width over the one before
    assume(field / (width * length * (1 - overlap)) < 200)
    found = work_out([Tank("Seed", 5e5, 0.01)], width, length, field, overlap=overlap)
    passes = found.values["field_passes"]
    assert isinstance(passes, int)
    pitch = width * (1 - overlap)
    beside = box(-10 * width, 0, 0, length)
    strips = [box(n * pitch - overlap * width, 0, (n + 1) * pitch, length) for n in range(passes)]
    new = [unary_union([beside, *strips[:count]]).area - beside.area for count in (passes - 1, passes)]
    assert new[0] < field * (1 + CLOSE) and new[1] > field * (1 - CLOSE)
    used = math.fsum(strip.area for strip in strips) * 0.01
    product = found.tables["field"][0][1]  # type: ignore[index]
    assert isinstance(product, float)
    assert product == pytest.approx(field / (1 - overlap) * 0.01)
    assert used * (passes - 1) / passes <= product * (1 + CLOSE) <= used * (1 + 2 * CLOSE)


def test_worked_example_by_pint() -> None:
    # pint carries the units; its own acre is the survey acre, so 43 560 ft² is written out
    unit = pint.UnitRegistry()
    acre = 43560 * unit.foot**2
    areas = [
        (float(row["mass"].split()[0]) - 300)
        * unit.pound
        / (float(row["rate"].split()[0]) * unit.pound / acre)
        for row in EXAMPLE
    ]
    passes = [(area / (60 * unit.foot * 5280 * unit.foot)).to("").magnitude for area in areas]
    made = ask({**MILE, "reserve": "300 lb"}, "us")
    table = made["tables"][0]["rows"]
    assert [row[1]["si"] for row in table] == pytest.approx([a.to("m**2").magnitude for a in areas], rel=1e-9)
    assert [row[2]["si"] for row in table] == pytest.approx(passes, rel=1e-9)
    assert made["results"]["lasts"]["si"] == pytest.approx(min(passes), rel=1e-9)
    assert made["results"]["first_empty"] == "Urea"
    assert made["results"]["ends_at"] == "2145 ft into pass 14"
    assert made["results"]["verdict"] == (
        "Stop to fill after every 13 passes. Without a stop, Urea would end 2145 ft into pass 14."
    )


# Properties


@many
@given(some_tanks(), st.floats(0, 150), WIDTHS, LENGTHS)
def test_matched_fills_end_together(tanks: list[Tank], kept: float, width: float, length: float) -> None:
    reserve = Amount(kept, MASS)
    before = work_out(tanks, width, length, reserve=reserve)
    matched = [row[4] for row in before.tables["tanks"]]  # type: ignore[union-attr]
    assert all(0 < m <= tank.mass * (1 + CLOSE) for m, tank in zip(matched, tanks, strict=True))
    again = [tank._replace(mass=mass) for tank, mass in zip(tanks, matched, strict=True)]
    after = work_out(again, width, length, reserve=reserve)
    assert after.values["area_per_fill"] == pytest.approx(before.values["area_per_fill"], rel=1e-9)
    areas = [row[1] for row in after.tables["tanks"]]  # type: ignore[union-attr]
    assert areas == pytest.approx([before.values["area_per_fill"]] * len(tanks), rel=1e-9)


@many
@given(some_tanks(), WIDTHS, LENGTHS, FIELDS, RESERVES, OVERLAPS)
def test_the_fills_add_up_to_the_field(
    tanks: list[Tank], width: float, length: float, field: float, reserve: Amount, overlap: float
) -> None:
    assume(all(kept_of(tank, reserve) < 0.99 * tank.mass for tank in tanks))
    found = work_out(tanks, width, length, field, reserve, overlap=overlap)
    fills, step = found.values["fills"], found.values["passes_per_fill"]
    if fills is None:
        assert step == 0
        return
    assert isinstance(fills, int) and isinstance(step, int)
    assert found.values["least_fills"] <= fills  # type: ignore[operator]
    for tank_, row in zip(tanks, found.tables["field"], strict=True):  # type: ignore[arg-type]
        _, product, loads, last = row
        kept = kept_of(tank_, reserve)
        gone = (fills - 1) * step * width * length * tank_.rate
        assert gone + last - kept == pytest.approx(product, rel=1e-9, abs=1e-6)
        assert kept * (1 - CLOSE) <= last <= tank_.mass * (1 + CLOSE)
        assert product == pytest.approx(loads * (tank_.mass - kept), rel=1e-9)
        assert product == pytest.approx(field / (1 - overlap) * tank_.rate, rel=1e-9)


@many
@given(some_tanks(), WIDTHS, LENGTHS, st.floats(0.2, 5))
def test_scale(tanks: list[Tank], width: float, length: float, by: float) -> None:
    one = work_out(tanks, width, length).values
    more = work_out([t._replace(mass=by * t.mass) for t in tanks], width, length).values
    wider = work_out(tanks, by * width, length).values
    faster = work_out([t._replace(rate=by * t.rate) for t in tanks], width, length).values
    assert more["area_per_fill"] == pytest.approx(by * one["area_per_fill"], rel=1e-9)  # type: ignore[operator]
    assert more["lasts"] == pytest.approx(by * one["lasts"], rel=1e-8)  # type: ignore[operator]
    assert wider["area_per_fill"] == one["area_per_fill"]
    assert wider["lasts"] == pytest.approx(one["lasts"] / by, rel=1e-8)  # type: ignore[operator]
    assert faster["lasts"] == pytest.approx(one["lasts"] / by, rel=1e-8)  # type: ignore[operator]


@many
@given(some_tanks(), WIDTHS, LENGTHS, FIELDS, st.floats(0, 80), st.floats(0, 80))
def test_more_reserve_never_goes_further(
    tanks: list[Tank], width: float, length: float, field: float, one: float, other: float
) -> None:
    little, much = (
        work_out(tanks, width, length, field, Amount(kept, MASS)).values for kept in sorted((one, other))
    )
    assert much["area_per_fill"] <= little["area_per_fill"]  # type: ignore[operator]
    assert much["passes_per_fill"] <= little["passes_per_fill"]  # type: ignore[operator]
    if much["fills"] is not None:
        assert much["fills"] >= little["fills"]  # type: ignore[operator]


@many
@given(some_tanks(), st.floats(0, 0.9))
def test_a_share_is_the_same_as_the_mass_it_comes_to(tanks: list[Tank], share: float) -> None:
    for one in tanks:
        by_share = work_out([one], reserve=Amount(share, SHARE)).values["area_per_fill"]
        by_mass = work_out([one], reserve=Amount(share * one.mass, MASS)).values["area_per_fill"]
        assert by_share == pytest.approx(by_mass, rel=1e-12)


@many
@given(some_tanks(), WIDTHS, st.floats(500, 20000), RESERVES, st.sampled_from(["both", "one"]))
def test_what_is_asked_for_one_pass_is_just_enough(
    tanks: list[Tank], width: float, length: float, reserve: Amount, ends: str
) -> None:
    assume(all(kept_of(tank, reserve) < 0.99 * tank.mass for tank in tanks))
    found = work_out(tanks, width, length, reserve=reserve, ends=ends)
    asked = {
        note.parts["tank"]: float(note.parts["mass"])
        for note in found.notes
        if note.code in ("one-pass", "one-pair")
    }
    assert bool(asked) == (found.values["passes_per_fill"] == 0)
    leg = 2 if ends == "one" else 1
    if asked:
        filled = [t._replace(mass=asked.get(t.name, t.mass)) for t in tanks]
        assert work_out(filled, width, length, reserve=reserve, ends=ends).values["passes_per_fill"] == leg
        name, mass = next(iter(asked.items()))
        less = [t._replace(mass=0.999 * mass) if t.name == name else t for t in filled]
        assert work_out(less, width, length, reserve=reserve, ends=ends).values["passes_per_fill"] == 0


# Notes, verdicts and edges

ONE = [Tank("Seed", 1000.0, 0.01)]  # 10 ha on a fill: ten passes of 10 m by 1000 m


@pytest.mark.parametrize(
    ("mass", "ends", "field", "verdict", "told"),
    [
        (1050.0, "both", 30e4, "passes", []),
        (1050.0, "one", 30e4, "pairs", []),
        (1150.0, "one", 30e4, "pairs", ["other-end"]),
        (1000.0, "both", 30e4, "passes", ["thin"]),
        (1019.0, "both", 30e4, "passes", ["thin"]),
        (1021.0, "both", 30e4, "passes", []),
        (1000.0, "both", 10e4, "whole-field", []),
        (1000.0, "both", None, "passes", ["thin", "give-field-area"]),
        (150.0, "both", 30e4, "every-pass", []),
        (90.0, "both", 30e4, "no-pass", ["one-pass"]),
        (190.0, "one", 30e4, "no-pair", ["one-pair", "other-end"]),
        (90.0, "one", 30e4, "no-pass", ["one-pair"]),  # a truck at each end would not help
        (1150.0, "one", 11e4, "pairs", ["other-end", "end-away"]),
        (1050.0, "both", 0.5e4, "whole-field", ["small-field"]),
    ],
)
def test_verdicts_and_notes(
    mass: float, ends: str, field: float | None, verdict: str, told: list[str]
) -> None:
    # Hand arithmetic: a pass takes 100 kg. Common practice: less than 2 % in hand is little.
    found = work_out([Tank("Seed", mass, 0.01)], 10, 1000, field, ends=ends)
    assert code(found.values["verdict"]) == verdict
    last = ["last-fill"] if verdict == "whole-field" else []
    assert notes(found) == [*told, "no-reserve", *last]


def test_at_its_very_end_a_pass_counts_as_done() -> None:
    found = work_out(ONE, 10, 1000, 30e4)
    assert found.values["passes_per_fill"] == 10 and found.values["fills"] == 3
    where = found.values["ends_at"]
    assert isinstance(where, Say) and dict(where.parts) == {"distance": 1000.0, "number": 10}
    # 0.1 + 0.2 kind of figures: 12 passes of 10.08 m by 402.3 m, exactly what the tank holds
    exact = Tank("Seed", 12 * 10.08 * 402.3 * 0.0117, 0.0117)
    assert work_out([exact], 10.08, 402.3).values["passes_per_fill"] == 12


def test_tanks_that_end_together_are_all_named() -> None:
    made = ask(
        {"tanks": [{**EXAMPLE[0], "name": name} for name in ("Front", "Rear")], "width": "60 ft"}, "us"
    )
    assert made["results"]["first_empty"] == "Front and Rear"
    assert [row[-1] for row in made["tables"][0]["rows"]] == ["ends first"] * 2
    assert "together" in [note["code"] for note in made["notes"]]


def test_what_needs_pass_length_or_field_is_null_without_and_said() -> None:
    made = ask({"tanks": EXAMPLE, "width": "60 ft", "field_area": "320 ac"})
    null = [name for name, cell in made["results"].items() if cell is None]
    assert null == ["passes_per_fill", "fills", "lasts", "ends_at", "field_passes"]
    assert made["results"]["least_fills"]["si"] == 4
    assert made["notes"][0]["code"] == "give-pass-length"
    assert [chart["id"] for chart in made["charts"]] == ["reach"]
    assert [table["id"] for table in made["tables"]] == ["tanks", "field"]
    made = ask({"tanks": EXAMPLE, "width": "60 ft", "pass_length": "5280 ft"})
    null = [name for name, cell in made["results"].items() if cell is None]
    assert null == ["fills", "field_passes", "least_fills"]
    assert "give-field-area" in [note["code"] for note in made["notes"]]
    assert [table["id"] for table in made["tables"]] == ["tanks"]


def test_a_reserve_may_be_a_mass_or_a_share() -> None:
    by_mass = ask({**MILE, "tanks": EXAMPLE[:1], "reserve": "300 lb"}, "us")
    by_share = ask({**MILE, "tanks": EXAMPLE[:1], "reserve": "2.5 %"}, "us")
    assert by_mass["results"] == by_share["results"]  # 2.5 % of 12 000 lb
    assert by_mass["used"]["reserve"]["shown"] == "300.0 lb"
    assert by_share["used"]["reserve"]["shown"] == "2.500 %"


# Mistakes

GOOD = {**MILE, "reserve": "300 lb"}


@pytest.mark.parametrize(
    ("changed", "wrong"),
    [
        ({"tanks": []}, [("tanks", "row-count")]),
        ({"tanks": None, "width": None}, [("tanks", "required"), ("width", "required")]),
        ({"tanks": [EXAMPLE[0], EXAMPLE[0]]}, [("tanks[2].name", "same-name")]),
        (
            {"tanks": [tank("A", "0 kg", "5 gal/ac")]},
            [("tanks[1].mass", "too-low"), ("tanks[1].rate", "wrong-kind")],
        ),
        ({"width": "61 m"}, [("width", "too-high")]),
        ({"pass_length": "9 m"}, [("pass_length", "too-low")]),
        ({"pass_length": "0.5 ac"}, [("pass_length", "wrong-kind")]),
        ({"field_area": "320"}, [("field_area", "missing-unit")]),
        ({"field_area": "20001 ha"}, [("field_area", "too-high")]),
        ({"reserve": "-1 kg"}, [("reserve", "too-low")]),
        ({"reserve": "91 %"}, [("reserve", "too-high")]),
        ({"reserve": "5 ft"}, [("reserve", "wrong-kind")]),
        ({"reserve": "7500 lb"}, [("reserve", "reserve-too-big")]),
        ({"reserve": "9000 lb"}, [("reserve", "reserve-too-big")]),
        ({"ends": "bothe"}, [("ends", "misspelt-choice")]),
        ({"overlap": "51 %"}, [("overlap", "too-high")]),
        ({"overlap": "3 ft"}, [("overlap", "wrong-kind")]),
        ({"tanks": [tank("A", "1 t ± 100 %", "5 kg/ha")]}, [("tanks[1].mass", "give-too-wide")]),
        ({"tanks": [tank("A", "500 lb ± 300 lb", "5 kg/ha")]}, [("tanks[1].mass", "give-too-wide")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, Any], wrong: list[tuple[str, str]]) -> None:
    assert ask(GOOD)["ok"]
    assert errors({**GOOD, **changed}) == wrong


def test_too_much_reserve_is_said_with_the_tank_that_holds_least() -> None:
    made = ask({**GOOD, "reserve": "8000 lb"}, "us")
    assert made["errors"][0]["problem"] == (
        "the reserve, 8000 lb, leaves nothing of the 7500 lb in Phosphate; check both"
    )


def test_a_give_or_take_of_the_fill_is_that_of_the_passes() -> None:
    # 2 % of what is in the only tank is 2 % of how far it goes, where nothing is kept back
    made = ask({**MILE, "tanks": [tank("Urea", "12000 lb ± 2 %", "120 lb/ac")]})
    for name in ("area_per_fill", "lasts"):
        cell = made["results"][name]
        assert cell["give_or_take"]["si"] == pytest.approx(0.02 * cell["si"], rel=5e-4)


# Bounds: whatever is allowed is answered

LOW = {
    "mass": "0.1 kg",
    "rate": "0.1 kg/ha",
    "width": "0.1 m",
    "pass_length": "10 m",
    "field_area": "0.01 ha",
}
HIGH = {
    "mass": "100 t",
    "rate": "5000 kg/ha",
    "width": "60 m",
    "pass_length": "20 km",
    "field_area": "20000 ha",
}


@settings(max_examples=examples(120))
@given(
    st.fixed_dictionaries({name: st.sampled_from([LOW[name], HIGH[name]]) for name in LOW}),
    st.sampled_from(["0 kg", "0.05 kg", "0 %", "90 %"]),
    st.sampled_from(["both", "one"]),
    st.sampled_from(["0 %", "50 %"]),
    st.integers(1, 12),
    st.sets(st.sampled_from(["pass_length", "field_area"])),
    st.sampled_from(["metric", "us", "imperial"]),
)
def test_extremes_are_answered(
    ends_of: dict[str, str], reserve: str, ends: str, overlap: str, count: int, out: set[str], units: str
) -> None:
    rows = [tank(f"Tank {n}", ends_of["mass"], ends_of["rate"]) for n in range(count)]
    given_ = {"tanks": rows, "reserve": reserve, "ends": ends, "overlap": overlap}
    given_ |= {name: text for name, text in ends_of.items() if name not in ("mass", "rate", *out)}
    made = ask(given_, units)
    assert made["ok"], made
    for chart in made["charts"]:
        looked_at(chart["svg"])


# The pictures


@pytest.mark.parametrize("passes", [1, 2, 3, 7, 29, 30, 31, 59, 60, 61, 100, 237, 399, 400, 4000])
@pytest.mark.parametrize("a_fill", [0.7, 1.4, 2.0, 13.4, 150.5, 9000.0])
@pytest.mark.parametrize("ends", ["both", "one"])
def test_picture_keeps_its_words_apart_and_is_bounded(passes: int, a_fill: float, ends: str) -> None:
    given_ = {
        "tanks": [tank("A rather long name of a tank, with more to it", f"{10 * a_fill:.6g} kg", "10 kg/ha")],
        "width": "10 m",
        "pass_length": "1000 m",
        "field_area": f"{passes} ha",
        "ends": ends,
    }
    made = ask(given_, "us")
    chart = made["charts"][0]
    root = looked_at(chart["svg"]).root
    assert len(list(root)) < 180
    lines = [
        line
        for line in root.iter(f"{SVG}polyline")
        if (at := line.attrib["points"].split())
        and len(at) == 2
        and at[0].split(",")[0] == at[1].split(",")[0]
    ]
    drawn = int(re.search(r"Lines drawn: (\d+)", chart["description"])[1])  # type: ignore[index]
    assert len(lines) - 1 == drawn <= 60  # one more is in the key
    dots = [c for c in root.iter(f"{SVG}circle") if c.attrib["r"] == "5"]
    step = made["results"]["passes_per_fill"]["si"]
    if step == 0:
        assert chart["id"] == "short" and not dots
        assert "A ring marks" in chart["description"]
        assert sum(c.attrib["r"] == "8" for c in root.iter(f"{SVG}circle")) == 2
        return
    assert chart["id"] == "field"
    told = int(re.search(r"dots drawn: (\d+)", chart["description"])[1])  # type: ignore[index]
    assert told == max(len(dots) - 1, 0) <= 30
    assert bool(told) == (passes > step)
    if ends == "one" and dots:  # the truck's end is the lower one
        assert len({c.attrib["cy"] for c in dots[1:]}) == 1


def test_stops_stand_at_the_ends_of_their_passes() -> None:
    # 44 passes over 420 of the picture's width, from 30: pass n in the middle of its strip
    made = ask({**MILE, "reserve": "300 lb"}, "us")
    root = ElementTree.fromstring(made["charts"][0]["svg"])
    dots = [c for c in root.iter(f"{SVG}circle") if c.attrib["r"] == "5"][1:]
    assert [float(c.attrib["cx"]) for c in dots] == pytest.approx(
        [30 + (n - 0.5) / 44 * 420 for n in (13, 26, 39)], abs=0.01
    )
    top, bottom, again = (float(c.attrib["cy"]) for c in dots)
    assert top == again and bottom - top == 180  # an odd pass goes up, an even one down
    ring = [c for c in root.iter(f"{SVG}circle") if c.attrib["r"] == "8"][1]
    assert float(ring.attrib["cy"]) == pytest.approx(top + 180 * 2145 / 5280, abs=0.01)  # 14 goes down
    words = [text.text for text in root.iter(f"{SVG}text")]
    assert {"13", "26", "39"} <= set(words) and "first to end: Urea" in words


def test_bars_are_to_one_scale() -> None:
    made = ask({"tanks": [*EXAMPLE, tank("Inoculant", "900 lb", "2 lb/ac")], "width": "60 ft"}, "us")
    [chart] = made["charts"]
    root = looked_at(chart["svg"]).root
    ends = [
        max(float(point.split(",")[0]) for point in shape.attrib["points"].split()) - 16
        for shape in root.iter(f"{SVG}polygon")
    ]
    areas = [row[1]["si"] for row in made["tables"][0]["rows"]]
    assert [end / ends[0] for end in ends[:3]] == pytest.approx([a / areas[0] for a in areas[:3]], abs=1e-3)
    assert ends[3] == pytest.approx(480 - 26 - 16 + 10, abs=0.01)  # cut, with a point: it goes on
    assert made["results"]["area_per_fill"]["shown"] in chart["description"]


# The lesson


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "refills.md").read_text("utf-8").replace("\u2009", " ")
    rows = [("12400 lb", "120 lb/ac"), ("9000 lb", "75 lb/ac"), ("12500 lb", "110 lb/ac")]
    tanks = [tank(f"Tank {n}", *row) for n, row in enumerate(rows, start=1)]
    given_ = {**MILE, "tanks": tanks, "reserve": "400 lb"}
    both, one, lapped = (ask({**given_, **more}, "us") for more in ({}, {"ends": "one"}, {"overlap": "4 %"}))
    shown = [row[1]["shown"] for row in both["tables"][0]["rows"]]
    shown += [row[4]["shown"] for row in both["tables"][0]["rows"]]
    shown += [one["tables"][0]["rows"][0][3]["shown"]]
    shown += [made["tables"][1]["rows"][0][1]["shown"] for made in (both, lapped)]
    for text in shown:
        assert f"`{text.replace(chr(0x2009), ' ')}`" in lesson, text
    assert both["results"]["lasts"]["shown"] == "13.75" and "13.75 passes" in lesson
    assert both["results"]["ends_at"] == "3960 ft into pass 14" and "`3960 ft`{.q} into pass 14" in lesson
    assert [made["results"]["passes_per_fill"]["si"] for made in (both, one)] == [13, 12]
    assert [made["results"]["fills"]["si"] for made in (both, one)] == [4, 4]
    assert [made["results"]["field_passes"]["si"] for made in (both, lapped)] == [44, 46]
