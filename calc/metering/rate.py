"""What a rate asks of a meter at a ground speed, solved for any one of the four figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from calc import usual
from calc.chart import Picture, Plot, short
from calc.declare import (
    Case,
    Chart,
    Column,
    Found,
    Input,
    Note,
    Output,
    Source,
    Table,
    calculator,
    say,
    words,
)
from calc.quantity import Units
from calc.units import (
    AREA_PER_TURN,
    COUNT,
    MASS_FLOW,
    MASS_PER_AREA,
    MASS_PER_TURN,
    SPEED,
    TURNING_SPEED,
    TURNS_PER_AREA,
)

AROUND = (0.5, 0.75, 1.0, 1.25, 1.5)  # shares of the working rate and speed that the table goes through

SOIL_HEALTH = Source(
    "Soil Health Labs, drill calibration",
    where="8 ft of circumference · 0.625 ft · 20 turns is 100 ft²; 25 lb/ac is 0.0574 lb",
)
KENTUCKY = Source(
    "University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek)",
    where="grams per row in 150 ft for each lb/ac: 0.78 at 6 in",
)
OURS = Source("The definition of a rate: mass over area", basis="our own invention")


def meter_speed_for(rate: float, width: float, speed: float, mass_per_turn: float) -> float:
    """Turns per second of a meter that gives `rate` (kg/m²) over `width` (m) at `speed` (m/s)."""
    return rate * width * speed / mass_per_turn


def speed_for(meter_speed: float, mass_per_turn: float, rate: float, width: float) -> float:
    """Ground speed (m/s) at which a meter turning at `meter_speed` (turns/s) gives `rate` over `width`."""
    return meter_speed * mass_per_turn / (rate * width)


def draw_lines(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Meter speed against ground speed: a line for the rate, and one for each rate a quarter away."""
    solved = {**given, **found.values}
    rate, speed, meter_speed = solved["rate"], solved["speed"], solved["meter_speed"]
    top = 1.5 * speed
    highest = meter_speed_for(1.25 * rate, given["width"], top, solved["mass_per_turn"])
    plot = Plot(
        units,
        (SPEED, 0.0, 1.3 * top, "Ground speed"),  # with room for the labels
        (TURNING_SPEED, 0.0, highest, "Meter speed"),
        parts={"speed": speed, "meter_speed": meter_speed},
    )
    for number, share in enumerate((1.0, 0.75, 1.25)):
        reach = meter_speed_for(share * rate, given["width"], top, solved["mass_per_turn"])
        plot.curve([(0.0, 0.0), (top, reach)], number=number, label=short(share * rate, MASS_PER_AREA, units))
    plot.dot(plot.x.at(speed), plot.y.at(meter_speed))
    return plot


@calculator(
    id="rate",
    title="Rate and meter speed",
    asks="How fast must the meter turn, or what rate, speed or mass per turn follows from it?",
    inputs=[
        replace(usual.WIDTH, example="40 ft"),
        replace(usual.RATE, takes=("field-check.target", "nutrient.product_rate")),
        usual.GROUND_SPEED,
        usual.METER_SPEED,
        replace(usual.MASS_PER_TURN, example="1 lb/rev"),
        Input("runs", "Runs fed by this meter", COUNT, "48", "1", "500", "To see what one run carries."),
    ],
    all_but_one=("rate", "speed", "meter_speed", "mass_per_turn"),
    outputs=[
        Output("rate", "Rate", MASS_PER_AREA, main=True),
        Output("speed", "Ground speed", SPEED, main=True),
        Output("meter_speed", "Meter speed", TURNING_SPEED, main=True),
        Output("mass_per_turn", "Mass per turn", MASS_PER_TURN, main=True),
        Output("flow", "Product flow of the tank", MASS_FLOW),
        Output("area_per_turn", "Area covered in one turn", AREA_PER_TURN),
        Output("turns_per_area", "Turns for an area", TURNS_PER_AREA),
        Output("run_flow", "Product flow of one run", MASS_FLOW),
    ],
    tables=[
        Table(
            "meter_speeds",
            "Meter speed at other rates and ground speeds",
            [
                Column("rate", "Rate", MASS_PER_AREA),
                Column("meter_speed", "Meter speed", TURNING_SPEED, across=SPEED),
            ],
        )
    ],
    charts=[
        Chart(
            "lines",
            "Meter speed against ground speed",
            words(
                "Straight lines from standing still: at {speed} the meter turns at {meter_speed}. "
                "The broken lines are a quarter less and a quarter more rate.",
                speed=SPEED,
                meter_speed=TURNING_SPEED,
            ),
            draw_lines,
        )
    ],
    notes=[
        Note("give-runs", "info", words("Give the number of runs to see what one run carries.")),
        Note(
            "check-meter-range",
            "check",
            words(
                "Compare {meter_speed} with the range that the machine's papers give for this meter.",
                meter_speed=TURNING_SPEED,
            ),
        ),
    ],
    equation="n = R · W · v / m, with rate R, width W, ground speed v, mass per turn m and meter speed n",
    assumes=[
        "The mass per turn is the same at every meter speed: calibrate slow and fast to see whether it is.",
        "The ground speed is the true one, and the whole width is seeded.",
    ],
    leaves_out=[
        "Overlap, skips and tracks left unseeded change what the field gets on average.",
        "How the product is shared among the runs: a right rate may still lie unevenly.",
        "Whether the meter, its drive and the air can do what is asked.",
    ],
    then=("speed-window", "delay", "field-check", "air"),
    cautions=["Stop the meter and isolate its drive before you put a hand near it."],
    sources=[OURS, SOIL_HEALTH, KENTUCKY],
    cases=[
        Case(
            "Forty feet at five miles an hour",
            given={
                "width": "40 ft",
                "rate": "100 lb/ac",
                "speed": "5 mph",
                "mass_per_turn": "1 lb/rev",
                "runs": "48",
            },
            source=Source(
                "Arithmetic in US units: 100 · 40 · 5 / 495 pounds a minute", basis="our own invention"
            ),
            printed={"meter_speed": "40.40 rpm", "flow": "40.40 lb/min", "turns_per_area": "100.0 rev/ac"},
            pinned={"meter_speed": 0.6734006734},
            notes=["check-meter-range"],
        ),
        Case(
            "One row of a ground-driven drill, eight feet of wheel to the turn",
            given={"width": "0.625 ft", "rate": "25 lb/ac", "speed": "2.4384 m/s", "meter_speed": "1 rev/s"},
            source=SOIL_HEALTH,
            printed={"area_per_turn": "5 ft²/rev", "mass_per_turn": "0.00287 lb/rev"},
            pinned={"mass_per_turn": 0.001301630997, "run_flow": None},
            notes=["check-meter-range", "give-runs"],
        ),
        Case(
            "One row of 6 inches over 150 feet",
            given={"width": "6 in", "rate": "1 lb/ac", "speed": "4.572 m/s", "meter_speed": "0.1 rev/s"},
            source=KENTUCKY,
            printed={"mass_per_turn": "0.78 g/rev"},
            pinned={"mass_per_turn": 0.0007809785985},
        ),
        Case(
            "What rate went out",
            given={
                "width": "12 m",
                "speed": "8 km/h",
                "meter_speed": "30 rpm",
                "mass_per_turn": "500 g/rev",
                "runs": "48",
            },
            source=Source(
                "Arithmetic in metric units: 15 kg/min · 600 / (12 · 8)", basis="our own invention"
            ),
            printed={"rate": "93.75 kg/ha", "flow": "15.00 kg/min", "run_flow": "0.3125 kg/min"},
        ),
        Case(
            "How fast a slow meter lets you drive",
            given={
                "width": "60 ft",
                "rate": "5 lb/ac",
                "meter_speed": "10 rpm",
                "mass_per_turn": "0.25 lb/rev",
            },
            source=Source("Arithmetic in US units: 2.5 lb/min · 495 / (5 · 60)", basis="our own invention"),
            printed={"speed": "4.125 mph"},
        ),
    ],
)
def rate(
    width: float,
    rate: float | None = None,
    speed: float | None = None,
    meter_speed: float | None = None,
    mass_per_turn: float | None = None,
    runs: float | None = None,
) -> Found:
    """The one of rate, speed, meter speed and mass per turn that is None, and what follows from it.

    `width` m, `rate` kg/m², `speed` m/s, `meter_speed` turns/s, `mass_per_turn` kg, `runs` a count.
    Finds also the flow (kg/s) of the tank and of a run, the area of a turn (m²) and turns per area (1/m²).
    Raises TypeError unless exactly one of the four is None. Source: the definition of a rate.
    """
    solved: dict[str, float]
    if rate is None and speed and meter_speed and mass_per_turn:
        rate = meter_speed * mass_per_turn / (width * speed)
        solved = {"rate": rate}
    elif speed is None and rate and meter_speed and mass_per_turn:
        speed = speed_for(meter_speed, mass_per_turn, rate, width)
        solved = {"speed": speed}
    elif meter_speed is None and rate and speed and mass_per_turn:
        meter_speed = meter_speed_for(rate, width, speed, mass_per_turn)
        solved = {"meter_speed": meter_speed}
    elif mass_per_turn is None and rate and speed and meter_speed:
        mass_per_turn = rate * width * speed / meter_speed
        solved = {"mass_per_turn": mass_per_turn}
    else:
        raise TypeError("leave exactly one of rate, speed, meter_speed and mass_per_turn out")
    flow = rate * width * speed
    return Found(
        {
            **solved,
            "flow": flow,
            "area_per_turn": mass_per_turn / rate,
            "turns_per_area": rate / mass_per_turn,
            "run_flow": flow / runs if runs else None,
        },
        notes=[say("check-meter-range", meter_speed=meter_speed), *([] if runs else [say("give-runs")])],
        tables={"meter_speeds": _around(rate, speed, width, mass_per_turn)},
        across={"meter_speeds": [share * speed for share in AROUND]},
    )


def _around(rate: float, speed: float, width: float, mass_per_turn: float) -> Sequence[Sequence[float]]:
    """A row a rate: the rate, then the meter speed at each ground speed."""
    return [
        [r * rate, *(meter_speed_for(r * rate, width, v * speed, mass_per_turn) for v in AROUND)]
        for r in AROUND
    ]
