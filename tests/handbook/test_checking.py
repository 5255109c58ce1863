"""Every rule of the book both ways, the places it names, what is excused, and what is printed.

The examples are those that the rules' own page shows. Each source is named in its rule.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sarif_pydantic import Sarif
from syntok import segmenter  # type: ignore[import-untyped]

from handbook.book import read
from handbook.checking.checker import Report, check
from handbook.checking.formats import FORMATS, as_text
from handbook.checking.page import rules_page
from handbook.checking.passages import Page
from handbook.checking.rules import PARTS, RULES, Rule
from handbook.checking.sentences import QUANTITY_SPACE, grade, most_sentences, sentences
from handbook.copying import PROGRAMS, copy_book, module_in

HEAD = "---\ntitle: Example\nkind: {}\nsummary: An example.\n---\n\n"
KINDS = {"lessons": "lesson", "procedures": "procedure", "": "front"}
GLOSSARY = """\
format: 1
note: Words for a test.
verbs: [tickle]
terms:
  - name: meter
    means: It measures product by turning.
    instead_of: [metering unit]
"""
Check = Callable[..., Report]


@pytest.fixture
def check_files(tmp_path: Path, sheet_text: str, root: Path) -> Check:
    """Checks a small book with these files in it, each under its path below `docs`, or mkdocs.yml."""
    docs = tmp_path / "docs"
    (docs / "machines").mkdir(parents=True)
    (docs / "assets").mkdir()
    mark = root / "scripts" / "handbook" / "web" / "theme" / "assets" / "furrowbook-mark.svg"
    shutil.copy(mark, docs / "assets")
    (docs / "machines" / "trial-two.yml").write_text(sheet_text, "utf-8")
    (docs / "reference").mkdir()
    (docs / "reference" / "glossary.yml").write_text(GLOSSARY, "utf-8")
    (docs / "index.md").write_text(HEAD.format("front") + "The first page.\n", "utf-8")

    def run(files: dict[str, str]) -> Report:
        for name, text in files.items():
            path = tmp_path / name if name == "mkdocs.yml" else docs / name
            path.parent.mkdir(parents=True, exist_ok=True)
            if name.endswith(".md") and not text.startswith("---"):
                text = HEAD.format(KINDS[name.rpartition("/")[0]]) + text + "\n"
            path.write_bytes(text.encode("utf-8", "surrogateescape"))
        if "mkdocs.yml" not in files:
            pages = sorted(path.relative_to(docs).as_posix() for path in docs.rglob("*.md"))
            listed = "".join(f"  - {name}\n" for name in pages)
            (tmp_path / "mkdocs.yml").write_text(f"docs_dir: docs\nnav:\n{listed}", "utf-8")
        return check(tmp_path)

    return run


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.id)
def test_each_rule_is_broken_by_the_one_example_and_kept_by_the_other(check_files: Check, rule: Rule) -> None:
    wrong = check_files({rule.file: rule.wrong})
    where = rule.file if rule.file == "mkdocs.yml" else f"docs/{rule.file}"
    assert {(one.rule, one.path) for one in wrong.problems} == {(rule.id, where)}
    right = check_files({rule.file: rule.right})
    assert right.problems == ()


def test_each_rule_says_what_it_asks_why_and_by_whose_word() -> None:
    assert len(RULES) > 35
    for rule in RULES.values():
        assert (
            min(map(len, (rule.asks, rule.why, rule.source, rule.wrong, rule.right))) > 5
            or rule.id == "utf-8"
        )
        assert rule.asks.endswith(".")
        assert all(len(sentence.words) <= 30 for sentence in sentences(rule.why))


def test_every_rule_stands_on_the_page_of_rules_once() -> None:
    page = rules_page()
    shown = [line.partition("{#")[2].rstrip("}") for line in page.splitlines() if "{#" in line]
    assert sorted(shown) == sorted(RULES)
    assert {module for modules in PARTS.values() for module in (one.__name__ for one in modules)} == {
        rule.module for rule in RULES.values()
    }


def test_the_standing_book_passes_without_excuses(root: Path) -> None:
    report = check(root)
    assert [str(problem) for problem in report.problems] == []
    assert report.excused == ()
    assert report.pages > 45


# --- places ----------------------------------------------------------------------------------------------


def test_a_sentence_is_named_by_its_own_line_and_not_by_its_paragraphs(check_files: Check) -> None:
    text = "One line.\nAnother line.\nFill the tank\nas required.\n"
    (problem,) = check_files({"lessons/example.md": text}).problems
    assert problem.line == HEAD.count("\n") + 4
    assert problem.rule == "banned-phrase"


def test_an_option_in_a_list_is_named_by_its_own_line(check_files: Check) -> None:
    text = (
        "/// warning | The fan throws stones\n    consequence: They can blind you.\n    avoid:\n"
        "      - Stand to the side.\n      - Be careful.\n///"
    )
    (problem,) = check_files({"lessons/example.md": text}).problems
    assert problem.line == HEAD.count("\n") + 5


# --- excuses ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "Fill it as required. <!-- excuse banned-phrase: the label's words -->",
        "<!-- excuse banned-phrase: the label's words -->\nFill it as required.",
        "<!-- excuse banned-phrase: the label's words -->\n\nFill it as required.",
    ],
)
def test_a_place_is_excused_with_a_reason_that_is_listed(check_files: Check, text: str) -> None:
    report = check_files({"lessons/example.md": text})
    assert report.problems == ()
    (excused,) = report.excused
    assert (excused.rule, excused.reason) == ("banned-phrase", "the label's words")
    assert "docs/lessons/example.md" in as_text(report)
    assert "the label's words" in as_text(report)


def test_an_excuse_holds_for_one_place_only(check_files: Check) -> None:
    text = "Fill it as required. <!-- excuse banned-phrase: so it says -->\n\nEmpty it as required."
    report = check_files({"lessons/example.md": text})
    assert [problem.line for problem in report.problems] == [HEAD.count("\n") + 3]


def test_an_excuse_that_is_shown_as_code_is_none(check_files: Check) -> None:
    text = "```\n<!-- excuse banned-phrase: so it says -->\n```\n\nFill it as required."
    report = check_files({"lessons/example.md": text})
    assert [problem.rule for problem in report.problems] == ["banned-phrase"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Fill it. <!-- excuse banned-phrase: so it says -->", "nothing here breaks “banned-phrase”"),
        ("Fill it as required. <!-- excuse banned-phrase -->", "this excuse gives no reason"),
        ("Fill it as required. <!-- excuse baned-phrase: so it says -->", "did you mean “banned-phrase”?"),
        ("Go [on](gone.md). <!-- excuse link: later -->", "cannot be excused"),
    ],
)
def test_an_excuse_that_excuses_nothing_is_said(check_files: Check, text: str, said: str) -> None:
    problems = check_files({"lessons/example.md": text}).problems
    assert any(problem.rule == "excuse" and said in problem.text for problem in problems)


# --- what is read as what --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "step",
    [
        "Press and hold the switch.",
        "With the fan off, open the lid.",
        "Isolate and tag the meter drives.",
        "Look for the tags that say isolated and bled.",
        "Read the rate and set speed on the screen.",
        "If the light is on, stop the fan.",
        "Turn the master on. The light comes on and stays.",
        "Tickle the float.",
    ],
)
def test_a_good_step_is_let_pass(check_files: Check, step: str) -> None:
    text = f"//// procedure | Example\n\n1. {step}\n\n////"
    assert check_files({"procedures/example.md": text}).problems == ()


@pytest.mark.parametrize(
    ("step", "rule"),
    [
        ("Stop the fan, then open the lid.", "one-action"),
        ("Stop the fan; open the lid.", "one-action"),
        ("Stop the fan. Open the lid.", "one-action"),
        ("Carefully open the lid.", "step-start"),
        ("If the light is on.", "step-start"),
        ("Verify that the oil pressure is in the green.", "tick"),
    ],
)
def test_a_bad_step_is_not(check_files: Check, step: str, rule: str) -> None:
    text = f"//// procedure | Example\n\n1. {step}\n\n////"
    assert [one.rule for one in check_files({"procedures/example.md": text}).problems] == [rule]


@pytest.mark.parametrize(
    ("word", "consequence", "wrong"),
    [
        ("danger", "It crushes whoever stands there.", False),
        ("danger", "It can crush whoever stands there.", True),
        ("danger", "It stains clothes.", True),
        ("warning", "It can crush a hand.", False),
        ("warning", "It can bend the frame.", True),
        ("caution", "It can harm your eyes.", False),
        ("caution", "It can kill.", True),
        ("notice", "The runs plug.", False),
        ("notice", "The lid can fall on you.", True),
    ],
)
def test_the_signal_word_fits_the_consequence(
    check_files: Check, word: str, consequence: str, wrong: bool
) -> None:
    """ANSI Z535.6: death or serious injury certain, possible; lesser injury; none."""
    text = f"/// {word} | The lid is loose\n    consequence: {consequence}\n    avoid: Stand back.\n///"
    found = [one.rule for one in check_files({"lessons/example.md": text}).problems]
    assert found == ["signal-word"] * wrong


def test_the_reading_grade_is_that_of_the_published_formula() -> None:
    """ARI by hand: 2 sentences, 9 words, 33 letters: 4.71 · 33/9 + 0.5 · 9/2 − 21.43 = −1.91."""
    assert grade(["Stop the fan now. Then open the lid slowly."]) == pytest.approx(-1.91)


def test_a_decimal_point_and_a_short_form_end_no_sentence() -> None:
    said = [one.text for one in sentences("Set 3.5 mph, approx. 5.6 km/h. Then go to p. 4. Done.")]
    assert said == ["Set 3.5 mph, approx. 5.6 km/h.", "Then go to p. 4.", "Done."]


def told_apart(text: str) -> list[tuple[str, int]]:
    """The sentences of a passage, by the segmenter alone."""
    flat = text.replace("\n", " ").replace(QUANTITY_SPACE, "_")
    found = [tokens for paragraph in segmenter.analyze(flat) for tokens in paragraph]
    return [
        (text[t[0].offset : t[-1].offset + len(t[-1].value)].replace("\n", " "), t[0].offset) for t in found
    ]


def test_where_the_segmenter_is_not_asked_it_would_say_the_same(root: Path) -> None:
    passages = [one for name, page in read(root / "docs").pages.items() for one in Page(name, page).passages]
    assert len(passages) > 5000
    for text in {passage.text for passage in passages}:
        found = [(one.text, one.place) for one in sentences(text)]
        assert found == told_apart(text)
        assert len(found) <= most_sentences(text)


WORDS = st.sampled_from(
    ("Stop", "it", "5\u00a0mph", "p.", "No. 4", "1.5", "a", "(see", "it)", "“Go”", "U.S.", *".?;:,…\n")
)


@given(st.lists(WORDS, max_size=9).map(" ".join))
def test_it_would_say_the_same_of_any_words(text: str) -> None:
    found = [(one.text, one.place) for one in sentences(text)]
    assert found == told_apart(text)
    assert len(found) <= most_sentences(text)


# --- what is printed -------------------------------------------------------------------------------------


@pytest.fixture
def report(check_files: Check) -> Report:
    """One problem that stops, one that does not, and one that is excused."""
    return check_files(
        {
            "lessons/example.md": "Fill it as required. <!-- excuse banned-phrase: “so” it says -->\n\n"
            "Empty it as required.\n\nGo [on](gone.md)."
        }
    )


def test_json_has_every_place(report: Report) -> None:
    text = FORMATS["json"](report)
    assert "\n" not in text
    read = json.loads(text)
    assert [(one["rule"], one["line"], one["stops"]) for one in read["problems"]] == [
        ("banned-phrase", 9, False),
        ("link", 11, True),
    ]
    assert read["excused"][0]["reason"] == "“so” it says"


def test_sarif_is_read_by_another_library(report: Report) -> None:
    """SARIF 2.1.0, OASIS Standard, as the library sarif-pydantic models it."""
    log = Sarif.model_validate_json(FORMATS["sarif"](report))
    assert log.version == "2.1.0"
    (run,) = log.runs
    assert {rule.id for rule in run.tool.driver.rules or []} == set(RULES)
    levels = {(one.rule_id, str(getattr(one.level, "value", one.level))) for one in run.results or []}
    assert levels == {("banned-phrase", "warning"), ("link", "error"), ("banned-phrase", "note")}


def test_text_ends_with_the_sum(report: Report) -> None:
    assert as_text(report).splitlines()[-1] == "2 things are wrong in 2 pages."
    assert "docs/lessons/example.md:9: " in as_text(report)
    assert as_text(report).splitlines()[0].endswith("[banned-phrase]")


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The command in a copy of the book."""
    words, variables = module_in(folder, "handbook.checking", *arguments)
    return subprocess.run(words, env=variables, capture_output=True, encoding="utf-8", check=False)


def test_the_command_ends_with_1_where_something_is_wrong_and_says_all_of_it(
    root: Path, tmp_path: Path
) -> None:
    copy = copy_book(root, tmp_path / "a folder é", *PROGRAMS)
    right = run(copy)
    assert (right.returncode, right.stderr) == (0, "")
    page = copy / "docs" / "lessons" / "rate.md"
    page.write_text(page.read_text("utf-8") + "\nFill it as required.\n", "utf-8")
    for shown, in_it in (
        ("text", "[banned-phrase]"),
        ("json", '"rule":"banned-phrase"'),
        ("sarif", "ruleId"),
    ):
        wrong = run(copy, "--format", shown)
        assert (wrong.returncode, wrong.stderr) == (1, "")
        assert in_it in wrong.stdout
    rules = run(copy, "--rules")
    assert [line.partition(":")[0] for line in rules.stdout.splitlines()] == list(RULES)
    (copy / "mkdocs.yml").write_text("nav: [\n", "utf-8")
    broken = run(copy)
    assert (broken.returncode, broken.stderr) == (1, "")
    assert "mkdocs.yml:2: this is not readable as YAML" in broken.stdout
