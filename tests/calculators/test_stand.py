"""`stand` against `pint`, its printed sources and itself, its lesson, and with what is wrong in it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.crop.stand import stand
from calc.crop.stand_sums import AROUND, short_rule
from calc.declare import Found
from calc.quantity import Units, parse
from calc.reply import compact, respond
from calc.units import KERNEL_MASS, MASS_PER_AREA, PLANTS_PER_AREA
from tests.calculators.many import examples
from tests.calculators.pictures import looked_at

PINT = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
PINT.define("field_acre = 43560 * foot ** 2")
AREAS = {"m2": "m**2", "ft2": "foot**2", "ha": "hectare", "ac": "field_acre"}
MASSES = {"g": "g", "oz": "ounce", "lb": "pound", "kg": "kg"}
GOOD = {"plants": "28 plants/ft2", "kernel_mass": "36 g", "germination": "95 %", "loss": "10 %"}

FIGURES = st.fixed_dictionaries(
    {
        "plants": st.floats(5, 800),
        "kernel_mass": st.floats(0.0005, 0.5),
        "germination": st.floats(0.5, 1),
        "loss": st.floats(0.01, 0.4),
        "loss_as": st.sampled_from(["share", "points"]),
        "purity": st.floats(0.5, 1),
        "spacing": st.floats(0.1, 1),
    }
)


def reply(units: str = "metric", **given_: str) -> dict[str, Any]:
    return respond(compact({"calculator": "stand", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    assert made["ok"], made
    return [note["code"] for note in made["notes"]]


def figure(found: Found, name: str) -> float:
    value = found.values[name]
    assert isinstance(value, float)
    return value


# Against an independent library


@settings(max_examples=examples(150))
@given(
    st.floats(5, 800),
    st.floats(0.5, 500),
    st.integers(50, 100),
    st.integers(1, 40),
    st.integers(50, 100),
    st.sampled_from(sorted(AREAS)),
    st.sampled_from(sorted(MASSES)),
    st.booleans(),
)
def test_agrees_with_pint(
    plants: float, grams: float, germ: int, loss: int, purity: int, area: str, mass: str, points: bool
) -> None:
    """Seeds are plants over survival, mass is seeds times the mass of one: `pint` carries the units."""
    per_area = PINT.Quantity(plants, "1/m**2").to(f"1/{AREAS[area]}").magnitude
    weighed = PINT.Quantity(grams, "g").to(MASSES[mass]).magnitude
    shown = {"plants": f"{per_area:.9f} plants/{area}", "kernel_mass": f"{weighed:.12f} {mass}"}
    shares = {"germination": f"{germ} %", "loss": f"{loss} %", "purity": f"{purity} %"}
    made = reply(**shown, **shares, loss_as="points" if points else "share", spacing="7.5 in")
    assert made["ok"], made
    survival = (germ - loss) / 100 if points else germ * (100 - loss) / 10_000
    wanted = PINT.Quantity(float(f"{per_area:.9f}"), f"1/{AREAS[area]}")
    thousand = PINT.Quantity(float(f"{weighed:.12f}"), MASSES[mass])
    seeds = wanted / survival
    expected = {
        "rate": (seeds * thousand / 1000 / (purity / 100)).to("kg/m**2"),
        "seeds_per_area": seeds.to("1/m**2"),
        "seeds_per_mass": (1000 / thousand).to("1/kg"),
        "seeds_per_row": (seeds * PINT.Quantity(7.5, "inch")).to("1/m"),
    }
    assert list(made["results"]) == list(expected)
    for name, quantity in expected.items():
        assert math.isclose(made["results"][name]["si"], quantity.magnitude, rel_tol=1e-8), name


# Against the sources: those that print what is not among the results


def test_pure_live_seed_as_texas_prints_it() -> None:
    # Texas Department of Transportation, pure live seed: purity 85 % and germination 75 % are 0.64.
    made = reply(plants="100 plants/m2", kernel_mass="10 g", germination="75 %", purity="85 %")
    assert f"{100 * 0.010 / 1000 / made['results']['rate']['si']:.2f}" == "0.64"


def test_five_seeds_to_the_foot_as_iowa_prints_it() -> None:
    # Iowa State University, Agronomy 212 (Gibson, 2003): 5 seeds/ft in 15 in rows are 174 240 seeds/ac.
    made = reply(plants="174240 plants/ac", kernel_mass="36 g", germination="100 %", spacing="15 in")
    assert f"{made['results']['seeds_per_row']['si'] * 0.3048:.6f}" == "5.000000"


# Prairie practice: the short rule divides by 10 where the exact divisor is 453 592.37 / 43 560. Its printed
# 244 lb/ac of peas (Saskatchewan Agriculture) is never what is found.
@given(FIGURES)
def test_the_short_rule_is_4_13_percent_high_and_only_said(figures: dict[str, Any]) -> None:
    found = stand(**figures)
    said = next(note for note in found.notes if note.code == "short-rule")
    exact = PINT.Quantity(figure(found, "rate"), "kg/m**2").to("pound/field_acre").magnitude
    assert f"{100 * (float(said.parts['figure']) / exact - 1):.2f}" == "4.13"
    assert math.isclose(float(said.parts["figure"]), exact * 453_592.37 / 43_560 / 10, rel_tol=1e-9)


def test_the_short_rule_is_said_in_pounds_to_every_reader() -> None:
    for units in ("metric", "us"):
        made = reply(units, plants="8 plants/ft2", kernel_mass="290 g", germination="95 %")
        text = next(note["text"] for note in made["notes"] if note["code"] == "short-rule")
        assert "would say 244.2 lb/ac" in text and "4.13 %" in text  # 8 · 290 / 0.95 / 10, by hand
    assert made["results"]["rate"]["shown"] == "234.5 lb/ac"
    assert math.isclose(short_rule(8 / 0.3048**2, 0.29, 0.95, 1), 8 * 290 / 0.95 / 10, rel_tol=1e-12)


# Properties


@given(FIGURES, st.floats(1.01, 3))
def test_rate_grows_with_plants_and_mass_and_falls_with_the_shares(
    figures: dict[str, Any], by: float
) -> None:
    before = figure(stand(**figures), "rate")
    for name in ("plants", "kernel_mass"):
        more = figure(stand(**{**figures, name: by * figures[name]}), "rate")
        assert math.isclose(more, by * before, rel_tol=1e-12)
    purer = figure(stand(**{**figures, "purity": figures["purity"] / by}), "rate")
    assert math.isclose(purer, by * before, rel_tol=1e-12)
    assert figure(stand(**{**figures, "germination": figures["germination"] * 1.01}), "rate") < before
    assert figure(stand(**{**figures, "loss": figures["loss"] * 1.01}), "rate") > before


@given(FIGURES)
def test_what_is_sown_gives_back_the_stand(figures: dict[str, Any]) -> None:
    found = stand(**figures)
    germination, loss = figures["germination"], figures["loss"]
    survival = germination * (1 - loss) if figures["loss_as"] == "share" else germination - loss
    pure = figure(found, "rate") * figures["purity"]
    assert math.isclose(pure * figure(found, "seeds_per_mass") * survival, figures["plants"], rel_tol=1e-12)
    assert math.isclose(
        figure(found, "seeds_per_row") / figures["spacing"], figure(found, "seeds_per_area"), rel_tol=1e-12
    )


@given(FIGURES)
def test_both_ways_of_the_loss_are_shown_and_points_never_leave_more(figures: dict[str, Any]) -> None:
    ways = {way: stand(**{**figures, "loss_as": way}) for way in ("share", "points")}
    assert figure(ways["points"], "rate") >= figure(ways["share"], "rate") * (1 - 1e-12)
    for way, found in ways.items():
        rows = found.rows("losses", Units())
        assert [row[0].code for row in rows] == ["share", "points"]  # type: ignore[union-attr]
        assert [row[4].code == "taken" for row in rows] == [way == "share", way == "points"]  # type: ignore[union-attr]
        for row, other in zip(rows, ways.values(), strict=True):
            assert row[3] == figure(other, "rate") and row[2] == figure(other, "seeds_per_area")
        said = found.notes[0]
        assert said.code == f"loss-as-{way}"
        assert said.parts["rate"] == figure(ways["points" if way == "share" else "share"], "rate")


def test_without_a_loss_there_is_no_other_way_and_it_is_asked_for() -> None:
    made = reply(**{**GOOD, "loss": "0 %"})
    assert [table["id"] for table in made["tables"]] == ["lots"]
    assert codes(made) == ["no-loss", "short-rule", "give-spacing"]
    assert (
        made["results"] == reply(**{name: text for name, text in GOOD.items() if name != "loss"})["results"]
    )


def test_the_table_goes_through_lots_and_stands_around_this_one() -> None:
    """The rate is in proportion to both: the product of both shares."""
    made = reply("us", **GOOD)
    table = next(one for one in made["tables"] if one["id"] == "lots")
    assert [column["title"] for column in table["columns"][1:]] == [
        f"{n} plants/ft²" for n in ("22.40", "25.20", "28.00", "30.80", "33.60")
    ]
    for share, row in zip(AROUND, table["rows"], strict=True):
        assert math.isclose(row[0]["si"], share * 0.036, rel_tol=1e-9)
        for other, cell in zip(AROUND, row[1:], strict=True):
            assert math.isclose(cell["si"], share * other * made["results"]["rate"]["si"], rel_tol=1e-9)


# Notes and edges


def test_without_spacing_the_row_is_unknown_and_asked_for() -> None:
    without, having = reply(**GOOD), reply(**GOOD, spacing="10 in")
    assert without["results"]["seeds_per_row"] is None and codes(without)[-1] == "give-spacing"
    assert having["results"]["seeds_per_row"]["shown"] == "89.54 seeds/m"
    assert "give-spacing" not in codes(having)


def test_a_stand_below_half_and_a_rate_of_no_drill_are_pointed_out() -> None:
    half = {**GOOD, "germination": "50 %", "loss_as": "points", "loss": "1 %"}
    assert "few-survive" in codes(reply(**half))
    assert "few-survive" not in codes(reply(**{**GOOD, "germination": "50 %", "loss": "0 %"}))
    heavy = {**GOOD, "kernel_mass": "3000 g", "plants": "2000 plants/m2"}
    assert "far-out" in codes(reply(**heavy)) and reply(**heavy)["charts"] == []
    assert "far-out" not in codes(reply(**GOOD))


def test_a_give_or_take_is_carried_and_refused_where_points_would_leave_nothing() -> None:
    made = reply(**{**GOOD, "kernel_mass": "36 g ± 5 %"})
    assert made["results"]["rate"]["give_or_take"]["si"] == pytest.approx(
        0.05 * made["results"]["rate"]["si"], rel=1e-3
    )
    close = {"germination": "60 % ± 5 %", "loss": "57 %", "loss_as": "points"}
    assert wrong(reply(**{**GOOD, **close})) == [("germination", "give-too-wide")]


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"plants": "0.4 plants/m2"}, [("plants", "too-low")]),
        ({"plants": "5001 plants/m2"}, [("plants", "too-high")]),
        ({"plants": "28 seeds/ft2"}, [("plants", "wrong-kind")]),
        ({"plants": "28"}, [("plants", "missing-unit")]),
        ({"kernel_mass": "0.04 g"}, [("kernel_mass", "too-low")]),
        ({"kernel_mass": "36 kg"}, [("kernel_mass", "too-high")]),
        ({"germination": "0.95 %"}, [("germination", "too-low")]),
        ({"germination": "101 %"}, [("germination", "too-high")]),
        ({"loss": "96 %"}, [("loss", "too-high")]),
        ({"loss": "-1 %"}, [("loss", "too-low")]),
        ({"loss": "10 % ± 2 %"}, [("loss", "give-not-here")]),
        ({"loss_as": "point"}, [("loss_as", "misspelt-choice")]),
        ({"loss": "95 %", "loss_as": "points"}, [("loss", "nothing-left")]),
        ({"germination": "30 %", "loss": "30 %", "loss_as": "points"}, [("loss", "nothing-left")]),
        ({"purity": "4 %"}, [("purity", "too-low")]),
        ({"spacing": "24 mm"}, [("spacing", "too-low")]),
        ({"spacing": "2.1 m"}, [("spacing", "too-high")]),
        ({"spacing": "10 ft", "loss": "x"}, [("loss", "not-a-number"), ("spacing", "too-high")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, str], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert wrong(reply(**{**GOOD, **changed})) == fields


def test_what_leaves_nothing_says_both_figures() -> None:
    made = reply(**{**GOOD, "germination": "60 %", "loss": "70 %", "loss_as": "points"})
    assert "70.00 %" in made["errors"][0]["problem"] and "60.00 %" in made["errors"][0]["problem"]
    assert reply(**{**GOOD, "germination": "60 %", "loss": "70 %"})["ok"]


@pytest.mark.parametrize("edge", ["5000 plants/m2", "0.5 plants/m2"])
@pytest.mark.parametrize("mass", ["0.05 g", "3000 g"])
@pytest.mark.parametrize("shares", [("100 %", "0 %", "100 %"), ("5 %", "95 %", "5 %")])
def test_a_bound_itself_is_allowed(edge: str, mass: str, shares: tuple[str, str, str]) -> None:
    germination, loss, purity = shares
    made = reply(plants=edge, kernel_mass=mass, germination=germination, loss=loss, purity=purity)
    assert made["ok"], made


# The picture


@settings(max_examples=examples(120))
@given(
    st.floats(-0.3, 3.69).map(lambda power: 10.0**power),
    st.floats(-1.3, 3.47).map(lambda power: 10.0**power),
    st.sampled_from(["metric", "us"]),
)
def test_picture_keeps_its_words_apart_and_in_the_box(plants: float, grams: float, units: str) -> None:
    made = reply(units, plants=f"{plants:.6g} plants/m2", kernel_mass=f"{grams:.6g} g", germination="90 %")
    assert made["ok"], made
    assert bool(made["charts"]) == ("far-out" not in codes(made))
    for chart in made["charts"]:
        looked_at(chart["svg"])


def test_the_picture_says_what_it_shows() -> None:
    made = reply("us", **GOOD)
    [chart] = made["charts"]
    assert "36.00 g" in chart["description"] and "113.2 lb/ac" in chart["description"]
    assert all(f">{n} plants/ft²<" in chart["svg"] for n in ("21", "28", "35"))
    assert chart["svg"].count("<circle") == 1 and chart["svg"].count('stroke-width="2.5"') == 3


# The lesson


def test_the_lesson_states_what_the_calculators_give(root: Path) -> None:
    lesson = (root / "docs" / "lessons" / "stand.md").read_text(encoding="utf-8").replace("\u2009", " ")
    first = reply("us", **GOOD, spacing="10 in")
    points = reply("us", **GOOD, spacing="10 in", loss_as="points")
    heavier = reply("us", **{**GOOD, "kernel_mass": "42 g"})
    canola = reply("us", plants="7 plants/ft2", kernel_mass="5 g", germination="95 %", loss="40 %")
    for made in (first, points, heavier, canola):
        assert made["results"]["rate"]["shown"] in lesson
    for name in ("seeds_per_area", "seeds_per_row"):
        assert first["results"][name]["shown"] in lesson
    for speed in ("5 mph", "4 mph"):
        run = {"seeds": "32.75 seeds/ft2", "kernel_mass": "36 g", "spacing": "10 in", "speed": speed}
        made = respond(compact({"calculator": "run-flow", "given": run, "units": "us"}))
        assert made["results"]["seeds_per_second"]["shown"] in lesson
    assert parse("28 plants/ft2", PLANTS_PER_AREA) * parse("36 g", KERNEL_MASS) / 855 == pytest.approx(
        parse("113.2 lb/ac", MASS_PER_AREA), rel=1e-3
    )  # the sum by hand
