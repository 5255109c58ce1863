"""When product starts and stops at the openers after a command, and what that leaves at each headland."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from calc import usual
from calc.declare import Chart, Column, Found, Input, Output, Source, Table, TableRows, calculator, say, words
from calc.errors import Problem, problem
from calc.field.delay_cases import CASES
from calc.field.delay_picture import draw_headland
from calc.field.delay_sums import CLOSE_ENOUGH, Strip, left_by, past_the_line, strip
from calc.field.delay_words import NOTES, opener_notes, prime_note, strip_notes
from calc.quantity import Amount
from calc.units import (
    DISTANCE,
    LENGTH,
    MASS,
    SMALL_AREA,
    SPEED,
    TIME,
)

SPEEDS = (0.6, 0.8, 1.0, 1.2, 1.4)  # shares of the working speed that the table goes through

STRIP = {
    "unseeded": words("unseeded"),
    "twice": words("seeded twice"),
    "on-line": words("on the line"),
}


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """A nearest opener that gets product after the farthest."""
    near, far = given["near_time"], given["far_time"]
    if near is None or far is None or near <= far:
        return []
    return [problem("near_time", "low-above-high", low=Amount(near, TIME), high=Amount(far, TIME))]


def _time(
    name: str, title: str, example: str, hint: str, *, low: str = "0 s", default: str = "", measured: bool
) -> Input:
    return Input(name, title, TIME, example, low, "120 s", hint, default=default, measured=measured)


@calculator(
    id="delay",
    title="Start and stop delays",
    asks="How far from the line does product start and stop, and what does each headland get?",
    inputs=[
        _time(
            "on_time",
            "Start: from command to product",
            "4.5 s",
            "Until product reaches a middle opener.",
            measured=True,
        ),
        _time(
            "off_time",
            "Stop: from command to no product",
            "3.6 s",
            "Until product no longer comes at a middle opener.",
            measured=True,
        ),
        usual.GROUND_SPEED,
        usual.WIDTH,
        replace(usual.RATE, example="120 lb/ac", hint="To see the mass of product that goes past the line."),
        _time(
            "on_set",
            "Start delay set in the machine",
            "3 s",
            "How long before the line the machine commands a start. 0 s if at the line.",
            default="0 s",
            measured=False,
        ),
        _time(
            "off_set",
            "Stop delay set in the machine",
            "3 s",
            "How long before the line the machine commands a stop. 0 s if at the line.",
            default="0 s",
            measured=False,
        ),
        _time(
            "near_time",
            "Start: nearest opener",
            "3.6 s",
            "From command to product at the opener with the shortest hoses.",
            measured=True,
        ),
        _time(
            "far_time",
            "Start: farthest opener",
            "5.4 s",
            "From command to product at the opener with the longest hoses.",
            measured=True,
        ),
        _time(
            "prime_time",
            "Prime time",
            "4 s",
            "How long the meter turns to fill the hoses before you move off.",
            low="0.1 s",
            measured=True,
        ),
        replace(usual.METER_SPEED, example="52 rpm", hint="Turns of the meter shaft while it primes."),
        usual.MASS_PER_TURN,
    ],
    outputs=[
        Output("on_distance", "Product starts past the line (minus: before it)", DISTANCE, main=True),
        Output("off_distance", "Product stops past the line (minus: before it)", DISTANCE, main=True),
        Output("gap_area", "Unseeded at each start (minus: seeded twice)", SMALL_AREA),
        Output("product", "Product past the line at each stop (minus: missing before it)", MASS),
        Output("prime_mass", "Product dropped by one prime", MASS),
    ],
    tables=[
        Table(
            "strips",
            "The strip at each start and at each stop",
            [
                Column("at", "At each", says={"start": words("start"), "stop": words("stop")}),
                Column("what", "The strip is", says=STRIP),
                Column("length", "Length along the pass", DISTANCE),
                Column("area", "Area", SMALL_AREA),
                Column("mass", "Product missing or too much", MASS),
            ],
        ),
        Table(
            "openers",
            "Where product starts at single openers",
            [
                Column(
                    "opener",
                    "Opener",
                    says={"near": words("nearest"), "middle": words("middle"), "far": words("farthest")},
                ),
                Column("time", "From command to product", TIME),
                Column("distance", "Past the line (minus: before it)", DISTANCE),
            ],
        ),
        Table(
            "speeds",
            "The same times at other ground speeds (minus: before the line)",
            [
                Column("speed", "Ground speed", SPEED),
                Column("start", "Starts past the line", DISTANCE),
                Column("stop", "Stops past the line", DISTANCE),
            ],
        ),
    ],
    charts=[
        Chart(
            "headland",
            "A headland from above",
            words(
                "On a pass out of the headland product starts {start} past the line. "
                "On a pass into it product stops {stop} past the line. "
                "Minus is before it. The width is {width}. An unseeded strip is bare. "
                "Where a pass lies on the seeded headland its shade is darkest. "
                "Lines across the starting pass mark the nearest and the farthest opener, where given.",
                start=DISTANCE,
                stop=DISTANCE,
                width=LENGTH,
            ),
            draw_headland,
        )
    ],
    notes=NOTES,
    equation=(
        "starts past the line: (t_on − set_on) · v; stops past the line: (t_off − set_off) · v; "
        "area = distance · W, product = rate · area; prime = prime time · meter speed · mass per turn"
    ),
    assumes=[
        "The times were taken at the working fan speed, with this product and this tank.",
        "The ground speed is the same at the line as in the pass.",
        "You move off at once at that speed when the prime ends.",
        "A delay set in the machine makes it command that long before the line, at any speed.",
        "The headland is seeded, and the line is its inner edge, square to the pass.",
    ],
    leaves_out=[
        "The thin start and the tail of a stop: product is taken as all there or not there at all.",
        "Lines that are not square to the pass, and turns that have begun: wing ends then reach them apart.",
        "Where the machine thinks that the openers are. Prove its position offsets first.",
    ],
    cautions=[
        "Nobody stands on, beside or behind a moving machine to see product come.",
        "A fan with open runs throws product and stones. Keep the zone clear, eyes and ears protected.",
        "Treated seed left on top of the ground harms people and wildlife: the tag says what to do.",
    ],
    sources=[
        Source("Distance is speed times time, mass is rate times area", basis="our own invention"),
        CLOSE_ENOUGH,
    ],
    cases=CASES,
    together=wrong_together,
)
def delay(
    on_time: float,
    off_time: float,
    speed: float,
    width: float,
    rate: float | None,
    on_set: float,
    off_set: float,
    near_time: float | None,
    far_time: float | None,
    prime_time: float | None,
    meter_speed: float | None,
    mass_per_turn: float | None,
) -> Found:
    """Where product starts and stops past a line (m), the area and mass of that, and the mass of a prime.

    Times in s, `speed` m/s, `width` m, `rate` kg/m², `meter_speed` turns/s, `mass_per_turn` kg. A minus is
    before the line. `gap_area` (m²) is that of a start, `product` (kg) that of a stop.
    Source: distance is speed times time.
    """
    start = strip(on_time, on_set, speed, width, rate)
    stop = strip(off_time, off_set, speed, width, rate)
    flow = None if meter_speed is None or mass_per_turn is None else meter_speed * mass_per_turn
    tables: dict[str, TableRows] = {
        "strips": [_strip_row("start", start, start.distance), _strip_row("stop", stop, -stop.distance)]
    }
    if near_time is not None and far_time is not None:
        times = {"near": near_time, "middle": on_time, "far": far_time}
        tables["openers"] = [
            [say(name), time, past_the_line(time, on_set, speed)] for name, time in times.items()
        ]
    tables["speeds"] = [[share * speed, share * start.distance, share * stop.distance] for share in SPEEDS]
    return Found(
        {
            "on_distance": start.distance,
            "off_distance": stop.distance,
            "gap_area": start.area,
            "product": stop.mass,
            "prime_mass": None if prime_time is None or flow is None else prime_time * flow,
        },
        notes=[
            *strip_notes(start, stop, on_time, off_time),
            *opener_notes(on_time, near_time, far_time, speed),
            *([say("give-rate")] if rate is None else []),
            prime_note(prime_time, flow, on_time, speed),
        ],
        tables=tables,
    )


def _strip_row(at: str, one: Strip, ahead: float) -> list[Any]:
    """A row of the strips; `ahead` is how far into the field the seeded pass begins."""
    mass = None if one.mass is None else abs(one.mass)
    return [say(at), say(left_by(ahead)), abs(one.distance), abs(one.area), mass]
