"""The oil that a fan motor takes, beside what meters take and the tractor gives, and its speed and heat."""

from __future__ import annotations

from calc.declare import Chart, Column, Field, Found, Input, Output, Say, Table, Value, calculator, say, words
from calc.oil.oil_cases import CASES, SOURCES
from calc.oil.oil_picture import draw_flows
from calc.oil.oil_sums import LINES, PRESSURE, RETURN, SUCTION, bore_for, spare_of, speed_in
from calc.oil.oil_words import NOTES, VERDICTS, hose_note, verdict_of
from calc.units import (
    GAUGE_PRESSURE,
    LIQUID_FLOW,
    OIL_SPEED,
    POWER,
    SHARE,
    SHORT_LENGTH,
    TURNING_SPEED,
    VOLUME_PER_TURN,
)

INPUTS: list[Field] = [
    Input(
        "displacement",
        "Displacement of the fan motor",
        VOLUME_PER_TURN,
        "1.5 in³/rev",
        "1 cm³/rev",
        "200 cm³/rev",
        "Oil for one turn, from the motor's plate or the machine's papers.",
    ),
    Input(
        "shaft_speed",
        "Fan speed",
        TURNING_SPEED,
        "3600 rpm",
        "100 rpm",
        "10000 rpm",
        "Of the motor's shaft, at work.",
        measured=True,
        takes=("fan-change.new_shaft_speed",),
    ),
    Input(
        "volumetric_efficiency",
        "Volumetric efficiency",
        SHARE,
        "95 %",
        "50 %",
        "100 %",
        "The share of the oil that turns the motor. The rest leaks past, more when hot or worn.",
    ),
    Input(
        "pressure",
        "Pressure across the motor",
        GAUGE_PRESSURE,
        "2200 psi",
        "1 psi",
        "6500 psi",
        "Pressure line less return line, at work.",
        measured=True,
    ),
    Input(
        "meters_flow",
        "Oil for the meters",
        LIQUID_FLOW,
        "6 gpm",
        "0 gpm",
        "200 gpm",
        "And for all else that runs at the same time from the same pump.",
        measured=True,
    ),
    Input(
        "tractor_flow",
        "Oil that the tractor gives",
        LIQUID_FLOW,
        "40 gpm",
        "0.5 gpm",
        "300 gpm",
        "At the engine speed of the job: measured, or from the tractor's papers.",
        measured=True,
    ),
    Input(
        "hose_bore",
        "Bore of the fan's hose",
        SHORT_LENGTH,
        "1 in",
        "3 mm",
        "150 mm",
        "Inside diameter, at its narrowest: couplers too.",
        measured=True,
    ),
    Input(
        "heat_share",
        "Share of the power that is lost",
        SHARE,
        "20 %",
        "0 %",
        "100 %",
        "In the motor, valves and hoses: it turns to heat in the oil.",
    ),
]


@calculator(
    id="oil",
    title="Oil for the fan",
    asks="How much oil does the fan take, and does the tractor give enough of it?",
    inputs=INPUTS,
    outputs=[
        Output("flow", "Oil for the fan", LIQUID_FLOW, main=True),
        Output("power", "Power in that oil", POWER),
        Output("spare", "Oil in hand (minus: short)", LIQUID_FLOW, main=True),
        Output("hose_speed", "Oil speed in the fan's hose", OIL_SPEED),
        Output("heat", "Heat that goes into the oil", POWER),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "lines",
            "Usual oil speeds in lines, and the bore that the fan's oil asks for",
            [
                Column(
                    "line",
                    "Line",
                    says={
                        "pressure": words("pressure"),
                        "return": words("return"),
                        "suction": words("suction"),
                    },
                ),
                Column("low", "Usual from", OIL_SPEED),
                Column("high", "Usual to", OIL_SPEED),
                Column("bore", "Least bore", SHORT_LENGTH),
                Column(
                    "standing",
                    "Oil in this hose",
                    says={
                        "slower": words("slower: wide enough"),
                        "usual": words("as usual"),
                        "faster": words("faster: too narrow"),
                    },
                ),
            ],
        )
    ],
    charts=[
        Chart(
            "flows",
            "Oil taken and oil given",
            words(
                "Bars on one scale of oil flow: what is taken, {taken} in all, under what the tractor gives, "
                "if that is known. A broken line marks where the tractor's flow ends.",
                taken=LIQUID_FLOW,
            ),
            draw_flows,
        )
    ],
    notes=NOTES,
    equation=(
        "Q = D · n / η; P = Q · Δp; in hand = Q_tractor − Q − Q_meters; v = Q / (π/4 · d²). "
        "Heat is the lost share of P. In trade units: gpm = in³ · rpm / 231 / η; hp = gpm · psi / 1714"
    ),
    assumes=[
        "Fan and meters take their oil side by side, so their flows add up.",
        "The tractor gives its flow at this pressure and at the engine speed of the job.",
        "What leaks past the motor comes from the same flow, and leaves by the case drain or the return.",
    ],
    leaves_out=[
        "Pressure lost in hoses and couplers. The tractor needs more pressure than the motor takes.",
        "Heat that the tractor makes of its own, as where a valve holds back flow that nobody takes.",
        "Lifting, folding and steering: they take oil in bursts, and the fan may slow for as long.",
    ],
    cautions=[
        "Oil under pressure goes through skin and poisons the flesh. Go to hospital at once, however small.",
        "Never feel for a leak by hand. Use a piece of cardboard.",
        "Stop the engine and let all pressure off before you loosen a hose or a coupler.",
        "The fan motor's case drain goes to a free return: couple it first and uncouple it last.",
        "Pressure in the case drain bursts the motor's seal.",
        "Hot oil and hot couplers burn.",
        "Never go above the rated speed of the fan or its motor. The machine's own papers decide.",
    ],
    sources=SOURCES,
    cases=CASES,
    then=("fan-change",),
)
def oil(
    displacement: float,
    shaft_speed: float,
    volumetric_efficiency: float,
    pressure: float,
    meters_flow: float | None = None,
    tractor_flow: float | None = None,
    hose_bore: float | None = None,
    heat_share: float | None = None,
) -> Found:
    """Oil flow (m³/s) and power (W) of a fan motor, what the tractor has left, and the oil's speed and heat.

    `displacement` m³ a turn, `shaft_speed` turns/s, `volumetric_efficiency` and `heat_share` fractions,
    `pressure` Pa across the motor, flows m³/s, `hose_bore` m. Without `meters_flow` none is counted; what
    else is not given leaves its result None. Source: displacement times speed; flow times pressure.
    """
    flow = displacement * shaft_speed / volumetric_efficiency
    power = flow * pressure
    hose_speed = None if hose_bore is None else speed_in(flow, hose_bore)
    heat = None if heat_share is None else heat_share * power
    verdict = verdict_of(flow, meters_flow, tractor_flow)
    return Found(
        {
            "flow": flow,
            "power": power,
            "spare": None if tractor_flow is None else spare_of(tractor_flow, flow + (meters_flow or 0.0)),
            "hose_speed": hose_speed,
            "heat": heat,
            "verdict": verdict,
        },
        notes=_notes(verdict, meters_flow, flow, hose_speed, heat),
        tables={"lines": _lines(flow, hose_speed)},
    )


def _notes(
    verdict: Say, meters_flow: float | None, flow: float, hose_speed: float | None, heat: float | None
) -> list[Say]:
    """What to do about the verdict, then about the meters, the hose and the heat, and what to give."""
    by_end = {"short": "do-not-run-short", "tight": "keep-in-hand", "enough": "look-hot"}
    notes = [say(note) for end, note in by_end.items() if verdict.code.endswith(end)]
    if meters_flow is None:
        notes.append(say("no-meters"))
    bores = (bore_for(flow, PRESSURE.high), bore_for(flow, RETURN.high))
    notes.append(say("give-bore") if hose_speed is None else hose_note(hose_speed, *bores))
    notes.append(say("give-heat-share") if heat is None else say("heat", heat=heat))
    return notes


def _lines(flow: float, hose_speed: float | None) -> list[list[Value]]:
    """A row a kind of line: its usual speeds and least bore, and where the fan's hose lies: in no suction."""
    return [
        [
            say(line.code),
            line.low,
            line.high,
            bore_for(flow, line.high),
            None if hose_speed is None or line is SUCTION else say(line.standing(hose_speed)),
        ]
        for line in LINES
    ]
