"""What one calculator hands to the next, against the declarations; and the page that says all about each.

Source: the book's own rules, common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from calc.declare import Calculator, Field, Input, Rows, catalogue
from calc.units import KINDS
from handbook.onward import ways_on
from handbook.reference import OF_OTHERS, reference_page

ALL = list(catalogue().values())
PRINTED_NOWHERE = {"delay", "refill-plan", "road-load", "sampling"}


def fields(calculator: Calculator) -> Iterator[tuple[str, Field]]:
    """Every field, under `name` or `rows.name`."""
    for one in calculator.inputs:
        if isinstance(one, Rows):
            yield from ((f"{one.name}.{column.name}", column) for column in one.columns)
        else:
            yield one.name, one


def ids(calculator: Calculator) -> str:
    return calculator.id


@pytest.mark.parametrize("calculator", ALL, ids=ids)
def test_every_way_on_leads_somewhere_and_fills_something_in(calculator: Calculator) -> None:
    assert calculator.id not in calculator.then
    for way in ways_on(calculator, catalogue()):
        following = catalogue()[way["id"]]
        rows = way["rows"] or {"name": "", "columns": {}}
        assert way["fields"] or rows["columns"], way["id"]
        names = {name for name, _ in fields(following)}
        assert {*way["fields"], *(f"{rows['name']}.{name}" for name in rows["columns"])} <= names


@pytest.mark.parametrize("calculator", ALL, ids=ids)
def test_what_a_field_takes_is_of_its_kind(calculator: Calculator) -> None:
    for name, field in fields(calculator):
        for source in getattr(field, "takes", ()):
            giver, _, figure = source.partition(".")
            assert isinstance(field, Input)
            given = catalogue()[giver]
            kinds = {output.name: output.kind for output in given.outputs}
            kinds |= {key: one.kind for key, one in fields(given) if isinstance(one, Input)}
            assert figure in kinds, (name, source)
            assert kinds[figure] is not None
            assert kinds[figure].dimension == field.kind.dimension, (name, source)
            assert calculator.id in given.then, f"{giver} does not lead to {calculator.id}"


def test_the_chain_of_a_calibration_hands_everything_on() -> None:
    """From the catch to the field without typing a figure twice."""
    [rate] = [way for way in ways_on(catalogue()["calibration"], catalogue()) if way["id"] == "rate"]
    assert rate["fields"]["mass_per_turn"][0] == "results.mass_per_turn"
    [window] = [way for way in ways_on(catalogue()["rate"], catalogue()) if way["id"] == "speed-window"]
    assert window["fields"]["width"] == ["used.width"]
    assert window["rows"]["each"] is None
    assert window["rows"]["columns"]["mass_per_turn"] == ["results.mass_per_turn", "used.mass_per_turn"]
    [refill] = [
        way for way in ways_on(catalogue()["speed-window"], catalogue()) if way["id"] == "refill-plan"
    ]
    assert refill["fields"]["width"] == ["used.width"]
    assert (refill["rows"]["name"], refill["rows"]["each"]) == ("tanks", "tanks")
    assert refill["rows"]["columns"] == {"name": ["name"], "rate": ["rate_high"]}


def test_a_tanks_width_is_not_taken_for_the_machines() -> None:
    [refill] = [
        way for way in ways_on(catalogue()["bin-capacity"], catalogue()) if way["id"] == "refill-plan"
    ]
    assert "width" not in refill["fields"]
    assert refill["rows"]["columns"] == {"mass": ["results.mass"], "rate": ["used.rate"]}


def test_of_two_that_exclude_each_other_one_is_filled_in() -> None:
    [run] = [way for way in ways_on(catalogue()["stand"], catalogue()) if way["id"] == "run-flow"]
    assert run["fields"]["seeds"] == ["results.seeds_per_area"]
    assert "rate" not in run["fields"]


@pytest.mark.parametrize("calculator", ALL, ids=ids)
def test_every_declaration_says_what_it_leaves_out_and_warns_of(calculator: Calculator) -> None:
    assert calculator.leaves_out
    assert calculator.assumes
    assert calculator.cautions


@pytest.mark.parametrize("calculator", ALL, ids=ids)
def test_a_figure_that_someone_else_printed_or_word_that_there_is_none(calculator: Calculator) -> None:
    printed = [case for case in calculator.cases if case.printed and case.source.basis in OF_OTHERS]
    none = "No source that we know prints a figure for this." in reference_page(calculator)
    assert bool(printed) != none
    assert none == (calculator.id in PRINTED_NOWHERE)


@pytest.mark.parametrize("calculator", ALL, ids=ids)
def test_the_page_about_it_has_every_figure_and_source(calculator: Calculator) -> None:
    page = reference_page(calculator)
    for name, _ in fields(calculator):
        assert f"<code>{name.replace('.', '[].')}</code>" in page
    for case in calculator.cases:
        for printed in case.printed.values():
            assert f"<td>{printed}</td>" in page
    assert page.count("<tr>") >= len(calculator.outputs) + len(list(fields(calculator)))
    assert calculator.equation.split("=")[0].strip() in page


def test_no_kind_is_left_unused() -> None:
    used = {one.kind.id for calculator in ALL for _, one in fields(calculator) if isinstance(one, Input)}
    used |= {output.kind.id for calculator in ALL for output in calculator.outputs if output.kind}
    used |= {c.kind.id for calculator in ALL for t in calculator.tables for c in t.columns if c.kind}
    spare = set(KINDS) - used
    # The last is for limits, which no calculator gives.
    assert spare <= {"absolute_pressure", "temperature_difference", "voltage"}, spare
