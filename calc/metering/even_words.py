"""What the evenness of runs comes to, in words: the verdict, what to look at first, and what else to know."""

from __future__ import annotations

from calc.declare import Note, words
from calc.units import COUNT, SHARE, SMALL_MASS

ENDS = {
    "run": words("run {run}: {mass}, {difference} against the mean", mass=SMALL_MASS, difference=SHARE),
    "runs": words(
        "runs {runs}: {mass} each, {difference} against the mean", mass=SMALL_MASS, difference=SHARE
    ),
    "many": words(
        "{count} runs, run {run} the first of them: {mass} each, {difference} against the mean",
        count=COUNT,
        mass=SMALL_MASS,
        difference=SHARE,
    ),
    "alike": words("none: every run gave the same"),
}

VERDICTS = {
    "one-run": words("No verdict: one run has nothing to be compared with. Catch every run."),
    "nothing": words("No verdict: nothing came out of any run. Check that the meter turned and the fan ran."),
    "blocked": words(
        "Not fit to seed: run {run} gave less than half the mean. Clear it, then catch every run again."
    ),
    "some-blocked": words(
        "Not fit to seed: {count} runs gave less than half the mean, run {run} the least. "
        "Clear them, then catch every run again.",
        count=COUNT,
    ),
    "uneven": words(
        "Too uneven: the CV of {cv} is over {usable}. Find the cause before you seed.", cv=SHARE, usable=SHARE
    ),
    "head": words(
        "A head decides: the CV is {cv}, but head {head} is {difference} against the mean, outside ±{band}.",
        cv=SHARE,
        difference=SHARE,
        band=SHARE,
    ),
    "heads": words(
        "The heads decide: the CV is {cv}, but {count} heads lie outside ±{band}, head {head} the farthest.",
        cv=SHARE,
        count=COUNT,
        band=SHARE,
    ),
    "usable": words(
        "Usable: the CV of {cv} is over {good}, but not over {usable}.", cv=SHARE, good=SHARE, usable=SHARE
    ),
    "good": words("Very good: the CV of {cv} is not over {good}.", cv=SHARE, good=SHARE),
}

PARTS = {  # what a head's own runs say about it
    "inside": words("inside the band"),
    "low": words("low as a whole"),
    "high": words("high as a whole"),
    "few-low": words("pulled down by some of its runs, run {run} first"),
    "few-high": words("pulled up by some of its runs, run {run} first"),
}

LOOK = {
    "blocked-run": words("Plugged or nearly so: the opener, the hose end to end, its outlet on the head."),
    "low-run": words("Its hose: longer than the rest, kinked, sagging, worn or wet inside. Then its opener."),
    "high-run": words(
        "One beside it that gets too little, a shorter hose, another outlet. Was the container taken off?"
    ),
    "low-head": words("What feeds it: a dent or kink in its main hose, a leak at its lid, a worn seal."),
    "high-head": words(
        "What the other heads lack comes here. Then count its runs, and look for capped ones."
    ),
}

NOTES = [
    Note(
        "blocked-counted",
        "stop",
        words(
            "A blocked run feeds the others its share, and bare rows grow from it. "
            "With runs under half the mean left out, the CV would be {cv}.",
            cv=SHARE,
        ),
    ),
    Note(
        "between-heads",
        "check",
        words(
            "The trouble lies between heads: they hold {share} of the scatter. "
            "Look at what feeds them before you look at single runs.",
            share=SHARE,
        ),
    ),
    Note(
        "within-heads",
        "check",
        words(
            "The trouble lies within the heads: they differ by little, with {share} of the scatter. "
            "Look at single runs: hoses, outlets and openers.",
            share=SHARE,
        ),
    ),
    Note(
        "both",
        "check",
        words(
            "The trouble lies both ways: {share} of the scatter is between heads, the rest within them. "
            "Put the heads right first.",
            share=SHARE,
        ),
    ),
    Note(
        "give-heads",
        "info",
        words("Give the head of each run to see whether the trouble lies between heads or within one."),
    ),
    Note(
        "some-without-head",
        "check",
        words("Runs without a head ({count}) are left out where heads are compared.", count=COUNT),
    ),
    Note(
        "one-head",
        "info",
        words("All runs are on one head, so no heads can be compared."),
    ),
    Note(
        "all-alike",
        "check",
        words("All runs are alike: the scale may be too coarse to show a difference. Catch more."),
    ),
    Note(
        "few-runs",
        "check",
        words(
            "These are only {count} runs. Chance alone can move such a CV by {share} of itself, up or down. "
            "Catch every run of the machine.",
            count=COUNT,
            share=SHARE,
        ),
    ),
    Note(
        "missing",
        "check",
        words(
            "Runs not caught between the first and the last: {count}, run {run} the first of them. "
            "Only what was caught is judged.",
            count=COUNT,
        ),
    ),
    Note(
        "caught-more",
        "check",
        words(
            "Runs caught more often than the rest: {count}, run {run} the first of them. "
            "Check that no number was written twice by mistake.",
            count=COUNT,
        ),
    ),
    Note(
        "caught-once",
        "info",
        words("Each run was caught once. Two more catches of each run tell a poor run from chance."),
    ),
    Note(
        "repeats-agree",
        "info",
        words(
            "Repeats of a run scatter by {cv}. That explains little of the differences between runs.",
            cv=SHARE,
        ),
    ),
    Note(
        "repeats-scatter",
        "check",
        words(
            "Repeats of a run scatter by {cv}, enough for {share} of the differences between runs. "
            "Make heavier catches before you blame a run.",
            cv=SHARE,
            share=SHARE,
        ),
    ),
    Note(
        "same-time",
        "info",
        words(
            "This holds only if every run was caught over the same time, at one rate and one fan speed. "
            "It does not show the rate: for that, catch over a measured distance."
        ),
    ),
]
