"""The ground speeds at which every tank's meter can give both the lowest and the highest rate asked of it."""

from __future__ import annotations

from collections.abc import Sequence

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
    say,
    words,
)
from calc.errors import InputError, problem
from calc.metering.rate import KENTUCKY, OURS, SOIL_HEALTH, meter_speed_for
from calc.metering.window_bars import draw_bars
from calc.metering.window_cases import CASES, EXAMPLE
from calc.metering.window_sums import Tank, Window, above, can_open, common_window, middle_speed
from calc.metering.window_words import (
    NOTES,
    VERDICTS,
    limit_of,
    mass_notes,
    narrow_rates,
    open_notes,
    verdict_of,
)
from calc.quantity import Amount
from calc.units import LENGTH, MASS_PER_AREA, MASS_PER_TURN, RATIO, SPEED, TURNING_SPEED

MARGIN = Source("A planned speed lies 10 % inside the window", basis="common practice")


@calculator(
    id="speed-window",
    title="Ground speed window",
    asks="At which ground speeds can every tank's meter hold its lowest and its highest rate?",
    inputs=[
        Input(
            "width",
            "Working width",
            LENGTH,
            "60 ft",
            "0.1 m",
            "60 m",
            "From first to last opener, plus one spacing.",
        ),
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
                Input(
                    "mass_per_turn",
                    "Mass per turn",
                    MASS_PER_TURN,
                    "1.2 lb/rev",
                    "0.01 g/rev",
                    "100 kg/rev",
                    "From the last calibration of this product in this tank.",
                ),
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
    _refuse_crossed(speed_low, speed_high, tanks)
    by_meters = common_window(tanks, width)
    window = by_meters.cut(speed_low, speed_high)
    never = [tank for tank in tanks if not can_open(tank)]
    opened = window.open and not never
    tables: dict[str, list[list[Value]]] = {
        "tanks": [_tank_row(tank, width, window, opened) for tank in tanks]
    }
    if opened:
        notes = open_notes(by_meters, speed_low, speed_high)
    else:
        notes = [narrow_rates(tank) for tank in never]
        if curable := [tank for tank in tanks if can_open(tank)]:
            speed = middle_speed(curable, width, speed_low, speed_high)
            tables["mass_per_turn"] = [_mass_row(tank, width, speed) for tank in tanks]
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


def _refuse_crossed(speed_low: float | None, speed_high: float | None, tanks: Sequence[Tank]) -> None:
    """Every range whose lower end is above its upper end, refused at once on its lower end."""
    ranges = [("speed_low", SPEED, speed_low, speed_high)]
    for number, tank in enumerate(tanks, start=1):
        at = f"tanks[{number}]"
        ranges.append((f"{at}.rate_low", MASS_PER_AREA, tank.rate_low, tank.rate_high))
        ranges.append((f"{at}.meter_low", TURNING_SPEED, tank.meter_low, tank.meter_high))
    crossed = [
        problem(field, "low-above-high", low=Amount(low, kind), high=Amount(high, kind))
        for field, kind, low, high in ranges
        if low is not None and high is not None and low > high
    ]
    if crossed:
        raise InputError(crossed)


def _tank_row(tank: Tank, width: float, window: Window, opened: bool) -> list[Value]:
    ends = (tank.name in window.slow_tanks, tank.name in window.fast_tanks)
    part = {(True, True): "both-ends", (True, False): "slow-end", (False, True): "fast-end"}.get(
        ends, "inside"
    )
    return [
        tank.name,
        tank.slowest(width),
        tank.fastest(width),
        meter_speed_for(tank.rate_low, width, window.slow, tank.mass_per_turn) if opened else None,
        meter_speed_for(tank.rate_high, width, window.fast, tank.mass_per_turn) if opened else None,
        tank.rate_high / tank.rate_low,
        tank.meter_high / tank.meter_low,
        say(part if can_open(tank) else "never"),
    ]


def _mass_row(tank: Tank, width: float, speed: float) -> list[Value]:
    """The masses per turn at which the tank holds its rates at `speed`: its speeds are in proportion."""
    if not can_open(tank):
        return [tank.name, None, None, say("never")]
    slowest, fastest = tank.slowest(width), tank.fastest(width)
    change = "larger" if above(speed, fastest) else "smaller" if above(slowest, speed) else "keep"
    return [
        tank.name,
        tank.mass_per_turn * speed / fastest,
        tank.mass_per_turn * speed / slowest,
        say(change),
    ]
