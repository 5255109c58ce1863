"""Practice in the book: every problem solvable for a thousand seeds, each slip told, each mistake said.

Sources: the calculators natively; the problems are our own invention.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from markdown import Markdown

from calc.practice import judge, led_to, pose, read
from calc.quantity import Units, show
from handbook.blocks import BookExtension
from handbook.book import read as read_whole
from handbook.practice_blocks import practice_id, practice_pages
from handbook.practising import FIRST, choices, written
from handbook.scanner import Block

Book = Callable[[Mapping[str, str]], list[str]]
Render = Callable[..., str]
BOOK = read_whole(Path(__file__).parents[2] / "docs")
BLOCKS = [(path, one) for path, page in BOOK.pages.items() for one in page.blocks if one.name == "practice"]
SEEDS = range(1, 1001)
US = Units("us")


def options(block: Block) -> dict[str, Any]:
    return {name: option.value for name, option in block.options.items()}


def named(pairs: list[tuple[str, Block]]) -> Any:
    return pytest.mark.parametrize(
        "block", [pytest.param(b, id=f"{path}: {b.argument}") for path, b in pairs]
    )


FIGURES = [pair for pair in BLOCKS if "calculator" in pair[1].options]
CHOICES = [pair for pair in BLOCKS if "right" in pair[1].options]


# --- the book's own ---


def test_every_lesson_has_practice() -> None:
    lessons = {path for path in BOOK.pages if path.startswith("lessons/")} - {"lessons/index.md"}
    assert len(lessons) > 20
    assert lessons - {path for path, _ in BLOCKS} == set()


@named(FIGURES)
def test_a_thousand_draws_can_be_solved_and_only_what_is_near_the_answer_is_right(block: Block) -> None:
    practice = read(written(options(block)))
    for seed in SEEDS:
        posed = pose(practice, seed)
        assert posed.answer
        assert judge(practice, posed, show(posed.answer, practice.kind, US), US)["right"]
        off = posed.answer * (1 + 2 * float(practice.within))
        assert not judge(practice, posed, show(off, practice.kind, US), US)["right"]


@named([pair for pair in FIGURES if "slips" in pair[1].options])
def test_each_slip_is_told_by_its_own_words(block: Block) -> None:
    practice = read(written(options(block)))
    told = set()
    for seed in SEEDS[:100]:
        posed = pose(practice, seed)
        for number, slip in enumerate(practice.slips, start=1):
            answer = led_to(practice, posed, slip)
            if answer:
                verdict = judge(practice, posed, show(answer, practice.kind, US), US)
                assert not verdict["right"]
                told |= {number} if verdict["says"] == slip.says else set()
    assert told == set(range(1, len(practice.slips) + 1))


@named(CHOICES)
def test_one_choice_is_right_and_none_stands_twice(block: Block) -> None:
    found = choices(block.argument, options(block))
    assert [one.right for one in found].count(True) == 1
    assert len({one.says for one in found}) == len(found) >= 3


def test_the_right_choice_does_not_stand_at_one_place() -> None:
    places = [[one.right for one in choices(b.argument, options(b))].index(True) for _, b in CHOICES]
    assert {0, 1, 2} <= set(places)


def test_no_two_problems_of_a_page_have_one_score() -> None:
    kept = [(path, practice_id(block.argument)) for path, block in BLOCKS]
    assert len(kept) == len(set(kept))


# --- what is wrong with one ---

HEAD = "---\ntitle: A\nkind: lesson\n---\n\n"
RIGHT = f"""{HEAD}/// practice | Speed of a meter
    calculator: rate
    ask: meter_speed
    given:
        width: 40 to 80 by 5 ft
        rate: 60 to 180 by 5 lb/ac
        speed: 5 mph
        mass_per_turn: 1.4 lb/rev

The width is {{width}}, the rate {{rate}}, the speed {{speed}} and one turn gives {{mass_per_turn}}.

///
"""
CHOICE = f"""{HEAD}/// practice | A hose
    right: Use cardboard.
    because: It stops the jet.
    wrong:
      - says: Use a glove.
        because: Oil goes through it.
      - says: Use a rag.
        because: Oil goes through it.

A hose may leak.

///
"""
MISTAKES = [
    (RIGHT, "calculator: rate", "calculator: rat", 7, "did you mean “rate”?"),
    (RIGHT, "ask: meter_speed", "ask: meter_sped", 8, "ask: "),
    (RIGHT, "width: 40", "widht: 40", 9, "given.widht: "),
    (RIGHT, "by 5 ft", "by 7 ft", 9, "given.width: “40 to 80 by 7 ft” is no range"),
    (RIGHT, "speed: 5 mph", "speed: 500 mph", 9, "speed: “500 mph” is above the most"),
    (RIGHT, "{speed}", "fast", 9, "the case does not tell “speed”; write “{speed}” where it belongs"),
    (RIGHT, "{speed}", "{sped}", 15, "there is no figure “{sped}”; did you mean “{speed}”?"),
    (RIGHT, "    ask: meter_speed\n", "", 6, "this practice needs the option “ask”"),
    (RIGHT, "ask: meter_speed", "ask: meter_speed\n    because: So.", 9, "“because” does not go with"),
    (CHOICE, "A hose may leak.", "", 6, "tell the case between the lines"),
    (CHOICE, "    because: It stops the jet.\n", "", 6, "this practice needs the option “because”"),
    (
        CHOICE,
        "        because: Oil goes through it.\n      - says: Use a rag.\n",
        "",
        9,
        "write two wrong choices",
    ),
    (CHOICE, "- says: Use a glove.\n        because", "- because", 10, "a wrong choice has “says”"),
]


@pytest.mark.parametrize("text", [RIGHT, CHOICE])
def test_a_right_one_is_taken(book: Book, text: str) -> None:
    assert book({"lessons/a.md": text}) == []


@pytest.mark.parametrize(
    ("text", "right", "wrong", "line", "said"), MISTAKES, ids=[one[-1] for one in MISTAKES]
)
def test_a_mistake_has_its_line(book: Book, text: str, right: str, wrong: str, line: int, said: str) -> None:
    assert right in text
    found = book({"lessons/a.md": text.replace(right, wrong, 1)})
    assert [one.split(": ")[0] for one in found if said in one] == [f"docs/lessons/a.md:{line}"], found


# --- what is shown ---


def test_the_first_figures_stand_in_the_case_and_the_answer_behind_a_fold(render: Render) -> None:
    html = render(RIGHT.removeprefix(HEAD))
    given = {"width": "40 to 80 by 5 ft", "rate": "60 to 180 by 5 lb/ac", "speed": "5 mph"}
    given["mass_per_turn"] = "1.4 lb/rev"
    problem = {"calculator": "rate", "ask": "meter_speed", "given": given}
    posed = pose(read(problem), FIRST)
    for figure in posed.given.values():
        assert f'<span class="q-us q-imperial">{figure}</span>' in html
    assert "{width}" not in html
    assert show(posed.answer, read(problem).kind, US) in html
    assert 'data-times="3"' in html


def test_a_choice_is_asked_once_and_tells_why(render: Render) -> None:
    html = render(CHOICE.removeprefix(HEAD))
    assert html.count("data-right") == 1
    assert html.count("Oil goes through it.") == 4  # beside the choices, and behind the fold without a script
    assert 'data-times="1"' in html
    assert "data-problem" not in html


def test_pages_with_practice_stand_in_the_order_of_the_menu() -> None:
    texts = {name: CHOICE.replace("title: A", f"title: {name}") for name in ("a.md", "b.md", "c.md")}
    found = practice_pages({**texts, "d.md": HEAD}, ["c.md", "d.md", "a.md"])
    assert found == [("c.html", "c.md"), ("a.html", "a.md"), ("b.html", "b.md")]


def test_what_is_due_names_every_page_with_practice(markdown_extensions: list[str]) -> None:
    blocks = BookExtension({}, practised=[("lessons/a.html", "One"), ("lessons/b.html", "Two & three")])
    blocks.start_page("trainers/index.html")
    html = Markdown(extensions=[*markdown_extensions, blocks]).convert("/// due | What is due\n///")
    assert '<a href="../lessons/b.html">Two &amp; three</a>' in html
    assert html.count("data-page=") == 2
