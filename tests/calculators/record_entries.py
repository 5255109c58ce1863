"""Entries for tests of the record: one of each kind, what fits their fields, and files not to be taken."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st

from calc.record.entry import problems
from calc.record.fields import Day, Field, Named, One, Several, Text, Written
from calc.record.kinds import COMMON, EXAMPLE_ID, KINDS

Entry = dict[str, Any]


def example(kind: str, **more: Any) -> Entry:
    """The entry of the declared examples; all in it is our own invention."""
    entry: Entry = {"kind": kind}
    for one in (*COMMON, *KINDS[kind].fields):
        entry[one.name] = _example(one)
    entry |= more
    if kind == "watched" and "ended" not in more:
        del entry["ended"]
    return entry


def _example(one: Field) -> Any:
    if isinstance(one, Several):
        return [{f.name: f.example for f in one.each} if one.rows else one.each[0].example]
    return {"mass_per_turn": "0.42 kg/rev"} if isinstance(one, Named) else one.example


def _values(one: Field) -> st.SearchStrategy[Any]:
    if isinstance(one, Text):
        seen = st.characters(exclude_categories=("C", "Z"))
        any_sign = seen | st.sampled_from([" ", *("\n\t" if one.lines else "")])
        return st.builds(
            "".join, st.tuples(st.text(any_sign, max_size=9), seen, st.text(any_sign, max_size=9))
        )
    if isinstance(one, One):
        return st.sampled_from([*one.of])
    if isinstance(one, Day):
        days = st.dates().filter(lambda d: d.year >= 1000 and d.year < 3000).map(str)
        return days.map(lambda d: f"{d}T13:05:09.120Z") if one.time else days
    if isinstance(one, Several):
        each = (
            st.fixed_dictionaries({f.name: _values(f) for f in one.each})
            if one.rows
            else _values(one.each[0])
        )
        return st.lists(each, min_size=1, max_size=4)
    if isinstance(one, Named):
        return st.dictionaries(
            st.from_regex("[a-z][a-z0-9_]{0,9}", fullmatch=True), _values(one.each), min_size=1, max_size=3
        )
    assert isinstance(one, Written)
    return (
        st.uuids(version=4).map(str)
        if "id" in one.name or one.name in ("job", "of", "photo")
        else st.just(one.example)
    )


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """Any right entry."""
    kind = draw(st.sampled_from(sorted(KINDS)))
    fields = (*COMMON, *KINDS[kind].fields)
    entry = {"kind": kind} | {f.name: draw(_values(f)) for f in fields if f.needed or draw(st.booleans())}
    if kind == "measured":
        entry |= {"value": "41.2 rpm", "low": "40 rpm", "high": "44 rpm", "verdict": "within"}
    if kind == "watched":
        entry |= {
            "level": "1",
            "trainee": "T",
            "trainee_signed": "T",
            "evaluator": "R",
            "evaluator_signed": "R",
        }
        entry.pop("next", None)
    assert not problems(entry)
    return entry


def hostile() -> dict[str, str]:
    """Files, by what is wrong with them, that hold nothing that may be taken."""
    good = example("noted")

    def file(*found: Any, **more: Any) -> str:
        return json.dumps({"format": 1, "entries": list(found), **more})

    files = {
        "empty": "",
        "blank": " \n",
        "mark": "\ufeff",
        "words": "hello",
        "html": "<!doctype html><script>alert(1)</script>",
        "null": "null",
        "number": "1",
        "text": '"x"',
        "list": "[]",
        "list of entries": json.dumps([good]),
        "no format": json.dumps({"entries": [good]}),
        "no entries": '{"format": 1}',
        "format as text": json.dumps({"format": "1", "entries": [good]}),
        "format true": json.dumps({"format": True, "entries": [good]}),
        "format null": json.dumps({"format": None, "entries": [good]}),
        "newer": json.dumps({"format": 2, "entries": [good]}),
        "much newer": '{"format": ' + "9" * 4000 + ', "entries": []}',
        "older": json.dumps({"format": 0, "entries": [good]}),
        "entries a set": '{"format": 1, "entries": {}}',
        "entries a text": '{"format": 1, "entries": "x"}',
        "more beside": file(good, more=1),
        "two names": '{"format": 1, "format": 1, "entries": []}',
        "not a number": '{"format": NaN, "entries": []}',
        "endless": '{"format": Infinity, "entries": []}',
        "prototype": file(good, __proto__={}),
        "deep lists": "[" * 100_000,
        "deep sets": '{"a":' * 100_000,
        "deep and closed": "[" * 50_000 + "]" * 50_000,
        "deep inside": '{"format": 1, "entries": [' + "[" * 5000 + "]" * 5000 + "]}",
        "nul": "\0",
        "half a pair": '{"format": 1, "entries": ["\\ud800"]}',
        "quotes": '"' * 10_001,
        "csv without a head": "1,noted\n",
        "csv with another head": "name,age\nx,3\n",
        "csv of a newer": "format,kind,id\n2,noted,x\n",
        "csv twice a column": "format,kind,id,id\n1,noted,x,x\n",
        "csv open quote": 'format,kind,id\n1,noted,"x\n',
        "csv too many cells": f"format,kind,id\n1,noted,{EXAMPLE_ID},x\n",
        "csv formula": "format,kind,id,note\n1,noted,=1+1,x\n",
        "csv with nothing": "format,kind,id\n1,noted,\n",
        "csv huge cell": "format,kind,id\n1,noted," + "x" * 200_000 + "\n",
        "csv deep": "format,kind,id,given\n1,worked,x," + "[" * 5000 + "\n",
        "csv nul": "format,kind,id\n1,\0,x\n",
    }
    whole = file(*[example(kind) for kind in KINDS])
    files |= {f"cut after {cut}": whole[:cut] for cut in range(1, len(whole) - 1, len(whole) // 40)}
    marks = (
        "<script>alert(1)</script>",
        "=HYPERLINK(1)",
        "",
        " ",
        "\0",
        "\u202e",
        "x" * 5000,
        "../../x",
        "1e309",
    )
    for name, field in {f.name: f for f in COMMON}.items():
        for odd in (*marks, None, 1, True, [], {}, [good], {"a": 1}):
            entry = example("noted", **{name: odd})
            if problems(entry):
                files[f"{name} is {odd!r:.40}"] = file(entry)
        if field.needed:
            files[f"without {name}"] = file({k: v for k, v in good.items() if k != name})
    for kind, declared in KINDS.items():
        for field in declared.fields:
            for odd in (7, None, [[]], {"<b>": "x"}, "\u2066"):
                files[f"{kind}.{field.name} is {odd!r}"] = file(example(kind, **{field.name: odd}))
        files[f"{kind} and more"] = file(example(kind, constructor="x"))
    for kind in ("", "Noted", "noted ", "__proto__", None, 3, [], {}):
        files[f"of the kind {kind!r}"] = file({**good, "kind": kind})
    for odd in (None, 1, "x", [], [good], {}, True):
        files[f"an entry that is {odd!r:.30}"] = file(odd)
    measured = example("measured")
    del measured["action"]
    files |= {
        "verdict made up": file({**measured, "value": "70 rpm"}),
        "verdict the other way": file({**measured, "verdict": "outside"}),
        "outside and nothing done": file({**measured, "value": "70 rpm", "verdict": "outside"}),
        "value of another kind": file({**measured, "value": "41 km/h"}),
        "value not a number": file({**measured, "value": "nan rpm"}),
        "no limits": file({k: v for k, v in measured.items() if k not in ("low", "high")}),
        "ended and alone": file(example("watched", ended=["Reached in."], level="2")),
        "prompted and alone": file(example("watched", seen=[{"says": "x", "seen": "prompted"}], level="3")),
        "signed by another": file(example("watched", trainee_signed="Somebody")),
        "own evaluator": file(example("watched", evaluator="T. Furrow", evaluator_signed="T. Furrow")),
        "no such day": file(example("watched", date="2027-02-29")),
        "strokes with markup": file(example("signed", drawn='M1 1L2 2"/><script>')),
    }
    return files
