"""What was found over time on one machine: mass per turn by tank and lot, and every value measured twice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.by_unit import limit_kind
from calc.chart import Axis, Picture
from calc.errors import InputError
from calc.quantity import Units, parse, show
from calc.record.entry import Entry
from calc.record.summary import valid
from calc.units import Kind

CALIBRATION = ("calibration", "mass_per_turn", "Mass per turn")
"""The calculator and the result that make the history of a tank."""
LEFT, RIGHT, TOP, FLOOR = 70.0, 460.0, 30.0, 200.0
MOST = 12  # points in one picture: the last ones


@dataclass(frozen=True)
class Point:
    """One value: when, as it was written, in SI, and of which lot."""

    when: str
    written: str
    value: float
    lot: str


@dataclass(frozen=True)
class Series:
    """Values of one thing, in the order of their time."""

    title: str
    kind: Kind
    points: Sequence[Point]


def history(entries: Iterable[Entry], machine: str) -> list[Series]:
    """What was found on the machine of this name; of measured values, those that there are several of."""
    kept = valid(entries)
    jobs = {one["job"] for one in kept if one["kind"] == "begun" and one["name"] == machine}
    found: dict[str, tuple[Kind, list[Point]]] = {}
    for one in kept:
        if one.get("job") not in jobs:
            continue
        for title, written, lot in _values(one):
            try:
                kind = limit_kind(written)
                point = Point(one["when"], written, parse(written, kind), lot)
            except InputError:
                continue  # words stand where a figure is looked for
            known = found.setdefault(title, (kind, []))
            if known[0] is kind:
                known[1].append(point)
    calibrated = [title for title in found if title.startswith(CALIBRATION[2])]
    again = [title for title, (_, points) in found.items() if len(points) > 1 and title not in calibrated]
    return [Series(title, *found[title]) for title in (*sorted(calibrated), *sorted(again))]


def as_reply(series: Iterable[Series], units: Units) -> list[dict[str, Any]]:
    """The same as JSON holds it, with a picture of each of which there is more than one value."""
    return [
        {
            "title": one.title,
            "points": [
                {"when": point.when, "shown": show(point.value, one.kind, units), "lot": point.lot}
                for point in one.points
            ],
            "svg": drawn(one, units) if len(one.points) > 1 else "",
        }
        for one in series
    ]


def drawn(series: Series, units: Units) -> str:
    """A picture of the values, one beside the other, with the day below and the lot above each."""
    points = series.points[-MOST:]
    values = [point.value for point in points]
    low, high = min(values), max(values)
    room = (high - low) or abs(high) * 0.1 or 1.0
    axis = Axis(series.kind, units, low - room / 2, high + room / 2, FLOOR, TOP)
    picture = Picture(FLOOR + 46)
    picture.marks_up(axis, LEFT, RIGHT)
    picture.text(4, 18, axis.title(series.title))
    step = (RIGHT - LEFT) / len(points)
    placed = [(LEFT + step * (n + 0.5), axis.at(point.value)) for n, point in enumerate(points)]
    picture.line(placed)
    every = -(-len(points) // 5)  # five days have room side by side
    for n, (point, (x, y)) in enumerate(zip(points, placed, strict=True)):
        picture.dot(x, y)
        if point.lot:
            picture.text(x, y - 10, point.lot[:12], anchor="middle", size=13)
        if n % every == 0:
            picture.text(x, FLOOR + 20, point.when[2:10], anchor="middle", size=13)
    said = ", ".join(f"{point.when[:10]} {show(point.value, series.kind, units)}" for point in points)
    return picture.svg(series.title, said)


def _values(entry: Mapping[str, Any]) -> Iterable[tuple[str, str, str]]:
    """What an entry says was found: its title, the figure as written, and the lot."""
    calculator, result, title = CALIBRATION
    if entry["kind"] == "worked" and entry["calculator"] == calculator and result in entry["results"]:
        tank = entry.get("tank", "")
        yield (f"{title}, {tank}" if tank else title), entry["results"][result], entry.get("lot", "")
    elif entry["kind"] == "measured":
        part = entry.get("part", "")
        yield (f"{entry['what']}: {part}" if part else entry["what"]), entry["value"], ""
