"""Requests by chance, answered in the page and natively: the very same bytes.

Source: the same code under CPython here and in the browser's own, which differ in the last bit of their
mathematics; the requests are those of the native test, with another seed.
"""

from __future__ import annotations

import math

from calc.declare import catalogue
from calc.reply import answer, compact
from tests.browser.conftest import Watch
from tests.calculators.any_request import requests

TOTAL = 2000
AT_ONCE = 100
ASK = """async (asked) => {
    const replies = [];
    for (const one of asked) {
        replies.push(await window.furrowbook.engine.ask(one));
    }
    return replies;
}"""


def test_page_and_command_line_answer_alike_byte_for_byte(hosted: str, hosted_watch: Watch) -> None:
    each = math.ceil(TOTAL / len(catalogue()))
    asked = [
        compact(one)
        for calculator in catalogue().values()
        for one in requests(calculator, seed=2, count=each)
    ]
    assert len(asked) >= TOTAL
    page = hosted_watch.page
    page.goto(f"{hosted}calculators/rate.html")
    answered = 0
    for start in range(0, len(asked), AT_ONCE):
        batch = asked[start : start + AT_ONCE]
        for one, found in zip(batch, page.evaluate(ASK, batch), strict=True):
            assert found == answer(one), one
            answered += found.startswith('{"ok":true')
    assert answered > TOTAL / 4
