"""Problems to practise on: the same figures on every device, solvable for every seed, and each slip named.

Sources: SplitMix64's published first numbers (Rosetta Code, “Pseudo-random numbers/Splitmix64”, from memory);
scipy's chi-square test for evenness; arithmetic by hand with exact factors (43 560 ft² an acre, 5 280 ft a
mile); the problems are our own invention.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from calc.asked import answer
from calc.errors import InputError
from calc.practice import chosen, judge, led_to, mixed, pose, read, steps, working
from calc.quantity import Units, parse, show
from calc.reply import answer as calculators_answer
from calc.units import SPEED
from tests.calculators.many import examples

RATE: dict[str, Any] = {
    "calculator": "rate",
    "ask": "meter_speed",
    "given": {
        "width": "40 to 80 by 5 ft",
        "rate": "60 to 180 by 5 lb/ac",
        "speed": "4 to 6.5 by 0.5 mph",
        "mass_per_turn": "0.8 to 1.6 by 0.05 lb/rev",
    },
    "slips": [{"says": "You took half of the width.", "times": "0.5"}],
}
WORK: dict[str, Any] = {
    "calculator": "field-work",
    "ask": "hours",
    "given": {
        "width": "40 to 60 by 10 ft",
        "speed": "4 to 6 by 1 mph",
        "efficiency": "60 to 80 by 5 %",
        "area": "160 to 640 by 160 ac",
    },
    "slips": [{"says": "You forgot the field efficiency.", "given": {"efficiency": "100 %"}}],
}
CATCHES: dict[str, Any] = {
    "calculator": "calibration",
    "ask": "mass_per_turn",
    "given": {
        "mass_per_turn": "1.4 lb/rev",
        "catches": [
            {"turns": "20", "gross": "27.8 to 28.4 by 0.1 lb"},
            {"turns": "20", "gross": "27.8 to 28.4 by 0.1 lb"},
            {"turns": "20", "gross": "27.8 to 28.4 by 0.1 lb"},
        ],
    },
}
PINNED = {"width": "40 ft", "rate": "130 lb/ac", "speed": "5 mph", "mass_per_turn": "1.4 lb/rev"}
PROBLEMS = {"rate": RATE, "field-work": WORK, "calibration": CATCHES}
US = Units("us")


def by_hand(figures: dict[str, Any]) -> float:
    """The meter speed in rpm: 43 560 ft² an acre, 88 ft a minute for each mph."""
    number = {name: float(text.split()[0]) for name, text in figures.items()}
    acres = number["width"] * number["speed"] * 88 / 43_560
    return acres * number["rate"] / number["mass_per_turn"]


# --- figures -------------------------------------------------------------------------------------------


def test_the_numbers_are_those_of_splitmix64() -> None:
    state, found = 1234567, []
    for _ in range(5):
        found.append(mixed(state))
        state = (state + 0x9E3779B97F4A7C15) & ((1 << 64) - 1)
    assert found == [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]


def test_every_step_is_drawn_as_often_as_the_others() -> None:
    for name in ("width", "speed", "catches.2.gross"):
        counts = Counter(chosen(seed, name) % 7 for seed in range(7000))
        assert sorted(counts) == list(range(7))
        assert chisquare(list(counts.values())).pvalue > 0.001


@pytest.mark.parametrize("name", PROBLEMS)
def test_a_thousand_seeds_give_figures_that_can_be_solved(name: str) -> None:
    practice = read(PROBLEMS[name])
    seen = set()
    for seed in range(1000):
        posed = pose(practice, seed)
        seen.add(str(posed.given))
        assert math.isfinite(posed.answer)
        assert posed.answer > 0
        assert judge(practice, posed, show(posed.answer, practice.kind, US), US)["right"]
    assert len(seen) > 100 if name != "field-work" else len(seen) > 60


def test_figures_stand_on_their_steps_and_the_answer_is_that_of_a_sum_by_hand() -> None:
    practice = read(RATE)
    for seed in range(200):
        posed = pose(practice, seed)
        for field, text in posed.given.items():
            low, size, count, unit = steps(RATE["given"][field]) or pytest.fail(field)
            number, _, written = text.partition(" ")
            at = (Fraction(number) - low) / size
            assert at.denominator == 1
            assert 0 <= at < count
            assert written == unit
        assert posed.answer * 60 == pytest.approx(by_hand(dict(posed.given)), rel=1e-9)


def test_a_seed_gives_the_same_figures_for_ever() -> None:
    """Pinned, for a worksheet that was printed must find its key again."""
    practice = read(RATE)
    assert pose(practice, 7).given == pose(practice, 7).given
    assert pose(practice, 7).given != pose(practice, 8).given
    assert pose(practice, 7).given == PINNED


def test_figures_that_make_no_sense_together_are_drawn_again() -> None:
    loose = {
        **CATCHES["given"],
        "catches": [{"turns": "20", "gross": "10 to 30 by 20 lb", "tare": "20 lb"}] * 2,
    }
    practice = read({**CATCHES, "given": loose})
    for seed in range(50):
        assert {row["gross"] for row in pose(practice, seed).given["catches"]} == {"30 lb"}
    never = {**CATCHES["given"], "catches": [{"turns": "20", "gross": "10 lb", "tare": "20 lb"}] * 2}
    with pytest.raises(InputError, match="weighs as much as the full one"):
        pose(read({**CATCHES, "given": never}), 1)


# --- answers -------------------------------------------------------------------------------------------


def said(problem: dict[str, Any], answer: str, seed: int = 3) -> tuple[str, str]:
    verdict = judge(read(problem), pose(read(problem), seed), answer, US)
    assert verdict["right"] is (verdict["code"] == "right")
    return verdict["code"], verdict["says"]


def test_an_answer_is_right_in_any_unit_and_within_the_tolerance_only() -> None:
    right = by_hand(dict(pose(read(RATE), 3).given))
    assert said(RATE, f"{right:.2f} rpm")[0] == "right"
    assert said(RATE, f"{right / 60:.5f} rev/s")[0] == "right"
    assert said(RATE, f"{right * 1.0099:.4f} rpm")[0] == "right"
    assert said(RATE, f"{right * 1.0101:.4f} rpm") == ("too-much", "Not yet: this is 1.010 % too much.")
    assert said({**RATE, "within": "3 %"}, f"{right * 1.0101:.4f} rpm")[0] == "right"
    assert said(RATE, f"{right * 0.8:.4f} rpm") == ("too-little", "Not yet: this is 20.00 % too little.")


def test_each_slip_is_named() -> None:
    right = by_hand(dict(pose(read(RATE), 3).given))
    assert said(RATE, f"{right / 2:.4f} rpm") == ("slip-1", "You took half of the width.")
    assert said(RATE, f"{right:.4f} rev/s") == (
        "unit",
        "That is the figure in rpm. Look at the unit again.",
    )
    assert said(RATE, f"{right * 10:.4f} rpm")[0] == "tens"
    assert said(RATE, f"{right / 100:.6f} rpm")[0] == "tens"
    assert said(RATE, f"-{right:.4f} rpm")[0] == "other-sign"
    assert said(RATE, f"{1 / right:.7f} rpm")[0] == "upside-down"


@pytest.mark.parametrize("power", [-3, -2, -1, 1, 2, 3])
def test_a_figure_that_is_tens_off_is_named(power: int) -> None:
    practice = read({key: value for key, value in RATE.items() if key != "slips"})
    posed = pose(practice, 4)
    written = show(posed.answer * 10.0**power, practice.kind, US)
    assert judge(practice, posed, written, US)["code"] == "tens"


@pytest.mark.parametrize(
    ("within", "refused"), [("0 %", True), ("100 %", True), ("99 %", False), ("1 %", False)]
)
def test_a_tolerance_is_more_than_nothing_and_less_than_all(within: str, refused: bool) -> None:
    try:
        read({**RATE, "within": within})
        assert not refused
    except InputError as error:
        assert refused and [one.code for one in error.problems] == ["not-a-tolerance"]


@pytest.mark.parametrize("times", ["0", "-2"])
def test_a_slip_takes_the_answer_times_more_than_nothing(times: str) -> None:
    with pytest.raises(InputError) as refused:
        read({**RATE, "slips": [{"says": "A slip.", "times": times}]})
    assert [(one.field, one.code) for one in refused.value.problems] == [("slips[1].times", "not-bare")]


@pytest.mark.parametrize("text", ["12 to 15 ft", "12 by 3 ft", "12 ft", "from 2 by 3"])
def test_what_is_written_as_half_a_range_is_none(text: str) -> None:
    assert steps(text) is None


def test_a_figure_near_one_is_not_called_upside_down() -> None:
    """With 1.2 lb/rev right, 0.833 lb/rev may as well be a figure that is a third off."""
    given = {"width": "40 ft", "rate": "99 lb/ac", "speed": "5 mph", "meter_speed": "33.33 rpm"}
    practice = read({"calculator": "rate", "ask": "mass_per_turn", "given": given})
    posed = pose(practice, 1)
    right = posed.answer / 0.45359237
    assert 1.1 < right < 1.3
    assert judge(practice, posed, f"{1 / right:.5f} lb/rev", US)["code"] == "too-little"


def test_a_slip_that_is_known_by_other_figures_is_named() -> None:
    practice = read(WORK)
    for seed in range(100):
        posed = pose(practice, seed)
        efficiency = float(posed.given["efficiency"].split()[0]) / 100
        forgotten = led_to(practice, posed, practice.slips[0])
        assert forgotten == pytest.approx(posed.answer * efficiency, rel=1e-9)
        verdict = judge(practice, posed, f"{forgotten / 3600:.6f} h", US)
        assert verdict == {"right": False, "code": "slip-1", "says": "You forgot the field efficiency."}


def test_what_cannot_be_read_says_what_to_write() -> None:
    with pytest.raises(InputError) as wrong:
        judge(read(RATE), pose(read(RATE), 3), "50", US)
    (one,) = wrong.value.problems
    assert one.field == "answer"
    assert "missing its unit" in one.text
    with pytest.raises(InputError, match="answer: “50 lb” is a measure of mass"):
        judge(read(RATE), pose(read(RATE), 3), "50 lb", US)


@settings(max_examples=examples(200))
@given(st.text(max_size=30), st.integers(min_value=0, max_value=2**40))
def test_any_answer_is_judged_or_refused_with_words(text: str, seed: int) -> None:
    try:
        verdict = judge(read(RATE), pose(read(RATE), seed), text, US)
    except InputError as error:
        assert all(one.text for one in error.problems)
    else:
        assert verdict["says"]


def test_the_working_goes_from_what_is_given_to_the_answer() -> None:
    practice = read(RATE)
    posed = pose(practice, 3)
    lines = working(practice, posed, US)
    assert [line["title"] for line in lines[:4]] == ["Working width", "Rate", "Ground speed", "Mass per turn"]
    assert lines[-1]["title"] == practice.ask.title
    assert float(lines[-1]["shown"].split()[0]) == pytest.approx(by_hand(dict(posed.given)), rel=1e-3)
    assert any(
        line["title"].startswith("Catch 2") for line in working(read(CATCHES), pose(read(CATCHES), 1), US)
    )


# --- problems that are written wrongly -------------------------------------------------------------------


def test_everything_that_is_wrong_with_a_problem_is_said_at_once() -> None:
    with pytest.raises(InputError) as wrong:
        read(
            {
                "calculator": "rate",
                "ask": "meter_sped",
                "given": {"widht": "40 ft", "rate": "60 to 50 by 5 lb/ac", "speed": "4 to 6 by 0.7 mph"},
                "within": "150 %",
                "slips": [
                    {"says": "x"},
                    {"says": "y", "times": "much"},
                    {"says": "z", "given": {"runs": "1", "rat": "2"}},
                ],
            }
        )
    assert [(one.field, one.code) for one in wrong.value.problems] == [
        ("ask", "misspelt-result"),
        ("given.widht", "misspelt-field"),
        ("given.rate", "not-a-range"),
        ("given.speed", "not-a-range"),
        ("within", "not-a-tolerance"),
        ("slips[1]", "no-slip"),
        ("slips[2].times", "not-a-number"),
        ("slips[3].given.rat", "misspelt-field"),
    ]
    assert all(one.text for one in wrong.value.problems)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("40 ft", None),
        ("20", None),
        ("10 to 30 by 5", (10, 5, 5, "")),
        ("0.8 to 1.6 by 0.05 lb/rev", (Fraction("0.8"), Fraction("0.05"), 17, "lb/rev")),
    ],
)
def test_a_range_is_read(text: str, found: object) -> None:
    assert steps(text) == found


@pytest.mark.parametrize(
    "text", ["5 to 4 by 1", "1 to 2 by 0", "1 to 2 by 0.3 ft", "1 ft to 2 ft by 1 ft", "1 to 1 by 1"]
)
def test_what_is_no_range_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="is no range of figures on even steps"):
        steps(text)


# --- as a page asks -------------------------------------------------------------------------------------


def asked(**more: Any) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(answer(json.dumps({"practice": RATE, "seed": "7", **more})))
    return found


def test_a_page_gets_the_figures_in_the_readers_units() -> None:
    drawn = pose(read(RATE), 7).given
    assert asked(units="us")["shown"] == drawn
    shown = asked(units="metric")["shown"]
    assert shown["speed"].endswith(" km/h")
    assert parse(shown["speed"], SPEED) == pytest.approx(parse(drawn["speed"], SPEED), rel=1e-3)


def test_a_gallon_is_the_books_whatever_the_readers_units() -> None:
    """A US gallon is 231 cubic inches and an imperial one 4.54609 L (NIST SP 811, UK law)."""
    given = {"nitrogen_rate": "80 lb/ac", "width": "40 ft", "speed": "5 mph", "temperature": "50 °F"}
    problem = {"calculator": "ammonia", "ask": "area_per_tank", "given": {**given, "tank_volume": "1000 gal"}}
    request = {"practice": problem, "seed": "1", "units": "imperial", "working": True}
    found = json.loads(answer(json.dumps(request)))
    assert found["ok"], found
    assert found["shown"]["tank_volume"] == f"{1000 * 231 * 0.0254**3 * 1000 / 4.54609:.1f} imp gal"


def test_figures_in_rows_have_the_number_of_their_row() -> None:
    request = {"practice": CATCHES, "seed": 1, "units": "us"}
    shown = json.loads(answer(json.dumps(request)))["shown"]
    assert shown["catches.2.turns"] == "20"
    assert shown["catches.3.gross"].endswith(" lb")


def test_a_page_gets_a_verdict_and_the_working_where_it_asks() -> None:
    right = show(pose(read(RATE), 7).answer, read(RATE).kind, US)
    assert not {"right", "working"} & asked().keys()
    assert asked(answer=right, units="us")["right"] is True
    assert asked(answer="1 rpm", units="us")["right"] is False
    assert asked(working=True, units="us")["working"][-1]["shown"] == right


@pytest.mark.parametrize("more", ["seed=x", "seed=-1", "seed=1.5", "answer=fast", "units=x"])
def test_what_a_page_asks_wrongly_is_said_in_words(more: str) -> None:
    name, text = more.split("=")
    refused = asked(**{name: text})
    assert not refused["ok"]
    assert all(one["problem"] for one in refused["errors"])


@pytest.mark.parametrize("practice", [{}, [], None, "x", {"calculator": "rate"}, {**RATE, "given": []}])
def test_a_problem_of_any_shape_is_answered_without_a_traceback(practice: Any) -> None:
    found = json.loads(answer(json.dumps({"practice": practice})))
    assert not found["ok"]
    assert "our-fault" not in {one["code"] for one in found["errors"]}


def test_all_else_is_a_calculators() -> None:
    request = json.dumps({"calculator": "rate", "given": PINNED, "units": "us"})
    assert answer(request) == calculators_answer(request)
    assert answer("[]") == calculators_answer("[]")
