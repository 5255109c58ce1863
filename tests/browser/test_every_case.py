"""Every form: what it says when nothing is written, and every case, asked of Python hosted and from a folder.

The engine's reply is compared with the native one byte for byte, and what the page makes of it with what the
build makes of the same reply.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

import pytest
from playwright.sync_api import Page

from calc.declare import Calculator, Rows, catalogue
from calc.reply import answer, compact
from calc.units import SYSTEMS
from handbook.templating import template
from tests.browser.form import Form, native
from tests.browser.looks import opened, whole

FROM_A_FOLDER = ("rate", "calibration", "speed-window", "bin-capacity")  # rows, choices, pictures
LISTEN = """() => {
    const engine = window.furrowbook.engine, ask = engine.ask.bind(engine);
    window.replies = [];
    engine.ask = async (request) => {
        const reply = await ask(request);
        window.replies.push([request, reply]);
        return reply;
    };
}"""

# Presses “Add” or the last “Remove” until there are so many rows.
ROWS = """(rows, wanted) => {
    const count = () => rows.querySelectorAll(".fb-row").length;
    while (count() < wanted) rows.querySelector(".fb-add").click();
    while (count() > wanted) [...rows.querySelectorAll(".fb-remove")].at(-1).click();
}"""


def fill(page: Page, calculator: Calculator, given: Mapping[str, Any]) -> None:
    """Write a case into the form: text with its unit."""
    form = Form(page, calculator.id)
    form.section.locator(".fb-clear").click()
    texts = {name: value for name, value in given.items() if isinstance(value, str)}
    for name in given.keys() - texts.keys():
        form.section.locator(f'[data-rows="{name}"]').evaluate(ROWS, len(given[name]))
        for number, row in enumerate(given[name], start=1):
            texts |= {f"{name}[{number}].{column}": text for column, text in row.items()}
    form.put(texts)


def reply_to(page: Page, calculator: Calculator, given: Mapping[str, Any]) -> tuple[str, str]:
    """Press “Work it out”; the request with just these values and its reply, as the strings that crossed."""
    page.evaluate("() => { window.replies = []; }")
    page.locator(f'[data-calculator="{calculator.id}"] .fb-go').click()
    page.wait_for_function(
        """wanted => window.replies.some(([request]) => {
            const given = Object.entries(JSON.parse(request).given);
            return JSON.stringify(given.sort(([one], [other]) => one < other ? -1 : 1)) === wanted;
        })""",
        arg=compact(sorted(map(list, given.items()))),
    )
    replies = page.evaluate("() => window.replies")
    return next((r, a) for r, a in replies if json.loads(r)["given"] == given)


def in_order(calculator: Calculator, given: Mapping[str, Any]) -> dict[str, Any]:
    """A case's values in the order of the form, which is that of the declaration."""
    ordered: dict[str, Any] = {}
    for one in calculator.inputs:
        if one.name in given:
            value = given[one.name]
            if not isinstance(value, str):
                columns = [column.name for column in getattr(one, "columns", [])]
                value = [{c: row[c] for c in columns if c in row} for row in value]
            ordered[one.name] = value
    return ordered


def folded(html: str) -> str:
    """HTML without the white space between its tags."""
    return re.sub(r">\s+<", "><", html.strip())


def every_problem_is_named(form: Form, calculator: Calculator) -> None:
    """Fail unless an empty form names each problem at once, and leads to its field."""
    form.press()
    summary = form.summary()
    assert summary.get_attribute("role") == "alert"
    assert summary.evaluate("one => one === document.activeElement")
    empty: dict[str, list[dict[str, str]]] = {
        one.name: [{}] * one.least for one in calculator.inputs if isinstance(one, Rows)
    }
    errors = native(calculator.id, empty)["errors"]
    assert set(form.wrong()) == {one["field"] for one in errors}
    links = summary.get_by_role("link").all()
    assert len(links) == len(errors)
    for link, error in zip(links, errors, strict=True):
        assert link.inner_text().endswith(error["problem"])
        control = form.control(error["field"])
        label = form.field(error["field"]).locator("> label").inner_text().split(" (")[0]
        assert label.lower() in link.inner_text().lower()
        link.click()
        assert control.evaluate("one => one === document.activeElement"), error["field"]
        assert control.evaluate(
            """one => { const box = one.getBoundingClientRect();
                return one.contains(document.elementFromPoint(box.x + 9, box.y + box.height / 2)); }"""
        ), f"{error['field']} is covered"
        assert control.get_attribute("aria-invalid") == "true"
        described = (control.get_attribute("aria-describedby") or "").split()
        assert form.field(error["field"]).locator(".fb-error").get_attribute("id") in described


@pytest.mark.parametrize("calculator", catalogue().values(), ids=lambda c: c.id)
def test_the_form_names_what_is_wrong_and_answers_as_native_python_does(
    page: Page, base: str, calculator: Calculator
) -> None:
    """Each case on a host, and of a few calculators one from a folder: there nothing differs but how Python
    comes, and `test_python_answers_every_case_alike` asks it all cases there too.
    """
    if not base.startswith("http") and calculator.id not in FROM_A_FOLDER:
        opened(page, f"{base}calculators/{calculator.id}.html")
        whole(page, calculator.id)
        return
    page.goto(f"{base}calculators/{calculator.id}.html")
    if base.startswith("http"):
        every_problem_is_named(Form(page, calculator.id), calculator)
    page.evaluate(LISTEN)
    render = template("results.html").module.results  # type: ignore[attr-defined]
    for case in calculator.cases if base.startswith("http") else calculator.cases[:1]:
        given = in_order(calculator, case.given)
        fill(page, calculator, given)
        request, reply = reply_to(page, calculator, given)
        assert reply == answer(request), case.title
        read = json.loads(reply)
        if not read["ok"]:  # a bushel that an imperial reader must name, say
            continue
        live = page.locator(f'[data-calculator="{calculator.id}"] .fb-live')
        live.locator(".fb-results").wait_for()
        made = page.evaluate(
            "html => new DOMParser().parseFromString(html, 'text/html').body.innerHTML",
            render(read, calculator.outputs),
        )
        assert folded(live.inner_html()) == folded(made), case.title


def test_python_answers_every_case_alike(page: Page, base: str) -> None:
    """Without a form: the requests of all cases in every system of units, byte for byte."""
    page.goto(f"{base}calculators/rate.html")
    requests = [
        compact({"calculator": calculator.id, "given": case.given, "units": units})
        for calculator in catalogue().values()
        for case in calculator.cases
        for units in SYSTEMS
    ]
    replies = page.evaluate(
        """async (requests) => {
            const replies = [];
            for (const request of requests) replies.push(await window.furrowbook.engine.ask(request));
            return replies;
        }""",
        requests,
    )
    assert len(requests) > 500
    for request, reply in zip(requests, replies, strict=True):
        assert reply == answer(request), request
