"""Machine sheets: a right one is read as written, each mistake has its line, calculators are preset from it.

Sources: the machine is our own invention; what a preset must be is asked of the calculators themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.declare import catalogue
from calc.reply import reply
from handbook.machines.presets import presets
from handbook.machines.reading import read_sheet
from handbook.machines.sheet import Sheet

Book = Callable[[Mapping[str, str]], list[str]]
ReadSheet = Callable[[str], Sheet]
MACHINE = "machines/trial-two.yml"

# --- a right sheet ---


def test_a_sheet_is_read_as_it_is_written(sheet: ReadSheet, sheet_text: str) -> None:
    read = sheet(sheet_text)
    assert (read.name, read.width, read.runs, read.speed.planned) == ("Trial Two", "40 ft", "48", "5 mph")
    assert [tank.name for tank in read.tanks] == ["Front", "Rear"]
    assert read.tanks[1].meter.mass_per_turn == "0.1 lb/rev"
    assert read.tanks[0].shape.hopper == "none"
    assert read.controls[0].ways == ("on the screen", "by the switch")
    assert read.tank("Rear") is read.tanks[1]
    assert read.tank("Side") is None


def test_the_books_own_sheets_are_right(root: Path) -> None:
    paths = sorted((root / "docs" / "machines").glob("*.yml"))
    assert paths
    assert [problem for path in paths for problem in read_sheet(path, path.name).problems] == []


def test_a_figure_with_leading_zero_or_comma_stays_text(sheet: ReadSheet, sheet_text: str) -> None:
    read = sheet(sheet_text.replace("width: 40 ft", "width: 12,50 m").replace("runs: 48", "runs: 048"))
    assert (read.width, read.runs) == ("12,50 m", "048")


def test_an_outlet_and_a_heap_may_be_nothing(sheet: ReadSheet, sheet_text: str) -> None:
    text = sheet_text.replace("outlet_diameter: 1 ft", "outlet_diameter: 0 ft, heap_angle: 0 deg")
    assert sheet(text).tanks[1].shape.outlet_diameter == "0 ft"


# --- mistakes: what is changed into what, then line and words ---

MISTAKES = [
    ("width: 40 ft", "width: 40", 5, "width: “40” is missing its unit; write “40 m”, “40 mm” or “40 cm”"),
    ("width: 40 ft", "width: 40 mm.", 5, "width: the unit “mm.” is not known; did you mean “mm”?"),
    (
        "width: 40 ft",
        "width: 40 lb",
        5,
        (
            "width: “40 lb” is a measure of mass; this field takes length: write it in m, mm, "
            "cm, km, in, ft or mile"
        ),
    ),
    (
        "width: 40 ft",
        "width: wide",
        5,
        "width: “wide” does not start with a plain number; write it like 12.5 m",
    ),
    ("width: 40 ft", "width: -40 ft", 5, "width: “-40 ft” is not above zero; check the figure"),
    ("width: 40 ft", "width: [40 ft]", 5, "width: is one figure; write it like 12.5 m"),
    (
        "width: 40 ft",
        "width:",
        5,
        "width: nothing is written here; write a value such as 12.5 m, or leave the field out",
    ),
    (
        "width: 40 ft",
        "widht: 40 ft\nwidth: 40 ft",
        5,
        "widht: is not known in a sheet; did you mean “width”?",
    ),
    ("width: 40 ft", "colour: red\nwidth: 40 ft", 5, "colour: is not known in a sheet; take it out"),
    ("width: 40 ft\n", "", 1, "width: is missing; add it"),
    ("width: 40 ft", "width: 40 ft\nwidth: 60 ft", 6, "width stands twice; keep one"),
    ("units: us", "units: american", 4, "units: is 'american'; write 'metric', 'us' or 'imperial'"),
    ("runs: 48", "runs: 48.5", 7, "runs: “48.5” must be a whole number; write it like 12"),
    ("runs: 48", "runs: 48 runs", 7, "runs: “48 runs” is a plain count without a unit; write 48"),
    ("runs: 48", "runs: 0", 7, "runs: “0” is not above zero; check the figure"),
    ("name: Trial Two", "name:", 2, "name: says nothing; write something behind the colon"),
    ("name: Trial Two", "name: [Trial, Two]", 2, "name: is one text; write it behind the colon"),
    (
        "planned: 5 mph",
        "plannd: 5 mph, planned: 5 mph",
        9,
        "speed.plannd: is not known in a sheet; did you mean “planned”?",
    ),
    ("low: 4 mph, ", "", 9, "speed.low: is missing; add it"),
    (
        "speed: {low: 4 mph, planned: 5 mph, high: 6 mph}",
        "speed: 5 mph",
        9,
        "speed: holds named values; write each as “name: value”",
    ),
    (
        "planned: 5 mph",
        "planned: 7 mph",
        9,
        "speed: “planned” is 7 mph, above “high”, 6 mph; swap them or correct one",
    ),
    (
        "planned: 5 mph",
        "planned: 6 km/h",
        9,
        "speed: “low” is 4 mph, above “planned”, 6 km/h; swap them or correct one",
    ),
    (
        "least: 2800 rpm",
        "leats: 2800 rpm, least: 2800 rpm",
        10,
        "fan.leats: is not known in a sheet; did you mean “least”?",
    ),
    (
        "  - name: Front\n",
        "  - nam: x\n    name: Front\n",
        12,
        "tanks.1.nam: is not known in a sheet; did you mean “name”?",
    ),
    ("    product: canola\n", "", 18, "tanks.2.product: is missing; add it"),
    (
        "    product: canola\n",
        "    product:\n",
        19,
        "tanks.2.product: says nothing; write something behind the colon",
    ),
    (
        "bulk_density: 48 lb/ft3",
        "bulk_density: 48 lb",
        14,
        (
            "tanks.1.bulk_density: “48 lb” is a measure of mass; "
            "this field takes density: write it in kg/m³, kg/L, lb/ft³, lb/bu, lb/imp bu or lb/gal"
        ),
    ),
    (
        "set: 5 lb/ac",
        "sett: 5 lb/ac, set: 5 lb/ac",
        21,
        "tanks.2.rate.sett: is not known in a sheet; did you mean “set”?",
    ),
    (
        "set: 5 lb/ac",
        "set: 9 lb/ac",
        21,
        "tanks.2.rate: “set” is 9 lb/ac, above “high”, 8 lb/ac; swap them or correct one",
    ),
    (
        "step: 0.5 lb/ac",
        "step: 5 lb/ac",
        21,
        "tanks.2.rate: one “step” down, 5 lb/ac, leaves nothing of “set”; write a smaller step",
    ),
    (
        "mass_per_turn: 0.1 lb/rev",
        "mass_per_turn: 0 lb/rev",
        22,
        "tanks.2.meter.mass_per_turn: “0 lb/rev” is not above zero; check the figure",
    ),
    (
        "mass_per_turn: 0.1 lb/rev, low: 10 rpm",
        "mass_per_turn: 0.1 lb/rev, low: 120 rpm",
        22,
        "tanks.2.meter: “low” is 120 rpm, above “high”, 110 rpm; swap them or correct one",
    ),
    (
        "body: box",
        "body: boxx",
        17,
        "tanks.1.shape.body: is 'boxx'; write 'box', 'upright-cylinder' or 'lying-cylinder'",
    ),
    (
        "hopper: cone",
        "hoper: cone",
        23,
        "tanks.2.shape.hoper: is not known in a sheet; did you mean “hopper”?",
    ),
    (
        "height: 3 ft",
        "height: 3",
        23,
        "tanks.2.shape.height: “3” is missing its unit; write “3 m”, “3 mm” or “3 cm”",
    ),
    ("name: Rear", "name: Front", 18, "tanks.2.name: “Front” stands twice"),
    (
        "ways: [on the screen, by the switch]",
        "ways: by the switch",
        26,
        "controls.1.ways: is a list; begin each of its lines with “- ”",
    ),
    (
        "ways: [on the screen, by the switch]",
        "ways: []",
        26,
        "controls.1.ways: is an empty list; write at least one",
    ),
    (
        "  - {name: Master",
        "  - {name: Master, ways: [a]}\n  - {name: Master",
        27,
        "controls.2.name: “Master” stands twice",
    ),
    (
        "name: Trial Two",
        "name: *Trial Two",
        2,
        "this is not readable as YAML: a text that begins with * goes in quotes",
    ),
    (
        "name: Trial Two",
        "name: Trial: Two",
        2,
        "this is not readable as YAML: mapping values are not allowed here",
    ),
    (
        "name: Trial Two",
        "name: Trial\a Two",
        2,
        "this is not readable as YAML: it holds a sign that cannot be printed",
    ),
    (
        "name: Trial Two",
        "? [a]\n: b\nname: Trial Two",
        2,
        "this is not readable as YAML: a name is a plain word",
    ),
]


OIL = "oil: {displacement: 1.5 in3/rev, volumetric_efficiency: 95 %, pressure: 2200 psi, tractor_flow: 2 gpm}"
BEYOND = [  # what no calculator takes
    (
        "tanks:\n",
        f"{OIL.replace('95 %', '5 %')}\ntanks:\n",
        11,
        "oil.volumetric_efficiency: “5 %” is below the least that makes sense here, 50 %",
    ),
    (
        "low: 12 rpm",
        "low: 0.001 rpm",
        16,
        "tanks.1.meter.low: “0.001 rpm” is below the least that makes sense here, 0.01 rpm",
    ),
    (
        "outlet_diameter: 1 ft",
        "outlet_diameter: 5 ft",
        24,
        "tanks.2.shape.outlet_diameter: ",
    ),
    ("length: 7 ft, ", "", 17, "tanks.1.shape: length: "),
]


@pytest.mark.parametrize(("right", "wrong", "line", "said"), BEYOND, ids=[said[:30] for *_, said in BEYOND])
def test_a_figure_that_no_calculator_takes_is_refused_where_it_stands(
    book: Book, sheet_text: str, right: str, wrong: str, line: int, said: str
) -> None:
    assert sheet_text.count(right) == 1
    (problem,) = book({MACHINE: sheet_text.replace(right, wrong)})
    assert problem.startswith(f"docs/{MACHINE}:{line}: {said}")
    assert len(problem) > len(f"docs/{MACHINE}:{line}: tanks.1.shape: length: ")


@pytest.mark.parametrize(
    ("right", "wrong", "line", "said"), MISTAKES, ids=[said[:50] for *_, said in MISTAKES]
)
def test_a_mistake_has_its_line(
    book: Book, sheet_text: str, right: str, wrong: str, line: int, said: str
) -> None:
    assert sheet_text.count(right) == 1
    assert book({MACHINE: sheet_text.replace(right, wrong)}) == [f"docs/{MACHINE}:{line}: {said}"]


def test_the_only_tank_may_have_a_mistake(book: Book, sheet_text: str) -> None:
    before, found, after = sheet_text.partition("  - name: Rear\n")
    only = f"{before}{after[after.index('controls:') :]}".replace("product: wheat", "produce: wheat")
    assert found
    assert book({MACHINE: only}) == [
        f"docs/{MACHINE}:12: tanks.1.product: is missing; add it",
        f"docs/{MACHINE}:13: tanks.1.produce: is not known in a sheet; did you mean “product”?",
    ]


def test_all_mistakes_of_a_sheet_come_at_once(book: Book, sheet_text: str) -> None:
    text = (
        sheet_text.replace("40 ft", "40")
        .replace("runs: 48", "run: 48")
        .replace("canola", "canola\n    product: rye")
    )
    text = text.replace("diameter: 4 ft", "diameter: 4 gal")
    assert [problem.split(": ")[0] for problem in book({MACHINE: text})] == [
        f"docs/{MACHINE}:{line}" for line in (1, 5, 7, 20, 24)
    ]


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("format: 2\nname: A\nwidth: 40\n", 1, "2"),
        ("name: A\nformat: 1.0\n", 2, "1.0"),
        ("name: A\nwidth: 40\n", 1, "nothing"),
        ("", 1, "nothing"),
        ("- format: 1\n", 1, "nothing"),
        ("text", 1, "nothing"),
        ("format: [1]\n", 1, "['1']"),
    ],
)
def test_an_unknown_format_is_one_clear_message(book: Book, text: str, line: int, found: str) -> None:
    said = f"the format of this sheet is {found}; this book reads “format: 1”, on the first line"
    assert book({MACHINE: text}) == [f"docs/{MACHINE}:{line}: {said}"]


def test_a_sheet_that_is_not_utf8_is_said(book: Book, tmp_path: Path, sheet_text: str) -> None:
    assert book({MACHINE: sheet_text}) == []
    (tmp_path / "docs" / MACHINE).write_bytes(sheet_text.replace("Two", "Tw\xf6").encode("latin-1"))
    assert book({}) == [f"docs/{MACHINE}:1: this is not UTF-8 text; save it as UTF-8"]


def test_text_that_doubles_itself_is_refused_and_not_followed(book: Book) -> None:
    bomb = "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 40))
    assert len(book({MACHINE: f"format: 1\na0: &a0 [x, x]\n{bomb}"})) == 1


@given(
    st.text()
    | st.lists(
        st.sampled_from(
            [
                "format: 1",
                "name: A",
                "tanks:",
                "  - name: B",
                "    rate: {low: 1",
                "  - [",
                "? [a]",
                "a: &a [*a]",
                "- x",
                "speed: 5 mph",
                "'",
            ]
        )
        | st.text(max_size=10)
    ).map("\n".join)
)
def test_any_text_is_read_or_refused_with_its_own_lines(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.yml"
    path.write_bytes(text.encode("utf-8", "replace"))
    read = read_sheet(path, "any.yml")
    found, problems = read.value, read.problems
    assert bool(problems) != bool(found)
    last = path.read_text("utf-8").count("\n") + 1
    assert all(1 <= problem.line <= last for problem in problems)


# --- what calculators are preset with ---


def test_rate_with_a_tank_is_answered_from_the_sheet(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text), catalogue()["rate"], "Front")
    assert preset == {
        "width": "40 ft",
        "rate": "100 lb/ac",
        "speed": "5 mph",
        "mass_per_turn": "1 lb/rev",
        "runs": "48",
    }
    answer = reply("rate", preset, "us")
    # 100 lb/ac · 40 ft · 5 mph / 495 = 40.40 lb/min; 43 560 ft² to the acre, 88 ft/min to the mile an hour.
    assert answer["results"]["meter_speed"]["shown"] == "40.40 rpm"


def test_rate_without_a_tank_has_what_the_machine_says(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text), catalogue()["rate"])
    assert preset == {"width": "40 ft", "speed": "5 mph", "runs": "48"}


def test_speed_window_is_answered_from_the_sheet(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text), catalogue()["speed-window"])
    assert preset["width"] == "40 ft"
    assert (preset["speed_low"], preset["speed_high"]) == ("4 mph", "6 mph")
    assert [row["name"] for row in preset["tanks"]] == ["Front", "Rear"]
    assert reply("speed-window", preset, "us")["ok"]


@pytest.mark.parametrize("tank", ["Front", "Rear"])
def test_bin_capacity_is_answered_from_the_sheet(sheet: ReadSheet, sheet_text: str, tank: str) -> None:
    answer = reply("bin-capacity", presets(sheet(sheet_text), catalogue()["bin-capacity"], tank), "us")
    assert answer["ok"]
    # A box of 7 by 6 by 4 ft holds 168 ft³, at 48 lb/ft³ 8064 lb.
    if tank == "Front":
        assert answer["results"]["level_volume"]["si"] == pytest.approx(168 * 0.3048**3, rel=1e-9)
        assert answer["results"]["mass"]["shown"] == "8064 lb"


def test_bin_capacity_without_a_tank_takes_no_measure_of_the_machine(
    sheet: ReadSheet, sheet_text: str
) -> None:
    # The working width is the name of another thing than the inside width of a tank.
    assert presets(sheet(sheet_text), catalogue()["bin-capacity"]) == {}


def test_calibration_has_the_mass_per_turn_in_use(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text), catalogue()["calibration"], "Rear")
    assert preset == {"mass_per_turn": "0.1 lb/rev"}
    catches = [{"turns": "20", "gross": "2 lb"}, {"turns": "20", "gross": "2 lb"}]
    answer = reply("calibration", preset | {"catches": catches}, "us")
    assert answer["used"]["mass_per_turn"]["shown"] == "0.1000 lb/rev"


def test_the_books_own_machines_answer_every_calculator_they_can(root: Path) -> None:
    for path in sorted((root / "docs" / "machines").glob("*.yml")):
        machine = read_sheet(path, path.name).value
        assert machine
        assert reply("speed-window", presets(machine, catalogue()["speed-window"]), machine.units)["ok"]
        for tank in machine.tanks:
            for calculator in ("rate", "bin-capacity"):
                preset = presets(machine, catalogue()[calculator], tank.name)
                assert reply(calculator, preset, machine.units)["ok"]


OIL = """
oil:
  displacement: 1.5 in3/rev
  volumetric_efficiency: 95 %
  pressure: 2200 psi
  meters_flow: 6 gpm
  tractor_flow: 40 gpm
"""


def test_a_part_called_as_a_calculator_is_its_own(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text + OIL), catalogue()["oil"])
    # 1.5 in³ · 3600 rpm / 231 in³ to the gallon / 0.95 = 24.61 gal/min.
    assert reply("oil", preset, "us")["results"]["flow"]["shown"] == "24.61 gpm"
    # Its pressure is the motor's, and not the fan's of the same name.
    assert presets(sheet(sheet_text + OIL), catalogue()["fan-change"]) == {"shaft_speed": "3600 rpm"}


def test_a_rate_of_liquid_is_no_tanks_rate(sheet: ReadSheet, sheet_text: str) -> None:
    preset = presets(sheet(sheet_text), catalogue()["liquid"], "Front")
    assert preset == {"speed": "5 mph", "spacing": "10 in"}
