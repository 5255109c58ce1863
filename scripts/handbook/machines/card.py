"""The cab card of a machine: what an operator looks up at the wheel, on one side of half-letter or A5."""

from __future__ import annotations

from typing import Any

from handbook.machines.expected import TOLERANCE, at_step
from handbook.machines.sheet import Tank
from handbook.machines.worked import Machine
from handbook.quantities import quantity_html
from handbook.templating import template


def card_html(machine: Machine) -> str:
    """The card."""
    sheet = machine.sheet
    window = machine.ask("speed-window")
    refill = machine.ask("refill-plan") if sheet.field else None
    return template("card.html").render(
        sheet=sheet,
        width=quantity_html(sheet.width),
        planned=quantity_html(sheet.speed.planned),
        slowest=machine.figure(window, "speed_from"),
        fastest=machine.figure(window, "speed_to"),
        fan=quantity_html(sheet.fan.working),
        fan_least=quantity_html(sheet.fan.least),
        passes=machine.figure(refill, "passes_per_fill") if refill else "",
        first_empty=refill.words("first_empty") if refill else "",
        tanks=[_tank(machine, tank) for tank in sheet.tanks],
        tolerance=f"{TOLERANCE:.0%}".replace("%", " %"),
    )


def _tank(machine: Machine, tank: Tank) -> dict[str, Any]:
    """A tank's line: its rates, and how fast its meter turns at each and at the planned speed."""
    low, at_set, high = (at_step(machine, tank, f"{name} rate") for name in ("low", "set", "high"))
    return {
        "name": tank.name,
        "product": tank.product,
        "rate": quantity_html(tank.rate.set),
        "turning": [machine.figure(one, "meter_speed", bare=True) for one in (low, at_set, high)],
        "mass_per_turn": quantity_html(tank.meter.mass_per_turn),
    }
