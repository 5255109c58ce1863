"""What kind of quantity a figure is, told by its unit alone: for figures that no field has asked for."""

from __future__ import annotations

from functools import lru_cache

from calc import units as u
from calc.errors import nearest, refuse
from calc.number import split_number
from calc.units import COUNT, KINDS, SPELLINGS, Kind, Unit, plain

USUAL_KINDS = {  # what a figure in prose most likely means, by its unit; else the first kind measured in it
    "mm": u.SHORT_LENGTH,
    "cm": u.SHORT_LENGTH,
    "in": u.SHORT_LENGTH,
    "m²": u.SMALL_AREA,
    "ft²": u.SMALL_AREA,
    "g": u.KERNEL_MASS,  # what is written in grams is best read in them
    "oz": u.SMALL_MASS,
    "m/s": u.AIR_SPEED,
    "ft/min": u.AIR_SPEED,
    "ft/s": u.OIL_SPEED,
    "gal": u.LIQUID_VOLUME,
    "imp gal": u.LIQUID_VOLUME,
    "L": u.LIQUID_VOLUME,
    "kg/L": u.LIQUID_DENSITY,
    "lb/gal": u.LIQUID_DENSITY,
    "m³/s": u.AIR_FLOW,
    "cfm": u.AIR_FLOW,
    "inH2O": u.FAN_PRESSURE,
    "h": u.LONG_TIME,
}


@lru_cache(maxsize=10_000)
def kind_of(text: str) -> tuple[Kind, Unit]:
    """What kind a quantity in prose is, by its unit. Raises `InputError` (field "")."""
    _, spelling = split_number(text, "5 mph")
    if not spelling:
        raise refuse("", "missing-unit", text=text, suggestions=f"“{text} mph”, say, or leave out {{.q}}")
    for dimension, spellings in SPELLINGS.items():
        if unit := spellings.get(plain(spelling)):
            usual = USUAL_KINDS.get(unit.name)
            return usual or next(kind for kind in KINDS.values() if kind.dimension == dimension), unit
    known = [name for spellings in SPELLINGS.values() for name in spellings]
    if meant := nearest(plain(spelling), known):
        raise refuse("", "misspelt-unit", unit=spelling, meant=meant)
    raise refuse("", "unknown-unit", unit=spelling, units="those in the reference page on units")


def limit_kind(text: str) -> Kind:
    """What kind a limit is: a quantity by its unit, or a bare count. Raises `InputError` (field "")."""
    return COUNT if not split_number(text, "5 mph")[1] else kind_of(text)[0]
