"""A declaration that is wrong fails when it is imported; what is declared is kept in the catalogue."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import pytest

from calc import declare as d
from calc import units as u
from calc.declare import Case, Choice, Found, Input, Name, Note, Output, Rows, Source, calculator, words
from calc.quantity import Units

OURS = Source("A definition", basis="our own invention")


def an_input(name: str = "width", **changed: Any) -> Input:
    said = {"title": "Width", "kind": u.LENGTH, "example": "12 m", "low": "1 m", "high": "60 m", **changed}
    return Input(name, **said)


def a_case(**changed: Any) -> Case:
    said: dict[str, Any] = {
        "title": "A case",
        "given": {"width": "12 m"},
        "source": OURS,
        "pinned": {"width": 12.0},
        **changed,
    }
    return Case(**said)


def declared(function: Callable[..., Found], **changed: Any) -> None:
    """Declare `function` soundly, save for what is changed."""
    said: dict[str, Any] = {
        "id": "of-a-test",
        "title": "Of a test",
        "asks": "Is it sound?",
        "inputs": [an_input()],
        "outputs": [Output("width", "Width", u.LENGTH)],
        "equation": "w = w",
        "assumes": [],
        "sources": [OURS],
        "cases": [a_case()],
        **changed,
    }
    calculator(**said)(function)


def sound(width: float) -> Found:
    return Found({"width": width})


def may_be_none(width: float | None = None) -> Found:
    return Found({"width": width})


class Tank(NamedTuple):
    name: str
    rate: float
    least: float | None = None


def of_tanks(tanks: tuple[Tank, ...]) -> Found:
    return Found({"width": tanks[0].rate})


def tank_rows(**changed: Any) -> Rows:
    said: dict[str, Any] = {
        "row": Tank,
        "columns": [Name("name", "Name", "front"), an_input("rate"), an_input("least")],
        "example": [{"name": "front", "rate": "12 m"}],
        "each": "Tank",
        **changed,
    }
    return Rows("tanks", "Tanks", **said)


@pytest.fixture(autouse=True)
def own_catalogue(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(d, "CATALOGUE", {})
    yield


def test_a_sound_declaration_is_kept_and_the_function_left_as_it_is() -> None:
    declared(sound)
    [(name, made)] = d.CATALOGUE.items()
    assert name == made.id == "of-a-test"
    assert made.function is sound and made.optional == frozenset()
    assert made.example == {"width": "12 m"} and made.input("width").title == "Width"


def test_what_may_be_none_may_be_left_out() -> None:
    declared(may_be_none, all_but_one=("width",))
    assert d.CATALOGUE["of-a-test"].optional == {"width"}
    assert d.row_optional(tank_rows()) == {"least"}


def test_rows_are_sound() -> None:
    declared(of_tanks, inputs=[tank_rows()], cases=[a_case(given={"tanks": []})])
    assert list(d.CATALOGUE) == ["of-a-test"]


AT_SIGNATURE = {  # what is said of a declaration and its function, TypeError each
    "another name": (sound, {"inputs": [an_input("breadth")]}),
    "one too many": (sound, {"inputs": [an_input(), an_input("length")]}),
    "one too few": (sound, {"inputs": []}),
    "twice the same": (sound, {"inputs": [an_input(), an_input()]}),
    "all but one, yet none may be None": (sound, {"all_but_one": ("width",)}),
    "one of, yet none may be None": (sound, {"one_of": ("width",)}),
    "all but one of something unknown": (may_be_none, {"all_but_one": ("width", "speed")}),
    "one of something unknown": (may_be_none, {"one_of": ("speed",)}),
    "columns that are not the row's": (of_tanks, {"inputs": [tank_rows(columns=[an_input("rate")])]}),
    "columns in another order": (
        of_tanks,
        {"inputs": [tank_rows(columns=[an_input("rate"), Name("name", "Name", "a"), an_input("least")])]},
    ),
    "a row that is no named tuple": (of_tanks, {"inputs": [tank_rows(row=tuple)]}),
}


@pytest.mark.parametrize("mistake", AT_SIGNATURE)
def test_a_declaration_at_odds_with_its_function_is_a_type_error(mistake: str) -> None:
    function, changed = AT_SIGNATURE[mistake]
    with pytest.raises(TypeError, match="calculator of-a-test"):
        declared(function, **changed)
    assert not d.CATALOGUE


def test_an_order_other_than_the_signatures_is_a_type_error() -> None:
    def two(width: float, length: float) -> Found:
        return Found({"width": width * length})

    declared(two, inputs=[an_input("width"), an_input("length")])
    with pytest.raises(TypeError, match="differ from the signature"):
        declared(two, inputs=[an_input("length"), an_input("width")])


def test_an_input_without_a_type_is_a_type_error() -> None:
    def bare(width) -> Found:  # type: ignore[no-untyped-def]
        return Found({"width": width})

    with pytest.raises(TypeError, match="differ from the signature"):
        declared(bare)


def test_a_part_that_is_not_declared_is_a_type_error() -> None:
    with pytest.raises(TypeError, match="colour"):
        declared(sound, colour="green")
    with pytest.raises(TypeError, match="missing"):
        calculator(id="of-a-test", title="Only a title")(sound)


OF_ITSELF: dict[str, tuple[dict[str, Any], str]] = {  # what is said, and words of the ValueError
    "no source": ({"sources": []}, "a source and a case are needed"),
    "no case": ({"cases": []}, "a source and a case are needed"),
    "a source on no known basis": ({"sources": [Source("x", basis="hearsay")]}, "basis"),
    "a case's source on no known basis": ({"cases": [a_case(source=Source("x", basis="hearsay"))]}, "basis"),
    "a case that checks nothing": ({"cases": [a_case(pinned={})]}, "checks nothing"),
    "a case that gives what is not asked": ({"cases": [a_case(given={"widht": "12 m"})]}, "widht"),
    "a note of no known level": ({"notes": [Note("n", "loud", words("x"))]}, "level"),
    "a result without kind or sentences": ({"outputs": [Output("width", "W")]}, "either a kind or sentences"),
    "a result with both": (
        {"outputs": [Output("width", "W", u.LENGTH, says={"a": words("b")})]},
        "either a kind or sentences",
    ),
    "an unknown unit": ({"inputs": [an_input(example="12 furlongs")]}, "furlongs"),
    "an unknown unit of a bound": ({"inputs": [an_input(high="60 furlongs")]}, "furlongs"),
    "a unit of another kind": ({"inputs": [an_input(low="1 kg")]}, "measure of mass"),
    "a missing unit": ({"inputs": [an_input(example="12")]}, "missing its unit"),
    "a default that does not read": ({"inputs": [an_input(default="1,234 m")]}, "1,234"),
    "an example below its bounds": ({"inputs": [an_input(example="0.5 m")]}, "outside its bounds"),
    "an example above its bounds": (
        {"inputs": [an_input(example="6000 cm", high="59 m")]},
        "outside its bounds",
    ),
    "bounds the wrong way round": ({"inputs": [an_input(low="60 m", high="1 m")]}, "outside its bounds"),
}


@pytest.mark.parametrize("mistake", OF_ITSELF)
def test_a_declaration_that_is_not_whole_is_a_value_error(mistake: str) -> None:
    changed, said = OF_ITSELF[mistake]
    with pytest.raises(ValueError, match="calculator of-a-test") as caught:
        declared(sound, **changed)
    assert said in str(caught.value)
    assert not d.CATALOGUE


@pytest.mark.parametrize("changed", [{"example": "cone"}, {"default": "cone"}])
def test_a_choice_that_is_none_of_its_own_is_a_value_error(changed: dict[str, str]) -> None:
    said = {"example": "box", **changed}
    with pytest.raises(ValueError, match="not a choice"):
        declared(sound, inputs=[Choice("width", "Body", {"box": "A box"}, **said)])


def test_a_mistake_in_a_column_is_found_too() -> None:
    columns = [Name("name", "Name", "front"), an_input("rate", example="12 furlongs"), an_input("least")]
    with pytest.raises(ValueError, match="rate: the unit “furlongs”"):
        declared(of_tanks, inputs=[tank_rows(columns=columns)], cases=[a_case(given={"tanks": []})])


def test_a_kind_that_is_not_known_is_an_import_error() -> None:
    with pytest.raises(ImportError):
        exec("from calc.units import FURLONGS_PER_FORTNIGHT", {})


def test_sentences_show_quantities_for_the_reader_and_leave_the_rest() -> None:
    said = words("{tank} runs out at {speed}, {count} times", speed=u.SPEED, count=u.COUNT)
    parts: dict[str, float | str] = {"tank": "{front}", "speed": 2.2352, "count": 3.0}
    assert said.fill(parts, Units("us")) == "{front} runs out at 5.000 mph, 3 times"
    assert said.fill(parts, Units("metric")) == "{front} runs out at 8.047 km/h, 3 times"


def test_a_sentence_may_have_words_in_place_of_a_quantity() -> None:
    assert words("at {speed}", speed=u.SPEED).fill({"speed": "any speed"}, Units()) == "at any speed"
