"""The ground speeds at which every tank's meter can give both the lowest and the highest rate asked of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from calc import usual
from calc.declare import (
    Chart,
    Column,
    Found,
    Input,
    Name,
    Output,
    Rows,
    Source,
    Table,
    Value,
    calculator,
    words,
)
from calc.metering.rate import KENTUCKY, OURS, SOIL_HEALTH
from calc.metering.window_bars import draw_bars
from calc.metering.window_cases import CASES, EXAMPLE
from calc.metering.window_rows import mass_row, refuse_crossed, tank_row
from calc.metering.window_sums import Tank, can_open, common_window, middle_speed
from calc.metering.window_words import (
    NOTES,
    VERDICTS,
    limit_of,
    mass_notes,
    narrow_rates,
    open_notes,
    verdict_of,
)
from calc.units import MASS_PER_AREA, MASS_PER_TURN, RATIO, SPEED, TURNING_SPEED

MARGIN = Source("A planned speed lies 10 % inside the window", basis="common practice")


@calculator(
    id="speed-window",
    title="Ground speed window",
    asks="At which ground speeds can every tank's meter hold its lowest and its highest rate?",
    inputs=[
        usual.WIDTH,
        Input(
            "speed_low",
            "Lowest operating speed",
            SPEED,
            "3 mph",
            "0.1 km/h",
            "40 km/h",
            "The slowest you mean to seed, on hills and in heavy going included.",
        ),
        Input(
            "speed_high",
            "Highest operating speed",
            SPEED,
            "6 mph",
            "0.1 km/h",
            "40 km/h",
            "The fastest that openers, soil, crop and the fan allow.",
        ),
        Rows(
            "tanks",
            "Tanks",
            Tank,
            [
                Name("name", "Tank", "Wheat", "Product or place: your own name for it."),
                Input(
                    "rate_low",
                    "Lowest rate",
                    MASS_PER_AREA,
                    "90 lb/ac",
                    "0.1 kg/ha",
                    "5000 kg/ha",
                    "The least it will be asked for: rate map and hand changes included.",
                ),
                Input(
                    "rate_high",
                    "Highest rate",
                    MASS_PER_AREA,
                    "130 lb/ac",
                    "0.1 kg/ha",
                    "5000 kg/ha",
                    "The most it will be asked for. For one fixed rate write it in both.",
                ),
                replace(usual.MASS_PER_TURN, example="1.2 lb/rev"),
                Input(
                    "meter_low",
                    "Lowest meter speed",
                    TURNING_SPEED,
                    "10 rpm",
                    "0.01 rpm",
                    "5000 rpm",
                    "From the machine's papers: below it the flow pulses or the drive stalls.",
                ),
                Input(
                    "meter_high",
                    "Highest meter speed",
                    TURNING_SPEED,
                    "120 rpm",
                    "0.01 rpm",
                    "5000 rpm",
                    "From the machine's papers: above it the meter no longer fills, or the drive runs out.",
                ),
            ],
            example=EXAMPLE,
            each="tank",
            hint="Every tank that runs in the same pass.",
            most=12,
        ),
    ],
    outputs=[
        Output("speed_from", "Slowest ground speed", SPEED, main=True, absent="none"),
        Output("speed_to", "Fastest ground speed", SPEED, main=True, absent="none"),
        Output(
            "slow_limit",
            "Slow end set by",
            says={"tank": words("{tanks}"), "operating-speed": words("the lowest operating speed")},
        ),
        Output(
            "fast_limit",
            "Fast end set by",
            says={"tank": words("{tanks}"), "operating-speed": words("the highest operating speed")},
        ),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "tanks",
            "Each tank by itself, and its meter at the slow end, lowest rate, and fast end, highest rate",
            [
                Column("tank", "Tank"),
                Column("slowest", "Slowest", SPEED),
                Column("fastest", "Fastest", SPEED),
                Column("meter_from", "Meter, slow end", TURNING_SPEED),
                Column("meter_to", "Meter, fast end", TURNING_SPEED),
                Column("rate_span", "Rates, highest ÷ lowest", RATIO),
                Column("meter_span", "Meter, highest ÷ lowest", RATIO),
                Column(
                    "part",
                    "In the window",
                    says={
                        "slow-end": words("sets the slow end"),
                        "fast-end": words("sets the fast end"),
                        "both-ends": words("sets both ends"),
                        "inside": words("sets neither end"),
                        "never": words("never: narrow its rates"),
                    },
                ),
            ],
        ),
        Table(
            "mass_per_turn",
            "Mass per turn that would open the window",
            [
                Column("tank", "Tank"),
                Column("least", "Least", MASS_PER_TURN),
                Column("most", "Most", MASS_PER_TURN),
                Column(
                    "change",
                    "Metering element",
                    says={
                        "keep": words("fits as it is"),
                        "larger": words("fit a larger one"),
                        "smaller": words("fit a smaller one"),
                        "never": words("none will do: narrow the rates"),
                    },
                ),
            ],
        ),
    ],
    charts=[
        Chart(
            "windows",
            "Ground speed windows",
            words(
                "A bar runs from each tank's slowest to its fastest ground speed. "
                "A tank that can have no window has a broken line instead. "
                "All together, operating speeds included, need at least {slow} and allow at most {fast}. "
                "The speeds between, if any, are shaded.",
                slow=SPEED,
                fast=SPEED,
            ),
            draw_bars,
        )
    ],
    notes=NOTES,
    equation=(
        "v = n · m / (R · W), with meter speed n, mass per turn m, rate R and width W. "
        "Slowest: lowest n and R; fastest: highest n and R. "
        "At a wanted speed v, m from v · R_high · W / n_high to v · R_low · W / n_low."
    ),
    assumes=[
        "The mass per turn is the same at every meter speed. Calibrate at a low and a high speed to see.",
        "One meter a tank, over the whole width. For several, give each its own row and share of the width.",
        "Any rate between a tank's lowest and highest may be asked for at any speed.",
    ],
    leaves_out=[
        "How fast the openers, the air, the soil and the ground let you go.",
        "How soon a meter follows a change of speed or rate.",
        "Oil flow and the drive: whether they turn every meter at its highest speed at once.",
    ],
    then=("refill-plan",),
    cautions=[
        "An open window speaks of the meters alone. Air, openers, ground and people may call for less speed.",
        "Stop the engine, isolate the meter drive and let the tank's pressure off before you open a meter.",
    ],
    sources=[OURS, MARGIN, SOIL_HEALTH, KENTUCKY],
    cases=CASES,
)
def speed_window(
    width: float,
    speed_low: float | None,
    speed_high: float | None,
    tanks: Sequence[Tank],
) -> Found:
    """The ground speeds (m/s) that all tanks and the operating speeds allow, and what sets each end.

    `width` m, `speed_low` and `speed_high` m/s or None, `tanks` as in `Tank`. A row a tank has its speeds,
    its meter speeds (turns/s) at the window's ends, and its spans. A closed window has None for its speeds,
    and a table of the masses per turn (kg) that would open it. Source: the definition of a rate.
    Raises `InputError` where the lower end of a range is above its upper end.
    """
    refuse_crossed(speed_low, speed_high, tanks)
    by_meters = common_window(tanks, width)
    window = by_meters.cut(speed_low, speed_high)
    never = [tank for tank in tanks if not can_open(tank)]
    opened = window.open and not never
    tables: dict[str, list[list[Value]]] = {
        "tanks": [tank_row(tank, width, window, opened) for tank in tanks]
    }
    if opened:
        notes = open_notes(by_meters, speed_low, speed_high)
    else:
        notes = [narrow_rates(tank) for tank in never]
        if curable := [tank for tank in tanks if can_open(tank)]:
            speed = middle_speed(curable, width, speed_low, speed_high)
            tables["mass_per_turn"] = [mass_row(tank, width, speed) for tank in tanks]
            notes += mass_notes(speed, speed_low, speed_high)
    return Found(
        {
            "speed_from": window.slow if opened else None,
            "speed_to": window.fast if opened else None,
            "slow_limit": limit_of(window.slow_tanks),
            "fast_limit": limit_of(window.fast_tanks),
            "verdict": verdict_of(window, never),
        },
        notes=notes,
        tables=tables,
    )
