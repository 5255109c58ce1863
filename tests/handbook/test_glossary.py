"""The glossary: a right one is read as written, each mistake has its line, the book keeps to its own.

Sources: the small glossary is our own. One name for one thing, and sentences of 25 words at the most, are
rules of ASD-STE100 Simplified Technical English (from memory) and of the house style.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handbook.book import Book as WholeBook
from handbook.book import read_book
from handbook.generated import generated_pages
from handbook.glossary import EMPTY, FILE, PAGE, Glossary, Term, glossary_page, read_glossary
from handbook.links import GENERATED

Book = Callable[[Mapping[str, str]], list[str]]
Render = Callable[..., str]
Tree = Callable[[str], ElementTree.Element]

SMALL = """\
format: 1
note: Words for tests.
verbs: [coax]
terms:
  - name: meter
    means: It measures product.
    instead_of: [metering unit]
    forms: [meters]
  - name: run
    means: The way to one row.
    only_in: [each run, the runs]
    forms: [runs]
"""
LONGEST_SENTENCE = 25


def read(folder: Path, text: str) -> Glossary:
    """A right glossary from its text."""
    path = folder / "glossary.yml"
    path.write_text(text, "utf-8")
    found, problems = read_glossary(path, "docs/reference/glossary.yml")
    assert problems == []
    assert found
    return found


# --- a right glossary ---


def test_a_glossary_is_read_as_it_is_written(tmp_path: Path) -> None:
    found = read(tmp_path, SMALL)
    assert found.note == "Words for tests."
    assert found.verbs == {"coax"}
    assert found.terms == (
        Term(
            name="meter",
            means="It measures product.",
            instead_of=("metering unit",),
            forms=("meters",),
        ),
        Term(name="run", means="The way to one row.", forms=("runs",), only_in=("each run", "the runs")),
    )
    assert [term.place for term in found.terms] == ["meter", "run"]


def test_only_names_and_what_they_mean_are_needed(tmp_path: Path) -> None:
    found = read(tmp_path, "format: 1\nnote: A.\nterms:\n  - {name: lot 4, means: B.}\n")
    assert found.verbs == frozenset()
    assert found.terms == (Term(name="lot 4", means="B."),)


def test_a_book_without_a_glossary_has_an_empty_one(book: Book, tmp_path: Path) -> None:
    assert book({"index.md": "---\nkind: front\ntitle: A\n---\n"}) == []
    assert read_book(tmp_path / "docs").glossary == EMPTY
    assert EMPTY.terms == ()


def test_the_book_hands_its_glossary_on(book: Book, tmp_path: Path) -> None:
    assert book({FILE: SMALL}) == []
    assert [term.name for term in read_book(tmp_path / "docs").glossary.terms] == ["meter", "run"]


# --- mistakes: what is changed into what, then line and words ---

MISTAKES = [
    ("note: Words for tests.\n", "", 1, "note: is missing; add it"),
    ("    means: It measures product.\n", "", 5, "terms.1.means: is missing; add it"),
    (
        "means: It measures product.",
        "means:",
        6,
        "terms.1.means: says nothing; write something behind the colon",
    ),
    (
        "means: The way to one row.",
        'means: "  "',
        10,
        "terms.2.means: says nothing; write something behind the colon",
    ),
    ("forms: [meters]", "forms: meters", 8, "terms.1.forms: is a list; begin each of its lines with “- ”"),
    ("verbs: [coax]", "verbs: coax", 3, "verbs: is a list; begin each of its lines with “- ”"),
    ("verbs: [coax]", "verbs: [[coax]]", 3, "verbs.1: is one text; write it behind the colon"),
    ("verbs: [coax]", "verb: [coax]", 3, "verb: is not known in a glossary; did you mean “verbs”?"),
    ("verbs: [coax]", "colour: red", 3, "colour: is not known in a glossary; take it out"),
    (
        "instead_of: [metering unit]",
        "insted_of: [metering unit]",
        7,
        "terms.1.insted_of: is not known in a glossary; did you mean “instead_of”?",
    ),
    (
        "    forms: [meters]\n",
        "    forms: [meters]\n    forms: [meters]\n",
        9,
        "forms stands twice; keep one",
    ),
    (
        "terms:\n",
        "terms:\n  - {name: METER, means: A.}\n",
        6,
        "terms.2.name: “meter” stands twice; keep one",
    ),
    ("[runs]", "[runs, Meters]", 12, "terms.2.forms.2: “Meters” stands twice; keep one"),
    ("[meters]", "[meters, Meter]", 8, "terms.1.forms.2: “Meter” stands twice; keep one"),
    (
        "[metering unit]",
        "[metering unit, Runs]",
        7,
        "terms.1.instead_of.2: “Runs” is a name or a form in this glossary; take it out here or there",
    ),
    (
        "[metering unit]",
        "[metering unit, meter]",
        7,
        "terms.1.instead_of.2: “meter” is a name or a form in this glossary; take it out here or there",
    ),
    (
        "    only_in",
        "    instead_of: [metering  Unit]\n    only_in",
        11,
        "terms.2.instead_of.1: “metering  Unit” stands twice; keep one",
    ),
    (
        "terms:\n",
        "terms:\n  - {name: air-flow, means: A.}\n  - {name: air flow, means: B.}\n",
        6,
        (
            "terms.2.name: “air flow” and “air-flow” differ too little for an address; "
            "choose another name for one"
        ),
    ),
    (
        "name: meter",
        "name: '[meter]'",
        5,
        ("terms.1.name: “[meter]” is no plain name; write letters and figures, and spaces between words"),
    ),
    (
        "[each run, the runs]",
        "[each row, the runs]",
        11,
        "terms.2.only_in.1: “each row” does not hold the name or one of its forms; write the name into it",
    ),
    ("  - name: meter\n", "  - name\n", 5, None),
    (
        "means: It measures product.",
        "means: It measures: product.",
        6,
        "this is not readable as YAML: mapping values are not allowed here",
    ),
    (
        "format: 1",
        "format: 2",
        1,
        "the format of this glossary is 2; this book reads “format: 1”, on the first line",
    ),
]


@pytest.mark.parametrize(
    ("right", "wrong", "line", "said"), MISTAKES, ids=[str(said)[:60] for *_, said in MISTAKES]
)
def test_a_mistake_has_its_line(book: Book, right: str, wrong: str, line: int, said: str | None) -> None:
    assert SMALL.count(right) == 1
    found = book({FILE: SMALL.replace(right, wrong)})
    if said is None:
        assert [one.split(": ")[0] for one in found] == [f"docs/{FILE}:{line + 1}"]
    else:
        assert found == [f"docs/{FILE}:{line}: {said}"]


def test_all_mistakes_come_at_once_whether_a_schema_finds_them_or_not(tmp_path: Path) -> None:
    path = tmp_path / "glossary.yml"
    text = SMALL.replace("verbs", "verb").replace("It measures product.", "")
    path.write_text(text.replace("[runs]", "[runs, meter]").replace("each run", "each row"), "utf-8")
    found, problems = read_glossary(path, "glossary.yml")
    assert found is None
    assert sorted(problem.line for problem in problems) == [3, 6, 11, 12]
    assert {problem.rule for problem in problems} == {"glossary"}


def test_a_glossary_that_is_not_utf8_is_said(book: Book, tmp_path: Path) -> None:
    assert book({FILE: SMALL}) == []
    (tmp_path / "docs" / FILE).write_bytes(SMALL.replace("row", "r\xf6w").encode("latin-1"))
    assert book({}) == [f"docs/{FILE}:1: this is not UTF-8 text; save it as UTF-8"]


@given(
    st.lists(
        st.sampled_from([*SMALL.splitlines(), "  - a", "terms: x", "  - name: [a]", "    forms:", "'", "? a"])
        | st.text(max_size=10)
    ).map("\n".join)
)
def test_any_text_is_read_or_refused_with_its_own_lines(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.getbasetemp() / "any-glossary.yml"
    path.write_bytes(text.encode("utf-8", "replace"))
    found, problems = read_glossary(path, "any.yml")
    assert bool(problems) != bool(found)
    last = path.read_text("utf-8").count("\n") + 1
    assert all(1 <= problem.line <= last for problem in problems)


# --- its page ---


def test_the_page_goes_by_the_alphabet_and_has_a_place_for_each_word(render: Render, tree: Tree) -> None:
    terms = (
        Term(name="tank", means="It holds <b>product</b> & *more*."),
        Term(name="CV", means="A share."),
        Term(name="machine's papers", means="What came along.", instead_of=("manual", "<i>guide</i>")),
        Term(name="95 % interval", means="A range."),
    )
    page = glossary_page(Glossary(note="Words.", terms=terms))
    root = tree(render(page.split("---\n", 2)[2], url=f"{PAGE}.html"))
    headings = [(one.get("id"), one.text) for one in root.iter("h2")]
    assert headings == [
        ("95-interval", "95 % interval"),
        ("cv", "CV"),
        ("machines-papers", "machine's papers"),
        ("tank", "tank"),
    ]
    assert [one.text for one in root.iter("p")] == [
        "Words.",
        "A range.",
        "A share.",
        "What came along.",
        "Not written here: manual, <i>guide</i>.",
        "It holds <b>product</b> & *more*.",
    ]


def test_the_page_is_made_even_of_nothing_and_may_be_linked_to(book: Book) -> None:
    assert f"{PAGE}.md" in GENERATED
    pages = dict(generated_pages(WholeBook({}, EMPTY)))
    assert "No word is explained here yet." in unescape(pages[f"{PAGE}.md"])
    assert book({"reference/index.md": "---\nkind: reference\ntitle: A\n---\n\n[B](glossary.md)\n"}) == []


# --- the book's own ---


@pytest.fixture(scope="module")
def own(root: Path) -> Glossary:
    """The glossary that stands in the book."""
    found, problems = read_glossary(root / "docs" / FILE, f"docs/{FILE}")
    assert problems == []
    assert found
    return found


def test_the_books_own_words_stand_in_order(own: Glossary) -> None:
    names = [term.name.casefold() for term in own.terms]
    assert names == sorted(names)
    assert len(names) > 40


def test_no_definition_has_a_long_sentence(own: Glossary) -> None:
    long = [
        f"{term.name}: {sentence}"
        for term in own.terms
        for sentence in re.split(r"(?<=[.!?])\s+", term.means)
        if len(sentence.split()) > LONGEST_SENTENCE
    ]
    assert long == []
    assert [term.name for term in own.terms if not re.fullmatch(r"[A-Z].*\.", term.means)] == []
    assert [term.name for term in own.terms if len(re.findall(r"[.!?](?:\s|$)", term.means)) > 2] == []


def test_no_definition_uses_a_name_that_is_not_written(own: Glossary) -> None:
    others = not_written(own)
    assert [term.name for term in own.terms if others.search(term.means)] == []


def test_the_book_writes_no_other_name_for_a_thing(own: Glossary, root: Path) -> None:
    others = not_written(own)
    assert others.search("Clean the Metering  units first.")
    met = [
        f"{path.relative_to(root)}:{line}: {found[0]}"
        for path in sorted((root / "docs").rglob("*.md"))
        for line, text in enumerate(path.read_text("utf-8").splitlines(), start=1)
        # What callers say is theirs, whatever it is called in this book.
        if not (path.parent.name == "faults" and text.startswith("      - "))
        for found in others.finditer(text)
    ]
    assert met == []


def test_every_word_of_the_glossary_is_used_in_the_book(own: Glossary, root: Path) -> None:
    book = " ".join(path.read_text("utf-8") for path in (root / "docs").rglob("*.md"))
    used = {name for term in own.terms for name in term.names if _whole(name).search(book)}
    assert [term.name for term in own.terms if not used & set(term.names)] == []


def not_written(own: Glossary) -> re.Pattern[str]:
    """Finds every name that is not written, in one or more."""
    names = [other for term in own.terms for other in term.instead_of]
    assert len(names) > 40
    return re.compile("|".join(_whole(other, "s?").pattern for other in names), re.IGNORECASE)


def _whole(phrase: str, ending: str = "") -> re.Pattern[str]:
    words = r"\s+".join(map(re.escape, phrase.split()))
    return re.compile(rf"(?<![\w-]){words}{ending}(?![\w-])", re.IGNORECASE)
