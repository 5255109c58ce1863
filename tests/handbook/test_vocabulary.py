"""What blocks mean: a right book gives no problem, and each mistake its file, its line and its words.

Sources: the book's own vocabulary of blocks, common practice; signal words: ANSI Z535.4 (from memory); the
words about figures are those of `calc`, which the tests of the calculators check.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from calc.declare import Input, Rows, catalogue
from calc.units import DIMENSIONS, plain
from handbook.problems import BookError, Problem
from handbook.vocabulary import BLOCKS, LIMIT_SOURCES, PAGE_KINDS

Book = Callable[[Mapping[str, str]], list[str]]

HEAD = "---\ntitle: A\nkind: lesson\n---\n"  # what follows it begins at line 5
MACHINE = "machines/trial-two.yml"

RIGHT = f"""{HEAD}
# A page with one of everything

Drive at `5 mph`{{.q}} or `8,5 km/h`{{.q}}.

/// calculator | rate
    machine: trial-two
    tank: Front
    width: 12,5 m
///

/// calculator | speed-window
    tanks:
      - name: One
        rate_low: 50 kg/ha
        rate_high: 100 kg/ha
        mass_per_turn: 400 g/rev
        meter_low: 10 rpm
        meter_high: 100 rpm
///

/// figures | tanks
    machine: trial-two
///

/// figures | standing-test
    machine: trial-two
///

/// notice | The screen can show another rate
    avoid: Check it.
///

///// procedure | Stand and turn
    id: stand
    needs:
      - two people
      - a watch

/// danger | Parts turn
    consequence: They cut.
    avoid:
      - Keep away.
      - Isolate the drive.

And tell the others.

///

1. Read the meter speed.

    /// measure | Meter speed
        low: 39 rpm
        high: 41 rpm
        source: common practice
        outside: Stop.
        calculator: rate
    ///

2. Read the difference.

    /// measure | Difference
        low: -3 %
        source: machine plate
        outside: Calibrate again.
    ///

//// each | tank

3. Read the meter speed of this tank.

    /// measure | Meter speed
        expected: low rate
        within: 3 %
        source: common practice
        outside: Stop.
    ///

////

//// only | oil

4. Look for leaks.

////

/// warning | Heat
    consequence: It burns.
    avoid: Wait.
///

/// caution | Dust
    consequence: It harms.
    avoid: Wear a mask.
///

5. Stop.

/////

/// machine | trial-two
///
"""


def procedure(measure: str) -> str:
    """A page with a measured value; its options begin at line 10."""
    inside = "".join(f"        {line}\n" for line in measure.split("\n"))
    return f"{HEAD}//// procedure | P\n\n1. Read.\n\n    /// measure | M\n{inside}    ///\n\n////\n"


def test_a_right_book_has_no_problems(book: Book, sheet_text: str) -> None:
    assert book({"index.md": RIGHT, MACHINE: sheet_text}) == []


def test_the_right_page_holds_every_block_but_those_of_one_page() -> None:
    assert [name for name in BLOCKS if f"/// {name} |" not in RIGHT] == [
        "doors",
        "stored",
        "opens",
        "closes",
        "machines",
        "pause-card",
        "fault",
        "cause",
        "practice",
        "due",
        "observed",
        "skills",
        "record",
        "history",
    ]


@pytest.mark.parametrize("source", LIMIT_SOURCES)
def test_every_source_of_a_limit_is_taken(book: Book, source: str) -> None:
    assert book({"a.md": procedure(f"high: 2 s\nsource: {source}\noutside: Stop.")}) == []


@pytest.mark.parametrize("kind", PAGE_KINDS)
def test_every_kind_of_page_is_taken(book: Book, kind: str) -> None:
    assert book({"a.md": f"---\nkind: {kind}\n---\n"}) == []


# Text below the head, and the one problem it makes: its line and words.
MISTAKES = [
    ("/// calculater | rate\n///", 5, "unknown block “calculater”; did you mean “calculator”?"),
    (
        "/// pudding | rate\n///",
        5,
        (
            "unknown block “pudding”; the blocks are calculator, doors, stored, procedure, measure, "
            "opens, closes, each, only, machine, machines, danger, warning, caution, "
            "notice, pause-card, fault, cause, figures, practice, due, observed, "
            "skills, record and history"
        ),
    ),
    (
        "/// calculator | rate\n    unts: us\n///",
        6,
        "unknown option “unts” for calculator; did you mean “runs”?",
    ),
    (
        "/// calculator | rate\n    machine: trial-two\n    widht: 40 ft\n///",
        7,
        "unknown option “widht” for calculator; did you mean “width”?",
    ),
    (
        "/// calculator | rate\n    pudding: 40 ft\n///",
        6,
        (
            "unknown option “pudding” for calculator; it takes machine, tank, width, rate, "
            "speed, meter_speed, "
            "mass_per_turn and runs"
        ),
    ),
    (
        "/// notice | A\n    avoid: b\n    avoids: b\n///",
        7,
        "unknown option “avoids” for notice; did you mean “avoid”?",
    ),
    (
        "/// figures | tanks\n    machine: trial-two\n    tanks: Front\n///",
        7,
        "unknown option “tanks” for figures; did you mean “tank”?",
    ),
    ("/// calculator | raet\n///", 5, "there is no calculator “raet”; did you mean “rate”?"),
    (
        "/// calculator | speed_window\n///",
        5,
        "there is no calculator “speed_window”; did you mean “speed-window”?",
    ),
    (
        "/// calculator | rate\n    machine: trial-tow\n///",
        6,
        "there is no machine sheet “trial-tow”; did you mean “trial-two”?",
    ),
    (
        "/// calculator | rate\n    machine: pudding\n///",
        6,
        "there is no machine sheet “pudding”; the sheets are trial-two",
    ),
    (
        "/// figures | tanks\n    machine: trialtwo\n///",
        6,
        "there is no machine sheet “trialtwo”; did you mean “trial-two”?",
    ),
    (
        "/// calculator | rate\n    machine: trial-two\n    tank: Front Tank\n///",
        7,
        "trial-two has no tank “Front Tank”; its tanks are Front and Rear",
    ),
    ("/// calculator | rate\n    tank: Front\n///", 6, "“tank” needs “machine” beside it"),
    (
        "/// danger\n    consequence: a\n    avoid: b\n///",
        5,
        "“danger” needs what can happen: write “/// danger | …”",
    ),
    (
        "/// danger |\n    consequence: a\n    avoid: b\n///",
        5,
        "“danger” needs what can happen: write “/// danger | …”",
    ),
    (
        "/// warning | A\n    avoid: b\n///",
        5,
        "“warning” needs the option “consequence”; write “    consequence: …” below it",
    ),
    (
        "/// caution | A\n    consequence: b\n///",
        5,
        "“caution” needs the option “avoid”; write “    avoid: …” below it",
    ),
    ("/// notice | A\n///", 5, "“notice” needs the option “avoid”; write “    avoid: …” below it"),
    ("/// figures | tanks\n///", 5, "“figures” needs the option “machine”; write “    machine: …” below it"),
    (
        "/// figures | tank\n    machine: trial-two\n///",
        5,
        "there are no figures “tank”; did you mean “tanks”?",
    ),
    (
        "/// figures | pudding\n    machine: trial-two\n///",
        5,
        (
            "there are no figures “pudding”; write one of tanks, capacity, standing-test, readings, "
            "conversions, air-path, oil-path or card, or a calculator"
        ),
    ),
    (
        "/// calculator | rate\n    width: 40\n///",
        6,
        "width: “40” is missing its unit; write “40 m”, “40 mm” or “40 cm”",
    ),
    (
        "/// calculator | rate\n    speed: 5 rpm\n///",
        6,
        (
            "speed: “5 rpm” is a measure of turning speed; "
            "this field takes speed: write it in km/h, m/s, mph, ft/s or ft/min"
        ),
    ),
    (
        "/// calculator | rate\n    runs: 4.5\n///",
        6,
        "runs: “4.5” must be a whole number; write it like 12",
    ),
    (
        "/// calculator | rate\n    speed: 500 km/h\n///",
        6,
        "speed: “500 km/h” is above the most that makes sense here, 40 km/h; check the figure and its unit",
    ),
    (
        "/// calculator | bin-capacity\n    body: boxx\n///",
        6,
        "body: “boxx” is not one of the choices; did you mean “box”?",
    ),
    (
        "/// calculator | calibration\n    catches:\n      - turns: 10\n        gross: 5 miles\n///",
        6,
        (
            "catches[1].gross: “5 miles” is a measure of length; this field takes mass: write it "
            "in kg, g, t, oz, lb or ton"
        ),
    ),
    (
        "/// calculator | calibration\n    catches:\n      - {turns: '10', gross: 5 kg, tear: 1 kg}\n///",
        6,
        "catches[1].tear: there is no such field; did you mean “tare”?",
    ),
    (
        "/// calculator | rate\n    width: [40 ft]\n///",
        6,
        "width: a value is written as text with its unit, like 40 ft",
    ),
    ("/// calculator | rate\n    machine: [trial-two]\n///", 6, "“machine” is one text; write it so"),
    ("/// danger | A\n    consequence: [a]\n    avoid: b\n///", 6, "“consequence” is one text; write it so"),
    (
        "/// danger | A\n    consequence: a\n    avoid: []\n///",
        7,
        "“avoid” is an empty list; write what belongs in it",
    ),
    (
        "/// danger | A\n    consequence: a\n    avoid: [[b]]\n///",
        7,
        "“avoid” is a list of texts; write it so",
    ),
    (
        "/// danger | A\n    consequence: a\n    avoid:\n      - Stop: then look\n///",
        7,
        "“avoid” holds a colon with a space behind it; put that text in quotes",
    ),
    (
        "- a\n\n    /// notice | A\n        avoid: b\n    ///",
        7,
        "“notice” begins its line; take out the spaces before it",
    ),
    ("Drive at `5`{.q}.", 5, "“5” is missing its unit; write “5 mph”, say, or leave out {.q}"),
    ("a\n\nDrive at `5 kmh`{.q}.", 7, "the unit “kmh” is not known; did you mean “km/h”?"),
    (
        "Drive at `5 puddings`{.q}.",
        5,
        "the unit “puddings” is not known here; write one of those in the reference page on units",
    ),
    ("It holds `1,234 kg`{.q}.", 5, "“1,234 kg” could mean 1234 or 1.234; write the one you mean"),
    (
        "//// procedure | A\n\nText.\n\n////",
        5,
        "a procedure needs numbered steps; begin the first with “1. ”",
    ),
    (
        "//// procedure | A\n\n2. Two.\n3. Three.\n\n////",
        7,
        "this step is numbered 2, but 1 comes next; steps are numbered through",
    ),
    (
        "//// procedure | A\n\n1. One.\n2. Two.\n\n### More\n\n1. Three.\n2. Four.\n\n////",
        12,
        "this step is numbered 1, but 3 comes next; steps are numbered through",
    ),
    (
        "//// procedure | A\n\n1. One.\n1. Two.\n\n////",
        8,
        "this step is numbered 1, but 2 comes next; steps are numbered through",
    ),
    (
        "//// procedure | A\n\n1. One.\n\n////\n\n//// procedure | B\n\n1. One.\n\n////",
        11,
        "a page holds one procedure, and one began at line 5; give this its own page",
    ),
    (
        "1. One.\n\n    /// measure | A\n        low: 1 m\n        source: law\n        outside: b\n    ///",
        7,
        "a measured value stands inside a procedure, in the step that it belongs to",
    ),
]


@pytest.mark.parametrize(("text", "line", "said"), MISTAKES, ids=[said[:60] for _, _, said in MISTAKES])
def test_a_mistake_is_said_with_file_and_line(
    book: Book, sheet_text: str, text: str, line: int, said: str
) -> None:
    found = book({"lessons/meters.md": f"{HEAD}{text}\n", MACHINE: sheet_text})
    assert found == [f"docs/lessons/meters.md:{line}: {said}"]


MEASURES = [
    ("low: 1\nhigh: 2 rpm", 9, "“low” must be below “high” and of the same kind"),
    ("low: 40 rpm\nhigh: 39 rpm", 9, "“low” must be below “high” and of the same kind"),
    ("low: 1 mph\nhigh: 1 km/h", 9, "“low” must be below “high” and of the same kind"),  # 1.6 km/h and 1
    ("low: 5 kmh", 10, "low: the unit “kmh” is not known; did you mean “km/h”?"),
    ("high: fast", 10, "high: “fast” does not start with a plain number; write it like 5 mph"),
    ("high: [1 m]", 10, "“high” is one text; write it so"),
    ("", 9, "a measured value needs a limit; write “low: …”, “high: …” or both, with their unit"),
]


@pytest.mark.parametrize(("limits", "line", "said"), MEASURES)
def test_limits_of_a_measured_value(book: Book, limits: str, line: int, said: str) -> None:
    text = procedure("\n".join(part for part in (limits, "source: law", "outside: Stop.") if part))
    assert book({"p.md": text}) == [f"docs/p.md:{line}: {said}"]


@pytest.mark.parametrize(
    "limits", ["low: 1 mph\nhigh: 2 km/h", "low: 3 rpm\nhigh: 3 rpm", "low: 2\nhigh: 4", "high: 0 mph"]
)
def test_right_limits(book: Book, limits: str) -> None:
    assert book({"p.md": procedure(f"{limits}\nsource: law\noutside: Stop.")}) == []


@pytest.mark.parametrize(
    ("options", "line", "said"),
    [
        ("low: 1 m\noutside: a", 9, "“measure” needs the option “source”; write “    source: …” below it"),
        ("low: 1 m\nsource: law", 9, "“measure” needs the option “outside”; write “    outside: …” below it"),
        (
            "low: 1 m\nsource: the web\noutside: a",
            11,
            (
                "“the web” is not a kind of source; write one of law, machine plate, label or "
                "safety data sheet, "
                "standard, extension or common practice"
            ),
        ),
        (
            "low: 1 m\nsource: law\noutside: a\ncalculator: raet",
            13,
            "there is no calculator “raet”; did you mean “rate”?",
        ),
        (
            "low: 1 m\nsource: law\noutside: a\nhihg: 2 m",
            13,
            "unknown option “hihg” for measure; did you mean “high”?",
        ),
    ],
)
def test_other_options_of_a_measured_value(book: Book, options: str, line: int, said: str) -> None:
    assert book({"p.md": procedure(options)}) == [f"docs/p.md:{line}: {said}"]


def test_a_measured_value_that_is_not_indented_leaves_its_step(book: Book) -> None:
    text = procedure("low: 1 m\nsource: law\noutside: a").replace("\n    ", "\n")
    assert book({"p.md": text}) == [
        "docs/p.md:9: a measured value is indented by four spaces, into the step that it belongs to"
    ]


@pytest.mark.parametrize(
    ("head", "line", "said"),
    [
        (
            "",
            1,
            (
                "the head of the page says no kind; write “kind: …” with one of lesson, "
                "procedure, reference, "
                "explanation, pause-card, fault or front"
            ),
        ),
        (
            "---\ntitle: A\n---\n",
            1,
            (
                "the head of the page says no kind; write “kind: …” with one of lesson, "
                "procedure, reference, explanation, pause-card, fault or front"
            ),
        ),
        (
            "---\ntitle: A\nkind: leson\n---\n",
            3,
            (
                "“leson” is not a kind of page; write one of lesson, procedure, reference, "
                "explanation, pause-card, fault or front"
            ),
        ),
        (
            "---\nkind: [lesson]\n---\n",
            2,
            (
                "“['lesson']” is not a kind of page; write one of lesson, procedure, "
                "reference, explanation, pause-card, fault or front"
            ),
        ),
    ],
)
def test_the_kind_of_a_page(book: Book, head: str, line: int, said: str) -> None:
    assert book({"a.md": f"{head}Text.\n"}) == [f"docs/a.md:{line}: {said}"]


def test_without_a_sheet_the_words_say_so(book: Book) -> None:
    found = book({"a.md": f"{HEAD}/// calculator | rate\n    machine: some\n///\n"})
    assert found == ["docs/a.md:6: there is no machine sheet “some”; there is none at all yet"]


def test_a_page_that_is_not_utf8_is_said(book: Book, tmp_path: Path) -> None:
    assert book({"a.md": RIGHT.replace("machine: trial-two", "machine: x")})
    (tmp_path / "docs" / "a.md").write_bytes(b"---\nkind: lesson\n---\n\xe9\n")
    assert book({}) == ["docs/a.md:1: this is not UTF-8 text; save it as UTF-8"]


def test_a_page_saved_with_a_byte_order_mark_is_read(book: Book, sheet_text: str) -> None:
    assert book({"a.md": f"\ufeff{RIGHT}", MACHINE: f"\ufeff{sheet_text}"}) == []


def test_a_page_with_windows_line_ends_is_read_alike(book: Book, sheet_text: str) -> None:
    assert book({"a.md": RIGHT.replace("\n", "\r\n"), MACHINE: sheet_text.replace("\n", "\r\n")}) == []
    wrong = RIGHT.replace("tank: Front", "tank: Font").replace("\n", "\r\n")
    assert book({"a.md": wrong}) == [
        "docs/a.md:12: trial-two has no tank “Font”; its tanks are Front and Rear"
    ]


def test_all_problems_of_all_files_come_at_once_and_in_order(book: Book, sheet_text: str) -> None:
    found = book(
        {
            "z.md": f"{HEAD}/// pudding | a\n///\n",
            "lessons/b.md": f"{HEAD}`5`{{.q}}\n\n/// calculator | rate\n    widht: 1 m\n    speed: 5\n///\n",
            "lessons/a.md": "///\n",
            "machines/broken.yml": sheet_text.replace("40 ft", "40"),
            MACHINE: sheet_text,
            # a machine whose own sheet is wrong is not said to be missing as well
            "lessons/c.md": f"{HEAD}/// calculator | rate\n    machine: broken\n///\n",
        }
    )
    assert [line.partition(": ")[0] for line in found] == [
        "docs/lessons/a.md:1",
        "docs/lessons/a.md:1",
        "docs/lessons/b.md:5",
        "docs/lessons/b.md:8",
        "docs/lessons/b.md:9",
        "docs/machines/broken.yml:5",
        "docs/z.md:5",
    ]


def test_lines_sort_as_numbers_and_repeats_go() -> None:
    problems = [Problem("a.md", n, "x", "link") for n in (10, 9, 10)]
    assert str(BookError(problems)).splitlines() == [
        "a.md:9: x [link]",
        "a.md:10: x [link]",
    ]


def test_every_unit_that_may_be_written_is_in_the_reference(root: Path) -> None:
    page = (root / "docs" / "reference" / "index.md").read_text("utf-8")
    asked = {
        field.kind.dimension
        for calculator in catalogue().values()
        for one in calculator.inputs
        for field in (one.columns if isinstance(one, Rows) else [one])
        if isinstance(field, Input)
    }
    written = set(re.split(r"[|,\n]\s*", page.replace(" |", "|")))
    for dimension in asked:
        for unit in DIMENSIONS[dimension]:
            assert plain(unit.name) in written, unit.name


CAUSE = (
    "/// cause | The master is off\n    id: master\n    shows: On the screen.\n    check: Look.\n"
    "    fix: Turn it on.\n///"
)


def test_a_fault_and_a_pause_card_are_taken(book: Book) -> None:
    fault = f"//// fault | Nothing turns\n    words: [it is dead]\n\n{CAUSE}\n\n////\n"
    card = "/// pause-card | Stop\n    trigger: Now.\n    items: [One., Two.]\n///\n"
    files = {
        "faults/a.md": f"---\nkind: fault\n---\n\n{fault}",
        "procedures/b.md": f"---\nkind: pause-card\n---\n\n{card}",
    }
    assert book(files) == []


def test_a_cause_stands_in_a_fault_and_a_fault_has_one(book: Book) -> None:
    alone = f"---\nkind: fault\n---\n\n{CAUSE}\n"
    empty = "---\nkind: fault\n---\n\n/// fault | Nothing turns\n    words: [it is dead]\n///\n"
    assert book({"a.md": alone, "b.md": empty}) == [
        "docs/a.md:5: a cause stands inside the “fault” block that it explains",
        "docs/b.md:5: a fault needs its causes; write a “cause” block in it for each",
    ]


# --- what is expected of each machine, and what is repeated for its tanks ---

READ = "high: 2 s\nsource: law\noutside: Stop."
EXPECTED = "expected: low rate\nwithin: 3 %\nsource: common practice\noutside: Stop."


def each(measure: str, argument: str = "tank", name: str = "each") -> str:
    """A page with a measured value in a part that is repeated; its options begin at line 12."""
    inside = "".join(f"        {line}\n" for line in measure.split("\n"))
    step = f"1. Read.\n\n    /// measure | M\n{inside}    ///\n"
    return f"{HEAD}///// procedure | P\n\n//// {name} | {argument}\n\n{step}\n////\n\n/////\n"


REPEATED = [
    (
        each(EXPECTED.replace("low rate", "low rat")),
        12,
        "nothing is expected at “low rat”; did you mean “low rate”?",
    ),
    (each(EXPECTED.replace("3 %", "3")), 13, "within: “3” is missing its unit; write “3 %”"),
    (
        each(EXPECTED.replace("within: 3 %\n", "")),
        11,
        "“expected” and “within” go together; write both, such as “within: 3 %”",
    ),
    (each(f"low: 3 rpm\n{EXPECTED}"), 12, "what is “expected” has no “low” or “high”; take it out"),
    (
        each(EXPECTED, "control"),
        12,
        "a reading is expected of each tank; put this step into “each | tank”",
    ),
    (
        each(READ, "tnak"),
        7,
        "“each” does not know “tnak”; did you mean “tank”?",
    ),
    (
        each(READ, "sail", "only"),
        7,
        "“only” does not know “sail”; write one of ammonia, liquid or oil",
    ),
    (
        f"{HEAD}/// each | tank\n///\n",
        5,
        "“each” stands inside a procedure, around its steps",
    ),
    (
        f"{HEAD}/// machine | pudding\n///\n",
        5,
        "there is no machine sheet “pudding”; the sheets are trial-two",
    ),
    (
        f"{HEAD}/// figures | oil-path\n    machine: trial-two\n///\n",
        5,
        "the sheet of trial-two does not say anything of the oil; write “oil:”",
    ),
    (
        f"{HEAD}/// figures | bin-capacity\n    machine: trial-two\n///\n",
        5,
        "the sheet of trial-two does not say of which tank; write “tank: Front” below it",
    ),
    (
        f"{HEAD}/// figures | ammonia\n    machine: trial-two\n///\n",
        5,
        (
            "the sheet of trial-two does not say nitrogen_rate, temperature and tank_volume, "
            "which “ammonia” needs"
        ),
    ),
    (
        f"{HEAD}/// figures | tanks\n///\n",
        5,
        "“figures” needs the option “machine”; write “    machine: …” below it",
    ),
]


@pytest.mark.parametrize(("text", "line", "said"), REPEATED, ids=[said[:40] for *_, said in REPEATED])
def test_a_mistake_in_what_each_machine_gets_is_said(
    book: Book, sheet_text: str, text: str, line: int, said: str
) -> None:
    assert f"docs/a.md:{line}: {said}" in book({"a.md": text, MACHINE: sheet_text})


def test_what_each_machine_gets_has_no_mistake_as_it_should_be(book: Book, sheet_text: str) -> None:
    assert book({"procedures/a.md": each(EXPECTED), MACHINE: sheet_text}) == []


OBSERVED = "/// observed | Making safe\n    behaviors:\n{}    ends:\n{}///\n"


@pytest.mark.parametrize(
    ("behaviors", "ends", "said"),
    [
        (6, 2, []),
        (12, 3, []),
        (5, 2, ["a.md:6: there are 5 behaviors; write between 6 and 12 of them"]),
        (13, 2, ["a.md:6: there are 13 behaviors; write between 6 and 12 of them"]),
        (6, 4, ["a.md:13: there are 4 ends; write between 2 and 3 of them"]),
    ],
)
def test_a_sheet_for_watching_is_neither_too_long_nor_too_short(
    book: Book, behaviors: int, ends: int, said: list[str]
) -> None:
    lists = ["".join(f"      - Does {n}.\n" for n in range(count)) for count in (behaviors, ends)]
    assert book({"a.md": HEAD + OBSERVED.format(*lists)}) == [f"docs/{one}" for one in said]


# --- changes for a time ---

CHANGES = """---
title: Try it
kind: procedure
---

//// procedure | Try it
    people: {people}

1. Lower the limit.

    /// opens | A low limit
    ///

2. Raise the limit.

    /// closes | {closed}
    ///

////
"""


def test_a_change_that_is_put_back_is_right(book: Book) -> None:
    assert book({"p.md": CHANGES.format(people=2, closed="A low limit")}) == []


@pytest.mark.parametrize(
    ("people", "closed", "said"),
    [
        (
            2,
            "A lower limit",
            "docs/p.md:16: nothing opened “A lower limit” before; did you mean “A low limit”?",
        ),
        (2, "A lower limit", "docs/p.md:11: “A low limit” is never put back"),
        (3, "A low limit", "docs/p.md:7: “people” is 2, or it is left out"),
    ],
)
def test_a_change_that_stays_open_is_told(book: Book, people: int, closed: str, said: str) -> None:
    told = book({"p.md": CHANGES.format(people=people, closed=closed)})
    assert [one for one in told if one.startswith(said)]
