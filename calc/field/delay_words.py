"""What starts and stops come to, in words, and what to set."""

from __future__ import annotations

from calc.declare import Note, Say, say, words
from calc.field.delay_sums import CLOSE, Strip
from calc.number import settle
from calc.units import DISTANCE, MASS, TIME

NOTES = [
    Note(
        "starts-late",
        "check",
        words(
            "Each start leaves {distance} unseeded past the line, over the whole width. "
            "Set the start delay to {time}.",
            distance=DISTANCE,
            time=TIME,
        ),
    ),
    Note(
        "starts-early",
        "check",
        words(
            "Each start comes {distance} before the line. On a seeded headland that strip is seeded twice. "
            "Set the start delay to {time}.",
            distance=DISTANCE,
            time=TIME,
        ),
    ),
    Note(
        "starts-close",
        "info",
        words(
            "Each start is {distance} off the line: within {limit}, which is common practice.",
            distance=DISTANCE,
            limit=DISTANCE,
        ),
    ),
    Note(
        "stops-late",
        "check",
        words(
            "Each stop runs {distance} past the line. On a seeded headland that strip is seeded twice. "
            "Set the stop delay to {time}.",
            distance=DISTANCE,
            time=TIME,
        ),
    ),
    Note(
        "stops-early",
        "check",
        words(
            "Each stop leaves {distance} unseeded before the line, over the whole width. "
            "Set the stop delay to {time}.",
            distance=DISTANCE,
            time=TIME,
        ),
    ),
    Note(
        "stops-close",
        "info",
        words(
            "Each stop is {distance} off the line: within {limit}, which is common practice.",
            distance=DISTANCE,
            limit=DISTANCE,
        ),
    ),
    Note(
        "same-times",
        "check",
        words(
            "Start and stop take the same time here. That is rare: "
            "time each by itself, and keep them as two figures."
        ),
    ),
    Note(
        "openers-apart",
        "info",
        words(
            "The nearest opener starts {distance} before the farthest. "
            "No setting takes that away. Only less speed at the line makes it shorter.",
            distance=DISTANCE,
        ),
    ),
    Note(
        "not-a-middle-opener",
        "check",
        words(
            "The start time lies outside {near} to {far}, the times of the nearest and the farthest opener. "
            "Time an opener between them.",
            near=TIME,
            far=TIME,
        ),
    ),
    Note(
        "give-other-opener",
        "check",
        words("Give the times of both the nearest and the farthest opener to see how far apart they start."),
    ),
    Note(
        "give-openers",
        "info",
        words("Give the times of the nearest and the farthest opener to see how far apart they start."),
    ),
    Note(
        "give-rate",
        "info",
        words("Give a rate to see how much product each stop puts past the line."),
    ),
    Note(
        "give-rest-of-prime",
        "check",
        words("A prime time alone is not enough. Give the meter speed and the mass per turn with it."),
    ),
    Note(
        "give-prime",
        "info",
        words(
            "Give prime time, meter speed and mass per turn, all three, "
            "to see what one prime drops before you move off."
        ),
    ),
    Note(
        "prime-too-short",
        "check",
        words(
            "You move off {time} before product comes, and leave {distance} bare. "
            "Prime for as long as product takes: {prime}.",
            time=TIME,
            distance=DISTANCE,
            prime=TIME,
        ),
    ),
    Note(
        "prime-too-long",
        "check",
        words(
            "Product comes {time} before you move off, and {mass} of it lands in one place. "
            "Prime for as long as product takes: {prime}.",
            time=TIME,
            mass=MASS,
            prime=TIME,
        ),
    ),
    Note("prime-fits", "info", words("You move off as product comes: the prime time fits the start time.")),
]


def strip_notes(start: Strip, stop: Strip, on_time: float, off_time: float) -> list[Say]:
    """What each start and each stop leaves, and what to set."""
    notes = []
    for which, one, takes in (("starts", start, on_time), ("stops", stop, off_time)):
        if one.close:
            notes.append(say(f"{which}-close", distance=abs(one.distance), limit=CLOSE))
        else:
            side = "late" if one.distance > 0 else "early"
            notes.append(say(f"{which}-{side}", distance=abs(one.distance), time=takes))
    if settle(on_time) == settle(off_time):
        notes.append(say("same-times"))
    return notes


def opener_notes(on_time: float, near: float | None, far: float | None, speed: float) -> list[Say]:
    """How far apart the nearest and the farthest opener start, or what to give for it."""
    if near is None or far is None:
        return [say("give-openers" if near is None and far is None else "give-other-opener")]
    notes = [say("openers-apart", distance=(far - near) * speed)]
    if not settle(near) <= settle(on_time) <= settle(far):
        notes.append(say("not-a-middle-opener", near=near, far=far))
    return notes


def prime_note(prime_time: float | None, flow: float | None, on_time: float, speed: float) -> Say:
    """Whether you move off as product comes, or what to give for it; `flow` is of the meter, in kg/s."""
    if prime_time is None or flow is None:
        return say("give-prime" if prime_time is None else "give-rest-of-prime")
    late = on_time - prime_time
    if settle(abs(late) * speed) <= CLOSE:
        return say("prime-fits")
    if late > 0:
        return say("prime-too-short", time=late, distance=late * speed, prime=on_time)
    return say("prime-too-long", time=-late, mass=-late * flow, prime=on_time)
