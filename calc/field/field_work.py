"""How much land an hour of work covers, and how many hours a field takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc import usual
from calc.chart import Axis, Picture, Plot, short
from calc.declare import (
    Case,
    Chart,
    Column,
    Found,
    Input,
    Note,
    Output,
    Say,
    Source,
    Table,
    calculator,
    say,
    words,
)
from calc.number import settle
from calc.quantity import Units
from calc.units import AREA, CAPACITY, LONG_TIME, SHARE, SPEED

SPEEDS = (0.6, 0.8, 1.0, 1.2, 1.4)  # shares of the working speed that the tables go through
EFFICIENCIES = (0.8, 0.9, 1.0, 1.1, 1.2)  # shares of the efficiency, as far as 100 %
LINES = (1.0, 0.75, 1.25)
USUAL = (0.55, 0.80)  # of drills, by ASAE D497 from memory

IOWA = Source(
    "Iowa State University Extension, PM 696 and Ag Decision Maker A3-24, field machine capacity",
    where="ft · mph · efficiency to ac/h: 40 · 6 · 70 % to 20.4 and five more",
)
CAPACITY_RULE = Source(
    "ASAE EP496, agricultural machinery management",
    where="the abstract only; that ac/h is mph · ft · efficiency / 8.25 follows from the units",
)
DRILLS = Source(
    "ASAE D497, agricultural machinery management data",
    where="efficiency of drills: 55 to 80 %, typically 70 %",
    basis="from memory",
)
OURS = Source("Arithmetic in US units: ft · mph · efficiency / 8.25 acres an hour", basis="our own invention")


def capacity_of(width: float, speed: float, efficiency: float) -> float:
    """Area (m²) worked in a second over `width` (m) at `speed` (m/s), of which a share is work."""
    return width * speed * efficiency


def draw_lines(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Land in an hour against ground speed: a line for the efficiency given, others for less and more."""
    width, speed, efficiency = given["width"], given["speed"], given["efficiency"]
    capacity = capacity_of(width, speed, efficiency)
    top = 1.5 * speed
    shares = [share for share in LINES if settle(share * efficiency) <= 1]
    highest = capacity_of(width, top, max(shares) * efficiency)
    marks = Axis(CAPACITY, units, 0.0, highest, 0.0, 1.0).ticks()
    plot = Plot(
        units,
        (SPEED, 0.0, 1.3 * top, "Ground speed"),  # with room for the labels
        (CAPACITY, 0.0, highest, "Land covered"),
        left=max(Plot.LEFT, 14 + 9 * max(len(label) for _, label in marks)),
        parts={"speed": speed, "capacity": capacity, "efficiency": efficiency},
    )
    for number, share in enumerate(shares):
        end = (top, capacity_of(width, top, share * efficiency))
        plot.curve([(0.0, 0.0), end], number=number, label=short(share * efficiency, SHARE, units))
    plot.dot(plot.x.at(speed), plot.y.at(capacity))
    return plot


def _cases() -> list[Case]:
    """Our own example, then every line that Iowa State prints, then the ends of an efficiency."""
    printed = [
        ("40 ft", "6 mph", "70 %", "20.4 ac/h"),
        ("60 ft", "6 mph", "68 %", "29.7 ac/h"),
        ("80 ft", "6 mph", "68 %", "39.6 ac/h"),
        ("10 ft", "5 mph", "63 %", "3.8 ac/h"),
        ("20 ft", "6 mph", "63 %", "9.2 ac/h"),
        ("36 ft", "5 mph", "60 %", "13.1 ac/h"),
    ]
    return [
        Case(
            "Two quarters with sixty feet",
            given={"width": "60 ft", "speed": "5 mph", "efficiency": "70 %", "area": "320 ac"},
            source=OURS,
            printed={"capacity": "25.45 ac/h", "hours": "12.57 h"},
            pinned={"capacity": 28.61413632},
            notes=["faster-gains-less"],
        ),
        *(
            Case(
                f"{width} at {speed} and {efficiency}",
                given={"width": width, "speed": speed, "efficiency": efficiency},
                source=IOWA,
                printed={"capacity": capacity},
                pinned={"hours": None},
                notes=["faster-gains-less", "give-area"],
            )
            for width, speed, efficiency, capacity in printed
        ),
        Case(
            "Never stopping",
            given={"width": "12 m", "speed": "8 km/h", "efficiency": "100 %", "area": "96 ha"},
            source=Source("Arithmetic in metric units: m · km/h / 10 hectares an hour", basis=OURS.basis),
            printed={"capacity": "9.600 ha/h", "hours": "10.00 h"},
            notes=["never-stops"],
        ),
        Case(
            "Small odd fields",
            given={"width": "30 ft", "speed": "4 mph", "efficiency": "45 %"},
            source=OURS,
            printed={"capacity": "6.545 ac/h"},
            notes=["unusual", "faster-gains-less", "give-area"],
        ),
    ]


@calculator(
    id="field-work",
    title="Land in an hour",
    asks="How much land does an hour of work cover, and how many hours does a field take?",
    inputs=[
        usual.WIDTH,
        usual.GROUND_SPEED,
        Input(
            "efficiency",
            "Field efficiency",
            SHARE,
            "70 %",
            "5 %",
            "100 %",
            "Area seeded ÷ (width · speed · hours), from your own record. "
            "Turns, fills, stops and overlap bring it down.",
            measured=True,
        ),
        Input(
            "area",
            "Area to seed",
            AREA,
            "320 ac",
            "0.01 ha",
            "100000 ha",
            "To see how many hours it takes.",
            measured=True,
        ),
    ],
    outputs=[
        Output("capacity", "Land covered in an hour", CAPACITY, main=True),
        Output("hours", "Hours of work", LONG_TIME, main=True),
    ],
    tables=[
        Table(
            "capacities",
            "Land covered in an hour, by ground speed and field efficiency",
            [
                Column("speed", "Ground speed", SPEED),
                Column("capacity", "Land covered", CAPACITY, across=SHARE),
            ],
        ),
        Table(
            "hours",
            "Hours of work, by ground speed and field efficiency",
            [
                Column("speed", "Ground speed", SPEED),
                Column("hours", "Hours of work", LONG_TIME, across=SHARE),
            ],
        ),
    ],
    charts=[
        Chart(
            "lines",
            "Land covered in an hour against ground speed",
            words(
                "Straight lines from standing still: at {speed} and {efficiency} it is {capacity}. "
                "The broken lines are a quarter less and, where it can be, a quarter more efficiency.",
                speed=SPEED,
                efficiency=SHARE,
                capacity=CAPACITY,
            ),
            draw_lines,
        )
    ],
    notes=[
        Note(
            "never-stops",
            "check",
            words(
                "At 100 % the machine never turns, fills or stops. Take this as a limit and not as a plan."
            ),
        ),
        Note(
            "unusual",
            "check",
            words(
                "Drills mostly reach 55 % to 80 % (ASAE D497, from memory). "
                "Prove {efficiency} on your own record before you plan by it.",
                efficiency=SHARE,
            ),
        ),
        Note(
            "faster-gains-less",
            "info",
            words(
                "Turns, fills and stops take as long at any speed. "
                "So faster driving gains less than the tables say: they keep the efficiency as it is."
            ),
        ),
        Note("give-area", "info", words("Give the area to see how many hours it takes.")),
    ],
    equation="C = W · v · E, hours = A / C, with width W, ground speed v, field efficiency E and area A",
    assumes=[
        "The ground speed is the true one while seeding.",
        "The field efficiency is of the same kind of field, with the same way of filling.",
    ],
    leaves_out=[
        "Weather, breakdowns, rest and moves between fields, unless your record of the efficiency has them.",
        "Whether tanks, fills and trucks keep up: the refill plan shows that.",
    ],
    cautions=[
        "Hours of work are no hours without rest. A tired operator is a danger: plan breaks and a relief.",
        "Openers, soil, slopes and people set the speed. A plan never does.",
    ],
    sources=[CAPACITY_RULE, IOWA, DRILLS, OURS],
    cases=_cases(),
    then=("refill-plan",),
)
def field_work(width: float, speed: float, efficiency: float, area: float | None) -> Found:
    """Area worked in a second (m²/s), and the seconds that `area` takes.

    `width` m, `speed` m/s, `efficiency` a share of the time and width, `area` m² or None.
    Source: the definition, as in ASAE EP496.
    """
    capacity = capacity_of(width, speed, efficiency)
    notes: list[Say] = []
    if settle(efficiency) == 1:
        notes.append(say("never-stops"))
    elif not USUAL[0] <= settle(efficiency) <= USUAL[1]:
        notes.append(say("unusual", efficiency=efficiency))
    if settle(efficiency) < 1:
        notes.append(say("faster-gains-less"))
    if area is None:
        notes.append(say("give-area"))
    across = [share * efficiency for share in EFFICIENCIES if settle(share * efficiency) <= 1]
    capacities = [
        [share * speed, *(capacity_of(width, share * speed, one) for one in across)] for share in SPEEDS
    ]
    tables: dict[str, Sequence[Sequence[float]]] = {"capacities": capacities}
    if area is not None:
        tables["hours"] = [[first, *(area / one for one in others)] for first, *others in capacities]
    return Found(
        {"capacity": capacity, "hours": None if area is None else area / capacity},
        notes=notes,
        tables=tables,
        across={"capacities": across, "hours": across},
    )
