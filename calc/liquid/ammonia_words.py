"""What is said of a tank of ammonia: the dangers, and what a fill at this temperature means."""

from __future__ import annotations

from calc.declare import Note, Say, say, words
from calc.liquid.ammonia_data import FILL, HOTTEST, REFERENCE, fill_fraction, liquid_density
from calc.number import settle
from calc.units import GAUGE_PRESSURE, SHARE, TEMPERATURE

CAUTIONS = [
    "Ammonia can kill. It seeks water, so it burns eyes and lungs first, and it can blind you.",
    "It boils at −28 °F (−33 °C) and freezes what it wets.",
    "Thaw clothing that is frozen to skin with water before it is moved.",
    "Only people who are trained, and licensed where the place asks for it, fill, connect or open anything.",
    "Every hose, line and valve holds ammonia until it is proved empty.",
    "Have clean water at hand: at least 5 US gal (19 L) on each tank.",
    "Flush skin and eyes at once for at least 15 minutes, with no creams, and get medical help.",
    "Wear unvented goggles, gloves with long cuffs that suit ammonia, and long sleeves.",
    "Stay upwind. Nobody goes into a cloud without supplied air.",
    "The filling rule of the place, the tank's plate and its papers govern. This page only does sums.",
]

NOTES = [
    Note(
        "swells",
        "check",
        words(
            "The liquid is colder than {reference} and will swell. A fill stops at {fraction} on the gauge: "
            "at {reference} the same mass stands at 85 %.",
            reference=TEMPERATURE,
            fraction=SHARE,
        ),
    ),
    Note(
        "at-fill",
        "check",
        words("A fill stops at 85 % on the gauge. The rest stays empty, for the liquid may warm further."),
    ),
    Note(
        "liquid-full",
        "stop",
        words(
            "Filled to 85 % on the gauge at this temperature, the tank would be full of liquid before it "
            "warms to {hottest}. A tank full of liquid bursts or blows its relief valve.",
            hottest=TEMPERATURE,
        ),
    ),
    Note(
        "local-rule",
        "check",
        words(
            "The filling rule of the place governs, and a trained, licensed person fills. "
            "Where the rule allows less, fill less.",
        ),
    ),
    Note(
        "compare-gauge",
        "check",
        words(
            "Compare {pressure} with the tank's own gauge. If they differ, the liquid is warmer or colder "
            "than you gave, other gas is in the tank, or the gauge is wrong.",
            pressure=GAUGE_PRESSURE,
        ),
    ),
]


def fill_notes(temperature: float, pressure: float) -> list[Say]:
    """What to do about a fill at `temperature` (K), whose tank shows `pressure` (Pa)."""
    if settle(temperature) < settle(REFERENCE):
        fraction = fill_fraction(temperature)
        notes = [say("swells", reference=REFERENCE, fraction=fraction)]
    else:
        notes = [say("at-fill")]
    if settle(FILL * liquid_density(temperature)) > settle(liquid_density(HOTTEST)):
        notes.append(say("liquid-full", hottest=HOTTEST))
    return [*notes, say("local-rule"), say("compare-gauge", pressure=pressure)]
