"""Tables from a machine sheet: the meter speeds of the standing test are what the calculator `rate` answers.

Sources: `rate`, itself checked against published figures; the limit of 3 % either way is common practice.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calc.declare import catalogue
from calc.reply import reply
from calc.units import SYSTEMS
from handbook.machines.figures import DRAWINGS, TABLES, figures_html
from handbook.machines.reading import read_sheet
from handbook.machines.sheet import Sheet, Tank
from handbook.machines.worked import Machine
from handbook.quantities import in_system
from handbook.vocabulary import FIGURES

Render = Callable[..., str]
Tree = Callable[[str], ElementTree.Element]
ReadSheet = Callable[[str], Sheet]


def seen(element: ElementTree.Element, system: str) -> str:
    """What a reader of one system sees of an element, its parts apart by spaces."""
    choice = element.get("class") == "q"
    parts = [element.text or ""]
    for child in element:
        if not choice or f"q-{system}" in child.get("class", "").split():
            parts.append(seen(child, system))
        parts.append(child.tail or "")
    return " ".join(part for text in parts for part in text.split(" ") if part)


def table(root: ElementTree.Element, system: str) -> list[list[str]]:
    """The rows of the only table, as a reader of one system sees them."""
    (found,) = root.iter("table")
    return [[seen(cell, system) for cell in row] for row in found.iter("tr")]


def times(text: str, share: Fraction) -> str:
    """A written quantity, multiplied."""
    number, unit = text.split(" ")
    return f"{float(Fraction(number) * share):.9f} {unit}"


def plus(text: str, step: str, sign: int) -> str:
    """A written quantity and so many steps in the same unit."""
    (number, unit), (size, same) = text.split(" "), step.split(" ")
    assert unit == same
    return f"{float(Fraction(number) + sign * Fraction(size)):.9f} {unit}"


STEPS: list[tuple[str, Callable[[Tank], str], Fraction]] = [  # its rate, and its share of the planned speed
    ("Low rate", lambda tank: tank.rate.low, Fraction(1)),
    ("Set rate", lambda tank: tank.rate.set, Fraction(1)),
    ("One step up", lambda tank: plus(tank.rate.set, tank.rate.step, 1), Fraction(1)),
    ("One step down", lambda tank: plus(tank.rate.set, tank.rate.step, -1), Fraction(1)),
    ("High rate", lambda tank: tank.rate.high, Fraction(1)),
    ("Half the speed", lambda tank: tank.rate.set, Fraction(1, 2)),
    ("Speed doubled", lambda tank: tank.rate.set, Fraction(1)),
]


def answer(sheet: Sheet, tank: Tank, rate: str, speed: str, system: str) -> str:
    """The meter speed of `rate`, as it shows it."""
    given = {"width": sheet.width, "rate": rate, "speed": speed, "mass_per_turn": tank.meter.mass_per_turn}
    shown: str = reply("rate", given, system)["results"]["meter_speed"]["shown"]
    return shown


@pytest.fixture(params=["the tests' own", "the book's own"])
def machine(request: pytest.FixtureRequest, root: Path, sheet: ReadSheet, sheet_text: str) -> Sheet:
    """A machine to make tables of."""
    if request.param == "the tests' own":
        return sheet(sheet_text)
    found = read_sheet(root / "docs" / "machines" / "prairie-four.yml", "prairie-four.yml").value
    assert found
    return found


@pytest.mark.parametrize("system", SYSTEMS)
def test_meter_speeds_of_the_standing_test_are_those_of_rate(
    render: Render, tree: Tree, machine: Sheet, system: str
) -> None:
    page = tree(render("/// figures | standing-test\n    machine: trial-two\n///", machine=machine))
    head, *rows, last = table(page, system)
    assert head == ["Step", "Simulated speed", *(tank.name for tank in machine.tanks)]
    assert [row[0] for row in rows] == [step for step, _, _ in STEPS]
    for (_, shown_speed, *cells), (_, rate, share) in zip(rows, STEPS, strict=True):
        speed = times(machine.speed.planned, share)
        for tank, cell in zip(machine.tanks, cells, strict=True):
            limits = [times(rate(tank), Fraction(share_of, 100)) for share_of in (97, 103)]
            expected = answer(machine, tank, rate(tank), speed, system)
            low, high = (answer(machine, tank, limit, speed, system).removesuffix(" rpm") for limit in limits)
            assert shown_speed == in_system(f"{float(speed.split()[0]):g} {speed.split()[1]}", system)
            assert cell == f"{expected} {low} to {high}"
    assert last[0] == "Speed to zero"
    assert last[2:] == ["stands still"] * len(machine.tanks)


def test_the_standing_test_by_hand(render: Render, tree: Tree) -> None:
    # 40 ft at 5 mph is 24.24 ac/h; 100 lb/ac of that through 1 lb a turn is 40.40 turns a minute.
    page = tree(render("/// figures | standing-test\n    machine: trial-two\n///"))
    rows = {row[0]: row[1:] for row in table(page, "us")}
    assert rows["Set rate"] == [
        "5 mph",
        "40.40 rpm 39.19 to 41.62",
        "20.20 rpm 19.60 to 20.81",
    ]
    assert rows["Half the speed"][:2] == ["2.5 mph", "20.20 rpm 19.60 to 20.81"]
    assert rows["Speed to zero"][0] == "0 mph"


def test_the_table_of_tanks_says_what_the_sheet_says(render: Render, tree: Tree) -> None:
    page = tree(render("/// figures | tanks\n    machine: trial-two\n///"))
    head, *rows = table(page, "us")
    assert rows == [
        [
            "Front",
            "wheat",
            "80 lb/ac",
            "100 lb/ac",
            "150 lb/ac",
            "1 lb/rev",
            "12 rpm",
            "110 rpm",
        ],
        [
            "Rear",
            "canola",
            "3 lb/ac",
            "5 lb/ac",
            "8 lb/ac",
            "0.1 lb/rev",
            "10 rpm",
            "110 rpm",
        ],
    ]
    assert len(head) == len(rows[0])
    # 1 lb/ac is 0.45359237 kg on 0.40468564 ha (NIST Handbook 44, Appendix C).
    assert table(page, "metric")[1][2:6] == ["89.7 kg/ha", "112 kg/ha", "168 kg/ha", "454 g/rev"]


@pytest.mark.parametrize("name", sorted(TABLES))
def test_a_table_can_be_read_without_seeing_it(render: Render, tree: Tree, name: str) -> None:
    root = tree(render(f"/// figures | {name}\n    machine: trial-two\n///"))
    regions = list(root.iterfind(".//div[@class='fb-table']"))
    assert regions
    for region in regions:
        assert region.get("role") in ("region", "group")  # WAI-ARIA 1.2: what is to have a name needs a role
        (found,) = region.iter("table")
        assert found.findtext("caption") == region.get("aria-label")
        assert region.get("tabindex") == "0"
        assert {cell.get("scope") for cell in found.iterfind("thead/tr/*")} == {"col"}
        for row in found.iterfind("tbody/tr"):
            assert [cell.tag for cell in row][:2] == ["th", "td"]
            assert row[0].get("scope") == "row"


def test_all_figures_have_their_name_in_the_vocabulary() -> None:
    assert {*TABLES, *DRAWINGS, "card"} == set(FIGURES)
    assert not set(FIGURES) & set(catalogue())


def test_what_a_sheet_leaves_in_doubt_stands_below_its_tanks(sheet: ReadSheet, sheet_text: str) -> None:
    odd = figures_html("tanks", Machine(sheet(sheet_text.replace("runs: 48", "runs: 49"))))
    assert odd.count('data-note="sheet-width"') == 1
    assert "49 runs at a spacing of 10 in make 40.83 ft, and the width is 40 ft." in odd
    assert "data-note" not in figures_html("tanks", Machine(sheet(sheet_text)))
