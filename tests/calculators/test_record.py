"""The record: entries against their schema, files that merge in any order, and hostile ones refused.

The oracle for the schema is the library `jsonschema`, for CSV and JSON the standard library's own readers.
"""

from __future__ import annotations

import csv
import io
import json
import random
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.asked import answer
from calc.errors import InputError
from calc.record.entry import canonical, problems, schema, verdict
from calc.record.fields import is_day
from calc.record.files import COLUMNS, FORMULA, as_csv, as_json, merged, read_file, twins
from calc.record.kinds import EXAMPLE_ID, KINDS
from calc.record.skills import skills, year_after
from tests.calculators.record_entries import Entry, entries, example, hostile

VALIDATOR = jsonschema.Draft202012Validator(schema())
OTHER_ID = "00000000-0000-4000-8000-000000000001"


def fits(entry: Any) -> bool:
    return bool(VALIDATOR.is_valid({"format": 1, "entries": [entry]}))


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_each_kind_is_right(kind: str) -> None:
    assert not problems(example(kind))
    assert fits(example(kind))


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


@given(entries(), st.data())
def test_the_schema_refuses_what_we_refuse_of_a_field(entry: Entry, data: st.DataObject) -> None:
    assert fits(entry)
    name = data.draw(st.sampled_from(sorted(set(entry) - {"kind"})))
    odd = data.draw(
        st.none() | st.integers() | st.text(max_size=5) | st.just([]) | st.just({}) | st.just("\x00")
    )
    spoiled = {**entry, name: odd}
    # What a schema cannot say: that a month has so many days, and what does not go together.
    own = {"low", "high", "verdict", "value", "action", "level", "next", "evaluator"}
    told = [one for one in problems(spoiled) if one.field.removesuffix("_signed") not in {*own, "trainee"}]
    if name not in own:
        assert fits(spoiled) is not bool(told)


@given(st.lists(entries(), max_size=6), st.randoms(use_true_random=False))
def test_files_merge_to_the_same_bytes_in_any_order_and_any_number_of_times(
    found: list[Entry], chance: random.Random
) -> None:
    shuffled = [chance.choice(found) for _ in range(len(found))] + found
    chance.shuffle(shuffled)
    once = as_json(found)
    assert as_json(shuffled) == once
    half = len(shuffled) // 2
    for way in (as_json, as_csv):
        first, second = read_file(way(shuffled[:half])), read_file(way(shuffled[half:]))
        assert not first.refused and not second.refused
        assert as_json([*second.entries, *first.entries, *first.entries]) == once


@given(st.lists(entries(), max_size=4))
def test_what_is_written_is_read_as_it_was(found: list[Entry]) -> None:
    for way in (as_json, as_csv):
        assert list(read_file(way(found)).entries) == merged(found)
    assert json.loads(as_json(found)) == {"format": 1, "entries": merged(found)}


@given(entries())
def test_a_spreadsheet_finds_no_formula(entry: Entry) -> None:
    rows = list(csv.reader(io.StringIO(as_csv([entry]), newline="")))
    assert rows[0] == list(COLUMNS)
    assert not [cell for cell in rows[1] if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


@pytest.mark.parametrize("sign", [*FORMULA, "''="])
def test_what_looks_like_a_formula_comes_back_as_it_was(sign: str) -> None:
    entry = example("noted", note=f"{sign}1+1" if sign not in "\t\r" else "=1")
    written = as_csv([entry])
    assert list(read_file(written).entries) == [entry]


@pytest.mark.parametrize(("what", "text"), hostile().items(), ids=[*hostile()])
def test_a_hostile_file_is_refused_with_a_reason(what: str, text: str) -> None:
    reply = json.loads(answer(json.dumps({"record": "read", "file": text})))
    said = [one["problem"] for one in reply.get("errors", ())] + [
        one["said"] for one in reply.get("refused", ())
    ]
    assert said and all(said)
    assert "our-fault" not in str(reply)
    assert not reply.get("entries")


def test_there_are_enough_hostile_files() -> None:
    assert len(hostile()) >= 200


def test_what_is_right_beside_what_is_wrong_is_taken_and_the_rest_told() -> None:
    good = example("noted")
    found = read_file(json.dumps({"format": 1, "entries": [good, {**good, "who": 3}, good]}))
    assert list(found.entries) == [good]
    assert [(one.place, one.said) for one in found.refused] == [
        (2, "who: this must be text; write it like R. Field")
    ]


def test_twins_are_both_kept_and_told_of() -> None:
    one, other = example("noted"), example("noted", note="Something else.")
    assert merged([one, other, one]) == sorted([one, other], key=canonical)
    assert twins([one, other]) == [EXAMPLE_ID]
    assert not twins([one, one])


# RFC 8785: names in order, nothing between, signs as themselves; for texts alone this is all it asks.
def test_an_entry_has_one_text() -> None:
    assert canonical({"b": 'é\n"', "a": "1"}) == '{"a":"1","b":"é\\n\\""}'


@pytest.mark.parametrize(
    ("value", "low", "high", "found"),
    [
        ("40 rpm", "40 rpm", "44 rpm", "within"),
        ("44.01 rpm", "40 rpm", "44 rpm", "outside"),
        ("39.9 rpm", "40 rpm", "", "outside"),
        ("12.5 mph", "20 km/h", "", "within"),  # 1 mile is 1.609344 km: 20.1168 km/h
        ("12.4 mph", "20 km/h", "", "outside"),  # 19.9559 km/h
        ("-0.4 %", "-0.5 %", "0.5 %", "within"),
        ("0", "", "0", "within"),
        ("1", "", "0", "outside"),
        ("0,5 in", "", "12.7 mm", "within"),  # an inch is 25.4 mm exactly
    ],
)
def test_a_verdict(value: str, low: str, high: str, found: str) -> None:
    assert verdict(value, low, high) == found


@pytest.mark.parametrize("value", ["", "41", "nan rpm", "41 km/h", "1,234 rpm"])
def test_what_cannot_be_read_gets_no_verdict(value: str) -> None:
    with pytest.raises(InputError) as caught:
        verdict(value, "40 rpm", "44 rpm")
    assert [one.field for one in caught.value.problems] == ["value"]


@given(st.dates())
def test_days_of_the_calendar(day: Any) -> None:
    assert is_day(day.isoformat())
    assert year_after(f"{day.isoformat()}")[:4] == f"{day.year + 1:04d}"


@pytest.mark.parametrize("day", ["2027-02-29", "1900-02-29", "2027-04-31", "2027-11-31"])
def test_days_that_are_not_in_the_calendar(day: str) -> None:
    assert not is_day(day)


def test_the_day_a_year_after_a_leap_day() -> None:
    assert year_after("2028-02-29") == "2029-02-28"


# --- skills ---

ALONE_HERE = "With help, beside someone at level 3 or 4; nobody here is"


def sheet(who: str, level: str, date: str = "2027-03-01", by: str = "R. Field", **more: str) -> Entry:
    return (
        example(
            "watched",
            trainee=who,
            trainee_signed=who,
            evaluator=by,
            evaluator_signed=by,
            level=level,
            date=date,
            **{"next": "2028-03-01", "apart": "", **more},
        )
        | {}
    )


def may(found: list[Entry], today: str = "2027-06-01") -> dict[str, str]:
    tidy = [{name: value for name, value in one.items() if value != ""} for one in found]
    assert not [told for one in tidy for told in problems(one)]
    return {
        f"{work.title}: {one.sheet['trainee']}": work.may(one)
        for work in skills(tidy, today)
        for one in work.people
    }


def test_who_may_do_what_and_with_whom() -> None:
    team = [sheet("Ann", "4"), sheet("Ben", "3"), sheet("Cy", "2"), sheet("Di", "1"), sheet("Eve", "0")]
    assert may(team) == {
        "Making safe: Ann": "Alone, and teaches it",
        "Making safe: Ben": "Alone",
        "Making safe: Cy": "Alone, watched by Ann or Ben",
        "Making safe: Di": "With help, beside Ann or Ben",
        "Making safe: Eve": "Not yet",
    }


def test_the_last_sheet_counts_whenever_it_was_written_down() -> None:
    earlier = sheet("Cy", "3", "2027-03-01", when="2027-05-01T00:00:00.000Z")
    later = sheet("cy ", "1", "2027-04-01", when="2027-04-01T00:00:00.000Z", id=OTHER_ID)
    assert may([earlier, later]) == {"Making safe: cy ": ALONE_HERE}


def test_what_has_lapsed_leads_nobody() -> None:
    team = [sheet("Ann", "4", next="2027-06-01"), sheet("Di", "1", id=OTHER_ID)]
    assert may(team, "2027-05-31")["Making safe: Di"] == "With help, beside Ann"
    assert may(team, "2027-06-01") == {
        "Making safe: Ann": "Not before it has been watched again",
        "Making safe: Di": ALONE_HERE,
    }


def test_without_a_refresher_it_is_good_for_a_year() -> None:
    [work] = skills([{**sheet("Ann", "3"), "next": ""}], "2027-06-01")
    assert work.people[0].until == "2028-03-01"


def test_licensed_work_comes_last_and_is_marked() -> None:
    plain = sheet("Ann", "3", title="Work")
    licensed = sheet("Ann", "3", title="Ammonia", page="procedures/ammonia-live.html", apart="ammonia")
    found = skills([licensed, plain], "2027-06-01")
    assert [(one.title, one.apart) for one in found] == [("Work", ""), ("Ammonia", "ammonia")]


# --- what a page asks ---


def ask(**request: Any) -> dict[str, Any]:
    reply = json.loads(answer(json.dumps(request)))
    assert isinstance(reply, dict)
    return reply


def test_a_page_has_an_entry_checked() -> None:
    entry = example("noted")
    assert ask(record="check", entry=json.dumps(entry)) == {"ok": True, "text": canonical(entry)}
    told = ask(record="check", entry=json.dumps({**entry, "who": "", "note": 3}))
    assert [one["field"] for one in told["errors"]] == ["who", "note"]


def test_a_page_has_a_value_judged() -> None:
    assert ask(record="judge", value="41 rpm", low="40 rpm") == {
        "ok": True,
        "verdict": "within",
        "low": "40 rpm",
        "high": "",
    }
    assert ask(record="judge", value="41", low="40 rpm")["errors"][0]["field"] == "value"


def test_a_page_has_files_read_and_written() -> None:
    texts = [canonical(example("noted")), canonical(example("begun"))]
    for way in ("json", "csv"):
        file = ask(record="write", entries=texts, **{"as": way})["file"]
        assert ask(record="read", file=file) == {"ok": True, "entries": sorted(texts), "refused": []}


def test_a_page_asks_for_the_skills_of_a_team() -> None:
    reply = ask(record="skills", entries=[canonical(example("watched", level="3"))], today="2027-06-01")
    assert reply["work"][0]["people"] == [
        {
            "name": "T. Furrow",
            "level": "3 alone",
            "may": "Alone",
            "date": "2027-04-30",
            "evaluator": "R. Field",
            "until": "2028-04-30",
            "lapsed": False,
        }
    ]


def test_what_cannot_be_asked_is_told() -> None:
    assert "check, judge" in ask(record="guess")["errors"][0]["problem"]


# --- over time, and in a few lines ---

JOB = "10000000-0000-4000-8000-000000000000"


def at(number: int, kind: str, **more: Any) -> Entry:
    own = {"id": f"{number:08d}-0000-4000-8000-000000000000", "when": f"2027-04-{number:02d}T08:00:00.000Z"}
    return example(kind, job=JOB, **own, **more)


def calibrated(number: int, figure: str, lot: str, tank: str = "Tank 1") -> Entry:
    return at(number, "worked", results={"mass_per_turn": figure}, lot=lot, tank=tank)


def test_what_was_found_on_a_machine_over_time() -> None:
    found = [
        at(1, "begun", name="Trial One"),
        calibrated(2, "1.40 lb/rev", "W-1"),
        calibrated(3, "0.64 kg/rev", "W-2"),
        calibrated(4, "2 lb/rev", "W-1", tank="Tank 2"),
        calibrated(5, "9 lb/rev", "W-3"),
        at(6, "undone", of=f"{5:08d}-0000-4000-8000-000000000000"),
        at(7, "measured", value="41 rpm"),
        at(8, "measured", value="42 rpm"),
        at(9, "measured", what="Once", value="43 rpm"),
    ]
    reply = ask(record="history", entries=[canonical(one) for one in found], machine="Trial One", units="us")
    series = {one["title"]: one for one in reply["series"]}
    assert [*series] == ["Mass per turn, Tank 1", "Mass per turn, Tank 2", "Meter speed: Low rate: Tank 1"]
    first = series["Mass per turn, Tank 1"]
    # 0.64 kg is 0.64 / 0.45359237 lb = 1.41096 lb.
    assert [one["shown"] for one in first["points"]] == ["1.400 lb/rev", "1.411 lb/rev"]
    assert [one["lot"] for one in first["points"]] == ["W-1", "W-2"]
    assert first["svg"].count("<circle") == 2
    assert series["Mass per turn, Tank 2"]["svg"] == ""
    assert ask(record="history", entries=[canonical(one) for one in found], machine="Other")["series"] == []


@given(st.lists(st.floats(0.001, 1000, allow_nan=False), min_size=2, max_size=40))
def test_any_history_can_be_drawn(figures: list[float]) -> None:
    found = [at(1, "begun", name="Trial One")]
    found += [
        {**calibrated(2, f"{one:.4f} kg/rev", "L"), "id": f"{n:08d}-0000-4000-8000-000000000001"}
        for n, one in enumerate(figures)
    ]
    [one] = ask(record="history", entries=[canonical(one) for one in found], machine="Trial One")["series"]
    assert one["svg"].startswith("<svg")
    assert len(one["points"]) == len(figures)


@pytest.mark.parametrize(
    ("expected", "within", "limits"),
    [
        ("40 rpm", "3 %", ("38.8 rpm", "41.2 rpm")),
        ("41.25 rpm", "3 %", ("40.01 rpm", "42.49 rpm")),
        ("10", "10 %", ("9", "11")),
    ],
)
def test_limits_around_what_is_expected(expected: str, within: str, limits: tuple[str, str]) -> None:
    reply = ask(record="judge", value=expected, expected=expected, within=within)
    assert (reply["low"], reply["high"], reply["verdict"]) == (*limits, "within")


def test_an_expected_value_that_cannot_be_read_is_told_of() -> None:
    assert (
        ask(record="judge", value="40 rpm", expected="fast", within="3 %")["errors"][0]["field"] == "expected"
    )
