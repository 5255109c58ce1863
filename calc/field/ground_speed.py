"""The true ground speed from a measured course, and how far the shown one is off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.chart import Picture, round_values
from calc.declare import (
    Case,
    Chart,
    Column,
    Found,
    Input,
    Output,
    Source,
    Table,
    calculator,
    say,
    words,
)
from calc.errors import Problem, problem
from calc.field.error_scale import HABITS, draw_error
from calc.field.speed_words import NOTES, course_notes, error_notes
from calc.metering.catch_sums import against
from calc.number import settle
from calc.quantity import Amount, Units
from calc.units import DISTANCE, SHARE, SPEED, TIME

SLOWEST, FASTEST = 0.1 / 3.6, 60 / 3.6  # m/s between which a course and a time are believed

DEFINITION = Source("Speed is distance over time", basis="our own invention")
MILE = Source(
    "NIST SP 811, exact units: the foot 0.3048 m, the mile 5280 ft",
    where="so 88 ft a minute is 1 mph",
    basis="from memory",
)
BY_HAND = Source("A watch worked by hand is good to about 0.3 s", basis="common practice")
OURS = Source("Arithmetic in US units: ft / s · 15 / 22 miles an hour", basis="our own invention")


def draw_scale(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """The error of the shown speed on a scale."""
    error, speed = found.values["error"], found.values["speed"]
    assert isinstance(error, float) and isinstance(speed, float)
    parts = {"error": error, "speed": speed, "shown": given["shown_speed"]}
    return draw_error(error, "Error of the shown speed", units, parts)


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """A course and a time that make no speed a machine goes at."""
    course, time = given["course"], given["time"]
    if course is None or time is None or settle(SLOWEST) <= settle(course / time) <= settle(FASTEST):
        return []
    return [
        problem(
            "time",
            "not-a-field-speed",
            course=Amount(course, DISTANCE),
            time=Amount(time, TIME),
            speed=Amount(course / time, SPEED),
            low=Amount(SLOWEST, SPEED),
            high=Amount(FASTEST, SPEED),
        )
    ]


@calculator(
    id="ground-speed",
    title="Ground speed on a course",
    asks="How fast does the machine really go, and how far is the shown ground speed off?",
    inputs=[
        Input(
            "course",
            "Length of the course",
            DISTANCE,
            "400 ft",
            "5 m",
            "5 km",
            "Level and straight, measured with a tape.",
            measured=True,
        ),
        Input(
            "time",
            "Time over the course",
            TIME,
            "56.3 s",
            "1 s",
            "1 h",
            "From a flying start: be at speed before the first mark.",
            measured=True,
        ),
        Input(
            "shown_speed",
            "Shown ground speed",
            SPEED,
            "5 mph",
            "0.1 km/h",
            "40 km/h",
            "What the screen showed, held steady.",
            measured=True,
        ),
    ],
    outputs=[
        Output("speed", "True ground speed", SPEED, main=True),
        Output("error", "Error of the shown speed (minus: it shows too little)", SHARE, main=True),
    ],
    tables=[
        Table(
            "times",
            "This course at other shown speeds",
            [
                Column("shown", "Shown speed", SPEED),
                Column("speed", "True speed as it is now", SPEED),
                Column("time_now", "Time as it is now", TIME),
                Column("time_right", "Time if the screen is right", TIME),
            ],
        )
    ],
    charts=[
        Chart(
            "error",
            "Error of the shown ground speed",
            words(
                "The screen shows {shown} at a true {speed}. That is an error of {error}, minus for too "
                "little. The shade is 2 % to either side, and broken lines stand at 10 %.",
                shown=SPEED,
                speed=SPEED,
                error=SHARE,
            ),
            draw_scale,
        )
    ],
    notes=NOTES,
    equation="v = course / time; error = shown speed / v − 1",
    assumes=[
        "The ground speed was steady from the first mark to the last, and so was the shown one.",
        "The meters and the area counter follow the shown speed.",
        "The ground, the load and the tire pressure were as in work.",
    ],
    leaves_out=[
        "Slip that changes with the ground: a wheel or shaft may be right on a road and wrong in the field.",
        "Whether the working width is right. The rate on the field hangs on both.",
    ],
    cautions=[
        "Keep everyone off the course. Start only on the agreed sign.",
        "The driver drives. A passenger in a proper seat, or a person well off the course, works the watch.",
        "Keep off the public road.",
    ],
    sources=[DEFINITION, MILE, HABITS, BY_HAND],
    # No source prints a course, a time and a shown speed. What can be checked is the mile that a speed
    # is made of: 88 ft in a minute. The rest is our own arithmetic.
    cases=[
        Case(
            "A shown speed that is too high",
            given={"course": "400 ft", "time": "56.3 s", "shown_speed": "5 mph"},
            source=OURS,
            printed={"speed": "4.844 mph", "error": "3.217 %"},
            pinned={"speed": 2.165541741},
            notes=["shows-too-much", "set", "satellite", "three-times"],
        ),
        Case(
            "Eighty-eight feet a minute",
            given={"course": "88 ft", "time": "1 min", "shown_speed": "1 mph"},
            source=MILE,
            printed={"speed": "1.000 mph"},
            pinned={"error": 0.0},
            notes=["within", "three-times"],
        ),
        Case(
            "A hundred meters, and too little shown",
            given={"course": "100 m", "time": "45 s", "shown_speed": "7.6 km/h"},
            source=Source("Arithmetic in metric units: m / s · 3.6", basis="our own invention"),
            printed={"speed": "8.000 km/h", "error": "−5.000 %"},
            notes=["shows-too-little", "set", "satellite", "three-times"],
        ),
        Case(
            "Two percent exactly is left alone, on a course that is too short",
            given={"course": "50 m", "time": "25 s", "shown_speed": "7.344 km/h"},
            source=Source("Arithmetic in metric units: 7.344 / 7.2", basis="our own invention"),
            printed={"speed": "7.200 km/h", "error": "2.000 %"},
            notes=["within", "short-course", "three-times"],
        ),
        Case(
            "Miles an hour taken for kilometers",
            given={"course": "400 ft", "time": "55 s", "shown_speed": "8 mph"},
            source=OURS,
            printed={"speed": "4.959 mph", "error": "61.33 %"},
            notes=["shows-too-much", "look-first", "three-times"],
        ),
    ],
    together=wrong_together,
    then=("rate",),
)
def ground_speed(course: float, time: float, shown_speed: float) -> Found:
    """True speed (m/s) over `course` (m) in `time` (s), and the error of `shown_speed` (m/s) as a share.

    Source: the definition of speed. The limits of the notes are common practice.
    """
    speed = course / time
    error = against(shown_speed, speed)
    return Found(
        {"speed": speed, "error": error},
        notes=[*error_notes(error), *course_notes(speed, time), say("three-times")],
        tables={"times": lambda units: _times(course, speed, shown_speed, units)},
    )


def _times(course: float, speed: float, shown_speed: float, units: Units) -> Sequence[Sequence[float]]:
    """A row a shown speed at round figures of the reader's unit: true speed, time as it is, time if right."""
    true_share = speed / shown_speed
    return [
        [shown, shown * true_share, course / (shown * true_share), course / shown]
        for shown in round_values(1.6 * shown_speed, SPEED, units, 8)
    ]
