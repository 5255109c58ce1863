"""Practice in a lesson, on a phone: judged by Python, counted on the device, offered again when it is due.

Sources: the calculators natively. That it comes again after 2 days, 1 week and 3 weeks, and what passes, is
common practice, and `docs/lessons/index.md` tells readers of it.
"""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from calc.practice import read
from calc.quantity import Units, show
from calc.reply import reply
from tests.browser.conftest import hosted_only

LESSON = "lessons/rate.html"
DANGERS = "lessons/dangers.html"
KEEP = "furrowbook.practice"


def solve(problem: Locator, times: float = 1.0) -> None:
    """Write what a calculator answers to the figures in the case, so many times, and check it."""
    practice = read(json.loads(problem.get_attribute("data-problem") or ""))
    expect(problem.locator(".fb-drawn").first).not_to_have_text("…")
    places = problem.locator(".fb-drawn").all()
    given: dict[str, Any] = {str(one.get_attribute("data-figure")): one.inner_text() for one in places}
    answer = reply(practice.calculator.id, given, "us")["results"][practice.ask.name]["si"]
    problem.locator("input").fill(show(answer * times, practice.kind, Units("us")))
    problem.get_by_role("button", name="Check").click()


def choose(problem: Locator, *, right: bool = True) -> None:
    """Choose the right one, or one of the others, and check it."""
    which = "[data-right]" if right else ":not([data-right])"
    problem.locator(f".fb-practice__choice{which} label").first.click()
    problem.get_by_role("button", name="Check").click()


def pass_all(page: Page, *, wrong: int = 0) -> None:
    """Answer everything once, the first so many of it wrong."""
    for problem in page.locator("[data-practice]").all():
        said = problem.locator(".fb-practice__said")
        for number in range(int(problem.get_attribute("data-times") or "1")):
            right, wrong = wrong <= 0, wrong - 1
            if problem.get_attribute("data-problem") is None:
                choose(problem, right=right)
                expect(said).to_have_text("Right." if right else "Not this one.")
                continue
            if number:
                problem.get_by_role("button", name="Next one").click()
                expect(said).to_have_text("")
            if not right:
                solve(problem, 1.2)
                expect(said).to_contain_text("Not yet")
            solve(problem)
            expect(said).to_have_text("Right.")


def kept(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(page.evaluate(f"localStorage.getItem('{KEEP}')"))
    return found


def day(later: int = 0) -> date:
    """So many days from today, by the machine's own clock as the page has it."""
    return datetime.now().astimezone().date() + timedelta(later)


def in_words(one: date) -> str:
    return f"{one:%B} {one.day}, {one.year}"


def put_off(page: Page, days: int, **more: object) -> None:
    """Make the lesson due so many days from now, as if it had been passed earlier."""
    own = {"round": kept(page)["pages"][LESSON]["round"], "passed": True, "stage": 1}
    own |= {"due": str(day(days)), **more}
    record = {"format": 1, "season": "", "pages": {LESSON: own}}
    page.evaluate(f"(text) => localStorage.setItem('{KEEP}', text)", json.dumps(record))


def test_a_new_hire_practises_a_lesson_to_mastery_and_it_comes_again(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    score = page.locator(".fb-practice-score")
    asked = sum(int(one.get_attribute("data-times") or "") for one in page.locator("[data-practice]").all())
    expect(score).to_contain_text(f"0 of {asked} answered")
    pass_all(page)
    expect(score).to_contain_text(f"Passed: {asked} of {asked} right at the first try.")
    expect(score).to_contain_text(f"It comes again on {in_words(day(2))}.")

    page.goto(base + "lessons/index.html")
    state = page.locator(f'.fb-due [data-page="{LESSON}"] .fb-due__state')
    expect(state).to_have_text(f"passed, again {in_words(day(2))}")
    expect(page.locator(f'.fb-due [data-page="{DANGERS}"] .fb-due__state')).to_have_text("not done yet")

    page.goto(base + LESSON)
    put_off(page, 0)
    page.goto(base + "lessons/index.html")
    expect(state).to_have_text("due now")
    page.goto(base + LESSON)
    expect(score).to_contain_text("Time to practise this again.")
    pass_all(page)
    expect(score).to_contain_text(f"It comes again on {in_words(day(7))}.")


@hosted_only
def test_too_many_wrong_first_answers_do_not_pass_and_a_second_answer_does_not_count(
    page: Page, base: str
) -> None:
    page.goto(base + LESSON)
    pass_all(page, wrong=2)
    score = page.locator(".fb-practice-score")
    expect(score).to_contain_text("Not passed yet")
    assert kept(page)["pages"][LESSON]["due"] == str(day())
    score.get_by_role("button", name="Begin again").click()
    expect(score).to_contain_text("0 of")
    pass_all(page)
    expect(score).to_contain_text("Passed")


@hosted_only
def test_one_wrong_answer_about_safety_does_not_pass(page: Page, base: str) -> None:
    page.goto(base + DANGERS)
    assert page.locator("[data-practice][data-safety]").count() > 15
    pass_all(page, wrong=1)
    expect(page.locator(".fb-practice-score")).to_contain_text("Not passed yet")


@hosted_only
def test_practising_before_it_is_due_moves_nothing_and_after_three_times_the_season_counts(
    page: Page, base: str
) -> None:
    page.goto(base + LESSON)
    pass_all(page)
    due = str(day(5))
    put_off(page, 5, round={})
    page.reload()
    pass_all(page)
    assert (kept(page)["pages"][LESSON]["stage"], kept(page)["pages"][LESSON]["due"]) == (1, due)

    put_off(page, 0, round={}, stage=3)
    page.reload()
    pass_all(page)
    expect(page.locator(".fb-practice-score")).to_contain_text("It comes again before the season.")
    page.goto(base + "lessons/index.html")
    begins = day(100)
    page.get_by_label("My season begins on").fill(str(begins))
    state = page.locator(f'.fb-due [data-page="{LESSON}"] .fb-due__state')
    expect(state).to_have_text(f"passed, again {in_words(begins - timedelta(28))}")
    page.reload()
    expect(page.get_by_label("My season begins on")).to_have_value(str(begins))


@hosted_only
def test_the_answer_may_be_looked_at_but_then_it_counts_as_wrong(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    problem = page.locator("[data-problem]").first
    problem.get_by_role("button", name="Show the answer").click()
    expect(problem.locator(".fb-practice__said tr").last).to_contain_text("rpm")
    expect(page.locator(".fb-practice-score")).to_contain_text("1 of")
    assert next(iter(kept(page)["pages"][LESSON]["round"].values())) == [False]


@hosted_only
def test_what_is_no_figure_is_said_and_does_not_count(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    problem = page.locator("[data-problem]").first
    problem.locator("input").fill("fast")
    problem.get_by_role("button", name="Check").click()
    expect(problem.locator(".fb-practice__said")).to_contain_text("does not start with a plain number")
    expect(page.locator(".fb-practice-score")).to_contain_text("0 of")


@hosted_only
def test_an_answer_may_be_in_any_unit_and_the_case_follows_the_readers(page: Page, base: str) -> None:
    page.goto(base + LESSON)
    problem = page.locator("[data-problem]").first
    page.evaluate("window.furrowbook.units.set('metric')")
    expect(problem.locator('[data-figure="speed"]')).to_contain_text("km/h")
    problem.locator("input").fill("99 rpm")
    problem.get_by_role("button", name="Check").click()
    expect(problem.locator(".fb-practice__said")).not_to_be_empty()


@hosted_only
def test_a_browser_that_keeps_nothing_still_lets_one_practise(page: Page, base: str) -> None:
    page.add_init_script(
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"
    )
    page.goto(base + LESSON)
    pass_all(page)
    expect(page.locator(".fb-practice-score")).to_contain_text("Passed")


def test_without_scripts_the_answers_stand_behind_their_folds(browser: Browser, hosted: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(hosted + LESSON)
    problem = page.locator("[data-problem]").first
    expect(problem.locator("form")).to_be_hidden()
    problem.locator("summary").click()
    expect(problem.locator(".fb-practice__answer:visible")).to_contain_text("rpm")
    context.close()


BROKEN = ["", "{", "[]", '{"format": 2}', '{"format": 1, "pages": {"lessons/rate.html": 3}}']


@pytest.mark.parametrize("text", BROKEN)
@hosted_only
def test_whatever_stands_where_the_score_is_kept_breaks_nothing(page: Page, base: str, text: str) -> None:
    page.goto(base + LESSON)
    page.evaluate(f"(text) => localStorage.setItem('{KEEP}', text)", text)
    page.reload()
    choose(page.locator("[data-practice]:not([data-problem])").first)
    expect(page.locator(".fb-practice-score")).to_contain_text("1 of")
