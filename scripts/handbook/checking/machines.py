"""Rules on machine sheets. What does not fit together in them is found in `consistency`."""

from __future__ import annotations

from handbook.checking.rule import declare

_SHEET = """
format: 1
name: Trial Two
note: An invented machine.
units: us
width: {width}
spacing: 10 in
runs: 48
heads: 6
sections: [20 ft, {section}]
speed: {{low: 4 mph, planned: {planned}, high: 8 mph}}
fan: {{least: 2800 rpm, working: 3600 rpm}}
oil: {{displacement: 1.5 in3/rev, volumetric_efficiency: 95 %, pressure: 2200 psi, tractor_flow: {oil}}}
tanks:
  - name: Front
    product: wheat
    bulk_density: 48 lb/ft3
    rate: {{low: {low}, set: 100 lb/ac, high: 150 lb/ac, step: 5 lb/ac}}
    meter: {{mass_per_turn: 1 lb/rev, low: 12 rpm, high: 110 rpm}}
    shape: {{body: box, length: 7 ft, width: 6 ft, height: 4 ft}}
controls:
  - {{name: Master, ways: [on the screen, by the switch]}}
"""


def _sheet(
    width: str = "40 ft",
    section: str = "20 ft",
    planned: str = "5 mph",
    low: str = "80 lb/ac",
    oil: str = "40 gpm",
) -> str:
    return _SHEET.format(width=width, section=section, planned=planned, low=low, oil=oil)


def _of_sheets(id: str, asks: str, why: str, source: str, wrong: str, stops: bool = False) -> None:
    declare(
        __name__,
        id=id,
        asks=asks,
        why=why,
        source=source,
        wrong=wrong,
        right=_sheet(),
        file="machines/example.yml",
        stops=stops,
    )


_of_sheets(
    id="sheet",
    asks="A machine sheet holds what a sheet must hold, each figure with its unit.",
    why="Every page of the machine is worked out from it.",
    source="This book: what is worked out from a sheet",
    wrong=_sheet(width="40"),
    stops=True,
)
_of_sheets(
    id="sheet-width",
    asks="The runs of a machine at their spacing make its width.",
    why="A wrong width makes every rate wrong by as much, and nothing in the cab shows it.",
    source="By definition, to within half a spacing",
    wrong=_sheet(width="39 ft", section="19 ft"),
)
_of_sheets(
    id="sheet-sections",
    asks="The sections of a machine together make its width.",
    why="Where they do not, a strip is seeded twice or not at all when a section is switched.",
    source="By definition, to within half a spacing",
    wrong=_sheet(section="15 ft"),
)
_of_sheets(
    id="sheet-window",
    asks="Each tank holds its rates at some ground speed that the machine works at.",
    why="Else its meter stalls at the one rate or runs out at the other, wherever it is driven.",
    source="By arithmetic, as “speed-window” works it out",
    wrong=_sheet(low="10 lb/ac"),
)
_of_sheets(
    id="sheet-planned",
    asks="The planned speed lies 10 % inside the limits of each tank.",
    why="A little slower or faster, and a tank no longer holds its rates.",
    source="Common practice",
    wrong=_sheet(planned="4 mph", low="40 lb/ac"),
)
_of_sheets(
    id="sheet-oil",
    asks="The tractor gives the oil that the fan and the meters ask for, with some in hand.",
    why="Short of oil the fan slows, and product settles in the hoses.",
    source="Common practice: 10 % in hand, as “oil” works it out",
    wrong=_sheet(oil="26 gpm"),
)
