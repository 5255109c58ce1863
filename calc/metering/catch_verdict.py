"""Which test decides on repeated catches, what else to know about them, and the words for both."""

from __future__ import annotations

from collections.abc import Sequence

from calc.declare import Note, Say, say, words
from calc.metering.catch_sums import Catch, Scatter, SlowAndFast
from calc.number import settle
from calc.statistics import LEAST_FOR_OUTLIER
from calc.units import COUNT, SHARE, TURNING_SPEED

SPREAD_SHARE = 1.5  # common practice: a spread of 3 % at a tolerance of ±2 %, and in proportion
LOW_HIGH_SHARE = 2.0  # one figure for both is then out by the tolerance at each: 4 % at ±2 %

VERDICTS = {
    "one-catch": words("No verdict: one catch cannot show whether the meter repeats. Make at least three."),
    "speed": words(
        "Slow against fast decides: fast turning differs from slow by {low_high}, over the limit of {limit}. "
        "One figure does not fit both: calibrate at the meter speed of the job.",
        low_high=SHARE,
        limit=SHARE,
    ),
    "suspect": words(
        "A suspect decides: catch {suspect} stands apart from the others. "
        "Find out why and make it again before you enter a figure.",
        suspect=COUNT,
    ),
    "spread": words(
        "The spread decides: {spread} is over {limit}, the limit of common practice at this tolerance. "
        "Find the cause and make the catches again before you enter a figure.",
        spread=SHARE,
        limit=SHARE,
    ),
    "interval": words(
        "The interval decides: the mean is known only to ±{half}, not to ±{tolerance}. "
        "More catches needed, if they scatter like these: {more}.",
        half=SHARE,
        tolerance=SHARE,
        more=COUNT,
    ),
    "change": words(
        "The change decides: the catches agree, but their mean differs by {change} from the figure in use. "
        "Check the product and the metering element, then enter the new figure.",
        change=SHARE,
    ),
    "confirmed": words(
        "Good: the catches agree, and their mean is within ±{tolerance} of the figure in use. It may stay.",
        tolerance=SHARE,
    ),
    "enter": words(
        "Good: the catches agree, and the mean is known to ±{half}. Enter this mass per turn.",
        half=SHARE,
    ),
}

NOTES = [
    Note(
        "one-catch",
        "check",
        words("One catch has no spread, CV or interval, and does not say how many more are needed."),
    ),
    Note(
        "all-alike",
        "check",
        words("All catches are alike: the scale may be too coarse to show a difference. Catch more turns."),
    ),
    Note(
        "interval-below-nothing",
        "check",
        words("The interval reaches below nothing: so few catches that scatter so much say very little."),
    ),
    Note(
        "too-many",
        "check",
        words("With this scatter no practical number of catches reaches the tolerance. Find the cause."),
    ),
    Note(
        "suspect-needs-six",
        "info",
        words(
            "Below six catches none is called suspect. Of three, two near-equal ones would convict the third."
        ),
    ),
    Note(
        "no-suspect",
        "info",
        words("No catch stands apart from the others by Grubbs' two-sided 5 % test."),
    ),
    Note("give-in-use", "info", words("Give the mass per turn in use to see the change.")),
    Note(
        "change-sign",
        "info",
        words("A positive change means that more product than set went out with the figure in use."),
    ),
    Note(
        "give-meter-speeds",
        "info",
        words("Give the meter speed of slow and of fast catches to compare slow turning with fast."),
    ),
    Note(
        "speeds-not-apart",
        "info",
        words(
            "The meter speeds form no slow and fast group, so nothing is compared. "
            "Make catches at two speeds, the fast one at least a quarter above the slow."
        ),
    ),
    Note(
        "speed-groups",
        "info",
        words(
            "Slow is up to {slow_to} (catches: {slow}), fast is from {fast_from} (catches: {fast}).",
            slow_to=TURNING_SPEED,
            slow=COUNT,
            fast_from=TURNING_SPEED,
            fast=COUNT,
        ),
    ),
    Note(
        "some-without-speed",
        "check",
        words("Catches without a meter speed are left out where slow is compared with fast."),
    ),
    Note(
        "one-at-a-speed",
        "check",
        words("Only one catch was made slow, or fast. Make another before you trust the comparison."),
    ),
    Note(
        "speed-unsure",
        "check",
        words(
            "Slow and fast differ by more than {limit}, but the catches scatter too much to blame the speed. "
            "Make more at each.",
            limit=SHARE,
        ),
    ),
    Note(
        "scale-steps-tared",
        "check",
        words(
            "A catch tared on the scale should be at least 200 scale steps: then it is read to 0.25 %. "
            "Prove the scale with a known mass."
        ),
    ),
    Note(
        "scale-steps-two-readings",
        "check",
        words(
            "Where the empty container is weighed apart, the product should be at least 400 scale steps. "
            "Prove the scale with a known mass."
        ),
    ),
]


def over(share: float, limit: float) -> bool:
    """Whether a share, of either sign, is above its limit."""
    return settle(abs(share)) > settle(limit)


def verdict_of(
    found: Scatter | None,
    tolerance: float,
    slow_fast: tuple[float, bool] | None,
    suspect: int | None,
    more: int | None,
    change: float | None,
) -> Say:
    """The first test that fails decides. Speed comes first, as it widens the spread and the interval too.

    `slow_fast` is fast against slow and whether that is more than chance; the rest as in the results.
    """
    if found is None:
        return say("one-catch")
    limit = LOW_HIGH_SHARE * tolerance
    if slow_fast and slow_fast[1] and over(slow_fast[0], limit):
        return say("speed", low_high=slow_fast[0], limit=limit)
    if suspect is not None:
        return say("suspect", suspect=suspect)
    if more is None or over(found.spread, SPREAD_SHARE * tolerance):  # None: far over
        return say("spread", spread=found.spread, limit=SPREAD_SHARE * tolerance)
    if more > 0:
        return say("interval", half=found.half, tolerance=tolerance, more=more)
    if change is None:
        return say("enter", half=found.half)
    return say("change", change=change) if over(change, tolerance) else say("confirmed", tolerance=tolerance)


def scatter_notes(found: Scatter | None, suspect: int | None, count: int, more: int | None) -> list[Say]:
    """What to know about spread, interval and suspect."""
    if found is None:
        return [say("one-catch"), say("suspect-needs-six")]
    notes = []
    if found.spread == 0:
        notes.append(say("all-alike"))
    if found.half > 1:
        notes.append(say("interval-below-nothing"))
    if more is None:
        notes.append(say("too-many"))
    if suspect is None:
        notes.append(say("suspect-needs-six" if count < LEAST_FOR_OUTLIER else "no-suspect"))
    return notes


def speed_notes(
    catches: Sequence[Catch],
    groups: SlowAndFast | None,
    slow_fast: tuple[float, bool] | None,
    tolerance: float,
) -> list[Say]:
    """How slow and fast were told apart, or why they were not."""
    given = [catch for catch in catches if catch.meter_speed is not None]
    if len(given) < 2:
        return [say("give-meter-speeds")]
    if not groups or not slow_fast:
        return [say("speeds-not-apart")]
    slow, fast = len(groups.slow), len(groups.fast)
    notes = [say("speed-groups", slow_to=groups.slow_to, slow=slow, fast_from=groups.fast_from, fast=fast)]
    if len(given) < len(catches):
        notes.append(say("some-without-speed"))
    if min(slow, fast) == 1:
        notes.append(say("one-at-a-speed"))
    elif over(slow_fast[0], LOW_HIGH_SHARE * tolerance) and not slow_fast[1]:
        notes.append(say("speed-unsure", limit=LOW_HIGH_SHARE * tolerance))
    return notes
