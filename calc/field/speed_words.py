"""What an error of the shown ground speed comes to, in words, and what to set."""

from __future__ import annotations

from calc.declare import Note, Say, say, words
from calc.field.error_scale import judge
from calc.number import settle
from calc.units import DISTANCE, RATIO, SHARE, TIME

WATCH = 0.3  # seconds that a watch worked by hand is off, at both ends together: common practice
LEAST_TIME = 30.0  # seconds below which that is more than 1 %

NOTES = [
    Note(
        "within",
        "info",
        words("The shown speed is within 2 %, which is common practice. Leave the setting as it is."),
    ),
    Note(
        "shows-too-much",
        "check",
        words(
            "The screen shows {share} too much. The area counter is too high by that share, "
            "and the field gets that much too much of every product.",
            share=SHARE,
        ),
    ),
    Note(
        "shows-too-little",
        "check",
        words(
            "The screen shows {share} too little. The area counter is too low by that share, "
            "and the field gets that much too little of every product.",
            share=SHARE,
        ),
    ),
    Note(
        "set",
        "check",
        words(
            "With a wheel, shaft or radar: multiply its distance per pulse by {factor}, "
            "or divide its pulses per distance by it.",
            factor=RATIO,
        ),
    ),
    Note(
        "satellite",
        "check",
        words(
            "A speed from satellites has no such setting. "
            "Look for another speed source that is in use, and drive the course again."
        ),
    ),
    Note(
        "look-first",
        "stop",
        words(
            "More than 10 % off (common practice) is no wear and no slip. Change no setting yet. "
            "Look for simulated speed left on, a wrong speed source, a wrong wheel size or a wrong unit."
        ),
    ),
    Note(
        "short-course",
        "check",
        words(
            "A watch worked by hand is good to about {watch}. Over this time that is {share}. "
            "At this speed use a course of {course} or more.",
            watch=TIME,
            share=SHARE,
            course=DISTANCE,
        ),
    ),
    Note(
        "three-times",
        "info",
        words("Drive the course three times, with half-full tanks. Believe the figure when all three agree."),
    ),
]


def error_notes(error: float) -> list[Say]:
    """What the error does, and what to set or to look for."""
    how_far = judge(error)
    if how_far == "within":
        return [say("within")]
    notes = [say("shows-too-much" if error > 0 else "shows-too-little", share=abs(error))]
    if how_far == "far":
        return [*notes, say("look-first")]
    return [*notes, say("set", factor=1 / (1 + error)), say("satellite")]


def course_notes(speed: float, time: float) -> list[Say]:
    """That the course is too short to be timed by hand, where it is."""
    if settle(time) >= LEAST_TIME:
        return []
    return [say("short-course", watch=WATCH, share=WATCH / time, course=speed * LEAST_TIME)]
