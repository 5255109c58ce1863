"""`seedbed` against its printed table, `scipy`, `numpy`, `pint` and itself, and with what is wrong in it."""

from __future__ import annotations

import re
from itertools import product
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from calc.crop.seedbed import seedbed
from calc.declare import Found, Say
from calc.reply import compact, respond
from tests.calculators.many import examples
from tests.calculators.pictures import SVG, looked_at

PINT = pint.UnitRegistry()
# pint's own acre is that of the US survey foot, 4 ppm larger than the acre of the international foot.
LB_AC = (PINT.Quantity(1, "pound") / PINT.Quantity(43560, "foot**2")).to("kg/m**2").magnitude
INCH = PINT.Quantity(1, "inch").to("m").magnitude
# Manitoba Agriculture, Guidelines for Safely Applying Fertilizer with Seed: lb of N per acre as urea, for
# cereals at good to excellent moisture; a row a spread of 1, 2, 3 in, a column a spacing of 6, 9, 12 in.
PRINTED = {
    "light": np.array([[10, 0, 0], [20, 15, 10], [30, 20, 15]]),
    "medium": np.array([[20, 15, 10], [30, 25, 20], [40, 30, 25]]),
    "heavy": np.array([[25, 20, 10], [40, 30, 25], [50, 40, 30]]),
}
SPREADS, SPACINGS = np.array([1, 2, 3]), np.array([6, 9, 12])
GOOD = {
    "spread": "2 in",
    "spacing": "10 in",
    "soil": "medium",
    "crop": "cereal",
    "moisture": "good",
    "opener": "other",
}
SOILS = st.sampled_from(sorted(PRINTED))


def reply(units: str = "metric", **given_: str | None) -> dict[str, Any]:
    return respond(compact({"calculator": "seedbed", "given": given_, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    assert not made["ok"]
    return [(error["field"], error["code"]) for error in made["errors"]]


def codes(made: dict[str, Any]) -> list[str]:
    assert made["ok"], made
    return [note["code"] for note in made["notes"]]


def work_out(
    spread: float,
    spacing: float,
    soil: str,
    crop: str = "cereal",
    moisture: str = "good",
    opener: str = "other",
    nitrogen: float | None = None,
) -> Found:
    """With spread and spacing in inches and nitrogen in lb/ac."""
    n = None if nitrogen is None else nitrogen * LB_AC
    return seedbed(spread * INCH, spacing * INCH, soil, crop, moisture, opener, n)


def pounds(found: Found, name: str = "limit") -> float | None:
    value = found.values[name]
    assert value is None or isinstance(value, float)
    return None if value is None else value / LB_AC


def verdict(found: Found) -> str:
    said = found.values["verdict"]
    assert isinstance(said, Say)
    return said.code


# Against the printed table


@pytest.mark.parametrize("soil", PRINTED)
@pytest.mark.parametrize(("row", "column"), list(product(range(3), repeat=2)))
def test_every_printed_limit(soil: str, row: int, column: int) -> None:
    made = reply(
        "us",
        **{**GOOD, "soil": soil, "spread": f"{SPREADS[row]} in", "spacing": f"{SPACINGS[column]} in"},
    )
    assert f"{made['results']['limit']['si'] / LB_AC:.6f}" == f"{PRINTED[soil][row, column]:.6f}"
    assert not {"safe-side", "beyond"} & set(codes(made))
    [table] = made["tables"]
    assert [line[4] for line in table["rows"]].count("yes") == 1
    assert table["rows"][3 * row + column][4] == "yes"


def test_utilisation_as_printed() -> None:
    # Manitoba Agriculture: 2 in on 6 in is 33 %.
    assert f"{100 * reply(**{**GOOD, 'spacing': '6 in'})['results']['utilisation']['si']:.0f}" == "33"


# Against independent libraries, over the whole table and beyond


@settings(max_examples=examples(300))
@given(st.floats(1, 3), st.floats(6, 12), SOILS)
def test_never_above_what_lies_between_the_printed_figures(spread: float, spacing: float, soil: str) -> None:
    """`scipy` draws a plane through each four cells: reading on the safe side stays at or below it."""
    between = RegularGridInterpolator((SPREADS, SPACINGS), PRINTED[soil])((spread, spacing))
    limit = pounds(work_out(spread, spacing, soil))
    assert limit is not None and limit <= float(between) + 1e-6


@settings(max_examples=examples(300))
@given(st.floats(0.3, 5), st.floats(5, 16), SOILS)
def test_the_cell_is_the_one_that_numpy_finds(spread: float, spacing: float, soil: str) -> None:
    """`numpy.searchsorted`: the last spread not above, and the first spacing not below, or none at all."""
    row = int(np.searchsorted(SPREADS, spread, side="right")) - 1
    column = int(np.searchsorted(SPACINGS, spacing, side="left"))
    found = work_out(spread, spacing, soil)
    if row < 0 or column > 2:
        assert found.values["limit"] is found.values["product_limit"] is None
        assert verdict(found) == ("no-limit-narrow" if row < 0 else "no-limit-wide")
        assert found.notes[0].code == "ask-local"
        assert found.values["limit_source"].code == "none"  # type: ignore[union-attr]
    else:
        assert pounds(found) == pytest.approx(PRINTED[soil][row, column], abs=1e-9)
        assert pounds(found, "product_limit") == pytest.approx(PRINTED[soil][row, column] / 0.46, abs=1e-9)
        source = found.values["limit_source"]
        assert isinstance(source, Say) and source.code == "published"
        assert source.parts == pytest.approx(
            {"spread": SPREADS[row] * INCH, "spacing": SPACINGS[column] * INCH}
        )


@given(st.floats(0.3, 5), st.floats(5, 16))
def test_utilisation_by_pint(spread: float, spacing: float) -> None:
    made = reply(**{**GOOD, "spread": f"{spread:.6f} in", "spacing": f"{spacing * 2.54:.6f} cm"})
    share = PINT.Quantity(float(f"{spread:.6f}"), "inch") / PINT.Quantity(
        float(f"{spacing * 2.54:.6f}"), "cm"
    )
    assert made["results"]["utilisation"]["si"] == pytest.approx(share.to("").magnitude, rel=1e-9)


# Properties


@given(st.floats(1, 5), st.floats(5, 12), SOILS, st.floats(0, 3), st.floats(0, 6))
def test_a_narrower_spread_or_a_wider_spacing_never_allows_more(
    spread: float, spacing: float, soil: str, narrower: float, wider: float
) -> None:
    before = pounds(work_out(spread, spacing, soil))
    after = pounds(work_out(max(spread - narrower, 0.2), spacing + wider, soil))
    assert before is not None and (after is None or after <= before + 1e-12)


@given(st.floats(1, 5), st.floats(5, 12))
def test_a_lighter_soil_never_allows_more(spread: float, spacing: float) -> None:
    light, medium, heavy = (pounds(work_out(spread, spacing, soil)) for soil in ("light", "medium", "heavy"))
    assert light is not None and medium is not None and heavy is not None
    assert light <= medium <= heavy


@given(st.floats(1, 5), st.floats(5, 12), SOILS)
def test_dry_soil_halves_and_double_discs_allow_nothing_on_light_soil(
    spread: float, spacing: float, soil: str
) -> None:
    full = pounds(work_out(spread, spacing, soil))
    dry = work_out(spread, spacing, soil, moisture="dry")
    assert full is not None and pounds(dry) == pytest.approx(full / 2, abs=1e-12)
    assert "dry" in [note.code for note in dry.notes]
    for moisture in ("good", "dry"):
        discs = work_out(spread, spacing, soil, moisture=moisture, opener="double-disc")
        if soil == "light":
            assert discs.values["limit"] == discs.values["product_limit"] == 0
            assert verdict(discs) == "none"
            assert "double-disc-light" in [note.code for note in discs.notes]
        else:
            same = work_out(spread, spacing, soil, moisture=moisture)
            assert discs.values["limit"] == same.values["limit"]


@given(st.floats(1, 5), st.floats(5, 12), SOILS, st.floats(0, 120))
def test_the_verdict_on_a_nitrogen_rate(spread: float, spacing: float, soil: str, nitrogen: float) -> None:
    found = work_out(spread, spacing, soil, nitrogen=nitrogen)
    limit, excess = pounds(found), pounds(found, "excess")
    assert limit is not None and excess is not None
    if nitrogen > limit * (1 + 1e-9):
        assert verdict(found) == ("too-much" if limit else "too-much-none")
        assert excess == pytest.approx(nitrogen - limit, rel=1e-6, abs=1e-9)
        first = found.notes[0]
        assert first.code == "take-out"
        assert first.parts["product"] == pytest.approx(excess * LB_AC / 0.46)
        mended = work_out(spread, spacing, soil, nitrogen=nitrogen - excess)
        assert verdict(mended) == "within" and mended.values["excess"] == 0
    elif nitrogen < limit * (1 - 1e-9):
        assert verdict(found) == "within" and excess == 0
        assert "take-out" not in [note.code for note in found.notes]


def test_just_at_the_limit_is_within_it() -> None:
    made = reply("us", **GOOD, nitrogen_rate="20 lb/ac")
    assert made["results"]["verdict"].startswith("Within the limit: 20.00 lb/ac of N")
    made = reply("us", **GOOD, nitrogen_rate="20.001 lb/ac")
    assert made["results"]["verdict"].startswith("Too much")


@pytest.mark.parametrize("crop", ["canola", "other"])
@given(st.floats(0.3, 5), st.floats(5, 16), SOILS, st.floats(0, 100))
def test_no_other_crop_has_a_limit(crop: str, spread: float, spacing: float, soil: str, n: float) -> None:
    found = work_out(spread, spacing, soil, crop, nitrogen=n)
    assert found.values["limit"] is found.values["excess"] is None and not found.tables
    assert verdict(found) == "no-limit-crop"
    said = [note.code for note in found.notes]
    assert said[0] == "ask-local" and ("canola" in said) == (crop == "canola")


# Notes and edges


def test_the_note_names_the_cell_that_was_read() -> None:
    text = {note["code"]: note["text"] for note in reply("us", **GOOD)["notes"]}
    assert "2.000 in on 12.00 in" in text["safe-side"]
    text = {note["code"]: note["text"] for note in reply("us", **{**GOOD, "spread": "4 in"})["notes"]}
    assert "3.000 in on 12.00 in" in text["beyond"] and "safe-side" not in text
    assert "beyond" in codes(reply(**{**GOOD, "spacing": "5 in"}))


def test_what_canola_stands_is_said_and_is_no_limit() -> None:
    # Canola Council of Canada: about 10 lb N per acre with the seed.
    made = reply("us", **{**GOOD, "crop": "canola"})
    assert made["results"]["limit"] is None
    assert next(n["text"] for n in made["notes"] if n["code"] == "canola").startswith(
        "Canola stands about 10.00 lb/ac of N"
    )


def test_a_wide_spread_under_double_discs_is_doubted() -> None:
    assert "disc-spread" in codes(reply(**{**GOOD, "opener": "double-disc", "spread": "2.5 in"}))
    assert "disc-spread" not in codes(reply(**{**GOOD, "opener": "double-disc"}))
    assert "disc-spread" not in codes(reply(**{**GOOD, "spread": "2.5 in"}))


def test_nitrogen_is_asked_for_where_there_is_a_limit() -> None:
    assert codes(reply(**GOOD)) == ["safe-side", "medium", "give-nitrogen"]
    assert reply(**GOOD)["results"]["excess"] is None
    assert "give-nitrogen" not in codes(reply(**{**GOOD, "spacing": "15 in"}))


def test_a_give_or_take_that_could_turn_the_verdict_is_said() -> None:
    made = reply(**{**GOOD, "spread": "2 in ± 0.2 in", "nitrogen_rate": "20 lb/ac"})
    assert "give-or-take-unsure" in codes(made)
    assert "give-or-take-lost" in codes(reply(**{**GOOD, "spread": "1 in ± 0.2 in"}))


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"spread": "4 mm"}, [("spread", "too-low")]),
        ({"spread": "21 in"}, [("spread", "too-high")]),
        ({"spread": "2"}, [("spread", "missing-unit")]),
        ({"spread": "11 in"}, [("spread", "too-wide-a-spread")]),
        ({"spacing": "20 mm"}, [("spacing", "too-low")]),
        ({"spacing": "1 in"}, [("spread", "too-wide-a-spread")]),
        ({"soil": "Medium"}, [("soil", "misspelt-choice")]),
        ({"soil": None}, [("soil", "required")]),
        ({"crop": "wheat"}, [("crop", "not-a-choice")]),
        ({"moisture": "wet"}, [("moisture", "not-a-choice")]),
        ({"opener": "double disc"}, [("opener", "misspelt-choice")]),
        ({"nitrogen_rate": "501 kg/ha"}, [("nitrogen_rate", "too-high")]),
        ({"nitrogen_rate": "-1 kg/ha"}, [("nitrogen_rate", "too-low")]),
        ({"nitrogen_rate": "20 lb"}, [("nitrogen_rate", "wrong-kind")]),
        ({"spread": "12 in", "crop": "rye"}, [("spread", "too-wide-a-spread"), ("crop", "not-a-choice")]),
    ],
)
def test_each_mistake_is_on_its_field(changed: dict[str, Any], fields: list[tuple[str, str]]) -> None:
    assert reply(**GOOD)["ok"]
    assert sorted(wrong(reply(**{**GOOD, **changed}))) == sorted(fields)


def test_a_spread_may_fill_the_spacing_and_no_more() -> None:
    made = reply(**{**GOOD, "spread": "10 in"})
    assert made["results"]["utilisation"]["shown"] == "100.0 %"
    with pytest.raises(ValueError, match=r"254\.0 mm"):
        work_out(10.1, 10, "medium")


@pytest.mark.parametrize("spread", ["5 mm", "0.5 m"])
@pytest.mark.parametrize("nitrogen", ["0 kg/ha", "500 kg/ha"])
def test_a_bound_itself_is_allowed(spread: str, nitrogen: str) -> None:
    assert reply(**{**GOOD, "spread": spread, "spacing": "2 m", "nitrogen_rate": nitrogen})["ok"]


# The picture


@settings(max_examples=examples(100))
@given(st.floats(0.25, 19), st.floats(1, 75), st.sampled_from(["metric", "us"]))
def test_picture_is_to_scale_and_keeps_its_words_apart_and_in_the_box(
    spread: float, spacing: float, units: str
) -> None:
    wide_rows = max(spacing, spread)
    made = reply(units, **{**GOOD, "spread": f"{spread:.6f} in", "spacing": f"{wide_rows:.6f} in"})
    assert made["ok"], made
    [chart] = made["charts"]
    seen = looked_at(chart["svg"])
    root = seen.root
    strips = [
        [float(point.split(",")[0]) for point in shape.attrib["points"].split()]
        for shape in root.iter(f"{SVG}polygon")
    ]
    middles = [(min(xs) + max(xs)) / 2 for xs in strips]
    assert len(strips) == 3
    for xs in strips:
        drawn = (max(xs) - min(xs)) / (middles[1] - middles[0])
        assert drawn == pytest.approx(made["results"]["utilisation"]["si"], abs=2e-4)


def test_the_picture_says_what_it_shows() -> None:
    [chart] = reply("us", **GOOD)["charts"]
    assert "10.00 in apart" in chart["description"] and "2.000 in wide" in chart["description"]
    assert re.findall(r">([^<>]+)</text>", chart["svg"]) == ["spacing 10 in", "spread 2 in"]
