"""With scripting off the book still teaches: procedures, hazards and worked examples stand in the page."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from calc.declare import Calculator, catalogue
from calc.reply import answer, compact
from handbook.settings import DEFAULT_UNITS
from tests.browser.conftest import Shelf, Watch, hosted_only


@pytest.fixture(scope="module")
def scriptless(browser: Browser) -> Iterator[Shelf]:
    """A phone whose browser runs no script."""
    made = Shelf(browser, scripts=False)
    yield made
    made.context.close()


@pytest.fixture
def still(scriptless: Shelf, base: str) -> Iterator[Page]:
    """A page in that browser; whatever goes wrong in it fails the test."""
    watch = Watch(scriptless.context.new_page(), origin=base)
    yield watch.page
    watch.check()
    scriptless.wipe()


@hosted_only
@pytest.mark.parametrize("calculator", catalogue().values(), ids=lambda c: c.id)
def test_the_worked_example_shows_in_the_usual_units(still: Page, base: str, calculator: Calculator) -> None:
    """Every figure of the example is in sight once, and is what native Python answers."""
    still.goto(f"{base}calculators/{calculator.id}.html")
    assert still.locator("html.js").count() == 0, "a script ran"
    example = still.locator(f'[data-calculator="{calculator.id}"] .fb-example')
    request = compact({"calculator": calculator.id, "given": calculator.example, "units": DEFAULT_UNITS})
    reply = json.loads(answer(request))
    for output in calculator.outputs:
        seen = example.locator(f'[data-result="{output.name}"]').filter(visible=True).all()
        if output.name not in reply["results"]:
            assert not seen
            continue
        assert len(seen) == 1, output.name
        cell = reply["results"][output.name]
        expected = cell if isinstance(cell, str) else output.absent if cell is None else cell["shown"]
        assert seen[0].locator("dd").inner_text() == expected, output.name
    for chart in reply["charts"]:
        assert example.locator(f'[data-chart="{chart["id"]}"]').filter(visible=True).count() == 1
    # The other systems' figures are in the page for later, and out of sight.
    assert example.locator(".q-metric").count() > 0
    assert example.locator(f".q > :not(.q-{DEFAULT_UNITS})").filter(visible=True).count() == 0
    # And no form is offered that cannot answer.
    section = still.locator(f'[data-calculator="{calculator.id}"]')
    assert section.locator("button, input, select").filter(visible=True).count() == 0
    said = section.locator(".fb-no-script")
    assert said.is_visible()
    assert "cannot work out your own figures" in said.inner_text()
    assert section.locator(".fb-cautions").is_visible()


def test_no_control_of_the_frame_is_dead(still: Page, base: str) -> None:
    still.goto(base + "index.html")
    controls = ".fb-units, .md-search__input, [for='__search'], [data-md-component='palette'] label"
    for width in (1280, 390):
        still.set_viewport_size({"width": width, "height": 844})
        dead = [one for one in still.locator(controls).all() if one.is_visible()]
        assert [one.get_attribute("class") for one in dead] == []
    assert still.get_by_role("link", name="Calculators").first.is_visible()
    # The list of all pages opens without a script.
    still.locator(".md-header label[for='__drawer']").click()
    still.locator(".md-nav--primary").get_by_text("Machines").first.wait_for()  # it fades in


def test_the_procedure_stands_with_its_hazards_before_their_steps(still: Page, base: str) -> None:
    """Hazard words and their order: ANSI Z535.6, a word for each level before the step that meets it."""
    still.goto(base + "procedures/standing-test.html")
    signals = still.locator(".fb-hazard .fb-word").all()
    words = {one.inner_text().strip() for one in signals if one.is_visible()}
    assert words == {"DANGER", "WARNING", "CAUTION", "NOTICE"}
    text = still.locator("article").inner_text()
    for hazard, step in (
        ("A parked machine can roll away", "Set the park brake."),
        ("A tank or meter may hold air under pressure", "Vent each tank."),
        ("Simulated ground speed makes a parked machine turn its meters", "Turn simulated ground speed on."),
    ):
        assert 0 <= text.index(hazard) < text.index(step)
    assert "machine's own papers" in text.replace("’", "'")
    steps = still.locator(".fb-procedure ol > li")
    assert steps.count() > 100
    assert all(one.is_visible() for one in (steps.first, steps.last))


def test_prose_shows_each_figure_once(still: Page, base: str) -> None:
    still.goto(base + "lessons/rate.html")
    figures = still.locator("article .q[data-kind]").all()
    assert len(figures) > 10
    for figure in figures:
        if figure.is_visible():
            shown = [one for one in figure.locator("> *").all() if one.is_visible()]
            assert len(shown) == 1
            assert f"q-{DEFAULT_UNITS}" in (shown[0].get_attribute("class") or "")
