"""What a catch over a measured distance comes to, in words, and its examples; the first is the page's."""

from __future__ import annotations

from calc.declare import Case, Note, Source, words
from calc.metering.even_cases import ROWS, caught
from calc.metering.even_words import NOTES as EVEN_NOTES
from calc.units import COUNT, DISTANCE, MASS_PER_AREA, RATIO, SHARE, SMALL_MASS

FIELD_AND_LONG = Source(
    "Field and Long, Introduction to Agricultural Engineering Technology",
    where="SI drill problem: 50 turns of a 0.80 m wheel, twelve rows 0.20 m apart, 9.0 kg/ha wanted",
)
SOIL_HEALTH = Source(
    "Soil Health Labs, drill calibration",
    where="8 ft of circumference · 0.625 ft · 20 turns is 100 ft²; 25 lb/ac is 0.0574 lb",
)
KENTUCKY = Source(
    "University of Kentucky, Wheat seeding rate and drill calibration (Bitzer and Herbek)",
    where="grams per row in 150 ft for each lb/ac: 0.78 at 6 in, 0.98 at 7.5 in",
)
GRAIN_SA = Source(
    "Grain SA, Grain Guide 2018", where="grams caught over 10 m ÷ row spacing in m is the rate in kg/ha"
)
OURS = Source("The definition of a rate: mass over area", basis="our own invention")

VERDICTS = {
    "nothing": words("No verdict: nothing came out of any run. Check that the meter turned and the fan ran."),
    "one-run": words("One run only: its rate is {rate}. Give the target to judge it.", rate=MASS_PER_AREA),
    "one-run-within": words(
        "One run only: its rate is {difference} against the target, within ±{band}. "
        "Catch more runs before you accept the drill.",
        difference=SHARE,
        band=SHARE,
    ),
    "one-run-outside": words(
        "Not accepted, on one run only: its rate is {difference} against the target, outside ±{band}.",
        difference=SHARE,
        band=SHARE,
    ),
    "accepted": words(
        "Accepted: the rate is {difference} against the target, and each run is within ±{band} of the mean.",
        difference=SHARE,
        band=SHARE,
    ),
    "runs-accepted": words(
        "Each run lies within ±{band} of the mean. Give the target to judge the rate as well.", band=SHARE
    ),
    "rate": words(
        "Not accepted, the rate decides: it is {difference} against the target, outside ±{band}. "
        "Each run lies within ±{band} of the mean.",
        difference=SHARE,
        band=SHARE,
    ),
    "runs": words(
        "Not accepted, the runs decide. Runs outside ±{band} of the mean: {count}, run {run} the farthest. "
        "The rate is within ±{band} of the target.",
        count=COUNT,
        band=SHARE,
    ),
    "runs-only": words(
        "Not accepted, the runs decide. Runs outside ±{band} of the mean: {count}, run {run} the farthest.",
        count=COUNT,
        band=SHARE,
    ),
    "both": words(
        "Not accepted on either count: the rate is {difference} against the target. "
        "Runs outside ±{band} of the mean: {count}, run {run} the farthest.",
        difference=SHARE,
        count=COUNT,
        band=SHARE,
    ),
}

PARTS = {"within": words("within"), "low": words("too low"), "high": words("too high")}

NOTES = [
    Note(
        "blocked",
        "stop",
        words(
            "Runs under half the mean: {count}, run {run} the least. Clear them and catch again, "
            "for the others got their share.",
            count=COUNT,
        ),
    ),
    Note(
        "rate-off",
        "check",
        words(
            "Where the machine works with a mass per turn, multiply it by {factor} and catch again. "
            "Where it has a setting, move that and catch again.",
            factor=RATIO,
        ),
    ),
    Note(
        "wanted",
        "info",
        words("At the target, each run should give {mass} over this distance.", mass=SMALL_MASS),
    ),
    Note("give-target", "info", words("Give the target to see what each run should give, and its limits.")),
    Note(
        "by-wheel",
        "check",
        words(
            "By the wheel this is {distance}. A wheel that sinks or slips goes another way than it turns: "
            "measure the distance on the ground that you will seed.",
            distance=DISTANCE,
        ),
    ),
    *(note for note in EVEN_NOTES if note.code in ("all-alike", "missing", "caught-more")),
]

CASES = [
    Case(
        "Eight runs over three hundred feet, one of them low",
        given={
            "distance": "300 ft",
            "spacing": "7.5 in",
            "catches": caught("6.3", "6.1", "6.2", "6.4", "6.2", "6.0", "6.3", "5.7", unit="oz"),
            "target": "90 lb/ac",
            "band": "5 %",
        },
        source=Source("Arithmetic in US units: 6.15 oz on 187.5 ft²", basis="our own invention"),
        printed={
            "rate": "89.30 lb/ac",
            "rate_low": "85.50 lb/ac",
            "rate_high": "94.50 lb/ac",
            "sums[1].area": "1500 ft2",
            "sums[1].total": "49.2 oz",
            "sums[1].mean": "6.15 oz",
            "sums[1].wanted": "6.198 oz",
            "runs[8].difference": "−7.32 %",
        },
        pinned={"verdict": "runs", "runs[8].part": "low"},
        notes=["wanted"],
    ),
    Case(
        # The source prints a rate of 8.9 for 8.98 and an upper limit of 9.4 for 9.45: both are cut off
        # and not rounded, so neither is asserted.
        "Twelve rows behind a drive wheel, accepted on both counts",
        given={
            "turns": "50",
            "wheel_diameter": "0.80 m",
            "spacing": "0.20 m",
            "catches": caught(*ROWS),
            "target": "9.0 kg/ha",
            "band": "5 %",
        },
        source=FIELD_AND_LONG,
        printed={
            "rate_low": "8.6 kg/ha",
            "row_low": "21.4 g",
            "row_high": "23.7 g",
            "sums[1].total": "270.9 g",
            "sums[1].mean": "22.575 g",
        },
        pinned={"rate": 0.0008982307101, "cv": 0.01323860359, "verdict": "accepted"},
        notes=["wanted", "by-wheel"],
    ),
    Case(
        "One row over twenty turns of an eight foot wheel",
        given={
            "distance": "160 ft",
            "spacing": "0.625 ft",
            "catches": caught("0.0574", unit="lb"),
            "target": "25 lb/ac",
        },
        source=SOIL_HEALTH,
        printed={"rate": "25 lb/ac", "sums[1].area": "100 ft2", "sums[1].wanted": "0.0574 lb"},
        pinned={"cv": None, "verdict": "one-run-within"},
        notes=["wanted"],
    ),
    Case(
        "One row of 6 inches over 150 feet, a pound to the acre",
        given={"distance": "150 ft", "spacing": "6 in", "catches": caught("0.78"), "target": "1 lb/ac"},
        source=KENTUCKY,
        printed={"rate": "1.00 lb/ac", "sums[1].wanted": "0.78 g"},
    ),
    Case(
        "One row of 7.5 inches over 150 feet, a pound to the acre",
        given={"distance": "150 ft", "spacing": "7.5 in", "catches": caught("0.98"), "target": "1 lb/ac"},
        source=KENTUCKY,
        printed={"rate": "1.00 lb/ac", "sums[1].wanted": "0.98 g"},
    ),
    Case(
        "Grams over ten meters ÷ spacing",
        given={"distance": "10 m", "spacing": "25 cm", "catches": caught("20", "20")},
        source=GRAIN_SA,
        printed={"rate": "80 kg/ha"},
        pinned={"rate_low": None, "rate_high": None, "cv": 0.0, "verdict": "runs-accepted"},
        notes=["give-target", "all-alike"],
    ),
    Case(
        "Even runs at the wrong rate",
        given={
            "distance": "100 m",
            "spacing": "25 cm",
            "catches": caught("220", "222", "218"),
            "target": "80 kg/ha",
        },
        source=OURS,
        printed={"rate": "88.00 kg/ha"},
        pinned={"verdict": "rate"},
        notes=["rate-off", "wanted"],
    ),
    Case(
        "Neither the rate nor the runs, and one run plugged",
        given={
            "distance": "100 m",
            "spacing": "25 cm",
            "catches": [*caught("220", "222", "0"), *caught("218", first=5)],
            "target": "80 kg/ha",
        },
        source=OURS,
        printed={"rate": "66.00 kg/ha"},
        pinned={"verdict": "both", "runs[3].part": "low", "runs[1].part": "high"},
        notes=["blocked", "wanted", "missing"],
    ),
    Case(
        "Nothing came out",
        given={"distance": "100 m", "spacing": "25 cm", "catches": caught("0", "0"), "target": "80 kg/ha"},
        source=OURS,
        pinned={"rate": 0.0, "cv": None, "verdict": "nothing"},
        notes=["wanted"],
    ),
]
