"""The contract of a reply, for every calculator there is and for one of the test's own with rows."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import declare as d
from calc import reply as r
from calc import units as u
from calc.declare import (
    Case,
    Choice,
    Column,
    Found,
    Input,
    Name,
    Note,
    Output,
    Rows,
    Source,
    Table,
    calculator,
    catalogue,
    say,
    words,
)
from calc.errors import MESSAGES, Problem, listed, nearest, problem
from calc.number import settle
from calc.quantity import Units, parse, show
from calc.reply import answer, compact, respond
from tests.calculators.many import examples

KNOWN = dict(catalogue())
UNITS = ["metric", "us", "us,speed=metric"]
EXAMPLES = [pytest.param(name, units, id=f"{name}, {units}") for name in KNOWN for units in UNITS]


def example(name: str, units: str) -> dict[str, Any]:
    made = respond(compact({"calculator": name, "given": KNOWN[name].example, "units": units}))
    assert made["ok"], made
    return made


def figures(value: Any) -> Iterator[dict[str, Any]]:
    """Every figure of a reply, wherever it stands."""
    if isinstance(value, dict) and set(value) == {"si", "shown"}:
        yield value
    elif isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from figures(inner)


@pytest.mark.parametrize(("name", "units"), EXAMPLES)
def test_a_good_reply_has_its_parts_in_order(name: str, units: str) -> None:
    made, declared = example(name, units), KNOWN[name]
    assert list(made) == [
        "ok",
        "schema",
        "calculator",
        "units",
        "used",
        "results",
        "tables",
        "charts",
        "notes",
    ]
    assert (made["ok"], made["schema"], made["calculator"], made["units"]) == (True, 1, name, units)
    assert list(made["used"]) == [i.name for i in declared.inputs if i.name in made["used"]]
    assert list(made["results"]) == [o.name for o in declared.outputs if o.name in made["results"]]
    for table in made["tables"]:
        assert list(table) == ["id", "title", "columns", "rows"]
        assert all(list(column) == ["id", "title"] for column in table["columns"])
        assert len({column["id"] for column in table["columns"]}) == len(table["columns"])
        assert all(len(row) == len(table["columns"]) for row in table["rows"])
    for chart in made["charts"]:
        assert list(chart) == ["id", "title", "description", "svg"]
    for note in made["notes"]:
        assert list(note) == ["level", "code", "text"] and note["level"] in ("info", "check", "stop")
    cells = [
        *made["results"].values(),
        *(c for table in made["tables"] for row in table["rows"] for c in row),
    ]
    assert all(c is None or isinstance(c, str) or list(c) == ["si", "shown"] for c in cells)
    assert not re.search(
        r"\{[a-z_]+\}", json.dumps([made["results"], made["notes"]])
    )  # no part left unfilled


@pytest.mark.parametrize(("name", "units"), EXAMPLES)
def test_every_figure_is_settled_and_shown_so_that_it_reads_back(name: str, units: str) -> None:
    made, declared = example(name, units), KNOWN[name]
    found = list(figures(made))
    assert len(found) >= 2
    assert all(figure["si"] == settle(figure["si"]) for figure in found)
    assert not re.search(r"\d[eE][+-]?\d", " ".join(figure["shown"] for figure in found))
    kinds = {i.name: i.kind for i in declared.inputs if isinstance(i, Input)}
    shown = [(kinds[name], made["used"][name]) for name in kinds if name in made["used"]]
    shown += [
        (o.kind, made["results"][o.name]) for o in declared.outputs if o.kind and made["results"].get(o.name)
    ]
    chosen = Units.read(units)
    for kind, figure in shown:
        assert show(figure["si"], kind, chosen) == figure["shown"]
        assert math.isclose(parse(figure["shown"], kind, chosen), figure["si"], rel_tol=6e-4, abs_tol=1e-12)


@pytest.mark.parametrize(("name", "units"), EXAMPLES)
def test_every_picture_is_well_formed_and_placed_to_two_decimals(name: str, units: str) -> None:
    for chart in example(name, units)["charts"]:
        root = ElementTree.fromstring(chart["svg"])
        assert [child.text for child in root][:2] == [chart["title"], chart["description"]]
        for shape in root.iter():
            placed = [shape.get(key, "0") for key in ("x", "y", "cx", "cy", "r", "width", "height")]
            placed += re.split(r"[ ,]", shape.get("points", "0"))
            assert all(re.fullmatch(r"-?\d+(\.\d{1,2})?", number) for number in placed), shape.attrib


@pytest.mark.parametrize(("name", "units"), EXAMPLES)
def test_the_answer_is_one_compact_line_and_always_the_same(name: str, units: str) -> None:
    request = compact({"calculator": name, "given": KNOWN[name].example, "units": units})
    line = answer(request)
    assert "\n" not in line and line == answer(request) == compact(json.loads(line))
    assert line == json.dumps(json.loads(line), ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def test_nothing_given_is_repeated_among_the_results() -> None:
    """An output may carry an input's name where it is another figure, such as a new mass per turn."""
    for name, declared in KNOWN.items():
        for case in declared.cases:
            made = respond(compact({"calculator": name, "given": case.given, "units": "us"}))
            assert made["ok"]
            repeated = [key for key in made["results"] if key in made["used"]]
            for key in repeated:
                assert made["results"][key] != made["used"][key], (name, case.title, key)


# ---- a calculator of the test's own, with rows, choices and settings


class Tank(NamedTuple):
    name: str
    rate_low: float
    rate_high: float | None


TANK = {"name": "front", "rate_low": "50 kg/ha"}


@pytest.fixture
def of_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    """Declares `of-rows`, which adds up the lowest rates of some tanks."""
    monkeypatch.setattr(d, "CATALOGUE", dict(KNOWN))
    ours = Source("Addition", basis="our own invention")
    bounds = ("1 kg/ha", "500 kg/ha")

    @calculator(
        id="of-rows",
        title="Of rows",
        asks="How much do all tanks give?",
        inputs=[
            Rows(
                "tanks",
                "Tanks",
                Tank,
                [
                    Name("name", "Name", "front"),
                    Input(
                        "rate_low", "Lowest rate", u.MASS_PER_AREA, "50 kg/ha", *bounds, default="40 kg/ha"
                    ),
                    Input("rate_high", "Highest rate", u.MASS_PER_AREA, "90 kg/ha", *bounds),
                ],
                example=[TANK],
                each="Tank",
                most=3,
            ),
            Choice("ends", "Ends", {"both": "Both ends", "one": "One end"}, "both", default="both"),
            Input("reserve", "Reserve", u.SHARE, "5 %", "0 %", "50 %", default="2 %"),
        ],
        outputs=[
            Output("rate", "Rate", u.MASS_PER_AREA),
            Output("verdict", "Verdict", says={"fine": words("Enough for {rate}.", rate=u.MASS_PER_AREA)}),
            Output("least", "Least rate", u.MASS_PER_AREA),
        ],
        tables=[
            Table("each", "Each tank", [Column("name", "Tank"), Column("rate", "Rate", u.MASS_PER_AREA)])
        ],
        notes=[Note("give-high", "info", words("Give the highest rates."))],
        equation="R = ΣR",
        assumes=[],
        sources=[ours],
        cases=[Case("One", {"tanks": [TANK]}, ours, pinned={"rate": 0.005})],
    )
    def of_rows(tanks: tuple[Tank, ...], ends: str, reserve: float) -> Found:
        whole = math.fsum(tank.rate_low for tank in tanks)
        return Found(
            {"rate": whole, "verdict": say("fine", rate=whole), "least": None},
            notes=[say("give-high")],
            tables={"each": [[tank.name, tank.rate_low] for tank in tanks]},
        )


def ask(tanks: Any = (TANK,), units: str = "metric", **given_: Any) -> dict[str, Any]:
    return respond(compact({"calculator": "of-rows", "given": {"tanks": tanks, **given_}, "units": units}))


def wrong(made: dict[str, Any]) -> list[tuple[str, str]]:
    assert list(made) == ["ok", "schema", "calculator", "errors"] and made["ok"] is False
    return [(error["field"], error["code"]) for error in made["errors"]]


@pytest.mark.usefixtures("of_rows")
def test_rows_settings_sentences_and_tables() -> None:
    made = ask([TANK, {"name": "  rear   tank ", "rate_low": None, "rate_high": "60 kg/ha"}], reserve=None)
    assert made["used"] == {
        "tanks": [
            {"name": "front", "rate_low": {"si": 0.005, "shown": "50.00 kg/ha"}},
            {
                "name": "rear tank",
                "rate_low": {"si": 0.004, "shown": "40.00 kg/ha"},
                "rate_high": {"si": 0.006, "shown": "60.00 kg/ha"},
            },
        ],
        "ends": "Both ends",
        "reserve": {"si": 0.02, "shown": "2.000 %"},
    }
    assert made["results"] == {
        "rate": {"si": 0.009, "shown": "90.00 kg/ha"},
        "verdict": "Enough for 90.00 kg/ha.",
        "least": None,
    }
    assert made["tables"][0]["columns"] == [{"id": "name", "title": "Tank"}, {"id": "rate", "title": "Rate"}]
    assert [row[0] for row in made["tables"][0]["rows"]] == ["front", "rear tank"]
    assert made["notes"] == [{"level": "info", "code": "give-high", "text": "Give the highest rates."}]


BAD_ROWS = [
    ("front", [("tanks", "not-rows")]),
    ({"name": "front"}, [("tanks", "not-rows")]),
    (None, [("tanks", "required")]),
    ("", [("tanks", "not-rows")]),
    ([], [("tanks", "row-count")]),
    ([TANK] * 4, [("tanks", "row-count")]),
    (["front"], [("tanks[1]", "not-a-row")]),
    ([TANK, None], [("tanks[2]", "not-a-row")]),
    ([{"rate_low": "5 kg/ha"}], [("tanks[1].name", "required")]),
    ([{"name": ""}], [("tanks[1].name", "name-length")]),
    ([{"name": "x" * 61}], [("tanks[1].name", "name-length")]),
    ([{"name": "a\0b"}], [("tanks[1].name", "name-signs")]),
    ([{"name": "a\ud800"}], [("tanks[1].name", "name-signs")]),
    ([TANK, {"name": "rear", "rate_low": "60"}], [("tanks[2].rate_low", "missing-unit")]),
    ([TANK, {"name": "rear", "rate_low": ""}], [("tanks[2].rate_low", "empty")]),
    ([TANK, {"name": "rear", "rate_low": 60}], [("tanks[2].rate_low", "missing-unit")]),
    ([TANK, {"name": "rear", "rate_hi": "60 kg/ha"}], [("tanks[2].rate_hi", "misspelt-field")]),
    ([TANK, {"name": "rear", "colour": "red"}], [("tanks[2].colour", "unknown-field")]),
    ([TANK, {"name": "rear"}, {"name": " front "}], [("tanks[3].name", "same-name")]),
    (
        [{"name": "a", "rate_low": "501 kg/ha", "rate_high": "nan"}, {"rate_low": "5 mph"}],
        [
            ("tanks[1].rate_low", "too-high"),
            ("tanks[1].rate_high", "not-a-number"),
            ("tanks[2].name", "required"),
            ("tanks[2].rate_low", "wrong-kind"),
        ],
    ),
]


@pytest.mark.usefixtures("of_rows")
@pytest.mark.parametrize(("tanks", "fields"), BAD_ROWS)
def test_each_mistake_in_rows_is_on_its_row_and_field(tanks: Any, fields: list[tuple[str, str]]) -> None:
    assert ask()["ok"]
    assert wrong(ask(tanks)) == fields


@pytest.mark.usefixtures("of_rows")
def test_a_name_twice_in_a_row() -> None:
    rows = '[{"name":"a"},{"name":"b","rate_low":"5 kg/ha","name":"c"}]'
    text = f'{{"calculator":"of-rows","given":{{"tanks":{rows}}}}}'
    assert wrong(respond(text)) == [("tanks[2].name", "twice")]


@pytest.mark.usefixtures("of_rows")
@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"ends": "Both"}, [("ends", "misspelt-choice")]),
        ({"ends": "neither"}, [("ends", "not-a-choice")]),
        ({"ends": ""}, [("ends", "not-a-choice")]),
        ({"ends": 2}, [("ends", "not-a-choice")]),
        ({"ends": True}, [("ends", "not-text")]),
        ({"reserve": ""}, [("reserve", "empty")]),
        ({"reserve": "60 %"}, [("reserve", "too-high")]),
        ({"reserve": "-1%"}, [("reserve", "too-low")]),
        (
            {"reserve": "5 %", "ends": "three", "colour": "red"},
            [("ends", "not-a-choice"), ("colour", "unknown-field")],
        ),
    ],
)
def test_mistakes_in_choices_and_settings(changed: dict[str, Any], fields: list[tuple[str, str]]) -> None:
    assert wrong(ask(**changed)) == fields


@pytest.mark.usefixtures("of_rows")
def test_a_bound_is_said_in_the_readers_unit_too() -> None:
    made = ask([{"name": "a", "rate_low": "501 kg/ha"}], units="us")
    assert "the most that makes sense here, 446.1 lb/ac (500 kg/ha)" in made["errors"][0]["problem"]
    made = ask([{"name": "a", "rate_low": "501 kg/ha"}])
    assert "the most that makes sense here, 500 kg/ha;" in made["errors"][0]["problem"]


# ---- the whole request


@pytest.mark.parametrize(
    ("request_", "code"),
    [
        ("", "not-json"),
        ("{", "not-json"),
        ("[[" * 60_000, "not-json"),
        ("[]", "not-an-object"),
        ("null", "not-an-object"),
        ("{}", "not-an-object"),
        ('{"calculator": 5}', "unknown-calculator"),  # a bare number keeps its written form
        ('{"calculator": null, "given": {}}', "not-an-object"),
        ('{"calculator": "rate", "given": []}', "not-an-object"),
        ('{"calculator": "rate", "given": "width"}', "not-an-object"),
        ('{"calculator": "rate", "given": {}, "units": "si"}', "unknown-units"),
        ('{"calculator": "rate", "given": {}, "units": ["us"]}', "unknown-units"),
        ('{"calculator": "weather"}', "unknown-calculator"),
        ('{"calculator": "raet"}', "misspelt-calculator"),
    ],
)
def test_a_request_that_is_none_is_refused_as_a_whole(request_: str, code: str) -> None:
    assert wrong(respond(request_)) == [("", code)]
    assert json.loads(answer(request_)) == respond(request_)


@settings(max_examples=examples(150))
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=8) | st.just("40 ft") | st.just("5 mph"),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(["width", "rate", "speed", "tanks", "x"]), inner, max_size=4)
        ),
        max_leaves=12,
    ),
    st.sampled_from(sorted(KNOWN)),
)
def test_whatever_is_given_gets_a_reply_that_says_what_is_wrong(given_: Any, name: str) -> None:
    made = json.loads(answer(json.dumps({"calculator": name, "given": given_})))
    assert made["ok"] or all(error["code"] != "our-fault" and error["problem"] for error in made["errors"])
    assert not made["ok"] or isinstance(given_, dict)


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_no_figure_that_is_none_leaves(value: float, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = replace(KNOWN["rate"], function=lambda **_: Found({"flow": value}), charts=())
    monkeypatch.setattr(r, "calculator_named", lambda _: broken)
    given_ = KNOWN["rate"].example
    made = respond(compact({"calculator": "rate", "given": given_}))
    assert wrong(made) == [("", "our-fault")] and "please report" in made["errors"][0]["problem"]


def test_a_fault_inside_is_our_fault_and_says_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("secret of the house")

    monkeypatch.setattr(r, "read_given", broken)
    line = answer('{"calculator":"rate","given":{}}')
    assert wrong(json.loads(line)) == [("", "our-fault")] and "secret" not in line


def test_warming_up_runs_every_calculator(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[str] = []
    monkeypatch.setattr(r, "answer", lambda request: seen.append(json.loads(request)["calculator"]))
    r.warm_up()
    assert seen == list(KNOWN)


# ---- words


@pytest.mark.parametrize("code", MESSAGES)
def test_every_message_is_made_of_its_parts_and_short(code: str) -> None:
    parts = {name: f"<{name}>" for name in re.findall(r"\{(\w+)\}", MESSAGES[code])}
    said = problem("a", code, **parts).text
    assert all(part in said for part in parts.values()) and "{" not in said
    assert len(said.split()) <= 25 and not said.endswith(".")


def test_a_problem_may_be_moved_to_another_field() -> None:
    assert Problem("", "empty", "words").at("width") == Problem("width", "empty", "words")


def test_the_nearest_word_and_a_readers_list() -> None:
    assert nearest("widht", ["width", "rate"]) == "width"
    assert nearest("RATE", ["width", "rate"]) == "rate"
    assert nearest("colour", ["width", "rate"]) is None and nearest("", ["width"]) is None
    assert [listed(w) for w in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a or b", "a, b or c"]
    assert listed(["a", "b"], "and") == "a and b"
