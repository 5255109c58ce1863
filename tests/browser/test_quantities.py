"""Quantities in prose as a browser shows them by the rules of CSS: one variant, and that of the reader."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page

from handbook.quantities import quantity_html, units_css


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """A page with one quantity of two kinds and one of three variants, styled for US readers."""
    body = (
        f"<p id=speed>{quantity_html('5 mph')}</p><p id=rate>{quantity_html('120 lb/ac')}</p>"
        f"<p id=liquid>{quantity_html('5 gal')}</p>"
        '<div id=block class="q"><div class="q-metric">m</div><div class="q-us q-imperial">i</div></div>'
    )
    made = context.new_page()
    made.set_content(f"<style>{units_css('us')}</style>{body}")
    return made


@pytest.mark.parametrize(
    ("chosen", "seen"),
    [
        ({}, ["5 mph", "120 lb/ac", "5 gal", "i"]),  # before any choice, and without scripts
        ({"data-units": "us"}, ["5 mph", "120 lb/ac", "5 gal", "i"]),
        ({"data-units": "metric"}, ["8.05 km/h", "135 kg/ha", "18.9 L", "m"]),
        ({"data-units": "imperial"}, ["5 mph", "120 lb/ac", "4.16 imp gal", "i"]),
        ({"data-units": "us", "data-u-speed": "metric"}, ["8.05 km/h", "120 lb/ac", "5 gal", "i"]),
        ({"data-units": "metric", "data-u-mass_per_area": "us"}, ["8.05 km/h", "120 lb/ac", "18.9 L", "m"]),
        ({"data-u-liquid_volume": "imperial"}, ["5 mph", "120 lb/ac", "4.16 imp gal", "i"]),
        ({"data-units": "imperial", "data-u-liquid_volume": "us"}, ["5 mph", "120 lb/ac", "5 gal", "i"]),
    ],
)
def test_the_reader_sees_one_variant_and_their_own(
    page: Page, chosen: dict[str, str], seen: list[str]
) -> None:
    page.evaluate(
        "chosen => { const root = document.documentElement;"
        "for (const name of root.getAttributeNames()) root.removeAttribute(name);"
        "for (const name in chosen) root.setAttribute(name, chosen[name]); }",
        chosen,
    )
    assert [page.locator(f"#{name}").inner_text() for name in ("speed", "rate", "liquid", "block")] == seen
