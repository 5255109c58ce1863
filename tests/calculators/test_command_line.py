"""The command line as a person or a script meets it: most of it in a process of its own."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from calc import __main__ as command_line

TOP = Path(__file__).resolve().parents[2]
GOOD = {"rate": "100 lb/ac", "width": "40 ft", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}


def run(
    *arguments: str | bytes, given: str | bytes | None = None, **environment: str
) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of `python -m calc …`, which must be UTF-8."""
    done = subprocess.run(
        [sys.executable, "-m", "calc", *arguments],
        input=given.encode() if isinstance(given, str) else given,
        stdin=subprocess.DEVNULL if given is None else None,
        capture_output=True,
        cwd=TOP,
        env={**os.environ, **environment},
        timeout=60,
        check=False,
    )
    return done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8")


def here(capsys: pytest.CaptureFixture[str], *arguments: str, given: str = "") -> tuple[int, str, str]:
    """The same in this process, which is quicker."""
    code = command_line.main(arguments, io.StringIO(given))
    out, err = capsys.readouterr()
    return code, out, err


def pairs(**changed: str | None) -> list[str]:
    """NAME=VALUE for the good request, changed; None leaves one out."""
    return [f"{name}={value}" for name, value in {**GOOD, **changed}.items() if value is not None]


def one_line(text: str) -> dict[str, Any]:
    """The reply on standard output: one line of compact JSON and nothing more."""
    assert text.endswith("\n") and text.count("\n") == 1
    made = json.loads(text)
    assert isinstance(made, dict)
    assert text == json.dumps(made, ensure_ascii=False, separators=(",", ":")) + "\n"
    return made


def wrong(reply: dict[str, Any]) -> list[tuple[str, str]]:
    assert list(reply) == ["ok", "schema", "calculator", "errors"]
    assert reply["ok"] is False and reply["schema"] == 1
    assert all(list(error) == ["field", "code", "problem"] and error["problem"] for error in reply["errors"])
    return [(error["field"], error["code"]) for error in reply["errors"]]


# ---- a right answer


def test_the_good_call() -> None:
    code, out, err = run("rate", *pairs(), "--json")
    reply = one_line(out)
    assert (code, err) == (0, "")
    assert reply["ok"] is True and reply["calculator"] == "rate" and reply["units"] == "metric"
    # 100 lb/ac · 40 ft · 5 mph / 495 = 40.404… lb a minute: plain arithmetic in US units
    assert reply["results"]["meter_speed"] == {"si": 0.6734006734, "shown": "40.40 rpm"}
    assert reply["used"]["width"] == {"si": 12.192, "shown": "12.19 m"}
    assert not set(reply["results"]) & set(GOOD)


@pytest.mark.parametrize("marks", ["", "\ufeff"], ids=["plain", "with a byte order mark"])
def test_the_same_as_json_on_standard_input(marks: str) -> None:
    typed = run("rate", *pairs(), "--json")
    assert run("rate", "--given", "-", "--json", given=marks + json.dumps(GOOD)) == typed


def test_the_same_from_a_file_and_partly_from_the_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "machine é.json"
    file.write_text(json.dumps({name: GOOD[name] for name in ("width", "mass_per_turn")}), encoding="utf-8")
    rest = ["rate=100 lb/ac", "speed=5 mph"]
    expected = here(capsys, "rate", *pairs(), "--json")
    assert expected[0] == 0
    assert here(capsys, "rate", *rest, "--given", str(file), "--json") == expected
    assert here(capsys, "rate", f"--given={file}", *rest, "--json") == expected
    assert here(capsys, "--json", "--given", str(file), "rate", *rest) == expected


def test_a_plain_answer_has_words_and_a_table() -> None:
    code, out, err = run("rate", *pairs(), "--units", "us")
    lines = out.splitlines()
    assert (code, err) == (0, "")
    assert lines[0].startswith("Meter speed  ") and lines[0].endswith("  40.40 rpm")
    assert any(
        line.startswith("Product flow of the tank") and line.endswith("40.40 lb/min") for line in lines
    )
    assert any(line.startswith("info: Give the number of runs") for line in lines)
    assert "{" not in out


@pytest.mark.parametrize(
    ("units", "speed", "flow"),
    [
        ("metric", "8.047 km/h", "18.33 kg/min"),
        ("us", "5.000 mph", "40.40 lb/min"),
        ("imperial", "5.000 mph", "40.40 lb/min"),
        ("us,speed=metric", "8.047 km/h", "40.40 lb/min"),
    ],
)
@pytest.mark.parametrize("joined", [True, False])
def test_units_change_what_is_shown_and_nothing_else(
    units: str, speed: str, flow: str, joined: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    option = [f"--units={units}"] if joined else ["--units", units]
    code, out, _ = here(capsys, "rate", *pairs(), *option, "--json")
    reply, metric = one_line(out), one_line(here(capsys, "rate", *pairs(), "--json")[1])
    assert code == 0 and reply["units"] == units
    assert reply["used"]["speed"]["shown"] == speed and reply["results"]["flow"]["shown"] == flow
    for part in ("used", "results"):
        assert {k: v and v["si"] for k, v in reply[part].items()} == {
            k: v and v["si"] for k, v in metric[part].items()
        }


# ---- wrong input: exit 2, the very fields, no traceback

WRONG = {
    "missing unit": ({"rate": "100"}, [("rate", "missing-unit")]),
    "wrong kind": ({"speed": "5 lb"}, [("speed", "wrong-kind")]),
    "nan": ({"rate": "nan lb/ac"}, [("rate", "not-a-number")]),
    "nan alone": ({"rate": "nan"}, [("rate", "not-a-number")]),
    "inf": ({"speed": "inf mph"}, [("speed", "not-a-number")]),
    "a thousands comma": ({"rate": "1,234 kg/ha"}, [("rate", "thousands-comma")]),
    "negative": ({"width": "-40 ft"}, [("width", "too-low")]),
    "zero": ({"width": "0 ft"}, [("width", "too-low")]),
    "out of range": ({"speed": "500 mph"}, [("speed", "too-high")]),
    "far out of range": ({"speed": "1e99 mph"}, [("speed", "too-high")]),
    "unknown field": ({"colour": "green"}, [("colour", "unknown-field")]),
    "misspelt field": ({"widht": "40 ft"}, [("widht", "misspelt-field")]),
    "empty": ({"width": ""}, [("width", "empty")]),
    "left out": ({"width": None}, [("width", "required")]),
    "two left out": ({"speed": None}, [("speed", "two-left-out"), ("meter_speed", "two-left-out")]),
    "none left out": ({"meter_speed": "40 rpm"}, [("", "none-left-out")]),
    "three at once": (
        {"width": "40", "rate": "1,234 lb/ac", "speed": "fast"},
        [("width", "missing-unit"), ("rate", "thousands-comma"), ("speed", "not-a-number")],
    ),
    "four of four sorts": (
        {"width": "-1 ft", "speed": None, "runs": "4.5", "colour": "green"},
        [
            ("width", "too-low"),
            ("runs", "whole"),
            ("colour", "unknown-field"),
            ("speed", "two-left-out"),
            ("meter_speed", "two-left-out"),
        ],
    ),
    "an equals sign inside the value": ({"rate": "100=lb/ac"}, [("rate", "misspelt-unit")]),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_input_names_its_fields(case: str) -> None:
    changed, fields = WRONG[case]
    code, out, err = run("rate", *pairs(**changed), "--json")
    assert (code, err) == (2, "")
    assert wrong(one_line(out)) == fields


@pytest.mark.parametrize("case", WRONG)
def test_wrong_input_in_json_names_the_same(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    changed, fields = WRONG[case]
    code, out, err = here(capsys, "rate", "--given", "-", "--json", given=json.dumps({**GOOD, **changed}))
    assert (code, err) == (2, "")
    assert wrong(one_line(out)) == fields


def test_without_json_errors_are_plain_lines_on_standard_error() -> None:
    code, out, err = run("rate", *pairs(width="40", rate="1,234 lb/ac", speed="½ mph"))
    assert (code, out) == (2, "")
    assert err.splitlines() == [
        "width: “40” is missing its unit; write “40 m”, “40 mm” or “40 cm”",
        "rate: “1,234 lb/ac” could mean 1234 or 1.234; write the one you mean",
        "speed: “½ mph” is written as a fraction; write it as a decimal, like 12.5 km/h",
    ]


@pytest.mark.parametrize(
    ("name", "code", "said"),
    [
        ("rat", "misspelt-calculator", "did you mean “rate”?"),
        ("Rate", "misspelt-calculator", "did you mean “rate”?"),
        ("weather", "unknown-calculator", "rate"),
    ],
)
def test_an_unknown_calculator(name: str, code: str, said: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = here(capsys, name, *pairs(), "--json")
    reply = one_line(out)
    assert (status, err, wrong(reply)) == (2, "", [("", code)])
    assert reply["calculator"] == name and said in reply["errors"][0]["problem"]
    status, out, err = here(capsys, name)
    assert (status, out) == (2, "") and said in err


@pytest.mark.parametrize(
    ("arguments", "fields"),
    [
        (["width=40 ft", "--units", "si"], [("", "unknown-units")]),
        (["width=40 ft", "--units"], [("", "unknown-units")]),
        (["width=40 ft", "--unit", "us"], [("", "unknown-option"), ("", "not-an-argument")]),
        (["width"], [("", "not-an-argument")]),
        (["--given", "no such file.json"], [("", "no-file")]),
        (["--given", str(TOP)], [("", "no-file")]),
        (["width=[{", "--units", "us"], [("width", "not-json")]),
    ],
)
def test_a_wrong_line_is_said_to_be_wrong(
    arguments: list[str], fields: list[tuple[str, str]], capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = here(capsys, "rate", *arguments, "--json")
    assert (code, err) == (2, "") and wrong(one_line(out)) == fields


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-json"),
        ("width: 40 ft", "not-json"),
        ('{"width": "40 ft"', "not-json"),
        ("[" * 100_000, "not-json"),
        ("[]", "not-an-object"),
        ('"width"', "not-an-object"),
        ("null", "not-an-object"),
        ("40", "not-an-object"),
    ],
)
def test_values_that_are_no_json_object(text: str, code: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = here(capsys, "rate", "--given", "-", "--json", given=text)
    assert (status, err) == (2, "") and wrong(one_line(out)) == [("", code)]


# ---- given twice


def test_a_name_twice_on_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = here(capsys, "rate", *pairs(), "width=40 ft", "--json")
    assert code == 2 and wrong(one_line(out)) == [("width", "twice")]


@pytest.mark.parametrize("file_first", [True, False])
def test_a_name_on_the_line_and_in_the_given(file_first: bool, capsys: pytest.CaptureFixture[str]) -> None:
    file, line = ["--given", "-"], ["speed=5 mph"]
    order = [*file, *line] if file_first else [*line, *file]
    code, out, _ = here(capsys, "rate", *order, "--json", given=json.dumps(GOOD))
    assert code == 2 and wrong(one_line(out)) == [("speed", "twice")]


def test_names_twice_in_the_json_and_once_more_on_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    text = f'{{"rate": "90 lb/ac", {json.dumps(GOOD)[1:]}'
    code, out, _ = here(capsys, "rate", "--given", "-", "--json", given=text)
    assert code == 2 and wrong(one_line(out)) == [("rate", "twice")]
    code, out, _ = here(capsys, "rate", "speed=5 mph", "--given", "-", "--json", given=text)
    assert code == 2 and wrong(one_line(out)) == [("rate", "twice"), ("speed", "twice")]


@pytest.mark.parametrize("value", ["null", '"ab"', "3", "[]"])
def test_no_name_in_the_json_is_taken_for_a_note_of_repeats(
    value: str, capsys: pytest.CaptureFixture[str]
) -> None:
    text = f'{{"\\u0000repeated": {value}, {json.dumps(GOOD)[1:]}'
    code, out, _ = here(capsys, "rate", "--given", "-", "--json", given=text)
    assert code == 2 and wrong(one_line(out)) == [("\0repeated", "unknown-field")]


# ---- JSON values


def test_null_means_not_given(capsys: pytest.CaptureFixture[str]) -> None:
    text = json.dumps({**GOOD, "meter_speed": None, "runs": None})
    assert here(capsys, "rate", "--given", "-", "--json", given=text) == here(
        capsys, "rate", *pairs(), "--json"
    )


@pytest.mark.parametrize("runs", ["48", '"48"', "48.0", "4.8e1"])
def test_a_count_may_be_a_bare_number(runs: str, capsys: pytest.CaptureFixture[str]) -> None:
    text = f'{{"runs": {runs}, {json.dumps(GOOD)[1:]}'
    code, out, _ = here(capsys, "rate", "--given", "-", "--json", given=text)
    reply = one_line(out)
    assert code == 0 and reply["used"]["runs"] == {"si": 48.0, "shown": "48"}
    assert reply["results"]["run_flow"]["shown"] == "0.3818 kg/min"  # 18.3260 / 48


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("100", "missing-unit"),
        ("100.5", "missing-unit"),
        ("1e2", "missing-unit"),
        ("NaN", "not-a-number"),
        ("-Infinity", "not-a-number"),
        ("1" * 5000, "too-long"),
        ("true", "not-text"),
        ('["100 lb/ac"]', "not-text"),
        ('{"value": 100}', "not-text"),
        ('""', "empty"),
        ('" "', "empty"),
    ],
)
def test_other_json_values_in_place_of_a_rate(
    value: str, code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    rest = {name: text for name, text in GOOD.items() if name != "rate"}
    text = f'{{"rate": {value}, {json.dumps(rest)[1:]}'
    status, out, err = here(capsys, "rate", "--given", "-", "--json", given=text)
    assert (status, err) == (2, "") and wrong(one_line(out)) == [("rate", code)]


def test_no_values_at_all_are_values_all_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = here(capsys, "rate", "--given", "-", given="{}")
    assert (code, out) == (2, "") and err.startswith("width: this is needed")


# ---- what is on offer


def test_without_arguments_it_lists_the_calculators(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = here(capsys)
    assert (code, err) == (0, "")
    assert [line.split()[0] for line in out.splitlines()] == sorted(command_line.catalogue())


def test_the_catalogue_in_json_has_every_input(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = here(capsys, "--json")
    known = {one["id"]: one for one in one_line(out)["calculators"]}
    assert code == 0 and list(known) == list(command_line.catalogue())
    rate = {one["name"]: one for one in known["rate"]["inputs"]}
    assert list(rate) == ["width", "rate", "speed", "meter_speed", "mass_per_turn", "runs"]
    assert [one["optional"] for one in rate.values()] == [False, True, True, True, True, True]
    assert (
        rate["speed"]["units"] == ["m/s", "km/h", "mph", "ft/s", "ft/min"] and rate["runs"]["kind"] == "count"
    )
    assert known["rate"]["all_but_one"] == ["rate", "speed", "meter_speed", "mass_per_turn"]
    for one in known.values():
        declared = command_line.catalogue()[one["id"]]
        assert [i["name"] for i in one["inputs"]] == [i.name for i in declared.inputs]


@pytest.mark.parametrize("asked", [["--help"], ["-h"], ["rate", "--help"]])
def test_help_says_how_it_is_called(asked: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = here(capsys, *asked)
    assert (code, err) == (0, "") and "--given FILE" in out and "metric|us|imperial" in out


def test_each_calculator_says_what_it_takes_and_gives(capsys: pytest.CaptureFixture[str]) -> None:
    for name, declared in command_line.catalogue().items():
        code, out, err = here(capsys, name)
        assert (code, err) == (0, "") and declared.asks in out
        assert all(f"  {one.name} (" in out for one in declared.inputs)
        assert all(f"  {one.name}: " in out for one in declared.outputs)


# ---- our own fault


@pytest.mark.parametrize("with_json", [True, False])
def test_a_fault_of_ours_is_exit_one_in_words(
    with_json: bool, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("float division by zero")

    monkeypatch.setattr(command_line, "reply", broken)
    code, out, err = here(capsys, "rate", *pairs(), *["--json"] * with_json)
    assert code == 1 and "ZeroDivision" not in out + err and "Traceback" not in out + err
    if with_json:
        assert err == "" and wrong(one_line(out)) == [("", "our-fault")]
    else:
        assert out == "" and "please report" in err and err.count("\n") == 1


# ---- bytes, locales and streams

ASCII = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}


@pytest.mark.parametrize("environment", [{"LC_ALL": "C"}, ASCII], ids=["C", "C, and Python told to keep it"])
def test_input_and_output_are_utf8_whatever_the_locale(environment: dict[str, str]) -> None:
    _, out, err = run("rate", *pairs(rate="½ lb/ac"), "--json", **environment)
    assert err == "" and one_line(out)["errors"][0]["problem"].startswith(
        "“½ lb/ac” is written as a fraction"
    )
    _, out, err = run(
        "rate", "--given", "-", given=json.dumps({**GOOD, "é": "₂"}, ensure_ascii=False), **environment
    )
    assert out == "" and err.startswith("é: there is no such field")
    code, out, _ = run("rate", *pairs(width="−40 ft", speed="5\u2009mph"), "--json", **environment)
    assert code == 2 and wrong(one_line(out)) == [("width", "too-low")]


def test_bytes_that_are_no_utf8_are_refused_in_words() -> None:
    code, out, err = run("rate", b"width=\xff ft", *pairs(width=None), "--json")
    assert (code, err) == (2, "") and wrong(one_line(out)) == [("width", "not-a-number")]
    code, out, err = run("rate", "--given", "-", "--json", given=b'{"width": "\xff"}')
    assert (code, err) == (2, "") and wrong(one_line(out)) == [("", "no-file")]


def test_half_a_surrogate_pair_does_not_break_the_reply() -> None:
    text = json.dumps({**GOOD, "width": "\ud800"})
    code, out, err = run("rate", "--given", "-", "--json", given=text)
    assert (code, err) == (2, "")
    assert (
        wrong(json.loads(out)) == [("width", "not-a-number")]
        and "“\ud800”" in json.loads(out)["errors"][0]["problem"]
    )
    code, out, err = run("rate", "--given", "-", given=text)
    assert (code, out) == (2, "") and err.startswith("width: “\\ud800” does not start")


def test_a_closed_standard_input_is_no_fault() -> None:
    call = [sys.executable, "-m", "calc", "rate", *pairs()]
    shut = subprocess.run(  # a shell closes it, which no argument of subprocess can
        ["sh", "-c", '"$@" <&-', "sh", *call], cwd=TOP, capture_output=True, timeout=60, check=False
    )
    assert (shut.returncode, shut.stderr) == (0, b"") and shut.stdout.startswith(b"Meter speed")


@pytest.mark.parametrize("wanted", [[], ["--json"]])
def test_a_reader_who_has_gone_gets_no_traceback(wanted: list[str]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "calc", "rate", *pairs(), *wanted],
            stdin=subprocess.DEVNULL,
            stdout=writing,
            stderr=subprocess.PIPE,
            cwd=TOP,
            timeout=60,
            check=False,
        )
    finally:
        os.close(writing)
    assert done.returncode != 0 and done.stderr == b""


def test_the_reply_does_not_hang_on_the_order_of_hashes() -> None:
    arguments = ["rate", *pairs(runs="48"), "--json", "--units", "us,speed=metric"]
    assert run(*arguments, PYTHONHASHSEED="1") == run(*arguments, PYTHONHASHSEED="4242")
