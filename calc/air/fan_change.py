"""What another fan speed, or another density of the air, does to a fan's flow, pressure and power."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calc.air.fan_cases import CASES, SOURCES
from calc.air.fan_picture import draw_pairs
from calc.declare import (
    Chart,
    Column,
    Field,
    Found,
    Input,
    Note,
    Output,
    Say,
    Table,
    Value,
    calculator,
    say,
    words,
)
from calc.errors import Problem, problem
from calc.number import settle
from calc.quantity import Amount
from calc.units import AIR_FLOW, DENSITY, FAN_PRESSURE, POWER, RATIO, SHARE, TURNING_SPEED

AROUND = (0.8, 0.85, 0.9, 0.95, 1.0, 1.05, 1.1, 1.15, 1.2)  # shares of the new fan speed in the table
FARTHEST = 5.0  # times the present speed, or a part of it, beyond which one figure must be wrong

INPUTS: list[Field] = [
    Input(
        "shaft_speed",
        "Fan speed now",
        TURNING_SPEED,
        "3600 rpm",
        "50 rpm",
        "20000 rpm",
        "Of the fan's own shaft, when the figures below were read.",
        measured=True,
    ),
    Input(
        "new_shaft_speed",
        "New fan speed",
        TURNING_SPEED,
        "3960 rpm",
        "50 rpm",
        "20000 rpm",
        "Never above the fan's rated speed.",
    ),
    Input(
        "flow",
        "Air flow now",
        AIR_FLOW,
        "3000 cfm",
        "0.001 m³/s",
        "100 m³/s",
        "All hoses together.",
        measured=True,
        takes=("air.air_flow",),
    ),
    Input(
        "pressure",
        "Fan pressure now",
        FAN_PRESSURE,
        "25 inH2O",
        "1 Pa",
        "100 kPa",
        "Above the outside air, from the gauge.",
        measured=True,
    ),
    Input(
        "power",
        "Fan power now",
        POWER,
        "25 hp",
        "1 W",
        "1000 kW",
        "At its shaft, or in the oil that drives it. The new power is then meant alike.",
        measured=True,
    ),
    Input(
        "density",
        "Density of the air now",
        DENSITY,
        "0.075 lb/ft³",
        "0.3 kg/m³",
        "3 kg/m³",
        "When the figures above were read. Leave both densities out where the air stays the same.",
    ),
    Input(
        "new_density",
        "New density of the air",
        DENSITY,
        "0.068 lb/ft³",
        "0.3 kg/m³",
        "3 kg/m³",
        "Where the fan will run: higher up or hotter, it is less.",
    ),
]

NOTES = [
    Note(
        "rated-speed",
        "check",
        words(
            "Look up the rated speed on the fan's plate before you go up to {new}. A fan wheel can burst "
            "above it.",
            new=TURNING_SPEED,
        ),
    ),
    Note(
        "more-power",
        "check",
        words(
            "The fan then takes {times} times the power. Check that the tractor has the oil and the power "
            "for it.",
            times=RATIO,
        ),
    ),
    Note(
        "less-air",
        "check",
        words(
            "The fan then gives {times} times the air flow. Check that it still carries every product to the "
            "farthest run.",
            times=RATIO,
        ),
    ),
    Note("tenth", "info", words("10 % more fan speed costs 33 % more power, and 10 % less saves 27 %.")),
    Note(
        "same-air",
        "info",
        words("The air is taken as equally dense before and after. Give both densities where it is not."),
    ),
    Note(
        "give-both-densities",
        "check",
        words("One density alone says nothing. Give both, or leave both out, to see pressure and power."),
    ),
]


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """What does not fit together among values that are each right; those that are wrong are None."""
    now, new = given["shaft_speed"], given["new_shaft_speed"]
    if None in (now, new) or 1 / FARTHEST <= settle(new / now) <= FARTHEST:
        return []
    parts = {"new": Amount(new, TURNING_SPEED), "now": Amount(now, TURNING_SPEED)}
    return [problem("new_shaft_speed", "speeds-far-apart", **parts)]


@calculator(
    id="fan-change",
    title="Change of fan speed",
    asks="What does another fan speed do to the air, and what does it cost in power?",
    inputs=INPUTS,
    outputs=[
        Output("flow", "New air flow", AIR_FLOW, main=True),
        Output("pressure", "New fan pressure", FAN_PRESSURE, main=True),
        Output("power", "New fan power", POWER, main=True),
    ],
    tables=[
        Table(
            "speeds",
            "Fan speeds around the new one, in the new air",
            [
                Column("shaft_speed", "Fan speed", TURNING_SPEED),
                Column("flow", "Air flow", AIR_FLOW),
                Column("pressure", "Fan pressure", FAN_PRESSURE),
                Column("power", "Power", POWER),
                Column("share", "Power, share of now", SHARE),
            ],
        )
    ],
    charts=[
        Chart(
            "pairs",
            "The fan now and after",
            words(
                "Pairs of bars for air flow, pressure and power: at {speed} now, and at {new_speed} after.",
                speed=TURNING_SPEED,
                new_speed=TURNING_SPEED,
            ),
            draw_pairs,
        )
    ],
    notes=NOTES,
    equation=(
        "Q₂ = Q₁ · n₂/n₁; p₂ = p₁ · (n₂/n₁)² · ρ₂/ρ₁; P₂ = P₁ · (n₂/n₁)³ · ρ₂/ρ₁, "
        "with flow Q, pressure p, power P, fan speed n and density of the air ρ"
    ),
    assumes=[
        "The fan and the machine stay as they are: no hose, lid or slide is changed, and nothing plugs.",
        "The fan's efficiency stays the same, which is nearly so for small changes of speed.",
        "Both densities are of the air that enters the fan.",
    ],
    leaves_out=[
        "Product in the air changes the pressure by itself, so compare at the same product flow, or at none.",
        "It does not say whether the air then carries: see the air speed in the hoses.",
        "What motor, valves and hoses lose on the way from the oil to the shaft.",
    ],
    cautions=[
        "Never go above the fan's rated speed, whatever the sum says. The machine's own papers decide.",
        "A fan wheel can burst: keep its guard on, and stay out of the plane that it turns in.",
        "Stop the engine and wait until the wheel stands still before you come near the inlet.",
        "Protect your ears near a running fan.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
    then=("oil",),
)
def fan_change(
    shaft_speed: float,
    new_shaft_speed: float,
    flow: float,
    pressure: float,
    power: float,
    density: float | None = None,
    new_density: float | None = None,
) -> Found:
    """New flow (m³/s), pressure (Pa) and power (W) of a fan at `new_shaft_speed`, in air of `new_density`.

    Speeds in turns/s, `flow` m³/s, `pressure` Pa above the air's, `power` W, densities kg/m³.
    Without densities the air is the same; with one alone pressure and power are None. Source: the fan laws.
    """
    thicker: float | None = 1.0
    if density is not None and new_density is not None:
        thicker = new_density / density
    elif density is not None or new_density is not None:
        thicker = None
    now = (flow, pressure, power)
    new_flow, new_pressure, new_power = _by_the_laws(new_shaft_speed / shaft_speed, thicker, now)
    rows: list[list[Value]] = []
    for share in AROUND:
        there = share * new_shaft_speed
        found = _by_the_laws(there / shaft_speed, thicker, now)
        rows.append([there, *found, None if found[2] is None else found[2] / power])
    return Found(
        {"flow": new_flow, "pressure": new_pressure, "power": new_power},
        notes=_notes(new_shaft_speed, new_shaft_speed / shaft_speed, thicker, density is not None),
        tables={"speeds": rows},
    )


def _by_the_laws(
    faster: float, thicker: float | None, now: tuple[float, float, float]
) -> tuple[float, float | None, float | None]:
    """Flow, pressure and power at `faster` times the speed, in air `thicker` times as dense if known."""
    flow, pressure, power = now
    if thicker is None:
        return faster * flow, None, None
    return faster * flow, faster**2 * thicker * pressure, faster**3 * thicker * power


def _notes(new: float, faster: float, thicker: float | None, dense: bool) -> Sequence[Say]:
    """What to look at before the change, and what is missing; `dense` is whether densities were given."""
    notes = []
    if settle(faster) > 1:
        notes.append(say("rated-speed", new=new))
    elif settle(faster) < 1:
        notes.append(say("less-air", times=faster))
    if thicker is None:
        notes.append(say("give-both-densities"))
    else:
        if settle(faster**3 * thicker) > 1:
            notes.append(say("more-power", times=faster**3 * thicker))
        if not dense:
            notes.append(say("same-air"))
    return [*notes, say("tenth")]
