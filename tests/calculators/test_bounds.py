"""What lies on a bound, beside it, or behind something that is left out: by the words of the docstrings."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from calc.errors import InputError
from calc.metering.even_findings import MOST_NAMED, end_of, part_of
from calc.metering.evenness import _other_heads
from calc.metering.run_sums import Head, Run, RunCatch, scatter_of_repeats, share_of_heads
from calc.metering.sampling import counts_for
from calc.quantity import Units, exact_give_or_take, example_of, is_written_in
from calc.record.entry import problems
from calc.record.files import as_csv, read_file
from calc.record.kinds import KINDS
from calc.reply import respond
from calc.units import COUNT, MASS, RATIO, SPEED
from tests.calculators.record_entries import example


def run(number: int, mass: float) -> Run:
    return Run(number, (mass,), 1, mass)


@pytest.mark.parametrize(("lowest", "code"), [(1, "run"), (2, "runs"), (6, "runs"), (7, "many")])
def test_six_runs_are_named_and_more_are_counted(lowest: int, code: str) -> None:
    assert MOST_NAMED == 6
    runs = [run(n, 1.0) for n in range(1, lowest + 1)] + [run(n, 2.0) for n in range(20, 24)]
    found = end_of(runs, 1.5, min)
    assert found and found.code == code
    if code == "runs":
        assert str(found.parts["runs"]).endswith(f" and {lowest}")


def test_of_a_single_run_there_is_no_lowest() -> None:
    assert end_of([run(1, 1.0)], 1.0, min) is None
    alike = end_of([run(1, 1.0), run(2, 1.0)], 1.0, min)
    assert alike and alike.code == "alike"


@pytest.mark.parametrize(
    ("masses", "code"), [((0.4, 0.9), "low"), ((0.4, 1.0, 1.0), "few-low"), ((0.8, 0.8, 0.8), "low")]
)
def test_a_head_is_pulled_off_by_few_only_if_the_others_are_right(
    masses: tuple[float, ...], code: str
) -> None:
    head = Head(1, tuple(run(n, mass) for n, mass in enumerate(masses, start=1)))
    assert part_of(head, 1.0, 0.05).code == code


def test_a_run_under_two_heads_is_found_behind_one_without_a_head() -> None:
    catches = [RunCatch(1.0, 1.0, None), RunCatch(2.0, 1.0, 1.0), RunCatch(2.0, 1.0, 2.0)]
    assert [one.field for one in _other_heads(catches)] == ["catches[3].head"]


def test_how_a_figure_is_written_fits_its_kind() -> None:
    us = Units("us")
    assert (example_of(COUNT, us), example_of(RATIO, us), example_of(SPEED, us)) == ("12", "12.5", "12.5 mph")


@pytest.mark.parametrize(("text", "written"), [("5 kg", True), ("5 m", False), ("kg", False), ("", False)])
def test_what_is_no_number_is_written_in_no_unit(text: str, written: bool) -> None:
    assert is_written_in(text, MASS) is written


def test_a_give_or_take_below_nothing_says_what_to_write() -> None:
    with pytest.raises(InputError) as refused:
        exact_give_or_take("-1.23456", RATIO, Fraction(2))
    assert dict(refused.value.problems[0].parts) == {"example": "1.23"}


def test_a_table_of_catches_lies_on_both_sides_of_the_one_that_is_needed() -> None:
    assert counts_for(None)[0] == 2
    assert counts_for(7) == [2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20]
    assert counts_for(100) == [2, 3, 10, 25, 50, 75, 90, 100, 110, 125, 150]


@pytest.mark.parametrize("left_out", ["low", "high"])
def test_one_limit_is_enough(left_out: str) -> None:
    entry = example("measured", value="41 rpm", low="40 rpm", high="42 rpm", verdict="within")
    assert problems(entry) == problems({k: v for k, v in entry.items() if k != left_out}) == []
    bare = {k: v for k, v in entry.items() if k not in ("low", "high")}
    assert [one.code for one in problems(bare)] == ["no-limit"]


def test_a_table_may_have_every_column_and_none_twice() -> None:
    text = as_csv([example(kind) for kind in KINDS])
    assert read_file(text).entries
    head, _, rest = text.partition("\n")
    with pytest.raises(InputError):
        read_file(f"{head.rstrip()},kind\r\n{rest}")
    with pytest.raises(InputError):
        read_file(f"{head.rstrip()},other\r\n{rest}")


def test_an_outlet_that_could_never_give_it_is_told_with_both_flows() -> None:
    given = {"rate": "20 us gal/ac", "speed": "5 mph", "spacing": "10 in", "density": "10.65 lb/us gal"}
    given |= {"known_flow": "0.0001 gpm", "known_pressure": "30 psi"}
    asked = {"calculator": "liquid", "given": given, "units": "us"}
    [error] = respond(json.dumps(asked))["errors"]
    assert error["field"] == "known_flow"
    assert "0.0001" in error["problem"] and "gpm" in error["problem"]


def test_two_runs_are_enough_to_look_at() -> None:
    reply = respond(
        json.dumps(
            {
                "calculator": "evenness",
                "given": {"catches": [{"run": "1", "mass": "100 g"}, {"run": "2", "mass": "150 g"}]},
            }
        )
    )
    assert any(table["id"] == "look" and table["rows"] for table in reply["tables"])


def test_heads_share_nothing_where_all_runs_are_alike() -> None:
    runs = [Run(n, (1.0,), 1 + n % 2, 1.0) for n in range(1, 7)]
    heads = [Head(n, tuple(one for one in runs if one.head == n)) for n in (1, 2)]
    assert share_of_heads(heads) is None


def test_one_run_caught_often_tells_nothing_of_the_others() -> None:
    assert scatter_of_repeats([Run(1, (1.0, 1.1, 1.3), 1, 1.1)]) is None


def test_three_columns_are_a_record_that_lacks_much() -> None:
    found = read_file("format,kind,id\r\n1,measured,11111111-0000-4000-8000-000000000000\r\n")
    assert not found.entries
    assert found.refused


def test_where_most_of_a_doubt_comes_from_is_named_with_its_row() -> None:
    catches = [
        {"turns": "10", "gross": "10.0 lb ± 0.5 lb", "tare": "1 lb"},
        {"turns": "10", "gross": "9.9 lb"},
    ]
    asked = {"calculator": "calibration", "given": {"catches": catches}, "units": "us"}
    [told] = [note["text"] for note in respond(json.dumps(asked))["notes"] if note["code"] == "give-or-take"]
    assert "comes from “Mass with the container” of catch 1:" in told
