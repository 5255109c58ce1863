"""Working through a procedure on a phone, as a technician does."""

from __future__ import annotations

from playwright.sync_api import Locator, Page, expect

NEXT = ".fb-next__place"
NOT_HERE = "It has none."


class Work:
    """A procedure of which a record is kept."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.now = page.locator(".fb-next")
        self.bar = page.locator(".fb-job")

    def begin(self, who: str = "R. Field", second: str = "T. Furrow", **more: str) -> None:
        self.page.get_by_role("button", name="Keep a record as you work").click()
        form = self.page.locator(".fb-work__job")
        for name, text in {"who": who, "second": second, **more}.items():
            form.locator(f'[name="{name}"]').fill(text)
        form.get_by_role("button", name="Begin").click()
        expect(self.now).to_be_visible()

    def go_on(self) -> None:
        """Go on with the job that was begun."""
        key = self.page.locator(".fb-work__begin")
        if key.is_visible():
            key.click()
        expect(self.now).to_be_visible()

    @property
    def place(self) -> str:
        return self.now.locator(NEXT).inner_text()

    @property
    def asked(self) -> Locator:
        """The values that the step in hand still asks for."""
        return self.page.locator(".fb-is-now .fb-ask:not([hidden])")

    def measure(self, value: str, action: str = "") -> None:
        """Write a value, and what was done about it, and keep it."""
        ask = self.asked.first
        left = self.asked.count()
        ask.locator('input[name="value"]').fill(value)
        ask.get_by_role("button", name="Keep this value").click()
        if action:
            ask.locator(".fb-action textarea").fill(action)
            ask.get_by_role("button", name="Keep this value").click()
        expect(self.asked).to_have_count(left - 1)

    def measure_all(self) -> None:
        """Write a value within its limits wherever the step asks for one."""
        while self.asked.count():
            ask = self.asked.first
            within = ask.get_attribute("data-within")
            if within:
                ask.locator('input[name="expected"]').fill("40 rpm")
            self.measure(
                "40 rpm" if within else ask.get_attribute("data-high") or ask.get_attribute("data-low") or ""
            )

    def done(self) -> None:
        """Press the large key of the step or the hazard in hand."""
        place = self.place
        self.now.locator(".fb-key--main").click()
        self.page.wait_for_function(
            "place => document.querySelector('.fb-next__place')?.textContent !== place", arg=place
        )

    def step(self) -> None:
        """Do the step in hand with all that it asks for."""
        self.measure_all()
        self.done()

    def more(self) -> Locator:
        more = self.now.locator("details")
        if more.get_attribute("open") is None:
            more.locator("summary").click()
        return more
