"""A calculator's form in a page, as the tests of forms, units and looks use it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from playwright.sync_api import Locator, Page

from calc.reply import answer, compact

SETTLED = """id => {
    const section = document.querySelector(`[data-calculator="${id}"]`);
    return section.matches(".fb-answered") && section.querySelector(".fb-stale").textContent === "";
}"""
# Writes as a hand would, and in the same breath reads what the page says, before Python can have answered.
PUT = """(section, given) => {
    for (const [name, text] of Object.entries(given)) {
        const control = section.querySelector(`[name="${name}"]`);
        control.value = text;
        for (const event of ["input", "change"]) {
            control.dispatchEvent(new Event(event, { bubbles: true }));
        }
    }
}"""
WRITE = """(control, text) => {
    control.value = text;
    control.dispatchEvent(new Event("input", { bubbles: true }));
    return control.closest("[data-calculator]").querySelector(".fb-stale").textContent;
}"""


class Form:
    """One calculator of a page."""

    def __init__(self, page: Page, calculator: str) -> None:
        self.page = page
        self.id = calculator
        self.section = page.locator(f'[data-calculator="{calculator}"]')

    def control(self, name: str) -> Locator:
        """The control of a field, by its path."""
        return self.section.locator(f'[name="{name}"]')

    def field(self, name: str) -> Locator:
        """The field of a path: label, hint, error and control."""
        return self.section.locator(f'[data-field="{name}"]')

    def unit(self, name: str) -> Locator:
        """The list of units beside a field."""
        return self.field(name).locator("select.fb-unit")

    def button(self, name: str) -> Locator:
        """A button, by what is written on it."""
        return self.section.get_by_role("button", name=name)

    def type(self, given: Mapping[str, str]) -> None:
        """Write into fields, or choose where there are choices."""
        for name, text in given.items():
            control = self.control(name)
            if control.evaluate("one => one.localName") == "select":
                control.select_option(text)
            else:
                control.fill(text)

    def put(self, given: Mapping[str, str]) -> None:
        """Write into many fields at one go, also where they are folded away."""
        self.section.evaluate(PUT, dict(given))
        there = self.written()
        assert {name: there.get(name) for name in given} == dict(given)

    def written(self) -> dict[str, str]:
        """What stands in the fields that are not empty."""
        found: dict[str, str] = self.section.evaluate(
            """section => Object.fromEntries([...section.querySelectorAll("[name]")]
                .filter((one) => one.value !== "").map((one) => [one.name, one.value]))"""
        )
        return found

    def settle(self) -> None:
        """Wait until an answer to what is written now stands below the form."""
        self.page.wait_for_function(SETTLED, arg=self.id)

    def result(self, name: str) -> str:
        """One figure of the answer."""
        return self.section.locator(f'.fb-live [data-result="{name}"] dd').inner_text()

    def results(self) -> dict[str, str]:
        """All figures of the answer, when it has come."""
        self.settle()
        found: dict[str, str] = self.section.evaluate(
            """section => Object.fromEntries([...section.querySelectorAll(".fb-live [data-result]")]
                .map((one) => [one.dataset.result, one.querySelector("dd").textContent]))"""
        )
        return found

    def press(self) -> None:
        """Press “Work it out”."""
        self.button("Work it out").click()

    def wrong(self) -> dict[str, str]:
        """The error beside each field that has one in sight."""
        fields = self.section.locator(".fb-field:has(> .fb-error:not([hidden]))").all()
        return {
            one.get_attribute("data-field") or "": one.locator(".fb-error").inner_text() for one in fields
        }

    def summary(self) -> Locator:
        """The list of what is wrong, once it is in sight."""
        found = self.section.locator(".fb-summary")
        found.wait_for(state="visible")
        return found


def native(calculator: str, given: Mapping[str, Any], units: str = "us") -> dict[str, Any]:
    """The reply of native Python."""
    found: dict[str, Any] = json.loads(
        answer(compact({"calculator": calculator, "given": given, "units": units}))
    )
    return found


def native_results(calculator: str, given: Mapping[str, Any], units: str = "us") -> dict[str, str]:
    """The figures of native Python as they are shown, without those that are not there."""
    reply = native(calculator, given, units)
    assert reply["ok"], reply
    cells = {name: one for name, one in reply["results"].items() if one is not None}
    return {name: one if isinstance(one, str) else one["shown"] for name, one in cells.items()}


def same(found: Mapping[str, str], expected: Mapping[str, str]) -> None:
    """What the page shows is what native Python answers; what has no figure does not count."""
    assert expected
    assert {name: found.get(name) for name in expected} == dict(expected)
