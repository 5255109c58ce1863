"""Nothing that comes in from outside is run, becomes markup, or asks for anything elsewhere.

Every page is watched: a request off the origin, an error in the console or a script that ran fails the test.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Page, expect

from calc.record.entry import problems
from calc.record.files import as_json, read_file
from tests.browser.attacks import attacks
from tests.browser.conftest import hosted_only
from tests.browser.sheet import export, give
from tests.calculators.record_entries import Entry, example

ATTACKS = attacks()
PAGES = (
    "index.html",
    "calculators/rate.html",
    "lessons/rate.html",
    "procedures/geometry.html",
    "machines/index.html",
    "record/index.html",
    "trainers/skills.html",
)
OF_THE_THEME = "iframe, object, embed, base, meta[http-equiv=refresh]"


def untouched(page: Page) -> None:
    """Nothing ran, and nothing stands in the page that only an attack brings."""
    assert page.evaluate("() => window.ran") is None
    assert page.locator(OF_THE_THEME).count() == 0
    assert page.locator("article :is(script, style, link, [onerror], [onload], [srcdoc])").count() == 0


def test_there_are_enough_attacks() -> None:
    assert len(ATTACKS) >= 100


@hosted_only
def test_in_the_address(page: Page, base: str) -> None:
    for number, attack in enumerate(ATTACKS):
        text = quote(attack[:300].encode("utf-8", "replace"))
        page.goto(f"{base}{PAGES[number % len(PAGES)]}?q={text}&h={text}&engine={text}#{text}")
        untouched(page)


@hosted_only
def test_in_what_the_browser_keeps(page: Page, base: str) -> None:
    page.goto(base + "procedures/make-safe.html")
    keys = [
        "furrowbook.units", "furrowbook.machine", "furrowbook.practice", "furrowbook.job.Furrowbook",
        "furrowbook.draft procedures/make-safe.html Make the machine safe",
        "furrowbook.Furrowbook.record.exported",
        "__palette", "furrowbook.offline", "furrowbook.declined",
    ]  # fmt: skip
    shapes = [
        "{}",
        '{{"id":{j},"name":{j},"format":1,"season":{j},"pages":{{"lessons/rate.html":{{"round":{{"a":{j}}},"due":{j}}}}}}}',
        '{{"job":{j},"who":{j},"second":{j},"trainee":{j},"trainee_drawn":{j},"level":{j}}}',
    ]
    for number, attack in enumerate(ATTACKS):
        shape = shapes[number % len(shapes)]
        text = shape.format(attack, j=json.dumps(attack)) if "{j}" in shape else attack
        page.evaluate(
            """([keys, text]) => {
                localStorage.clear();
                for (const key of keys) localStorage.setItem(key, text);
                for (const key of keys) sessionStorage.setItem(key, text);
            }""",
            [[key for key in keys if key != "__palette"], text],
        )
        page.goto(base + PAGES[number % len(PAGES)], wait_until="domcontentloaded")
        untouched(page)


@hosted_only
def test_in_a_file_that_is_imported(page: Page, base: str) -> None:
    found: list[Entry] = []
    job = "20000000-0000-4000-8000-000000000000"
    for number, attack in enumerate(ATTACKS):
        own = {"id": f"{number:08d}-0000-4000-8000-000000000000"}
        short = attack[:60]
        told = {"name": short, "serial": short, "place": short, "machine": short, "who": short}
        signed = {"trainee": short, "trainee_signed": short, "evaluator": "R", "evaluator_signed": "R"}
        long = attack[:200]
        found += [
            example("begun", **own, job=job, **told),
            example("measured", **own, job=job, page=long, what=long, says=attack, part=long, who=short),
            example("noted", **own, job=job, note=attack, page=long),
            example("worked", **own, job=job, tank=short, lot=short, results={"mass_per_turn": short}),
            example("signed", **own, job=job, name=short, who=short),
            example("watched", **own, page=long, title=long, level="3", **signed),
        ]
    right = [one for one in found if not problems(one)]
    assert len(right) > 400
    page.goto(base + "record/index.html")
    given = give(page, as_json(right))
    expect(given.locator("p")).to_contain_text(f"The file adds {len(right)} entries.")
    given.get_by_role("button", name="Add them").click()
    expect(given.locator("p")).to_contain_text("Added")
    expect(page.locator(".fb-record__head")).to_be_visible()
    page.locator(".fb-record__all summary").click()
    untouched(page)
    assert page.locator(".fb-record__sheet :is(img, a, svg script, iframe)").count() == 0
    assert list(read_file(export(page)).entries) == list(read_file(as_json(right)).entries)
    for path in ("trainers/skills.html", "record/history.html", "procedures/geometry.html"):
        page.goto(base + path)
        page.wait_for_timeout(500)
        untouched(page)
    page.goto(base + "trainers/skills.html")
    expect(page.locator(".fb-skills__list").first).to_be_visible()
    links = page.locator(".fb-skills__grid a").evaluate_all(
        "all => all.map((one) => one.getAttribute('href'))"
    )
    assert not [one for one in links if not re.fullmatch(r"#|\.\./[a-z0-9/-]+\.html", one)]


WAYS_IN = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|createContextualFragment|\beval\(|new Function"
    r"|srcdoc|setHTML|parseFromString|setTimeout\([\"\x60\']"
)


def test_our_scripts_make_no_markup_of_text(root: Path) -> None:
    """But for pictures that Python drew, which are looked through for anything else before they are shown."""
    web = root / "scripts" / "handbook" / "web"
    found = {
        f"{path.relative_to(web).as_posix()}: {match[0]}"
        for path in sorted(web.rglob("*.js"))
        for match in WAYS_IN.finditer(path.read_text("utf-8"))
    }
    assert found == {"js/results.js: parseFromString"}


@pytest.mark.parametrize("attack", [one for one in ATTACKS if re.search("<[a-z/!?]", one)])
def test_markup_in_a_lesson_stops_the_build(attack: str) -> None:
    from handbook.scanner import RAW_HTML, scan

    line = attack.replace("\n", " ")
    told = scan(f"---\ntitle: A\nkind: lesson\n---\n\nWords {line} words.\n").problems
    assert any(one.rule == "raw-html" for one in told)
    assert RAW_HTML.search(attack)
