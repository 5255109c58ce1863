"""Problems to practise on, rendered: the figures of one seed, the answer and its working behind a fold."""

from __future__ import annotations

import re
import xml.etree.ElementTree as etree
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from calc.practice import WITHIN, pose, read, shown, working
from calc.quantity import Units
from calc.reply import compact
from calc.units import SYSTEMS
from handbook import practising
from handbook.block import NamedBlock, options
from handbook.facts import practised
from handbook.practising import FIRST, choices, has_practice, written
from handbook.quantities import alike, variants_html
from handbook.scanner import scan
from handbook.templating import template


class PracticeBlock(NamedBlock):
    """`/// practice | Meter speed`: a case to answer; its figures are drawn anew as often as one likes."""

    NAME = "practice"
    OPTIONS = options(*practising.OPTIONS)

    def dress(self, element: etree.Element) -> None:
        """Name it, and say what it asks."""
        super().dress(element)
        element.set("data-practice", practice_id(self.argument))
        element.set("data-page", self.book.page_url)
        element.set("data-times", str(practising.asked_times(self.options)))
        if self.options["hazard"]:
            element.set("data-safety", "")
        if self.options["calculator"]:
            element.set("data-problem", compact(practising.written(self.options)))

    def html(self) -> str:
        """Its name; the case comes below it."""
        return template("practice.html").render(title=self.argument)

    def on_end(self, block: etree.Element) -> None:
        """Put the figures into the case, and below it the place for the answer."""
        id = self.book.prefix("practice") + "answer"
        if self.options["calculator"]:
            figures, html = practice_figure(self.options, id)
            for element in block.iter():
                for where in ("text", "tail"):
                    setattr(element, where, self._placed(getattr(element, where), figures))
        else:
            html = practice_choice(self.argument, self.options, id)
        block.append(self.part(html))

    def _placed(self, text: str | None, figures: Mapping[str, str]) -> str | None:
        if not text:
            return text
        pieces = practising.placed(text)
        return "".join(
            before + (self.md.htmlStash.store(figures[name]) if name else "") for before, name in pieces
        )


class DueBlock(NamedBlock):
    """`/// due | What to practise`: every page that has practice, and when it is due on this device."""

    NAME = "due"

    def html(self) -> str:
        """The list; a script says what is due."""
        pages = [
            {"title": title, "url": url, "href": self.book.link(url)}
            for url, title in self.book.ask(practised)
        ]
        return template("due.html").render(pages=pages)


def practice_id(title: str) -> str:
    """The name under which a device keeps the score of a problem."""
    return re.sub("[^a-z0-9]+", "-", title.lower()).strip("-")


def practice_figure(options: Mapping[str, Any], id: str) -> tuple[dict[str, str], str]:
    """The drawn figures by their names, and the place for the answer; both HTML, for every reader's units."""
    practice = read(written(options))
    posed = pose(practice, FIRST)
    seen = {system: shown(practice, posed, Units(system)) for system in SYSTEMS}
    figures = {name: _drawn(name, {one: seen[one][name] for one in SYSTEMS}) for name in seen["metric"]}
    worked = {
        system: template("working.html").render(lines=working(practice, posed, Units(system)))
        for system in SYSTEMS
    }
    html = template("practice-figure.html").render(
        id=id,
        ask=f"{practice.ask.title}:",
        worked=variants_html(alike(worked), tag="div"),
        within=str(options["within"] or WITHIN),
    )
    return figures, html


def practice_choice(title: str, options: Mapping[str, Any], id: str) -> str:
    """What one could do, to choose from, as HTML."""
    return template("practice-choice.html").render(id=id, choices=choices(title, options))


def practice_pages(texts: Mapping[str, str], order: Sequence[str]) -> list[tuple[str, str]]:
    """The address and the title of each page that has practice, in the order of the menu."""
    found = []
    places = {path: place for place, path in enumerate(order)}
    for path, text in sorted(texts.items(), key=lambda one: (places.get(one[0], len(places)), one[0])):
        page = scan(text)
        if has_practice(page):
            title = page.front.get("title")
            found.append((path.removesuffix(".md") + ".html", str(title.value) if title else path))
    return found


def _drawn(name: str, ways: Mapping[str, str]) -> str:
    """A figure that a script can draw anew."""
    shown_as = variants_html(alike({system: escape(way) for system, way in ways.items()}))
    return f'<span class="fb-drawn" data-figure="{escape(name)}">{shown_as}</span>'
