"""Forms as people use them: typed early, half filled, wrong, emptied, brought back; never without a word."""

from __future__ import annotations

import json
from collections.abc import Mapping

from playwright.sync_api import Dialog, Page, Route, expect

from calc.declare import Rows, catalogue
from tests.browser.conftest import Watch, hosted_only
from tests.browser.form import WRITE, Form, native, native_results, same

THREE = {"width": "40 ft", "rate": "100 lb/ac", "speed": "5 mph", "mass_per_turn": "1 lb/rev"}
CATCH = {"turns": "20", "gross": "22.40 lb"}
HOSTILE = "<img src=x onerror=ran=1>"
TANKS = next(one for one in catalogue()["speed-window"].inputs if isinstance(one, Rows))


def opened(page: Page, base: str, calculator: str) -> Form:
    """The calculator on its own page."""
    page.goto(f"{base}calculators/{calculator}.html")
    return Form(page, calculator)


def numbers(written: Mapping[str, str]) -> dict[str, str]:
    """What is written without its units, which the form may put into the list beside the field."""
    return {name: text.split()[0] for name, text in written.items()}


# --- before Python is there ------------------------------------------------------------------------------


def test_what_is_typed_before_python_is_there_is_kept_and_answered(page: Page, base: str) -> None:
    held: list[Route] = []
    for part in ("**/snapshot-*", "**/wasm-*"):
        page.route(part, lambda route: held.append(route))
    page.goto(f"{base}calculators/rate.html", wait_until="commit")
    form = Form(page, "rate")
    form.type(THREE)
    expect(form.section.locator(".fb-engine")).to_have_text("Getting ready to calculate…")
    assert held
    assert page.evaluate("() => window.furrowbook.engine.state") == "loading"
    assert not form.section.locator(".fb-answer").is_visible()
    assert form.section.locator(".fb-example").is_visible()
    page.unroute_all()  # which lets go what was held
    same(form.results(), native_results("rate", THREE))
    assert numbers(form.written()) == numbers(THREE)
    expect(form.section.locator(".fb-engine")).to_be_empty()


REHEARSALS = """() => {
    const own = Object.getPrototypeOf(window.furrowbook.engine), ask = own.ask;
    window.asked = [];
    own.ask = function (request) {
        window.asked.push(request);
        return ask.call(this, request);
    };
}"""


@hosted_only
def test_python_gets_up_to_speed_while_the_reader_goes_to_a_field(page: Page, base: str) -> None:
    """It works out the example, of which nothing is shown; once something is written, that comes first."""
    form = opened(page, base, "rate")
    page.wait_for_function("() => window.furrowbook.engine.state === 'ready'")
    page.evaluate(REHEARSALS)
    form.button("Work it out").focus()
    assert page.evaluate("() => window.asked.length") == 0
    form.control("width").focus()
    page.wait_for_function("() => window.asked.length > 10 && window.furrowbook.engine.quiet")
    asked = page.evaluate("() => window.asked")
    form.control("rate").focus()
    page.wait_for_timeout(100)
    assert page.evaluate("() => window.asked") == asked, "once is enough"
    assert {json.dumps(json.loads(one)["given"]) for one in asked} == {
        json.dumps(dict(catalogue()["rate"].example))
    }
    assert not form.section.locator(".fb-answer").is_visible()
    page.reload()
    page.wait_for_function("() => window.furrowbook.engine.state === 'ready'")
    page.evaluate(REHEARSALS)
    form.control("width").evaluate("(one) => { one.focus(); }")
    form.control("width").evaluate(WRITE, "40 ft")
    page.wait_for_function(
        "() => window.asked.some((one) => one.includes('40 ft')) && window.furrowbook.engine.quiet"
    )
    asked = page.evaluate("() => window.asked")
    assert "40 ft" in asked[-1], "nothing is rehearsed once something was written"


@hosted_only
def test_python_gets_up_to_speed_while_the_reader_looks_at_a_form(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    page.wait_for_function("() => window.furrowbook.engine.state === 'ready'")
    page.evaluate(REHEARSALS)
    form.section.evaluate("(one) => { one.scrollIntoView(); }")
    page.wait_for_function("() => window.asked.length === 80 && window.furrowbook.engine.quiet")
    form.control("rate").focus()
    page.wait_for_timeout(100)
    assert page.evaluate("() => window.asked.length") == 80, "once is enough"
    assert not form.section.locator(".fb-answer").is_visible()


@hosted_only
def test_a_key_leaves_alone_what_it_does_not_change(page: Page, base: str) -> None:
    """The bar, once it has said what is stored and what the first key changed: a change costs a frame."""
    form = opened(page, base, "rate")
    form.type(THREE)
    form.settle()
    expect(page.locator("[data-offline='word']")).to_have_attribute("data-phase", "unstored")
    page.evaluate(
        """() => {
            window.changed = 0;
            const word = document.querySelector("[data-offline='word']");
            const bar = new MutationObserver((changes) => { window.changed += changes.length; });
            bar.observe(word, { childList: true, characterData: true, subtree: true, attributes: true });
        }"""
    )
    form.control("speed").fill("6 mph")
    form.settle()
    page.wait_for_timeout(50)
    assert page.evaluate("() => window.changed") == 0


# --- answers ---------------------------------------------------------------------------------------------


def test_an_answer_comes_by_itself(page: Page, base: str) -> None:
    """Turns a minute by hand: 40 ft · 5 mph ÷ 8.25 is acres an hour (43 560 ft² an acre, 5 280 ft a mile)."""
    form = opened(page, base, "rate")
    form.type(THREE)
    form.settle()
    by_hand = 40 * 5 / 8.25 * 100 / 1 / 60
    assert form.result("meter_speed") == f"{by_hand:.2f} rpm"
    # The worked example has made way, and can be had back.
    example = form.section.locator(".fb-example")
    assert example.get_attribute("open") is None
    example.locator("summary").first.click()
    form.control("speed").fill("6 mph")
    form.settle()
    assert example.get_attribute("open") is not None
    form.control("speed").fill("5 mph")
    form.settle()
    assert f"{by_hand:.2f} rpm" in form.section.locator(".fb-status").inner_text()
    spoken = form.section.locator(".fb-spoken")
    assert spoken.get_attribute("role") == "status"
    expect(spoken).to_contain_text(f"{by_hand:.2f} rpm")


@hosted_only
def test_an_answer_is_marked_while_it_is_not_that_of_what_is_written(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type(THREE)
    before = form.results()
    assert form.control("speed").evaluate(WRITE, "6 mph") == "Working it out…"
    after = form.results()
    same(after, native_results("rate", {**THREE, "speed": "6 mph"}))
    assert after != before

    form.control("speed").fill("abc")
    stale = form.section.locator(".fb-stale")
    expect(stale).to_have_text("These figures no longer match what is written above.")
    expect(stale).to_be_visible()
    expect(form.section.locator(".fb-status")).to_have_text(stale.inner_text())
    assert form.section.locator(".fb-answer.fb-is-stale").is_visible()
    form.control("speed").fill("5 mph")
    assert form.results() == before
    assert not stale.is_visible()


@hosted_only
def test_an_answer_is_marked_however_fast_more_is_written(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type(THREE)
    form.results()
    page.evaluate("() => { window.furrowbook.engine.ask = () => new Promise(() => {}); }")
    seen = form.control("speed").evaluate(
        """async (control) => {
            const stale = control.closest("[data-calculator]").querySelector(".fb-stale");
            for (let n = 0; n < 20; n += 1) {
                control.value = `${n + 1} mph`;
                control.dispatchEvent(new Event("input", { bubbles: true }));
                await new Promise((resolve) => setTimeout(resolve, 40));
                if (stale.checkVisibility()) {
                    return n;
                }
            }
            return null;
        }"""
    )
    assert seen is not None


@hosted_only
def test_what_broke_is_said_and_stays_said(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type(THREE)
    form.results()
    page.evaluate("() => { window.furrowbook.engine.ask = () => Promise.reject(new Error('gone')); }")
    form.control("speed").fill("6 mph")
    expect(form.section.locator(".fb-stale")).to_be_visible()
    expect(form.section.locator(".fb-spoken")).to_contain_text("The calculation stopped.")
    assert "The calculation stopped." in form.section.locator(".fb-status").inner_text()


# --- what is wrong ---------------------------------------------------------------------------------------


@hosted_only
def test_nobody_is_corrected_in_the_middle_of_a_figure(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type({name: THREE[name] for name in ("width", "rate", "mass_per_turn")})
    form.control("speed").press_sequentially("5 mp")
    # The last reply has come: Python has been asked something since, and answers in the order asked.
    form.page.wait_for_timeout(400)
    form.page.evaluate("() => window.furrowbook.engine.ask('{}')")
    assert form.wrong() == {}
    form.control("speed").press("Tab")
    expect(form.field("speed").locator(".fb-error")).to_be_visible()
    assert set(form.wrong()) == {"speed"}
    assert form.control("speed").get_attribute("aria-invalid") == "true"
    form.control("speed").press("End")
    form.control("speed").press_sequentially("h")  # while it is mended the complaint is gone
    assert form.wrong() == {}
    assert form.control("speed").get_attribute("aria-invalid") is None
    same(form.results(), native_results("rate", THREE))


@hosted_only
def test_a_field_that_was_left_empty_is_complained_of_only_after_a_press(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.control("width").fill("40 ft")
    for _ in range(12):
        page.keyboard.press("Tab")
    page.wait_for_timeout(400)
    page.evaluate("() => window.furrowbook.engine.ask('{}')")
    assert form.wrong() == {}
    form.press()
    form.summary()
    assert set(form.wrong()) == {"rate", "speed", "meter_speed", "mass_per_turn"}


@hosted_only
def test_three_wrong_at_once_are_three_and_no_others(page: Page, base: str) -> None:
    wrong = {"width": "40 mph", "rate": "1,234 kg/ha", "speed": "−5 mph", "mass_per_turn": "1 lb/rev"}
    form = opened(page, base, "rate")
    form.type(wrong)
    form.press()
    links = form.summary().get_by_role("link")
    assert links.count() == 3
    assert set(form.wrong()) == {"width", "rate", "speed"}
    invalid = form.section.locator("[aria-invalid]").all()
    assert [one.get_attribute("name") for one in invalid] == ["width", "rate", "speed"]
    assert "could mean 1234 or 1.234" in form.wrong()["rate"]
    # A mended field leaves the list, and the others stay.
    form.control("width").fill("40 ft")
    expect(links).to_have_count(2)
    form.type({"rate": "100 lb/ac", "speed": "5 mph"})
    same(form.results(), native_results("rate", THREE))
    assert not form.section.locator(".fb-summary").is_visible()


@hosted_only
def test_a_complaint_does_not_move_the_button_from_under_a_finger(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type(THREE)
    form.settle()
    form.control("speed").fill("5 lb")
    expect(form.section.locator(".fb-stale")).to_contain_text("no longer match")  # what is wrong is known
    # All of it in sight, so that nothing scrolls to make up for what appears.
    page.set_viewport_size({"width": 390, "height": 1800})
    box = form.button("Work it out").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 4)
    page.mouse.down()
    page.wait_for_timeout(200)
    page.mouse.up()
    form.summary().wait_for()
    assert set(form.wrong()) == {"speed"}


# --- example, clear, undo --------------------------------------------------------------------------------


@hosted_only
def test_example_clear_and_undo(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    assert not form.button("Bring back").is_visible()
    form.control("width").fill("9 m")
    form.button("Try the example").click()
    same(form.results(), native_results("rate", catalogue()["rate"].example))
    form.button("Bring back").click()
    assert form.written()["width"] in ("9", "9 m")
    assert set(form.written()) == {"width"}
    assert not form.section.locator(".fb-answer").is_visible()

    form.type(THREE)
    before = form.results()
    written = form.written()
    form.button("Clear").click()
    assert form.written() == {}
    assert form.control("width").evaluate("one => one === document.activeElement")
    assert not form.section.locator(".fb-answer").is_visible()
    expect(form.section.locator(".fb-status")).to_be_empty()
    form.button("Bring back").click()
    assert form.results() == before
    assert numbers(form.written()) == numbers(written)
    assert not form.button("Bring back").is_visible()


def tanks(form: Form, *places: int) -> list[str]:
    """The names in these rows."""
    return [form.control(f"tanks[{place}].name").input_value() for place in places]


# --- rows ------------------------------------------------------------------------------------------------


@hosted_only
def test_rows_are_added_and_removed_within_their_limits(page: Page, base: str) -> None:
    form = opened(page, base, "speed-window")
    rows = form.section.locator(".fb-row")
    add = form.button("Add another tank")
    while add.is_visible():
        count = rows.count()
        add.click()
        assert rows.count() == count + 1
        assert form.control(f"tanks[{count + 1}].name").evaluate("one => one === document.activeElement")
    assert rows.count() == TANKS.most == 12
    ids = page.evaluate("() => [...document.querySelectorAll('[id]')].map((one) => one.id)")
    assert len(set(ids)) == len(ids)
    assert len({one.get_attribute("for") for one in form.section.locator("label").all()}) == len(
        form.section.locator("label").all()
    )
    for number in range(1, 13):
        form.control(f"tanks[{number}].name").fill(f"Tank {number}")
    form.button("Remove this tank").nth(4).click()
    assert tanks(form, 4, 5, 11) == ["Tank 4", "Tank 6", "Tank 12"]
    assert rows.nth(4).evaluate("one => one === document.activeElement")
    form.button("Bring back").click()
    assert tanks(form, 4, 5, 12) == ["Tank 4", "Tank 5", "Tank 12"]
    while form.button("Remove this tank").first.is_visible():
        form.button("Remove this tank").first.click()
    assert rows.count() == TANKS.least == 1


@hosted_only
def test_an_empty_row_is_not_sent_and_errors_keep_their_place(page: Page, base: str) -> None:
    form = opened(page, base, "calibration")
    while form.section.locator(".fb-row").count() < 3:
        form.button("Add another catch").click()
    for number in (1, 3):
        form.type({f"catches[{number}].{name}": text for name, text in CATCH.items()})
    same(form.results(), native_results("calibration", {"catches": [CATCH, CATCH]}))
    legends = [one.inner_text() for one in form.section.locator(".fb-row legend").all()[:3]]
    assert legends == ["Catch 1", "Catch (left empty, not counted)", "Catch 2"]

    form.control("catches[3].gross").fill("5 mph")  # to Python this is catches[2].gross
    form.press()
    links = form.summary().get_by_role("link")
    assert set(form.wrong()) == {"catches[3].gross"}
    assert links.inner_text().startswith("Catch 2, mass with the container")
    links.click()
    assert form.control("catches[3].gross").evaluate("one => one === document.activeElement")


# --- machine sheets --------------------------------------------------------------------------------------


def test_a_sheet_fills_the_form_and_it_answers_at_once(page: Page, base: str) -> None:
    """Turns a minute by hand: 60 ft · 4 mph ÷ 8.25 ac/h, times 120 lb/ac, over 1.4 lb a turn."""
    page.goto(base + "lessons/rate.html")
    form = Form(page, "rate")
    form.settle()
    assert form.result("meter_speed") == f"{60 * 4 / 8.25 * 120 / 1.4 / 60:.2f} rpm"
    assert "from the sheet of Prairie Four" in form.section.locator(".fb-from-sheet").inner_text()
    page.goto(base + "lessons/speed-window.html")
    window = Form(page, "speed-window")
    assert len([name for name in window.written() if name.endswith(".name")]) == 4
    assert window.results()["verdict"].startswith("Open")


@hosted_only
def test_two_calculators_on_a_page_do_not_disturb_each_other(page: Page, base: str) -> None:
    page.goto(base + "lessons/ground-speed.html")
    check, speed = (Form(page, one) for one in ("field-check", "ground-speed"))
    before = {one.id: (one.results(), one.written()) for one in (check, speed)}
    check.control("used").fill("2400")
    check.settle()
    assert check.result("rate") == f"{2400 / 18.6:.1f} lb/ac"
    check.control("target").fill("wrong")
    check.press()
    check.summary()
    assert speed.wrong() == {}
    assert (speed.results(), speed.written()) == before["ground-speed"]
    assert set(check.wrong()) == {"target"}
    speed.button("Clear").click()
    assert set(check.wrong()) == {"target"}
    speed.button("Bring back").click()
    assert (speed.results(), speed.written()) == before["ground-speed"]


# --- units beside a field --------------------------------------------------------------------------------


@hosted_only
def test_a_bare_number_takes_the_unit_beside_it_and_a_written_unit_wins(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type({**THREE, "width": "12"})
    form.unit("width").select_option("m")
    same(form.results(), native_results("rate", {**THREE, "width": "12 m"}))
    form.control("width").fill("1200 cm")
    same(form.results(), native_results("rate", {**THREE, "width": "12 m"}))
    assert form.field("width").get_attribute("data-own-unit") is not None
    form.unit("width").select_option("ft")  # idle now: the text has its own unit
    same(form.results(), native_results("rate", {**THREE, "width": "12 m"}))
    form.control("width").fill("12")
    same(form.results(), native_results("rate", {**THREE, "width": "12 ft"}))
    assert form.field("width").get_attribute("data-own-unit") is None


@hosted_only
def test_a_unit_written_with_a_plain_2_is_found_in_the_list(page: Page, base: str) -> None:
    form = opened(page, base, "stand")
    assert catalogue()["stand"].example["plants"] == "28 plants/ft2"
    form.button("Try the example").click()
    assert form.control("plants").input_value() == "28"
    assert form.unit("plants").evaluate("one => one.selectedOptions[0].text") == "plants/ft²"


# --- fields that go with a choice ------------------------------------------------------------------------


@hosted_only
def test_fields_without_a_place_are_hidden_and_a_filled_one_never(page: Page, base: str) -> None:
    form = opened(page, base, "bin-capacity")
    form.control("body").select_option("box")
    shown = {"length": True, "width": True, "height": True, "diameter": False, "hopper_depth": False}
    assert {name: form.field(name).is_visible() for name in shown} == shown
    form.type({"length": "7 ft", "width": "6 ft", "height": "4 ft"})
    # 7 · 6 · 4 is 168 cubic feet; a bushel is 2150.42 cubic inches (US Winchester bushel)
    form.settle()
    assert form.result("level_volume") == f"{7 * 6 * 4 * 1728 / 2150.42:.1f} bu"
    form.control("hopper").select_option("pyramid")
    assert form.field("hopper_depth").is_visible()
    form.control("hopper").select_option("")
    assert not form.field("hopper_depth").is_visible()

    form.control("body").select_option("upright-cylinder")
    assert form.field("diameter").is_visible()
    assert form.field("length").is_visible(), "what is written stays in view"
    form.press()
    form.summary()
    given = {"body": "upright-cylinder", "length": "7 ft", "width": "6 ft", "height": "4 ft"}
    assert set(form.wrong()) == {one["field"] for one in native("bin-capacity", given)["errors"]}
    form.type({"length": "", "width": ""})
    assert not form.field("length").is_visible()
    form.control("diameter").fill("6 ft")
    form.settle()
    assert form.result("level_volume") == f"{3.14159265 * 9 * 4 * 1728 / 2150.42:.2f} bu"


# --- hostile text ----------------------------------------------------------------------------------------


@hosted_only
def test_text_that_looks_like_a_page_is_shown_as_text(page: Page, watch: Watch, base: str) -> None:
    dialogs: list[str] = []

    def spoke(dialog: Dialog) -> None:
        dialogs.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", spoke)
    form = opened(page, base, "speed-window")
    tank = {
        "name": HOSTILE,
        "rate_low": "90 lb/ac",
        "rate_high": "130 lb/ac",
        "mass_per_turn": "1.2 lb/rev",
        "meter_low": "10 rpm",
        "meter_high": "120 rpm",
    }
    form.type({"width": "60 ft", **{f"tanks[1].{name}": text for name, text in tank.items()}})
    assert form.results()["slow_limit"] == HOSTILE
    live = form.section.locator(".fb-live")
    assert HOSTILE in live.locator("table").inner_text()
    assert HOSTILE in (live.locator("svg").text_content() or "")
    assert live.locator("img, script, iframe, a, [onerror]").count() == 0
    assert page.evaluate("() => window.ran") is None
    assert not dialogs
    form.control("width").fill(HOSTILE)
    form.press()
    assert HOSTILE in form.summary().inner_text()
    assert HOSTILE in form.wrong()["width"]
    assert form.section.locator("img").count() == 0
    assert not watch.errors


# --- coming back -----------------------------------------------------------------------------------------


def test_going_back_finds_what_was_typed_and_its_answer(page: Page, base: str) -> None:
    form = opened(page, base, "rate")
    form.type(THREE)
    before = form.results()
    page.get_by_role("link", name="Calculators").first.click()
    page.wait_for_url(base + "calculators/index.html")
    page.go_back()
    page.wait_for_url(base + "calculators/rate.html")
    assert form.results() == before
    page.reload()
    assert form.results() == before
    # By a link it opens anew: nobody finds the figures of another job in it.
    page.get_by_role("link", name="Calculators").first.click()
    page.locator("article").get_by_role("link", name="Rate and meter speed").click()
    page.wait_for_url(base + "calculators/rate.html")
    assert form.written() == {}


@hosted_only
def test_going_back_finds_every_row_and_another_page_finds_none(page: Page, base: str) -> None:
    page.goto(base + "lessons/speed-window.html")
    form = Form(page, "speed-window")
    form.button("Add another tank").click()
    form.control("tanks[5].name").fill("Small seed")
    form.button("Remove this tank").first.click()
    names = ["Tank 2", "Tank 3", "Tank 4", "Small seed"]
    assert tanks(form, 1, 2, 3, 4) == names
    page.goto(base + "calculators/speed-window.html")
    assert form.written() == {}
    page.go_back()
    page.wait_for_url(base + "lessons/speed-window.html")
    assert tanks(form, 1, 2, 3, 4) == names
    assert form.section.locator(".fb-row").count() == 4
