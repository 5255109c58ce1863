"""`road-load` against every way to empty tanks, `scipy`, `pint`, and what must hold for any load."""

from __future__ import annotations

import math
from itertools import chain, combinations
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from calc.declare import Found, Say
from calc.number import settle
from calc.reply import compact, respond
from calc.tanks.road_load import EXAMPLE, road_load
from calc.tanks.road_sums import Load, Tank, tanks_to_empty
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

many = settings(max_examples=examples(200))


@st.composite
def some_tanks(draw: st.DrawFn) -> list[Tank]:
    masses = st.one_of(st.just(0.0), st.integers(1, 9000).map(float), st.floats(1, 9000))
    return [Tank(f"Tank {n}", draw(masses)) for n in range(draw(st.integers(1, 8)))]


EMPTY, LIMITS = st.floats(2000, 20000), st.floats(3000, 60000)


def ask(given_: dict[str, Any], units: str = "metric") -> dict[str, Any]:
    return respond(compact({"calculator": "road-load", "given": given_, "units": units}))


def code(value: Any) -> str:
    assert isinstance(value, Say)
    return value.code


def named(found: Found, tanks: list[Tank]) -> list[Tank] | None:
    """The tanks that the table says to empty; None where even all of them are not enough."""
    if code(found.values["empty_first"]) == "not-enough":
        return None
    rows = found.tables["tanks"]
    assert not callable(rows)
    return [tank for tank, row in zip(tanks, rows, strict=True) if code(row[4]) == "empty"]


@many
@given(EMPTY, some_tanks(), LIMITS, st.none() | LIMITS)
def test_every_way_is_tried(
    empty_mass: float, tanks: list[Tank], limit: float, tyre_limit: float | None
) -> None:
    """Brute force: of all sets of tanks that bring it within, the fewest, and of those the least product."""
    found = road_load(empty_mass, tanks, limit, tyre_limit)
    allowed = min(limit, tyre_limit or limit)
    full = [tank for tank in tanks if tank.mass]
    ways = chain.from_iterable(combinations(full, count) for count in range(len(full) + 1))

    def enough(way: tuple[Tank, ...]) -> bool:
        kept = math.fsum([empty_mass, *(t.mass for t in tanks if t not in way)])
        return settle(kept) <= settle(allowed)

    def off(way: list[Tank] | tuple[Tank, ...]) -> tuple[int, float]:
        return len(way), settle(math.fsum(t.mass for t in way))

    best = min((off(way) for way in ways if enough(way)), default=None)
    made = named(found, tanks)
    assert (None if made is None else off(made)) == best
    if made is None:
        assert found.values["mass_after"] is None and code(found.values["verdict"]) == "over-empty"
        return
    after = found.values["mass_after"]
    assert isinstance(after, float) and settle(after) <= settle(allowed)
    assert code(found.values["verdict"]) == ("over" if made else "within")
    assert (found.values["spare"] < 0) == bool(made)  # type: ignore[operator]


@settings(max_examples=examples(80))
@given(EMPTY, some_tanks(), LIMITS)
def test_the_fewest_tanks_against_scipy(empty_mass: float, tanks: list[Tank], limit: float) -> None:
    # scipy's integer programming: the fewest tanks first, then the least product for that many
    made = named(road_load(empty_mass, tanks, limit, None), tanks)
    masses = np.array([tank.mass for tank in tanks])
    over = empty_mass + masses.sum() - limit
    whole = {"integrality": np.ones(len(tanks)), "bounds": Bounds(0, 1)}
    within = LinearConstraint(masses, lb=over - 1e-6)
    fewest = milp(np.ones(len(tanks)), constraints=[within], **whole)
    assert (made is None) == (not fewest.success)
    if made is None:
        return
    assert len(made) == round(fewest.fun)
    alike = LinearConstraint(np.ones(len(tanks)), ub=round(fewest.fun))
    least = milp(masses, constraints=[within, alike], **whole)
    assert math.fsum(tank.mass for tank in made) == pytest.approx(least.fun, rel=1e-6, abs=1e-4)


def test_worked_example_by_pint() -> None:
    unit = pint.UnitRegistry()
    masses = [float(row["mass"].split()[0]) * unit.pound for row in EXAMPLE]
    whole = 24500 * unit.pound + sum(masses, 0 * unit.pound)
    made = ask({"empty_mass": "24500 lb", "tanks": EXAMPLE, "limit": "23 ton", "tyre_limit": "24 ton"}, "us")
    assert made["results"]["mass"]["si"] == pytest.approx(whole.to("kg").magnitude, rel=1e-9)
    spare = 23 * unit.short_ton - whole
    assert made["results"]["spare"]["si"] == pytest.approx(spare.to("kg").magnitude, rel=1e-9)
    assert made["results"]["empty_first"] == "Urea"
    assert made["results"]["verdict"].replace("\u2009", " ") == (
        "Over by 10 400 lb. Empty first: Urea. Then it is 44 400 lb, and 46 000 lb is allowed."
    )


@many
@given(EMPTY, some_tanks(), LIMITS, st.none() | LIMITS, st.floats(0.2, 4))
def test_scale(
    empty_mass: float, tanks: list[Tank], limit: float, tyre_limit: float | None, by: float
) -> None:
    one = road_load(empty_mass, tanks, limit, tyre_limit).values
    more = road_load(
        by * empty_mass,
        [tank._replace(mass=by * tank.mass) for tank in tanks],
        by * limit,
        None if tyre_limit is None else by * tyre_limit,
    ).values
    assert more["mass"] == pytest.approx(by * one["mass"])  # type: ignore[operator]
    assert more["spare"] == pytest.approx(by * one["spare"], rel=1e-6, abs=1e-4)  # type: ignore[operator]


@many
@given(EMPTY, some_tanks(), LIMITS, LIMITS)
def test_a_second_limit_never_helps(
    empty_mass: float, tanks: list[Tank], limit: float, tyre_limit: float
) -> None:
    one = road_load(empty_mass, tanks, limit, None)
    both = road_load(empty_mass, tanks, limit, tyre_limit)
    assert both.values["spare"] <= one.values["spare"]  # type: ignore[operator]
    assert both.values["allowed"] == min(limit, tyre_limit)
    before, after = named(one, tanks), named(both, tanks)
    if after is not None:
        assert before is not None and len(before) <= len(after)
    expected = "tires" if tyre_limit < limit else "limit"
    if settle(tyre_limit / limit) != 1:
        assert code(both.values["set_by"]) == expected


@pytest.mark.parametrize(
    ("masses", "limit", "names"),
    [
        ([3.0, 2.0, 4.0], 18.0, []),
        ([3.0, 2.0, 4.0], 17.9, ["2"]),  # the least that is enough, and not the heaviest
        ([3.0, 2.0, 4.0], 15.5, ["1"]),
        ([3.0, 2.0, 4.0], 14.0, ["3"]),
        ([3.0, 2.0, 4.0], 13.0, ["1", "2"]),  # 5 t is just enough
        ([3.0, 2.0, 4.0], 12.5, ["2", "3"]),
        ([2.0, 2.0, 2.0], 13.5, ["1"]),  # alike: by their order
        ([0.0, 2.0, 0.0], 9.5, ["2"]),  # an empty tank is never named
        ([3.0, 2.0, 4.0], 9.0, ["1", "2", "3"]),
        ([3.0, 2.0, 4.0], 8.9, None),
    ],
)
def test_what_to_empty_by_hand(masses: list[float], limit: float, names: list[str] | None) -> None:
    """Added up by hand: an empty machine of 9 t."""
    tanks = [Tank(str(number), 1000 * mass) for number, mass in enumerate(masses, start=1)]
    assert tanks_to_empty(Load(9000.0, tanks, 1000 * limit, None)) == names


@pytest.mark.parametrize(
    ("limit", "tires", "told"),
    [
        ("20 t", "30 t", ["weigh"]),
        ("18.45 t", "30 t", ["weigh"]),
        ("18.44 t", "30 t", ["close", "weigh"]),  # 5 % of 9 t of product is 0.45 t
        ("18 t", None, ["close", "weigh", "give-tires"]),
        ("30 t", "17 t", ["stay-off", "fewest", "weigh"]),
        ("8 t", None, ["stay-off", "too-heavy-empty", "weigh", "give-tires"]),
    ],
)
def test_notes(limit: str, tires: str | None, told: list[str]) -> None:
    rows = [{"name": "Front", "mass": "5 t"}, {"name": "Rear", "mass": "4 t"}]
    made = ask({"empty_mass": "9 t", "tanks": rows, "limit": limit, "tyre_limit": tires})
    assert [note["code"] for note in made["notes"]] == told
    levels = {note["level"] for note in made["notes"]}
    assert ("stop" in levels) == ("stay-off" in told)


def test_rounding_alone_is_not_over() -> None:
    # 0.1 + 0.2 kind of figures: exactly at the limit, and not a hair over
    tanks = [Tank("A", 0.1), Tank("B", 0.2)]
    found = road_load(1000.0, tanks, 1000.3, None).values
    assert found["spare"] == 0.0 and code(found["verdict"]) == "within"


GOOD = {"empty_mass": "24500 lb", "tanks": EXAMPLE, "limit": "46000 lb", "tyre_limit": "48000 lb"}


@pytest.mark.parametrize(
    ("changed", "wrong"),
    [
        ({"empty_mass": None, "limit": None}, [("empty_mass", "required"), ("limit", "required")]),
        ({"empty_mass": "99 kg"}, [("empty_mass", "too-low")]),
        ({"limit": "201 t"}, [("limit", "too-high")]),
        ({"tyre_limit": "48000"}, [("tyre_limit", "missing-unit")]),
        ({"tyre_limit": "30 psi"}, [("tyre_limit", "wrong-kind")]),
        ({"tanks": []}, [("tanks", "row-count")]),
        ({"tanks": [EXAMPLE[0], EXAMPLE[0]]}, [("tanks[2].name", "same-name")]),
        ({"tanks": [{"name": "A", "mass": "-1 kg"}]}, [("tanks[1].mass", "too-low")]),
        (
            {"tanks": [{"name": "A", "rate": "1 kg/ha"}]},
            [("tanks[1].mass", "required"), ("tanks[1].rate", "unknown-field")],
        ),
        ({"limit": "46000 lb ± 1 %"}, [("limit", "give-not-here")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, Any], wrong: list[tuple[str, str]]) -> None:
    assert ask(GOOD)["ok"]
    made = ask({**GOOD, **changed})
    assert [(error["field"], error["code"]) for error in made["errors"]] == wrong


def test_a_verdict_within_the_give_or_take_is_said_to_be_unsure() -> None:
    made = ask({**GOOD, "limit": "57000 lb", "tyre_limit": "58000 lb", "empty_mass": "24500 lb ± 1000 lb"})
    assert "give-or-take-unsure" in [note["code"] for note in made["notes"]]
    assert made["results"]["spare"]["give_or_take"]["si"] == pytest.approx(453.6, abs=0.1)


def test_tanks_of_a_machine_that_is_too_heavy_empty_are_all_to_be_emptied() -> None:
    made = ask({**GOOD, "limit": "24000 lb"}, "us")
    assert made["results"]["empty_first"] == "every tank, and that is not enough"
    assert made["results"]["mass_after"] is None
    assert [row[4] for row in made["tables"][0]["rows"]] == ["empty it"] * 3


# Pictures and bounds


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("count", [1, 2, 5, 12])
@pytest.mark.parametrize("mass", ["0 kg", "0.001 kg", "3456.7 kg", "100 t"])
@pytest.mark.parametrize("limits", [("100 kg", None), ("200 t", "100 kg"), ("40 t", "41 t")])
def test_any_load_is_answered_with_its_picture(
    count: int, mass: str, limits: tuple[str, str | None], units: str
) -> None:
    rows = [{"name": f"A rather long name of a tank, the longest: {n:2}", "mass": mass} for n in range(count)]
    given_ = {"empty_mass": "23456 kg", "tanks": rows, "limit": limits[0], "tyre_limit": limits[1]}
    made = ask(given_, units)
    assert made["ok"], made
    [chart] = made["charts"]
    looked_at(chart["svg"])
    assert made["results"]["mass"]["shown"] in chart["description"]
    assert made["results"]["allowed"]["shown"] in chart["description"]


def test_tanks_to_empty_are_hollow() -> None:
    made = ask(GOOD, "us")
    root = ElementTree.fromstring(made["charts"][0]["svg"])
    shades = [shape.attrib["fill-opacity"] for shape in root.iter(f"{SVG}polygon")]
    assert shades == ["0.3", "0", "0.3", "0.3", "0.7", "0.1", "0.1"]  # the machine, then urea, and so on


# The lesson


def test_the_lesson_states_what_the_calculator_gives(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "road-load.md").read_text("utf-8").replace("\u2009", " ")

    def weighed(first: str, tires: str) -> dict[str, Any]:
        masses = (first, "9000 lb", "12500 lb")
        rows = [{"name": f"Tank {n}", "mass": mass} for n, mass in enumerate(masses, start=1)]
        limits = {"limit": "47000 lb", "tyre_limit": tires}
        return dict(ask({"empty_mass": "24500 lb", "tanks": rows, **limits}, "us")["results"])

    full, without, soft = (
        weighed("12400 lb", "48000 lb"),
        weighed("0 lb", "48000 lb"),
        weighed("12400 lb", "36000 lb"),
    )
    shown = [
        full["mass"],
        full["spare"],
        full["mass_after"],
        full["allowed"],
        without["spare"],
        soft["mass_after"],
    ]
    for cell in shown:
        assert f"`{cell['shown'].replace(chr(0x2009), ' ').lstrip('−')}`" in lesson, cell
    assert (full["empty_first"], without["empty_first"], soft["empty_first"]) == (
        "Tank 1",
        "nothing",
        "Tank 1 and Tank 3",
    )
    assert soft["empty_first"] in lesson
