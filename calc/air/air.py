"""Where an air speed lies beside the speeds below which product settles in a level hose, by six models."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.air.air_cases import CASES, SOURCES
from calc.air.air_picture import draw_range
from calc.air.air_words import NOTES, VERDICTS, notes_of, verdict_of
from calc.air.atmosphere import density_of_air, viscosity_of_air
from calc.air.falling import fall_speed_of_ball
from calc.air.saltation import MODELS, Model, Stream
from calc.declare import Chart, Column, Field, Found, Input, Output, Table, Value, calculator, say, words
from calc.errors import Problem, problem
from calc.quantity import Amount
from calc.units import (
    AIR_FLOW,
    AIR_SPEED,
    COUNT,
    DENSITY,
    LENGTH,
    MASS_FLOW,
    RATIO,
    SHORT_LENGTH,
    TEMPERATURE,
)

INPUTS: list[Field] = [
    Input(
        "hose_bore",
        "Hose bore",
        SHORT_LENGTH,
        "2.5 in",
        "10 mm",
        "500 mm",
        "Inside diameter of one hose.",
        measured=True,
    ),
    Input(
        "hoses",
        "Hoses",
        COUNT,
        "8",
        "1",
        "500",
        "Hoses of this bore that share the product and the air alike.",
    ),
    Input(
        "air_speed",
        "Air speed set",
        AIR_SPEED,
        "20 m/s",
        "1 m/s",
        "100 m/s",
        "In one hose: air flow ÷ area of the bores, or read with a pitot tube.",
        measured=True,
    ),
    Input(
        "solids_flow",
        "Product flow",
        MASS_FLOW,
        "112 lb/min",
        "0.001 kg/min",
        "5000 kg/min",
        "Into all these hoses together: every tank that shares them, at its highest rate.",
        takes=("rate.flow",),
    ),
    Input(
        "particle_diameter",
        "Size of a seed or granule",
        SHORT_LENGTH,
        "3.9 mm",
        "0.05 mm",
        "25 mm",
        "Of the largest product. For a long seed, the mean of length, width and thickness.",
        measured=True,
    ),
    Input(
        "particle_density",
        "Density of a seed or granule",
        DENSITY,
        "1300 kg/m³",
        "200 kg/m³",
        "5000 kg/m³",
        "Of the seed itself, not of a bin of it: mass ÷ the water it pushes aside.",
        measured=True,
    ),
    Input(
        "lift_speed",
        "Lift speed",
        AIR_SPEED,
        "9 m/s",
        "0.1 m/s",
        "40 m/s",
        "Upward air in which a seed just hangs. Cereals 8.0 to 10.5 m/s, or 1570 to 2070 ft/min.",
        measured=True,
    ),
    Input("altitude", "Altitude", LENGTH, "2000 ft", "-450 m", "6000 m", "Of the field.", default="0 m"),
    Input(
        "air_temperature",
        "Air temperature",
        TEMPERATURE,
        "60 °F",
        "-50 °C",
        "90 °C",
        "In the hose. A fan warms the air.",
        default="20 °C",
        measured=True,
    ),
]


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """What does not fit together among values that are each right; those that are wrong are None."""
    size, bore = given["particle_diameter"], given["hose_bore"]
    if None in (size, bore) or size < bore:
        return []
    parts = {"shown": Amount(size, SHORT_LENGTH), "limit": Amount(bore, SHORT_LENGTH)}
    return [problem("particle_diameter", "no-room", what="the seed or granule", **parts)]


@calculator(
    id="air",
    title="Air speed in the hoses",
    asks="Below what air speed does product settle in a level hose, and where does yours lie?",
    inputs=INPUTS,
    outputs=[
        Output("loading", "Product to air, by mass", RATIO),
        Output("air_density", "Density of the air", DENSITY),
        Output("air_flow", "Air flow, all hoses together", AIR_FLOW),
        Output("saltation_low", "Saltation speed, lowest model", AIR_SPEED, main=True),
        Output("saltation_high", "Saltation speed, highest model", AIR_SPEED, main=True),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "models",
            "Saltation speed by each model: below it product settles in a level hose",
            [
                Column("model", "Model"),
                Column("speed", "Saltation speed", AIR_SPEED),
                Column("times", "Air speed set ÷ saltation speed", RATIO),
                Column(
                    "standing",
                    "Particle size",
                    says={
                        "inside": words("not beyond its tests"),
                        "unknown": words("no limit known to us"),
                        "beyond": words("beyond its tests"),
                        "needs-density": words("left out: needs the particle density"),
                        "needs-lift": words("left out: needs the lift speed"),
                    },
                ),
            ],
        )
    ],
    charts=[
        Chart(
            "range",
            "Air speed and the models' range",
            words(
                "A mark for each model's saltation speed. They lie from {low} to {high}, which is shaded. "
                "A bar and a broken line show the air speed set, {air_speed}.",
                low=AIR_SPEED,
                high=AIR_SPEED,
                air_speed=AIR_SPEED,
            ),
            draw_range,
        )
    ],
    notes=NOTES,
    equation=(
        "ρ = p / (R T), p of the standard atmosphere. μ = M / (ρ U A). Fr = U / √(g D). "
        "Rizk: μ = 10^−(1.44 d + 1.96) · Fr^(1.1 d + 2.5), d in mm; five others likewise, each solved for U."
    ),
    assumes=[
        "Product and air are shared alike among the hoses, and the product is in full flow.",
        "The hose is level, straight, clean and dry, and the air is dry and at the outside pressure.",
        "One size stands for all particles. For several products together, take the largest and heaviest.",
        "The lift speed is taken as given. In thinner air than it was measured in, it is higher.",
        "No limits of particle size are known to us for Schade, for Weber and for Matsumoto 1977.",
    ],
    leaves_out=[
        "Bends, heads, couplers, long rises, damp product and worn or flattened hoses all ask for more air.",
        "It says nothing of pressure, of the fan, or of seed damage from too much air.",
        "The model of Geldart and Ling is left out: it is for fine powders.",
    ],
    cautions=[
        "Above the range is no promise. Watch every run with the machine's own papers at hand.",
        "Never raise a fan above its rated speed.",
        "Stop the fan, the engine and the meters before you open a hose or a head, and let the pressure off.",
        "Wear eye and ear protection near open runs: product and stones fly out.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
    then=("fan-change",),
)
def air(
    hose_bore: float,
    hoses: float,
    air_speed: float,
    solids_flow: float,
    particle_diameter: float,
    particle_density: float | None = None,
    lift_speed: float | None = None,
    altitude: float = 0.0,
    air_temperature: float = 293.15,
) -> Found:
    """Loading, air density (kg/m³) and flow (m³/s), and the range of saltation speeds (m/s) of six models.

    `hose_bore`, `particle_diameter` and `altitude` in m, `air_speed` and `lift_speed` in m/s, `solids_flow`
    of all `hoses` together in kg/s, `particle_density` in kg/m³, `air_temperature` in K. A model that needs
    what is not given is left out. Sources: those of `calc.air.saltation`; US Standard Atmosphere 1976.
    """
    density = density_of_air(altitude, air_temperature)
    falls = lift_speed
    if falls is None and particle_density is not None:
        viscosity = viscosity_of_air(air_temperature)
        falls = fall_speed_of_ball(particle_diameter, particle_density, density, viscosity)
    stream = Stream(solids_flow / hoses, hose_bore, particle_diameter, density, particle_density, falls)
    models = [(model, model.speed(stream)) for model in MODELS if model.can_answer(stream)]
    speeds = [speed for _, speed in models]
    verdict = verdict_of(air_speed, speeds, lift_speed)
    return Found(
        {
            "loading": stream.loaded_speed / air_speed,
            "air_density": density,
            "air_flow": air_speed * stream.area * hoses,
            "saltation_low": min(speeds),
            "saltation_high": max(speeds),
            "verdict": verdict,
        },
        notes=notes_of(verdict, stream, air_speed, models, lift_speed is not None),
        tables={"models": _rows(stream, air_speed, models)},
    )


def _rows(stream: Stream, air_speed: float, models: Sequence[tuple[Model, float]]) -> list[list[Value]]:
    """A row a model, with why it is left out where it is."""
    answers = {model.name: speed for model, speed in models}
    rows: list[list[Value]] = []
    for model in MODELS:
        if model.name in answers:
            speed = answers[model.name]
            rows.append([model.name, speed, air_speed / speed, say(model.standing(stream))])
        else:
            missing = model.needs_density and stream.particle_density is None
            rows.append([model.name, None, None, say("needs-density" if missing else "needs-lift")])
    return rows
