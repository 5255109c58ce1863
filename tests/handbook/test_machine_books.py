"""A machine's book: every computed figure in it is what the command line answers; copies of procedures.

Sources: the command line, whose calculators are checked against the world outside; the sheets themselves.
The machines are our own invention.
"""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import redirect_stdout
from functools import cache
from pathlib import Path

import pytest

from calc.__main__ import main
from calc.declare import catalogue
from calc.quantity import Units, parse, show
from calc.units import SYSTEMS
from handbook.book import read
from handbook.build import build
from handbook.console import Stop
from handbook.copying import PROGRAMS, copy_book
from handbook.links import Links
from handbook.machines.copies import copy_of, is_copied
from handbook.machines.figures import figures_html
from handbook.machines.pages import copied, figures_script, leaves, machine_pages
from handbook.machines.sheet import Sheet
from handbook.machines.worked import Machine, Shown
from handbook.scanner import scan
from handbook.vocabulary import page_problems

ROOT = Path(__file__).parents[2]
BOOK = read(ROOT / "docs")
MACHINES = sorted(BOOK.sheets)
PROCEDURES = sorted(path for path, page in BOOK.pages.items() if is_copied(page))


@cache
def pages(id: str) -> dict[str, str]:
    """The pages of a machine of the book."""
    return dict(machine_pages(id, BOOK.sheets[id], BOOK.texts))


def blocks(text: str) -> Iterator[tuple[str, str]]:
    """Which figures a page shows, and of which tank."""
    for block in scan(text).blocks:
        if block.name == "figures":
            tank = block.options.get("tank")
            yield block.argument, tank.value if tank else ""


@cache
def command_line(calculator: str, given: str, units: str) -> dict[str, object]:
    """The reply of the command line."""
    out = io.StringIO()
    with redirect_stdout(out):
        code = main([calculator, "--given", "-", "--units", units, "--json"], io.StringIO(given))
    assert code == 0, out.getvalue()
    reply: dict[str, object] = json.loads(out.getvalue())
    return reply


def answered(shown: Shown, system: str) -> str:
    """What the command line shows of a figure that a page shows."""
    reply = command_line(shown.answer.calculator.id, json.dumps(shown.answer.given), system)
    part, _, name = shown.name.rpartition(".")
    figures = reply[part or "results"]
    assert isinstance(figures, Mapping)
    if shown.times == 1:
        return str(figures[name]["shown"])
    _, kind = shown.answer.figure(shown.name)
    return show(figures[name]["si"] * shown.times, kind, Units(system))


@pytest.mark.parametrize("id", MACHINES)
def test_every_computed_figure_is_what_the_command_line_answers(id: str) -> None:
    """Figures stand in the HTML as they were noted, and nothing computed stands there that was not noted."""
    seen = 0
    for text in pages(id).values():
        for name, tank in blocks(text):
            machine = Machine(BOOK.sheets[id])
            html = figures_html(name, machine, tank)
            for one in machine.shown:
                for system, way in one.ways.items():
                    assert way == answered(one, system), (name, one.name, system)
                    number, _, _ = way.rpartition(" ")
                    assert (number or way) in html
            for whole in machine.wholes:
                given = json.dumps(whole.given)
                for systems, reply in whole.replies():
                    for system in systems:
                        told = command_line(whole.calculator.id, given, system)
                        assert {**told, "units": ""} == {**json.loads(json.dumps(reply)), "units": ""}
            seen += len(machine.shown) + len(machine.wholes)
    assert seen > 100


@pytest.mark.parametrize("id", MACHINES)
def test_a_figure_of_another_unit_is_the_same_amount(id: str) -> None:
    """Source: the definitions of the units; what is shown to four digits is within half of the last."""
    machine = Machine(BOOK.sheets[id])
    figures_html("conversions", machine)
    for one in machine.shown:
        value, kind = one.answer.figure(one.name)
        assert value is not None
        for way in one.ways.values():
            assert parse(way, kind) == pytest.approx(value, rel=5.1e-4)


def figures_of(sheet: Sheet) -> dict[tuple[str, int], tuple[Shown, str]]:
    """Every figure of a machine's pages, by the table and its place there."""
    found = {}
    for page, text in machine_pages("trial", sheet, BOOK.texts):
        for name, tank in blocks(text):
            machine = Machine(sheet)
            figures_html(name, machine, tank)
            for number, one in enumerate(machine.shown):
                found[f"{page} {name} {tank}", number] = one, str(one.ways)
            for number, whole in enumerate(machine.wholes):
                shown = Shown(whole, "whole", 1, {})
                found[f"{page} {name} {tank} whole", number] = shown, json.dumps(whole.replies())
    return found


@pytest.mark.parametrize("id", MACHINES)
@pytest.mark.parametrize("place", [0, 1])
def test_a_tanks_mass_per_turn_changes_what_depends_on_it_and_nothing_else(id: str, place: int) -> None:
    sheet = BOOK.sheets[id]
    tank = sheet.tanks[place]
    number, unit = tank.meter.mass_per_turn.split(" ")
    meter = tank.meter.model_copy(update={"mass_per_turn": f"{float(number) * 1.1:.6g} {unit}"})
    other = tank.model_copy(update={"meter": meter})
    tanks = tuple(other if one.name == tank.name else one for one in sheet.tanks)
    before, after = figures_of(sheet), figures_of(sheet.model_copy(update={"tanks": tanks}))
    assert before.keys() == after.keys()
    changed = {key for key in before if before[key][1] != after[key][1]}
    asked = {
        key for key in before if before[key][0].answer.given != after[key][0].answer.given
    }  # what is given to a calculator is all that its answer can depend on
    assert changed <= asked
    for key in asked - changed:
        # A rate that is only shown again, or a window whose limits are other tanks'.
        one = before[key][0]
        assert one.name.startswith("used.") or one.answer.calculator.id == "speed-window"
    for key in changed:
        given = before[key][0].answer.given
        named = [row for row in given.get("tanks", ()) if row["name"] == tank.name] or [given]
        assert any(row.get("mass_per_turn") == tank.meter.mass_per_turn for row in named), key
    for key in before.keys() - asked:
        given = before[key][0].answer.given
        assert given.get("mass_per_turn") != tank.meter.mass_per_turn or given.get("rate") not in (
            tank.rate.low,
            tank.rate.set,
            tank.rate.high,
        )
    turning = [key for key in changed if before[key][0].name == "meter_speed"]
    assert len(turning) > 30


def test_a_machine_has_the_pages_of_its_parts_and_no_others() -> None:
    for id in MACHINES:
        sheet = BOOK.sheets[id]
        files = {Path(path).stem for path in pages(id)}
        assert ("ammonia" in files) == bool(sheet.ammonia)
        assert ("liquid" in files) == bool(sheet.liquid)
        own = {leaf.file for leaf in leaves(sheet)} | {file for file, _ in copied(BOOK.texts)}
        assert files == own
    assert {bool(BOOK.sheets[id].ammonia) for id in MACHINES} == {True, False}
    assert {len(BOOK.sheets[id].tanks) for id in MACHINES} == {2, 4}


@pytest.mark.parametrize("id", MACHINES)
def test_the_pages_of_a_machine_are_right_and_lead_somewhere(id: str) -> None:
    made = pages(id)
    # The theme's own word for a page that the search leaves out is a truth value, which no trainer writes.
    scans = {path: scan(text.replace("search: {exclude: true}\n", "")) for path, text in made.items()}
    for path, page in scans.items():
        assert [(path, one) for one in page_problems(page, BOOK.sheets)] == []
    files = {path.relative_to(ROOT / "docs").as_posix() for path in (ROOT / "docs").rglob("*")}
    links = Links({**BOOK.pages, **scans}, files)
    assert [one for path in made for one in links.problems(path)] == []


@pytest.mark.parametrize("id", MACHINES)
def test_what_ammonia_does_stands_before_its_figures_and_only_where_there_is_ammonia(id: str) -> None:
    sheet = BOOK.sheets[id]
    copies = {file for file, _ in copied(BOOK.texts)}
    for path, text in pages(id).items():
        if not sheet.ammonia:
            # A copy may speak of it in words; it has neither its hazards nor its steps.
            warned = [block.argument for block in scan(text).blocks if "mmonia" in block.argument]
            assert warned == [], path
            assert Path(path).stem in copies or "mmonia" not in text, path
    if sheet.ammonia:
        own = scan(pages(id)[f"machines/{id}/ammonia.md"])
        said = [
            block.argument for block in BOOK.pages["calculators/ammonia.md"].blocks if block.name == "danger"
        ]
        names = [block.name for block in own.blocks]
        assert [block.argument for block in own.blocks if block.name == "danger"] == said
        assert len(said) >= 5
        assert max(n for n, name in enumerate(names) if name == "danger") < names.index("figures")


# --- copies of procedures ---


@pytest.mark.parametrize("path", PROCEDURES)
@pytest.mark.parametrize("id", MACHINES)
def test_a_copy_repeats_its_parts_for_every_tank_and_control(id: str, path: str) -> None:
    sheet = BOOK.sheets[id]
    original, copy = BOOK.pages[path], scan(copy_of(BOOK.texts[path], path, id, sheet))
    controls = [one for one in sheet.controls if not one.stops]
    stops = [one for one in sheet.controls if one.stops]
    times = {
        "tank": len(sheet.tanks),
        "control": sum(len(one.ways) for one in controls),
        "stop": sum(len(one.ways) for one in stops),
    }
    (procedure,) = [block for block in original.blocks if block.name == "procedure"]
    (copied_procedure,) = [block for block in copy.blocks if block.name == "procedure"]
    expected = 0
    parts = [block for block in original.blocks if block.name in ("each", "only")]
    for line, _ in original.steps(procedure, ("each", "only")):
        around = [block for block in parts if block.line < line < block.end]
        count = 1
        for block in around:
            count *= times[block.argument] if block.name == "each" else bool(getattr(sheet, block.argument))
        expected += count
    numbers = [number for _, number in copy.steps(copied_procedure)]
    assert numbers == list(range(1, expected + 1))
    assert not [block for block in copy.blocks if block.name in ("each", "only")]
    readings = Counter(
        block.options["expected"].value for block in copy.blocks if "expected" in block.options
    )
    assert set(readings.values()) <= {len(sheet.tanks)}
    for block in copy.blocks:
        if "expected" in block.options:
            assert block.options["machine"].value == id
            assert sheet.tank(block.options["tank"].value)
    text = "\n".join(copy.markdown.values())
    assert "this tank" not in text.lower()
    assert "this control" not in text
    assert "in this way" not in text


@pytest.mark.parametrize("path", PROCEDURES)
@pytest.mark.parametrize("id", MACHINES)
def test_a_step_that_is_referred_to_is_the_same_step_in_the_copy(id: str, path: str) -> None:
    """Source: the words of the step in the original, with what is filled in left out."""
    sheet = BOOK.sheets[id]
    before = BOOK.texts[path]
    after = copy_of(before, path, id, sheet)

    def steps(text: str) -> dict[int, str]:
        found = re.finditer(r"^(\d+)\. (.*)$", text, re.MULTILINE)
        return {int(one[1]): first_words(one[2]) for one in found}

    def first_words(text: str) -> str:
        return " ".join(re.sub(r"[^a-z ]", "", text.lower()).split()[:2])

    def references(text: str) -> list[tuple[str, str]]:
        known = steps(text)
        found = re.finditer(r"\b[Ss]teps? (\d+)(?: (?:to|and) (\d+))?", text)
        return [(known[int(one[1])], known[int(one[2] or one[1])]) for one in found]

    told, led_to = references(before), references(after)
    # Each leads where one of the original does; only parts that are left out lose theirs.
    assert set(led_to) <= set(told)
    assert bool(led_to) == bool(told)


def test_references_stay_in_their_own_tank() -> None:
    text = BOOK.texts["procedures/calibration.md"]
    sheet = BOOK.sheets["prairie-four"]
    copy = copy_of(text, "procedures/calibration.md", "prairie-four", sheet)
    # A tank's part begins at its heading; what it refers to lies in it, or in the steps before all tanks.
    parts = re.split(r"^### Ready the meter: ", copy, flags=re.MULTILINE)
    assert len(parts) == 5
    first_of_all = min(int(one) for one in re.findall(r"^(\d+)\. ", parts[1], re.MULTILINE))
    for part in parts[1:]:
        body = part.split("### Prove the scale again")[0]
        own = [int(one) for one in re.findall(r"^(\d+)\. ", body, re.MULTILINE)]
        for one in re.findall(r"\b[Ss]teps? (\d+)", body):
            assert int(one) in own or int(one) < first_of_all


# --- what a form is opened with ---


@pytest.mark.parametrize("id", MACHINES)
def test_the_figures_for_forms_are_those_that_the_sheet_says(id: str) -> None:
    sheet = BOOK.sheets[id]
    script = figures_script(id, sheet)
    told = json.loads(script.split(" = ", 1)[1].rstrip(";\n"))["calculators"]
    rate = told["rate"]
    assert rate["shared"]["width"] == sheet.width
    assert [one["mass_per_turn"] for one in rate["tanks"].values()] == [
        tank.meter.mass_per_turn for tank in sheet.tanks
    ]
    assert list(rate["tanks"]) == [tank.name for tank in sheet.tanks]
    assert ("ammonia" in told) or not sheet.ammonia
    for calculator, figures in told.items():
        names = {one.name for one in catalogue()[calculator].inputs}
        for given in (figures["shared"], *figures["tanks"].values()):
            assert set(given) <= names


def test_every_system_has_its_column_of_conversions() -> None:
    machine = Machine(BOOK.sheets["prairie-four"])
    html = figures_html("conversions", machine)
    for system in SYSTEMS:
        assert machine.shown[0].ways[system] in html


# --- broken sheets: one clear message each, and the last good site stays ---

BROKEN = [
    ("width: 60 ft", "width: 60", 5, "width: “60” is missing its unit"),
    (
        "width: 60 ft",
        "widht: 60 ft\nwidth: 60 ft",
        5,
        "widht: is not known in a sheet; did you mean “width”?",
    ),
    ("units: us", "units: american", 4, "units: is 'american'; write 'metric', 'us' or 'imperial'"),
    ("heads: 8", "heads: eight", 8, "heads: “eight” does not start with a plain number"),
    ("planned: 5 mph", "planned: 7 mph", 10, "speed: “planned” is 7 mph, above “high”, 6.5 mph"),
    (
        "volumetric_efficiency: 95 %",
        "volumetric_efficiency: 5 %",
        13,
        "oil.volumetric_efficiency: “5 %” is below",
    ),
    ("  - name: Tank 2", "  - name: Tank 1", 24, "tanks.2.name: “Tank 1” stands twice"),
    ("format: 1", "format: 9", 1, "the format of this sheet is 9"),
    ("name: Prairie Four", "name: *Prairie", 2, "this is not readable as YAML"),
    (
        "bulk_density: 62 lb/ft3",
        "bulk_density: 62 lb",
        27,
        "tanks.2.bulk_density: “62 lb” is a measure of mass",
    ),
    ("runs: 72\n", "", 1, "runs: is missing; add it"),
    ("hopper: cone", "hopper: con", 44, "tanks.4.shape.hopper: is 'con'"),
]


def test_a_broken_sheet_is_one_clear_message_and_the_last_good_site_stays(root: Path, tmp_path: Path) -> None:
    copy = copy_book(root, tmp_path / "copy", *PROGRAMS)
    site = tmp_path / "site"
    (site / "assets" / "furrowbook").mkdir(parents=True)
    (site / "index.html").write_text("the last good one", "utf-8")
    path = copy / "docs" / "machines" / "prairie-four.yml"
    good = path.read_text("utf-8")
    for right, wrong, line, said in BROKEN:
        assert good.count(right) >= 1
        path.write_text(good.replace(right, wrong, 1), "utf-8")
        with pytest.raises(Stop) as stop:
            build(copy, site)
        lines = [one for one in str(stop.value).splitlines() if "docs/" in one]
        assert len(lines) == 1, lines
        assert f"docs/machines/prairie-four.yml:{line}: {said}" in lines[0]
        assert sorted(one.name for one in site.iterdir()) == ["assets", "index.html"]
        assert (site / "index.html").read_text("utf-8") == "the last good one"
