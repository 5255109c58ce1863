"""Drawing results as SVG: the same bytes at build time and in the browser.

Everything is drawn in the current text colour, so a picture follows light, dark and printed pages; lines
are told apart by their dashes and by a label at their end, never by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from html import escape  # not the one of xml.sax, which brings the network and `random` with it

from calc.number import settle, to_digits, trimmed
from calc.quantity import Units, in_unit
from calc.units import Kind

WIDTH = 480
Point = tuple[float, float]
DASHES = ("", "9 5", "2 4", "12 4 2 4", "5 3", "16 6")
WIDE = 0.62  # ems of a letter, as good as the widest of usual ones


class Picture:
    """Shapes in a box `WIDTH` wide; `parts` are the values that its description names."""

    def __init__(self, height: float, parts: Mapping[str, float | str] | None = None) -> None:
        self.height = height
        self.parts = dict(parts or {})
        self._shapes: list[str] = []

    def line(self, points: Sequence[Point], *, width: float = 2, dash: str = "", faint: bool = False) -> None:
        """A line through points."""
        path = " ".join(f"{_at(x)},{_at(y)}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        opacity = ' stroke-opacity="0.3"' if faint else ""
        self._shapes.append(
            f'<polyline points="{path}" fill="none" stroke="currentColor" '
            f'stroke-width="{width:g}"{dashes}{opacity}/>'
        )

    def marks_up(self, axis: Axis, left: float, right: float) -> None:
        """The marks of an upright scale: faint lines across, and what is written to their left."""
        marks, start, end = list(axis.ticks()), _at(left), _at(right)
        self._grid(f"M{start},{_at(y)}H{end}" for y, _ in marks)
        for y, label in marks:
            self.text(left - 8, y + 5, label, anchor="end")

    def marks_across(self, axis: Axis, top: float, floor: float) -> None:
        """The marks of a level scale: faint lines upright, and what is written below them."""
        marks, start, end = list(axis.ticks()), _at(top), _at(floor)
        self._grid(f"M{_at(x)},{start}V{end}" for x, _ in marks)
        for x, label in marks:
            self.text(x, floor + 20, label, anchor="middle")

    def _grid(self, lines: Iterable[str]) -> None:
        self._shapes.append(f'<path d="{"".join(lines)}" stroke="currentColor" stroke-opacity="0.3"/>')

    def area(self, points: Sequence[Point], *, strength: float = 0.15) -> None:
        """A filled shape, faint enough for a line or text on it to be read."""
        path = " ".join(f"{_at(x)},{_at(y)}" for x, y in points)
        self._shapes.append(f'<polygon points="{path}" fill="currentColor" fill-opacity="{strength:g}"/>')

    def box(
        self, x0: float, y0: float, x1: float, y1: float, *, strength: float = 0.15, outline: bool = False
    ) -> None:
        """A filled rectangle, with an outline if wanted."""
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        self.area(corners, strength=strength)
        if outline:
            self.line([*corners, corners[0]], width=1.5)

    def dot(self, x: float, y: float, *, radius: float = 5, hollow: bool = False) -> None:
        """A filled or hollow dot."""
        fill = 'fill="none" stroke="currentColor" stroke-width="2"' if hollow else 'fill="currentColor"'
        self._shapes.append(f'<circle cx="{_at(x)}" cy="{_at(y)}" r="{radius:g}" {fill}/>')

    def text(
        self, x: float, y: float, words: str, *, anchor: str = "start", bold: bool = False, size: int = 15
    ) -> None:
        """Words at a point; `anchor` is start, middle or end."""
        weight = ' font-weight="bold"' if bold else ""
        self._shapes.append(
            f'<text x="{_at(x)}" y="{_at(y)}" font-size="{size}" text-anchor="{anchor}" '
            f'fill="currentColor"{weight}>{escape(words)}</text>'
        )

    def svg(self, title: str, description: str) -> str:
        """The whole picture, with the title and description that a screen reader speaks."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {self.height:g}" role="img">'
            f"<title>{escape(title)}</title><desc>{escape(description)}</desc>{''.join(self._shapes)}</svg>"
        )


class Axis:
    """One scale of a plot, in the reader's unit; `low` and `high` are SI, `start` and `end` picture units."""

    def __init__(self, kind: Kind, units: Units, low: float, high: float, start: float, end: float) -> None:
        self.kind = kind
        self.unit = units.unit(kind)
        shown_low, shown_high = self.shown(low), self.shown(high)
        self.step = nice_step(shown_high - shown_low)
        self.low = math.floor(shown_low / self.step) * self.step
        self.high = max(math.ceil(shown_high / self.step - 1e-9) * self.step, self.low + self.step)
        self.start, self.end = start, end

    def shown(self, value: float) -> float:
        """An SI value as a number of the reader's unit."""
        return float(in_unit(value, self.unit)) if self.unit else value

    def at(self, value: float) -> float:
        """Where an SI value lies on the picture."""
        return self._place(self.shown(value))

    def _place(self, shown: float) -> float:
        return self.start + (shown - self.low) / (self.high - self.low) * (self.end - self.start)

    def ticks(self) -> Iterable[tuple[float, str]]:
        """Where the marks lie, and what is written at them."""
        places = max(0, -math.floor(math.log10(self.step) + 1e-9))
        first, last = round(self.low / self.step), round(self.high / self.step)
        for value in (number * self.step for number in range(first, last + 1)):
            yield self._place(value), f"{value:.{places}f}".replace("-", "−")

    def title(self, words: str) -> str:
        """The words beside the scale, with its unit."""
        return f"{words}, {self.unit.name}" if self.unit else words


class Plot(Picture):
    """A picture with two scales. Each is `(kind, low, high, words)` with its ends in SI."""

    LEFT, RIGHT, TOP, BOTTOM = 62, 30, 34, 52  # at the right for half of a long last figure

    def __init__(
        self,
        units: Units,
        across: tuple[Kind, float, float, str],
        up: tuple[Kind, float, float, str] | None,
        *,
        height: float = 320,
        left: float = LEFT,
        parts: Mapping[str, float | str] | None = None,
    ) -> None:
        super().__init__(height, parts)
        self.floor, self.left, self.right = height - self.BOTTOM, left, WIDTH - self.RIGHT
        self.x = Axis(across[0], units, across[1], across[2], left, self.right)
        self.marks_across(self.x, self.TOP, self.floor)
        self.text((left + self.right) / 2, height - 8, self.x.title(across[3]), anchor="middle")
        self.line([(left, self.floor), (self.right, self.floor)], width=1.5)
        if up:
            self.y = Axis(up[0], units, up[1], up[2], self.floor, self.TOP)
            self.marks_up(self.y, left, self.right)
            self.text(4, 18, self.y.title(up[3]))
            self.line([(left, self.TOP), (left, self.floor)], width=1.5)

    def curve(self, points: Sequence[Point], *, number: int = 0, label: str = "") -> None:
        """A line through SI points; `number` picks its dashes, `label` stands to the right of its end."""
        placed = [(self.x.at(x), self.y.at(y)) for x, y in points]
        self.line(placed, width=2.5, dash=DASHES[number % len(DASHES)])
        if label:
            x, y = placed[-1]
            self.text(x + 5, y + 5, label, size=14)


def shortened(name: str, room: float) -> str:
    """As much of a name as fits into so many ems, by a rough width of its letters."""
    for place, letter in enumerate(name):
        room -= WIDE if letter.islower() or letter in " .,-" else 1.0
        if room < 0:
            return name[:place].rstrip() + "…"
    return name


def nice_step(span: float) -> float:
    """A step of 1, 2 or 5 times a power of ten that cuts `span` into four to ten pieces."""
    if span <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(span / 4) + 1e-9)
    return next(power * m for m in (5, 2, 1) if power * m <= span / 4 * (1 + 1e-9))


def round_values(high: float, kind: Kind, units: Units, most: int) -> list[float]:
    """At most `most` SI values above zero and below `high`, evenly at round figures of the reader's unit."""
    unit = units.unit(kind)
    size = float(unit.factor) if unit else 1.0
    step = nice_step(high / size)
    while high / size / (finer := nice_step(step * 2)) <= most:
        step = finer
    return [number * step * size for number in range(1, math.ceil(settle(high / size / step)))]


def short(value: float, kind: Kind, units: Units) -> str:
    """A figure for a label in a picture: three digits without trailing zeros, and its unit."""
    unit = units.unit(kind)
    text = trimmed(to_digits(in_unit(value, unit) if unit else Fraction(value), 3))
    return f"{text} {unit.name}" if unit else text


def _at(value: float) -> str:
    if not math.isfinite(value):
        raise ArithmeticError("a point of a picture is not finite")
    text = f"{settle(value):.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
