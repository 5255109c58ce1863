"""How much urea may go with the seed, by the only published table there is, and how much is too much."""

from __future__ import annotations

from calc import usual
from calc.crop.seedbed_cases import CASES, SOURCES
from calc.crop.seedbed_picture import draw_rows
from calc.crop.seedbed_sums import UREA, Cell, cells, safe_cell, wrong_together
from calc.crop.seedbed_words import NOTES, VERDICTS, notes_of, verdict_of, where_read
from calc.declare import (
    Chart,
    Choice,
    Column,
    Found,
    Input,
    Output,
    Table,
    TableRows,
    calculator,
    say,
    words,
)
from calc.errors import InputError
from calc.number import settle
from calc.units import MASS_PER_AREA, SHARE, SHORT_LENGTH


@calculator(
    id="seedbed",
    title="Fertilizer with the seed",
    asks="How much urea may go with the seed, and is what you plan too much?",
    inputs=[
        Input(
            "spread",
            "Spread of the seed",
            SHORT_LENGTH,
            "2 in",
            "5 mm",
            "0.5 m",
            "How wide seed and fertilizer lie in a row. Dig and measure.",
            measured=True,
        ),
        usual.SPACING,
        Choice(
            "soil",
            "Soil",
            {"light": "Light: sandy", "medium": "Medium: loam", "heavy": "Heavy: clay"},
            "medium",
            "In doubt, or where it changes, take the lighter one.",
        ),
        Choice(
            "crop",
            "Crop",
            {"cereal": "Cereal: wheat, barley, oats, rye", "canola": "Canola", "other": "Another crop"},
            "cereal",
        ),
        Choice(
            "moisture",
            "Moisture at seeding depth",
            {"good": "Good to excellent", "dry": "Dry"},
            "good",
            "In doubt, take dry.",
        ),
        Choice("opener", "Opener", {"double-disc": "Double disc", "other": "Another opener"}, "other"),
        Input(
            "nitrogen_rate",
            "Nitrogen with the seed, as urea",
            MASS_PER_AREA,
            "35 lb/ac",
            "0 kg/ha",
            "500 kg/ha",
            "N, not product. Only what goes into the seed row.",
        ),
    ],
    outputs=[
        Output("utilisation", "Share of the seedbed used", SHARE, main=True),
        Output("limit", "Most N with the seed, as urea", MASS_PER_AREA, main=True, absent="none published"),
        Output("product_limit", "The same as urea, 46-0-0", MASS_PER_AREA, absent="none published"),
        Output("excess", "N above the limit", MASS_PER_AREA),
        Output(
            "limit_source",
            "The limit is from",
            says={
                "published": words(
                    "Manitoba Agriculture, cereals and urea, {spread} on {spacing}",
                    spread=SHORT_LENGTH,
                    spacing=SHORT_LENGTH,
                ),
                "none": words("nowhere: none is published for this"),
            },
        ),
        Output("verdict", "Verdict", says=VERDICTS, main=True),
    ],
    tables=[
        Table(
            "limits",
            "The published limits for this soil, moisture and opener",
            [
                Column("spread", "Spread", SHORT_LENGTH),
                Column("spacing", "Spacing", SHORT_LENGTH),
                Column("limit", "N as urea", MASS_PER_AREA),
                Column("product", "Urea", MASS_PER_AREA),
                Column("read", "Read here", says={"here": words("yes"), "not-here": words("no")}),
            ],
        )
    ],
    charts=[
        Chart(
            "rows",
            "Rows from above, to scale",
            words(
                "Three rows, {spacing} apart. Seed and fertilizer share a strip {spread} wide in each.",
                spacing=SHORT_LENGTH,
                spread=SHORT_LENGTH,
            ),
            draw_rows,
        )
    ],
    notes=NOTES,
    equation=(
        "Share of the seedbed used = spread / spacing. The limit is read from the table "
        "at the next narrower spread and the next wider spacing. Urea = N / 0.46."
    ),
    assumes=[
        "Seed and fertilizer lie evenly over the whole spread.",
        "All the nitrogen beside the seed is urea.",
        "A wider spread and a closer spacing thin the urea out, so the table is read on the safe side.",
    ],
    leaves_out=[
        "Other fertilizer in the same row. Its salt and ammonia add to the harm: leave more room.",
        "Crops other than cereals, coated urea, liquids, and what is put beside or below the row.",
        "How cold, salty or limy the soil is, and how deep the seed lies.",
    ],
    cautions=[
        "Too much beside the seed thins the stand or kills it. Local advice decides.",
        "Never put anhydrous ammonia in the seed row.",
        "Fertilizer dust harms eyes and lungs. Wear what the label or safety data sheet asks for.",
        "Before you dig in a row, park the machine, stop and isolate it.",
    ],
    sources=SOURCES,
    cases=CASES,
    together=wrong_together,
)
def seedbed(
    spread: float,
    spacing: float,
    soil: str,
    crop: str,
    moisture: str,
    opener: str,
    nitrogen_rate: float | None = None,
) -> Found:
    """The most nitrogen (kg/m²) that may go with seed spread over `spread` (m) of a `spacing` (m).

    None outside the published table, which is for cereals and urea. `nitrogen_rate` is in kg/m² of N.
    Raises InputError where the spread is wider than the spacing. Source: Manitoba Agriculture.
    """
    given = dict(locals())  # the values by their names, as they were taken
    if problems := wrong_together(given):
        raise InputError(problems)
    table = cells(soil, moisture, opener) if crop == "cereal" else []
    cell = safe_cell(table, spread, spacing)
    return Found(
        {
            "utilisation": spread / spacing,
            "limit": cell.limit if cell else None,
            "product_limit": cell.limit / UREA if cell else None,
            "excess": _excess(cell, nitrogen_rate),
            "limit_source": say("published", **where_read(cell)) if cell else say("none"),
            "verdict": verdict_of(given, cell),
        },
        notes=notes_of(given, cell),
        tables={"limits": _rows(table, cell)} if table else {},
    )


def _excess(cell: Cell | None, nitrogen_rate: float | None) -> float | None:
    """How far the nitrogen is above the limit; nothing where it is not."""
    if cell is None or nitrogen_rate is None:
        return None
    above = settle(nitrogen_rate) > settle(cell.limit)
    return nitrogen_rate - cell.limit if above else 0.0


def _rows(table: list[Cell], read: Cell | None) -> TableRows:
    return [
        [c.spread, c.spacing, c.limit, c.limit / UREA, say("here" if c == read else "not-here")]
        for c in table
    ]
