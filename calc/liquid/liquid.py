"""What one outlet must give for a rate of liquid, and at which pressure it does."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from calc import usual
from calc.chart import Picture, Plot, short
from calc.declare import Chart, Column, Found, Input, Output, Source, Table, calculator, say, words
from calc.liquid.beside_curve import mark
from calc.liquid.liquid_cases import CASES, FACTORS, METRIC_SUMS, NEBRASKA, US_SUMS
from calc.liquid.liquid_sums import WATER, flow_for, pressure_for, wrong_together
from calc.liquid.liquid_words import NOTES, outside, pressure_notes
from calc.metering.rate import AROUND
from calc.quantity import Units
from calc.units import (
    GAUGE_PRESSURE,
    LIQUID_DENSITY,
    LIQUID_FLOW,
    SHORT_LENGTH,
    SPEED,
    VOLUME_PER_AREA,
)

STRIPS = 40  # straight pieces of a drawn curve

SQUARE = Source(
    "Flow through a small opening goes with the square root of pressure over density",
    basis="from memory",
)
HABITS = Source(
    "Habits of the trade: pressure at most 4 times as high from lowest to highest rate, and 10 psi at least; "
    "a chart trusted from a quarter of its pressure to 4 times",
    basis="common practice",
)


def draw_pressure(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """Pressure against rate at the ground speed: the working point, and the range of rates shaded."""
    if given["known_flow"] is None:
        return None

    def pressure(rate: float) -> float:
        flow = flow_for(rate, given["speed"], given["spacing"])
        return pressure_for(flow, given["density"], given["known_flow"], given["known_pressure"])

    rate, low, high = given["rate"], given["rate_low"], given["rate_high"]
    top = 1.25 * max(rate, low or rate, high or rate)
    plot = Plot(
        units,
        (VOLUME_PER_AREA, 0.0, top, "Rate"),
        (GAUGE_PRESSURE, 0.0, pressure(top), "Pressure at the outlets"),
        left=76,
        parts={"rate": rate, "pressure": pressure(rate), "speed": given["speed"]},
    )
    if low is not None and high is not None:
        plot.box(plot.x.at(low), plot.TOP, plot.x.at(high), plot.floor, strength=0.12)
        plot.text(plot.left + 8, plot.TOP + 16, "shaded: lowest to highest rate", size=14)
    for end in (low, high):
        if end is not None:
            plot.dot(plot.x.at(end), plot.y.at(pressure(end)), hollow=True)
    plot.curve([(top * i / STRIPS, pressure(top * i / STRIPS)) for i in range(STRIPS + 1)])
    mark(plot, rate, pressure(rate), short(pressure(rate), GAUGE_PRESSURE, units))
    return plot


@calculator(
    id="liquid",
    title="Liquid outlets",
    asks="What must each outlet give, and at which pressure does it?",
    inputs=[
        Input(
            "rate",
            "Rate",
            VOLUME_PER_AREA,
            "15 us gal/ac",
            "0.5 L/ha",
            "3000 L/ha",
            "What you want on the field.",
        ),
        usual.GROUND_SPEED,
        Input(
            "spacing",
            "Spacing of the outlets",
            SHORT_LENGTH,
            "10 in",
            "20 mm",
            "5 m",
            "From one outlet to the next across the machine.",
            measured=True,
        ),
        Input(
            "density",
            "Density of the liquid",
            LIQUID_DENSITY,
            "10.65 lb/us gal",
            "0.7 kg/L",
            "2.5 kg/L",
            "From the label of this product, or weigh a known volume.",
            measured=True,
        ),
        Input(
            "known_flow",
            "Known flow of one outlet",
            LIQUID_FLOW,
            "0.14 gpm",
            "0.001 L/min",
            "200 L/min",
            "With water, from the outlet's chart or a timed catch.",
            measured=True,
        ),
        Input(
            "known_pressure",
            "Known pressure",
            GAUGE_PRESSURE,
            "30 psi",
            "5 kPa",
            "2000 kPa",
            "The pressure that goes with the known flow.",
            measured=True,
        ),
        Input(
            "rate_low",
            "Lowest rate",
            VOLUME_PER_AREA,
            "10 us gal/ac",
            "0.5 L/ha",
            "3000 L/ha",
            "The least it will be asked for: rate map and hand changes included.",
        ),
        Input(
            "rate_high",
            "Highest rate",
            VOLUME_PER_AREA,
            "18 us gal/ac",
            "0.5 L/ha",
            "3000 L/ha",
            "The most it will be asked for.",
        ),
    ],
    outputs=[
        Output("outlet_flow", "Flow of one outlet", LIQUID_FLOW, main=True),
        Output("pressure", "Pressure at the outlets", GAUGE_PRESSURE, main=True),
        Output("water_rate", "Rate of water at the same pressure", VOLUME_PER_AREA),
        Output("water_flow", "Flow of water at the same pressure, one outlet", LIQUID_FLOW),
        Output("pressure_low", "Pressure at the lowest rate", GAUGE_PRESSURE),
        Output("pressure_high", "Pressure at the highest rate", GAUGE_PRESSURE),
    ],
    tables=[
        Table(
            "pressures",
            "Pressure at other rates and ground speeds",
            [
                Column("rate", "Rate", VOLUME_PER_AREA),
                Column("pressure", "Pressure", GAUGE_PRESSURE, across=SPEED),
            ],
        ),
        Table(
            "flows",
            "Flow of one outlet at other rates and ground speeds",
            [
                Column("rate", "Rate", VOLUME_PER_AREA),
                Column("flow", "Flow", LIQUID_FLOW, across=SPEED),
            ],
        ),
    ],
    charts=[
        Chart(
            "pressure",
            "Pressure against rate",
            words(
                "The line rises with the square of the rate. "
                "At {speed}, {rate} takes {pressure}, marked by a dot. "
                "Hollow dots mark the lowest and the highest rate where they are given.",
                speed=SPEED,
                rate=VOLUME_PER_AREA,
                pressure=GAUGE_PRESSURE,
            ),
            draw_pressure,
        )
    ],
    notes=NOTES,
    equation=(
        "q = R · v · s, with rate R, ground speed v and spacing s. "
        "p = p₀ · (q · √SG / q₀)², with the outlet's known flow q₀ and pressure p₀ with water, "
        "and SG the density in kg/L, since water is taken as 1 kg/L (8.345 lb/gal)."
    ),
    assumes=[
        "All outlets are alike, and one serves each spacing across the whole width.",
        "Water is 1 kg/L, as at 4 °C (39 °F). At 20 °C (68 °F) it is 0.2 % lighter, which no gauge shows.",
        "The liquid is about as thin as water. A thick or cold one needs more pressure: catch it and see.",
    ],
    leaves_out=[
        "What is lost between the gauge and the outlets, in hoses, strainers and check valves, comes on top.",
        "Outlets made to change with the pressure do not follow the square.",
        "Ammonia boils in its tank and is no case for this: it has its own calculator.",
    ],
    cautions=[
        "Prove hoses, valves and outlets with water first. Never with product that you cannot stop.",
        "Wear what the label or the safety data sheet asks for. Liquid fertilizer harms eyes and skin.",
        "Stop the pump and let the pressure off before you open a hose, a strainer or an outlet.",
        "Never blow through an outlet with your mouth.",
    ],
    sources=[US_SUMS, METRIC_SUMS, SQUARE, NEBRASKA, FACTORS, HABITS],
    cases=CASES,
    together=wrong_together,
    then=("field-work",),
)
def liquid(
    rate: float,
    speed: float,
    spacing: float,
    density: float,
    known_flow: float | None = None,
    known_pressure: float | None = None,
    rate_low: float | None = None,
    rate_high: float | None = None,
) -> Found:
    """The flow of one outlet, the water that would show it, and the pressure where the outlet is known.

    Rates m³/m², `speed` m/s, `spacing` m, `density` kg/m³, `known_flow` m³/s of water at `known_pressure` Pa
    above the air's. Finds flows in m³/s, a rate of water in m³/m² and pressures in Pa, None where the outlet
    or the rate is not given. Source: the square law of small openings; Nebraska for heavier liquids.
    """
    given = dict(locals())  # the values by their names, as they were taken
    root = math.sqrt(density / WATER)
    flow = flow_for(rate, speed, spacing)

    def pressure(wanted: float | None) -> float | None:
        if known_flow is None or known_pressure is None or wanted is None:
            return None
        return pressure_for(flow_for(wanted, speed, spacing), density, known_flow, known_pressure)

    pressures = {
        "pressure": pressure(rate),
        "pressure_low": pressure(rate_low),
        "pressure_high": pressure(rate_high),
    }
    notes = [say("timed-catch", liquid=60 * flow, water=60 * flow * root)]
    if outside(rate, rate_low, rate_high):
        notes.append(say("rate-outside"))
    rows = [(share * rate, [share * other for other in AROUND]) for share in AROUND]
    working = pressures["pressure"]
    if working is None:
        tables = {"flows": [[r, *(share * flow for share in shares)] for r, shares in rows]}
    else:
        tables = {"pressures": [[r, *(share**2 * working for share in shares)] for r, shares in rows]}
    return Found(
        {
            "outlet_flow": flow,
            "pressure": working,
            "water_rate": rate * root,
            "water_flow": flow * root,
            "pressure_low": pressures["pressure_low"],
            "pressure_high": pressures["pressure_high"],
        },
        notes=[*notes, *pressure_notes(given, pressures)],
        tables=tables,
        across={table: [share * speed for share in AROUND] for table in tables},
    )
