"""Filling in a sheet for watching, as a trainer does on a phone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

Entry = dict[str, Any]


class Sheet:
    """The sheet at the end of a procedure."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.root = page.locator(".fb-observed__sheet")

    def field(self, name: str) -> Locator:
        return self.root.locator(f'[name="{name}"]')

    def mark(self, way: str = "Seen", first: int = 0, last: int | None = None) -> None:
        for line in self.root.locator(".fb-ways:not(.fb-levels)").all()[first:last]:
            line.get_by_label(way, exact=True).check()

    def level(self, title: str) -> None:
        self.root.get_by_label(title).check()

    def write(self, trainee: str = "T. Furrow", evaluator: str = "R. Field", **more: str) -> None:
        told = {
            "trainee": trainee,
            "evaluator": evaluator,
            "date": "2027-04-30",
            "evidence": "Found it alone.",
        }
        signed = {"trainee_signed": trainee, "evaluator_signed": evaluator}
        for name, text in {**told, **signed, **more}.items():
            self.field(name).fill(text)
        self.field("own_level").select_option("4")

    def sign_by_hand(self) -> None:
        canvas = self.root.locator("canvas").first
        canvas.scroll_into_view_if_needed()
        box = canvas.bounding_box()
        assert box
        self.page.mouse.move(box["x"] + 20, box["y"] + 40)
        self.page.mouse.down()
        self.page.mouse.move(box["x"] + 120, box["y"] + 20, steps=6)
        self.page.mouse.up()

    def keep(self) -> None:
        self.root.get_by_role("button", name="Keep this record").click()

    def told(self) -> list[str]:
        expect(self.root.locator(".fb-summary li").first).to_be_visible()
        return self.root.locator(".fb-summary li").all_inner_texts()


def export(page: Page, key: str = "Export all (JSON)") -> str:
    with page.expect_download() as download:
        page.get_by_role("button", name=key).click()
    return Path(download.value.path()).read_bytes().decode("utf-8")


def entries(page: Page) -> list[Entry]:
    found: list[Entry] = json.loads(export(page))["entries"]
    return found


def give(page: Page, text: str, name: str = "record.json") -> Locator:
    """Choose a file to import; what the page says of it."""
    file = {"name": name, "mimeType": "text/plain", "buffer": text.encode("utf-8", "surrogatepass")}
    page.locator('.fb-files input[type="file"]').set_input_files(file)  # type: ignore[arg-type]
    found = page.locator(".fb-files__found")
    expect(found.locator("p")).not_to_have_text("Reading…")
    return found
