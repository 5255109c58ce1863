"""The form of a calculator and its worked example, as rendered.

Sources: HTML Standard for ids, labels and what an attribute may name; WAI-ARIA 1.2 for `aria-describedby`;
the figures of the worked example are asked of the calculator itself.
"""

from __future__ import annotations

import json
import shlex
from collections import Counter
from collections.abc import Callable
from xml.etree import ElementTree

import pytest

from calc.declare import Choice, Field, Input, Rows, catalogue
from calc.reply import reply
from calc.units import SYSTEMS
from handbook.vocabulary import CALCULATOR_OPTIONS

Render = Callable[..., str]
Tree = Callable[[str], ElementTree.Element]
CALCULATORS = sorted(catalogue())
IDS = ("for", "aria-describedby", "aria-labelledby", "aria-controls", "list")


def block(calculator: str, *options: str) -> str:
    return "\n".join([f"/// calculator | {calculator}", *(f"    {option}" for option in options), "///"])


def controls(root: ElementTree.Element) -> dict[str, ElementTree.Element]:
    """Inputs and choices by their names."""
    return {
        one.get("name", ""): one for one in root.iter() if one.tag in ("input", "select") and one.get("name")
    }


# --- ids, labels, order ---


@pytest.mark.parametrize("name", CALCULATORS)
def test_ids_are_unique_and_what_names_an_id_finds_it(render: Render, tree: Tree, name: str) -> None:
    blocks = [block(name), block(name, "machine: trial-two", "tank: Front"), *map(block, CALCULATORS)]
    root = tree(render("\n\n".join(["# Rate", *blocks, "## Rate width"])))
    ids = Counter(one.get("id") for one in root.iter() if one.get("id"))
    assert [repeated for repeated, count in ids.items() if count > 1] == []
    named = {part for one in root.iter() for kind in IDS for part in one.get(kind, "").split()}
    assert named
    assert named <= set(ids)


def measured(one: Field | Rows) -> bool:
    """Whether a give or take may be written here."""
    if isinstance(one, Rows):
        return any(measured(column) for column in one.columns)
    return isinstance(one, Input) and one.measured


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_control_has_a_label_a_hint_and_an_error_in_that_order(
    render: Render, tree: Tree, name: str
) -> None:
    root = tree(render(block(name)))
    labels = {one.get("for") for one in root.iter("label")}
    fields = [one for one in root.iter("div") if one.get("class") == "fb-field"]
    gives = [one for one in root.iter("div") if one.get("class") == "fb-give"]
    assert len(fields) == len(controls(root)) == len(labels) - len(gives)
    assert bool(gives) == any(measured(one) for one in catalogue()[name].inputs)
    for give in gives:
        label, entry = give
        assert label.get("for") == entry.get("id")
        assert "name" not in entry.attrib  # it is sent with the figure that it belongs to
    for field in fields:
        label, hint, error, control, *_ = field
        assert (label.tag, hint.get("class"), error.get("class")) == ("label", "fb-hint", "fb-error")
        assert "hidden" in error.attrib
        entry = control[0]
        assert entry.get("name") == field.get("data-field")
        assert entry.get("id") == label.get("for")
        assert entry.get("aria-describedby", "").split() == [hint.get("id"), error.get("id")]
        assert "".join(label.itertext()).strip()
        if entry.tag == "input":
            assert entry.get("type") == "text"  # never "number": a browser would drop what it cannot read
            assert "".join(hint.itertext()).strip()
    for select in root.iter("select"):
        assert select.get("aria-label") or select.get("id") in labels


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_form_has_every_input_and_says_what_may_be_left_out(render: Render, tree: Tree, name: str) -> None:
    calculator = catalogue()[name]
    root = tree(render(block(name)))
    expected = []
    for one in calculator.inputs:
        if isinstance(one, Rows):
            count = len(one.example)
            expected += [f"{one.name}[{n + 1}].{column.name}" for n in range(count) for column in one.columns]
        else:
            expected.append(one.name)
    assert sorted(controls(root)) == sorted(expected)
    free = {one.name for one in calculator.inputs if one.name in calculator.optional and not one.default}
    free -= {*calculator.all_but_one, *calculator.one_of}
    free -= {one.name for one in calculator.inputs if isinstance(one, Input) and one.needed}
    for field in (one for one in root.iter("div") if one.get("class") == "fb-field"):
        key = field.get("data-field", "")
        if "[" not in key:
            assert (field.find("label/span[@class='fb-may']") is not None) == (key in free), key


@pytest.mark.parametrize("name", CALCULATORS)
def test_units_and_choices_are_those_declared(render: Render, tree: Tree, name: str) -> None:
    found = controls(tree(render(block(name))))
    for one in catalogue()[name].inputs:
        for column in one.columns if isinstance(one, Rows) else [one]:
            key = f"{one.name}[1].{column.name}" if isinstance(one, Rows) else column.name
            if isinstance(column, Choice):
                assert [option.get("value") for option in found[key]] == ["", *column.options]
            elif isinstance(column, Input):
                assert found[key].get("inputmode") == "decimal"


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_unit_offered_is_read_even_by_an_imperial_reader(render: Render, tree: Tree, name: str) -> None:
    root = tree(render(block(name)))
    declared = {one.name: one for one in catalogue()[name].inputs}
    for field in (one for one in root.iter("div") if one.get("class") == "fb-field"):
        for option in field.iterfind(".//select[@class='fb-unit']/option"):
            key = field.get("data-field", "")
            one = declared[key.partition("[")[0]]
            if not isinstance(one, Input):
                continue
            try:
                said = reply(name, {key: f"1 {option.get('value')}"}, "imperial")
            except ValueError as error:
                codes = {problem.code for problem in error.problems if problem.field == key}  # type: ignore[attr-defined]
                assert not codes & {"which-gallon", "unknown-unit", "misspelt-unit", "wrong-kind"}, (
                    option.attrib
                )
            else:
                assert said["ok"]


@pytest.mark.parametrize("name", CALCULATORS)
def test_a_field_tells_with_which_choices_it_has_a_place(render: Render, tree: Tree, name: str) -> None:
    root = tree(render(block(name)))
    told = {
        field.get("data-field"): json.loads(field.get("data-only-with", "{}"))
        for field in root.iter("div")
        if field.get("class") == "fb-field"
    }
    for one in catalogue()[name].inputs:
        if isinstance(one, Input | Choice):
            assert told[one.name] == {other: list(values) for other, values in one.only_with.items()}


# --- presets ---


def test_options_fill_fields_and_go_before_the_sheet(render: Render, tree: Tree) -> None:
    root = tree(
        render(block("rate", "machine: trial-two", "tank: Rear", "rate: 6 lb/ac", "meter_speed: 20 rpm"))
    )
    values = {name: one.get("value") for name, one in controls(root).items()}
    assert values == {
        "width": "40 ft",
        "rate": "6 lb/ac",
        "speed": "5 mph",
        "meter_speed": "20 rpm",
        "mass_per_turn": "0.1 lb/rev",
        "runs": "48",
    }
    assert "Trial Two" in (root.findtext(".//*[@class='fb-from-sheet']") or "")


def test_without_presets_fields_are_empty_and_no_sheet_is_named(render: Render, tree: Tree) -> None:
    root = tree(render(block("rate")))
    assert {one.get("value") for one in controls(root).values()} == {""}
    assert root.find(".//*[@class='fb-from-sheet']") is None


def test_rows_of_the_sheet_become_rows_of_the_form(render: Render, tree: Tree) -> None:
    root = tree(render(block("speed-window", "machine: trial-two")))
    found = controls(root)
    assert [found[f"tanks[{n}].name"].get("value") for n in (1, 2)] == ["Front", "Rear"]
    assert found["tanks[2].rate_high"].get("value") == "8 lb/ac"
    (rows,) = root.iterfind(".//fieldset[@data-rows='tanks']")
    assert [row.findtext("legend/span") for row in rows.iterfind("div/fieldset")] == ["1", "2"]


def test_a_choice_is_preset(render: Render, tree: Tree) -> None:
    root = tree(render(block("bin-capacity", "machine: trial-two", "tank: Rear")))
    body = controls(root)["body"]
    assert [option.get("value") for option in body if "selected" in option.attrib] == ["upright-cylinder"]


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_input_can_be_preset_by_an_option(render: Render, tree: Tree, name: str) -> None:
    calculator = catalogue()[name]
    singles = [one for one in calculator.inputs if not isinstance(one, Rows)]
    assert not {one.name for one in calculator.inputs} & set(CALCULATOR_OPTIONS)
    root = tree(render(block(name, *(f"{one.name}: '{one.example}'" for one in singles))))
    found = controls(root)
    for one in singles:
        if isinstance(one, Choice):
            chosen = [option.get("value") for option in found[one.name] if "selected" in option.attrib]
            assert chosen == [one.example]
        else:
            assert found[one.name].get("value") == one.example


# --- the worked example ---


def variant(root: ElementTree.Element, system: str) -> ElementTree.Element:
    """The part of the worked example that readers of one system see."""
    (example,) = root.iterfind(".//details[@class='fb-example']/div[@class='q']")
    (found,) = (one for one in example if f"q-{system}" in one.get("class", "").split())
    return found


def text(element: ElementTree.Element | None) -> str:
    assert element is not None
    return " ".join("".join(element.itertext()).split(" ")).strip()


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name", CALCULATORS)
def test_the_worked_example_is_the_calculators_own_reply(
    render: Render, tree: Tree, name: str, system: str
) -> None:
    calculator = catalogue()[name]
    said = reply(name, calculator.example, system)
    shown = variant(tree(render(block(name))), system)
    absent = {output.name: output.absent for output in calculator.outputs}

    def words(value: dict[str, str] | str | None, absent: str = "–") -> str:
        return absent if value is None else value["shown"] if isinstance(value, dict) else value

    figures = {
        one.get("data-result"): text(one.find("dd")) for one in shown.iter("div") if one.get("data-result")
    }
    answered = [output.name for output in calculator.outputs if output.name in said["results"]]
    assert list(figures) == answered
    assert figures == {output: words(value, absent[output]) for output, value in said["results"].items()}
    notes = [(one.get("data-note"), text(one)) for one in shown.iter("li") if one.get("data-note")]
    assert [code for code, _ in notes] == [note["code"] for note in said["notes"]]
    for (_, line), note in zip(notes, said["notes"], strict=True):
        assert line.endswith(f" {note['text']}")
    tables = [one for one in shown.iter("div") if one.get("data-table")]
    for made, told in zip(tables, said["tables"], strict=True):
        expected = [[column["title"] for column in told["columns"]]]
        expected += [[words(value) for value in row] for row in told["rows"]]
        assert [[text(each) for each in row] for row in made.iter("tr")] == expected
    charts = [one for one in shown.iter("figure") if one.get("data-chart")]
    for drawn, chart in zip(charts, said["charts"], strict=True):
        assert drawn.find("svg") is not None
        assert text(drawn.find("figcaption")) == chart["description"]


@pytest.mark.parametrize("name", CALCULATORS)
def test_what_the_page_fills_in_and_the_command_give_that_example(
    render: Render, tree: Tree, name: str
) -> None:
    (section,) = tree(render(block(name))).iterfind(".//section[@data-calculator]")
    example = catalogue()[name].example
    assert json.loads(section.get("data-example", "")) == json.loads(json.dumps(example))
    outputs = json.loads(section.get("data-outputs", ""))
    assert [output["name"] for output in outputs] == [one.name for one in catalogue()[name].outputs]
    words = json.loads(section.get("data-words", ""))
    assert set(words["levels"]) == {"info", "check", "stop"}
    (command,) = (code.text for code in section.iter("code"))
    python, m, calc, calculator, *given = shlex.split(command or "")
    assert (python, m, calc, calculator) == ("python", "-m", "calc", name)
    read = dict(one.split("=", 1) for one in given)
    assert read.keys() == example.keys()
    for key, value in example.items():
        assert (read[key] if isinstance(value, str) else json.loads(read[key])) == json.loads(
            json.dumps(value)
        )


@pytest.mark.parametrize("name", CALCULATORS)
def test_cautions_assumptions_and_sources_are_on_the_page(render: Render, tree: Tree, name: str) -> None:
    calculator = catalogue()[name]
    root = tree(render(block(name)))
    shown = text(root)
    for line in (*calculator.cautions, *calculator.assumes, calculator.equation):
        assert line in shown
    for source in (*calculator.sources, *(case.source for case in calculator.cases)):
        assert source.title in shown
    # What could hurt is said before the answer.
    places = [one.get("class") for one in root.iter() if one.get("class") in ("fb-cautions", "fb-answer")]
    assert places == (["fb-cautions"] if calculator.cautions else []) + ["fb-answer"]


def test_the_live_parts_are_empty_when_the_page_comes(render: Render, tree: Tree) -> None:
    root = tree(render(block("rate")))
    (engine,) = root.iterfind(".//*[@class='fb-engine']")
    (status,) = root.iterfind(".//*[@class='fb-status']")
    (spoken,) = root.iterfind(".//*[@class='fb-spoken']")
    (summary,) = root.iterfind(".//*[@class='fb-summary']")
    assert (engine.get("role"), spoken.get("role"), summary.get("role")) == ("status", "status", "alert")
    assert status.get("aria-hidden") == "true"  # it is the spoken one's twin for the eyes
    assert text(engine) == text(status) == text(spoken) == ""
    assert "hidden" in summary.attrib
