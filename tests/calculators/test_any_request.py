"""Ten thousand requests by chance: each has a finite answer in range, or names the fields that are wrong.

Source: the contract of the command line, common practice for what a figure may be.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from calc.declare import Calculator, catalogue
from calc.reply import answer
from tests.calculators.any_request import fields_of, requests

TOTAL = 10_000
EACH = math.ceil(TOTAL / len(catalogue()))
# Results that may lie below zero; all others are sizes.
SIGNED = {
    "bin-capacity": {"heap_volume"},
    "calibration": {"change", "low_high", "interval_low"},
    "delay": {"on_distance", "off_distance", "gap_area", "product", "near_far_distance"},
    "field-check": {"error"},
    "ground-speed": {"error"},
    "liquid": set(),
    "oil": {"spare"},
    "road-load": {"spare"},
}
SHARES_OF_A_WHOLE = {"fill_fraction", "utilisation"}
WHOLE_REQUEST = {"two-left-out", "none-left-out", "one-of", "only-one-of"}


@pytest.mark.parametrize("calculator", catalogue().values(), ids=lambda one: one.id)
def test_each_request_has_an_answer_or_names_what_is_wrong(calculator: Calculator) -> None:
    outcomes: Counter[str] = Counter()
    for asked in requests(calculator, seed=1, count=EACH):
        reply = json.loads(answer(json.dumps(asked)), parse_constant=pytest.fail)
        if reply["ok"]:
            outcomes["answered"] += 1
            check_answer(calculator, reply, asked)
        else:
            outcomes["refused"] += 1
            check_refusal(calculator, reply, asked)
    # By chance both must be met, or the requests are not worth much.
    assert outcomes["answered"] > EACH / 20, outcomes
    assert outcomes["refused"] > EACH / 10, outcomes


def check_answer(calculator: Calculator, reply: dict[str, Any], asked: dict[str, Any]) -> None:
    assert set(reply["results"]) <= {output.name for output in calculator.outputs}
    signed = SIGNED.get(calculator.id, set())
    for name, cell in reply["results"].items():
        for figure in figures(cell):
            assert math.isfinite(figure["si"]), (name, asked)
            assert figure["shown"].strip(), (name, asked)
            assert figure["si"] >= 0 or name in signed, (name, figure, asked)
            assert figure["si"] <= 1 or name not in SHARES_OF_A_WHOLE, (name, figure, asked)
    for figure in figures(reply["tables"]):
        assert math.isfinite(figure["si"]), asked
    for chart in reply["charts"]:
        numbers = re.findall(r'(?:points|x|y|cx|cy|r)="([^"]*)"', chart["svg"])
        assert not re.search("nan|inf", " ".join(numbers)), asked
    assert all("{" not in note["text"] for note in reply["notes"]), asked


def check_refusal(calculator: Calculator, reply: dict[str, Any], asked: dict[str, Any]) -> None:
    known = fields_of(calculator)
    assert reply["errors"], asked
    for error in reply["errors"]:
        assert error["code"] != "our-fault", asked
        assert error["problem"], (error, asked)
        if error["code"] in ("unknown-field", "misspelt-field", "twice"):
            continue
        if error["field"] == "":
            assert error["code"] in WHOLE_REQUEST, (error, asked)
            continue
        name, _, column = re.fullmatch(r"(\w+)(?:\[(\d+)\](?:\.(\w+))?)?", error["field"]).groups()  # type: ignore[union-attr]
        assert name in known, (error, asked)
        assert column is None or column in known[name], (error, asked)


def figures(value: Any) -> Iterator[dict[str, Any]]:
    """Every figure in a part of a reply."""
    if isinstance(value, dict) and "si" in value:
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from figures(one)
    elif isinstance(value, list):
        for one in value:
            yield from figures(one)
