"""The bulk density of a lot, from a known volume of it on a scale."""

from __future__ import annotations

from calc.declare import Case, Found, Input, Note, Output, Source, calculator, say, words
from calc.errors import refuse
from calc.number import settle
from calc.quantity import Amount
from calc.tanks.bin_cases import LEGAL_WEIGHT
from calc.units import DENSITY, IMPERIAL_BUSHEL, MASS, US_BUSHEL, VOLUME

USUAL = (350.0, 1200.0)  # kg/m³: the lightest and heaviest usual seed and granular fertilizer, and some more
SENSIBLE = (50.0, 3000.0)  # kg/m³: what the calculator of tanks takes

BUSHELS = Source(
    "NIST Handbook 44, Appendix C: a US bushel is 2150.42 in³; an imperial one is 8 imperial gallons",
    basis="from memory",
)
RANGE = Source("Usual seed and granular fertilizer lie from 350 to 1200 kg/m³", basis="from memory")
REPEAT = Source("Three fillings that agree within 2 %", basis="common practice")
OURS = Source(
    "Arithmetic: mass over volume; no printed example with its volume and its masses was found",
    basis="our own invention",
)

# No printed figure of a density is among the cases. The figures in print are legal bushel weights, which are
# for trade and not the density of any lot, and ranges for fertilizers, of which two lists disagree.
CASES = [
    Case(
        "A five gallon bucket of urea, struck level",
        given={"container_volume": "5 us gal", "gross": "33.6 lb", "tare": "2.1 lb"},
        source=OURS,
        printed={  # 31.5 lb / (5 · 231 / 1728 ft³)
            "density": "47.127 lb/ft³",
            "us_bushel": "58.65 lb",  # 31.5 · 2150.42 / 1155
        },
        pinned={"density": 754.9064921},
        notes=["three-fillings", "not-legal"],
    ),
    Case(
        "Ten liters of wheat in a pail, the scale tared with it",
        given={"container_volume": "10 L", "gross": "7.85 kg"},
        source=OURS,
        printed={"density": "785.0 kg/m³", "imperial_bushel": "28.549 kg"},  # 0.785 · 36.36872
        notes=["three-fillings", "not-legal"],
    ),
    Case(
        "A bushel measure that holds 60 pounds",
        given={"container_volume": "1 us bu", "gross": "60 lb", "tare": "0 lb"},
        source=BUSHELS,
        # 60 lb / 1.244456 ft³, and the same lot in the bushel of Canada, which is 3.2 % larger
        printed={"density": "48.214 lb/ft³", "us_bushel": "60.00 lb", "imperial_bushel": "61.92 lb"},
        notes=["three-fillings", "not-legal"],
    ),
    Case(
        "A light grass seed",
        given={"container_volume": "20 L", "gross": "6.1 kg", "tare": "0.9 kg"},
        source=OURS,
        printed={"density": "260.0 kg/m³"},
        notes=["unusual", "three-fillings", "not-legal"],
    ),
    Case(
        "A volume typed wrong: there is no such product",
        given={"container_volume": "0.5 L", "gross": "12 kg", "tare": "1 kg"},
        source=OURS,
        printed={"density": "22000 kg/m³"},
        notes=["impossible", "three-fillings", "not-legal"],
    ),
]


@calculator(
    id="bulk-density",
    title="Bulk density",
    asks="What does a known volume of this lot weigh?",
    inputs=[
        Input(
            "container_volume",
            "Volume of the container",
            VOLUME,
            "5 us gal",
            "0.1 L",
            "5 m³",
            "Struck level with its rim. By water: each kilogram is one liter, each 62.4 lb one cubic foot.",
            measured=True,
        ),
        Input(
            "gross",
            "Mass with the container",
            MASS,
            "33.6 lb",
            "1 g",
            "10 t",
            "As weighed; the product alone if the container was tared on the scale.",
            measured=True,
        ),
        Input(
            "tare",
            "Empty container",
            MASS,
            "2.1 lb",
            "0 kg",
            "10 t",
            "Leave it out if the container was tared on the scale.",
            default="0 kg",
            measured=True,
        ),
    ],
    outputs=[
        Output("density", "Bulk density", DENSITY, main=True),
        Output("us_bushel", "Mass of this lot in a US bushel", MASS),
        Output("imperial_bushel", "Mass of this lot in an imperial (Canadian) bushel", MASS),
    ],
    notes=[
        Note(
            "impossible",
            "stop",
            words(
                "{density} cannot be right for seed or fertilizer. "
                "Check the container's volume, the tare and every unit, and weigh again.",
                density=DENSITY,
            ),
        ),
        Note(
            "unusual",
            "check",
            words(
                "Most seed and granular fertilizer lies between {low} and {high}. "
                "Check the container's volume, the tare and the units.",
                low=DENSITY,
                high=DENSITY,
            ),
        ),
        Note(
            "three-fillings",
            "check",
            words("Fill and weigh three times. If they differ by more than 2 %, fill more evenly and go on."),
        ),
        Note(
            "not-legal",
            "info",
            words(
                "A legal bushel weight says how many pounds are sold as one bushel. "
                "It does not say what a bushel of your lot weighs. Use this density to plan a tank."
            ),
        ),
    ],
    equation="density = (gross − tare) / volume of the container",
    assumes=[
        "The container is filled as the tank is: poured from about the same height, not shaken or pressed.",
        "It is struck level with its rim, and its volume up to the rim is known.",
        "The scale reads true, and the sample is of the same lot and moisture as the load.",
    ],
    leaves_out=[
        "How much a load settles on the road or under its own height. A deep tank may hold a little more.",
        "How the density differs from one part of a lot to another.",
    ],
    cautions=[
        "Take the sample from a bag, or with a scoop from outside. Never enter a tank or bin for it.",
        "Stop and isolate the conveyor or auger before you reach near it.",
        "Product dust can harm: wear what the label, the seed tag or the safety data sheet asks for.",
    ],
    sources=[OURS, BUSHELS, LEGAL_WEIGHT, RANGE, REPEAT],
    cases=CASES,
    then=("bin-capacity",),
)
def bulk_density(container_volume: float, gross: float, tare: float) -> Found:
    """Bulk density (kg/m³) of what fills `container_volume` (m³) and weighs `gross` − `tare` (kg).

    Finds also the mass (kg) of a US and of an imperial bushel of it. Raises `InputError` where the tare
    leaves no product. Source: the definition of density.
    """
    net = gross - tare
    if settle(net / gross) <= 0:
        raise refuse("tare", "tare-above-gross", tare=Amount(tare, MASS), gross=Amount(gross, MASS))
    density = net / container_volume
    notes = [say("three-fillings"), say("not-legal")]
    if not SENSIBLE[0] <= settle(density) <= SENSIBLE[1]:
        notes.insert(0, say("impossible", density=density))
    elif not USUAL[0] <= settle(density) <= USUAL[1]:
        notes.insert(0, say("unusual", low=USUAL[0], high=USUAL[1]))
    return Found(
        {
            "density": density,
            "us_bushel": density * float(US_BUSHEL),
            "imperial_bushel": density * float(IMPERIAL_BUSHEL),
        },
        notes=notes,
    )
