"""What a rate of nitrogen takes of ammonia, and what a tank of it holds and shows at its temperature."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from calc import usual
from calc.chart import Picture, Plot, short
from calc.declare import Chart, Column, Found, Input, Output, Source, Table, TableRows, calculator, words
from calc.liquid.ammonia_cases import CASES, COOLPROP, METRIC_SUMS, US_SUMS
from calc.liquid.ammonia_data import (
    COLDEST,
    HOTTEST,
    N_FRACTION,
    fill_fraction,
    fill_mass,
    gauge_pressure,
    liquid_density,
)
from calc.liquid.ammonia_words import CAUTIONS, NOTES, fill_notes
from calc.liquid.beside_curve import mark
from calc.quantity import Units
from calc.units import (
    AREA,
    GAUGE_PRESSURE,
    LIQUID_DENSITY,
    LIQUID_FLOW,
    LIQUID_VOLUME,
    MASS,
    MASS_FLOW,
    MASS_PER_AREA,
    SHARE,
    TEMPERATURE,
)

STEP = 10  # degrees of the reader's own unit from one row of the table to the next
STRIPS = 40  # straight pieces of the drawn curve

WEIGHTS = Source(
    "IUPAC's abridged standard atomic weights: nitrogen 14.007, hydrogen 1.008, so that ammonia is 82.24 % "
    "nitrogen",
    where="extension services round it to 82 %",
    basis="from memory",
)
FILLING = Source(
    "Extension services: no nurse tank above 85 % of its volume; Montana ARM 4.12.712 counts it at 60 °F",
    where="the rule of one place; look up your own",
)
WATER_RULE = Source("Rules of Minnesota and Ohio: at least 5 US gal of clean water on each tank")
FLUSHING = Source("Iowa State University: flush at once for at least 15 minutes, and put on no creams")
GENERAL = Source(
    "General safety data: goggles and gloves, approach from upwind, no one in a cloud without supplied air",
    basis="from memory",
)


def saturation_table(units: Units) -> TableRows:
    """Temperature, pressure, density and the reading of a whole fill, at round degrees of the reader."""
    unit = units.unit(TEMPERATURE)
    assert unit is not None
    zero, degree = float(unit.zero), float(unit.factor)
    first = math.ceil((COLDEST - zero) / degree / STEP - 1e-9)
    last = math.floor((HOTTEST - zero) / degree / STEP + 1e-9)
    rows = []
    for number in range(first, last + 1):
        temperature = zero + number * STEP * degree
        rows.append(
            [
                temperature,
                gauge_pressure(temperature),
                liquid_density(temperature),
                fill_fraction(temperature),
            ]
        )
    return rows


def draw_pressure(given: Mapping[str, Any], found: Found, units: Units) -> Picture:
    """Pressure in the tank against the temperature of the liquid, with the given temperature marked."""
    temperature = given["temperature"]
    pressure = gauge_pressure(temperature)
    plot = Plot(
        units,
        (TEMPERATURE, COLDEST, HOTTEST, "Temperature of the liquid"),
        (GAUGE_PRESSURE, 0.0, gauge_pressure(HOTTEST), "Tank pressure"),
        parts={"temperature": temperature, "pressure": pressure},
    )
    steps = [COLDEST + (HOTTEST - COLDEST) * i / STRIPS for i in range(STRIPS + 1)]
    plot.curve([(step, gauge_pressure(step)) for step in steps])
    mark(plot, temperature, pressure, short(pressure, GAUGE_PRESSURE, units))
    return plot


@calculator(
    id="ammonia",
    title="Anhydrous ammonia",
    asks="How much ammonia does this nitrogen rate take, and what does a tank hold at this temperature?",
    inputs=[
        Input(
            "nitrogen_rate",
            "Nitrogen rate",
            MASS_PER_AREA,
            "80 lb/ac",
            "1 kg/ha",
            "1000 kg/ha",
            "Nitrogen itself, not ammonia.",
        ),
        replace(usual.WIDTH, example="40 ft"),
        usual.GROUND_SPEED,
        Input(
            "temperature",
            "Temperature of the liquid",
            TEMPERATURE,
            "50 °F",
            "-30 °C",
            "50 °C",
            "Of the ammonia in the tank, which lags behind the air's.",
            measured=True,
        ),
        Input(
            "tank_volume",
            "Tank volume",
            LIQUID_VOLUME,
            "1000 us gal",
            "50 L",
            "200 m3",
            "All of it, full to the top with water: from the tank's plate.",
        ),
    ],
    outputs=[
        Output("mass_flow", "Flow of ammonia, by mass", MASS_FLOW, main=True),
        Output("volume_flow", "Flow of ammonia, by volume of liquid", LIQUID_FLOW, main=True),
        Output("density", "Density of the liquid", LIQUID_DENSITY),
        Output("tank_pressure", "Pressure in the tank", GAUGE_PRESSURE, main=True),
        Output("fill_mass", "Mass of a whole fill", MASS),
        Output("fill_fraction", "Gauge reading of a whole fill", SHARE, main=True),
        Output("area_per_tank", "Area of a whole fill", AREA),
    ],
    tables=[
        Table(
            "saturation",
            "At other temperatures of the liquid",
            [
                Column("temperature", "Temperature", TEMPERATURE),
                Column("tank_pressure", "Pressure in the tank", GAUGE_PRESSURE),
                Column("density", "Density", LIQUID_DENSITY),
                Column("fill_fraction", "Gauge reading of a whole fill", SHARE),
            ],
        )
    ],
    charts=[
        Chart(
            "pressure",
            "Tank pressure against temperature",
            words(
                "The line rises ever more steeply. At {temperature} the pressure is {pressure}, "
                "marked by a dot.",
                temperature=TEMPERATURE,
                pressure=GAUGE_PRESSURE,
            ),
            draw_pressure,
        )
    ],
    notes=NOTES,
    equation=(
        "Mass flow = N · W · v / 0.8224, with nitrogen rate N, width W and ground speed v. "
        "Volume flow = mass flow / ρ(T), with density ρ at temperature T. "
        "A whole fill is 0.85 · V · the lesser of ρ(T) and ρ(60 °F), with tank volume V. "
        "Its gauge reading is that / (V · ρ(T))."
    ),
    assumes=[
        "The tank holds nothing but ammonia, liquid and vapour at one temperature.",
        "A whole fill counts what is in the tank already, and its temperature is the one after filling.",
        "The gauge is at sea level. At 1000 m (3300 ft) it shows about 11 kPa (1.7 psi) more.",
        "The liquid reaches the meter as liquid. Vapour in the line makes a meter count more than passes.",
        "The gauge shows the share of the tank's volume that is liquid.",
    ],
    leaves_out=[
        "What stays behind in the tank as vapour and as the last of the liquid is counted in the area.",
        "What escapes from the soil is not taken off.",
        "It does not know the filling rule of your place, nor the state of the tank, its valves and hoses.",
    ],
    cautions=CAUTIONS,
    sources=[COOLPROP, WEIGHTS, FILLING, WATER_RULE, FLUSHING, GENERAL, US_SUMS, METRIC_SUMS],
    cases=CASES,
    then=("field-work",),
)
def ammonia(
    nitrogen_rate: float, width: float, speed: float, temperature: float, tank_volume: float
) -> Found:
    """What `nitrogen_rate` (kg/m²) over `width` (m) at `speed` (m/s) takes of ammonia, and what a tank holds.

    `temperature` K, from `COLDEST` to `HOTTEST`; `tank_volume` m³. Finds flows in kg/s and m³/s, the density
    of the liquid in kg/m³, the pressure in Pa above the air's, the mass of a whole fill in kg, its share of
    the tank as liquid, and its area in m². Source: CoolProp, as fitted in `calc.liquid.ammonia_data`.
    """
    density, pressure = liquid_density(temperature), gauge_pressure(temperature)
    ammonia_rate = nitrogen_rate / N_FRACTION
    mass_flow = ammonia_rate * width * speed
    filled = fill_mass(temperature, tank_volume)
    return Found(
        {
            "mass_flow": mass_flow,
            "volume_flow": mass_flow / density,
            "density": density,
            "tank_pressure": pressure,
            "fill_mass": filled,
            "fill_fraction": fill_fraction(temperature),
            "area_per_tank": filled / ammonia_rate,
        },
        notes=fill_notes(temperature, pressure),
        tables={"saturation": saturation_table},
    )
