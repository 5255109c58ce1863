"""Two pictures of a machine from its sheet: the way of its air and product, and the way of its oil.

They show what leads where, not how large anything is. Streams of air are told apart by label and dash.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple
from unicodedata import east_asian_width

from calc import units as u
from calc.chart import DASHES, WIDTH, Picture, Point
from calc.declare import catalogue
from calc.errors import listed
from calc.number import trimmed
from calc.quantity import Units, parse, show
from calc.reply import reply
from calc.units import Kind
from handbook.machines.presets import presets
from handbook.machines.sheet import Oil, Sheet, Tank

SIZE, SMALLEST = 16, 14  # of words; long ones are set smaller before they are cut
EDGE = 14.0  # kept free at the sides
MIDDLE = WIDTH / 2
MOST_HEADS, MOST_RUNS = 16, 96  # more are not drawn one by one
LANE, LANE_WIDTH = 24.0, 3.5  # from one stream's line to the next, and how thick it is
STRAIGHT, PITCH = 50.0, 100.0  # the straight part of a tank, and from one tank to the next
OUTLET = 50.0  # from a tank's side to the middle of its outlet


class Drawing(NamedTuple):
    """A picture, its title, and the same in words for those who do not see it."""

    picture: Picture
    title: str
    description: str


def air_path(sheet: Sheet, units: Units) -> Drawing:
    """From the fan past the meters to the runs: which stream carries what."""
    streams = list(dict.fromkeys(tank.stream for tank in sheet.tanks))
    return Drawing(
        _AirPath(sheet, streams, units),
        f"{sheet.name}: the way of the air",
        _air_in_words(sheet, streams, units),
    )


def oil_path(sheet: Sheet, units: Units) -> Drawing:
    """From the tractor to the fan motor and back. Raises ValueError where the sheet has no oil."""
    if sheet.oil is None:
        raise ValueError(f"the sheet of {sheet.name} says nothing of its oil")
    known = reply("oil", presets(sheet, catalogue()["oil"]), str(units))
    taken = _short(known["results"]["flow"]["shown"])
    return Drawing(
        _OilPath(sheet, sheet.oil, taken, units),
        f"{sheet.name}: the way of the oil",
        _oil_in_words(sheet, sheet.oil, taken, units),
    )


def _air_in_words(sheet: Sheet, streams: Sequence[str], units: Units) -> str:
    fan = _figure(sheet.fan.working, u.TURNING_SPEED, units)
    blown = f"{_counted(len(streams), 'stream')}: {listed(map(_quoted, streams), 'and')}"
    dropped = (
        f"the meter of {_quoted(tank.name)} drops {tank.product} into {_quoted(tank.stream)}"
        for tank in sheet.tanks
    )
    there = (
        f"Through {_hoses(sheet, units)}, air and product go on to {_counted(_count(sheet.heads), 'head')}, "
        f"and from there to {_counted(_count(sheet.runs), 'run')}, {_apart(sheet, units)}."
    )
    said = [
        f"The fan, at {fan}, blows air into {blown}.",
        f"In order from the front, {listed(dropped, 'and')}.",
        there,
    ]
    if len(streams) > 1:
        said.append("The machine's papers say which hoses and heads belong to which stream.")
    other = [name for name in ("liquid", "ammonia") if getattr(sheet, name)]
    if other:
        said.append(f"The picture leaves out the {listed(other, 'and the')}.")
    return " ".join(said)


def _oil_in_words(sheet: Sheet, oil: Oil, taken: str, units: Units) -> str:
    bore = f", {_inside(oil.hose_bore, units)}," if oil.hose_bore else ""
    meters = "The meters of this machine are not driven by oil."
    if oil.meters_flow:
        flow = _figure(oil.meters_flow, u.LIQUID_FLOW, units)
        meters = f"The meter drives take {flow} from the same pressure line, and have a return too."
    return (
        f"The tractor gives {_figure(oil.tractor_flow, u.LIQUID_FLOW, units)} of oil. "
        f"Through the pressure hose{bore} it goes to the fan motor, which takes {taken} "
        f"at {_figure(sheet.fan.working, u.TURNING_SPEED, units)} and "
        f"{_figure(oil.pressure, u.GAUGE_PRESSURE, units)}, and comes back by the return. "
        "The case drain goes from the motor back to the tractor by a line of its own, free and without "
        f"pressure. {meters}"
    )


def _figure(text: str, kind: Kind, units: Units) -> str:
    """A figure of the sheet in the reader's unit."""
    return _short(show(parse(text, kind), kind, units))


def _short(shown: str) -> str:
    """A shown figure without the zeros that end its decimals."""
    number, _, unit = shown.partition(" ")
    return f"{trimmed(number)} {unit}"


def _count(text: str) -> int:
    return int(parse(text, u.COUNT))


def _counted(number: int, one: str) -> str:
    """So many of a thing: 1 head, 8 heads."""
    return f"{number} {one}" if number == 1 else f"{number} {one}s"


def _quoted(name: str) -> str:
    return f"“{name}”"


def _hoses(sheet: Sheet, units: Units) -> str:
    if sheet.air is None:
        return "hoses"
    return f"{_counted(_count(sheet.air.hoses), 'hose')}, {_inside(sheet.air.hose_bore, units)}"


def _inside(bore: str, units: Units) -> str:
    return f"{_figure(bore, u.SHORT_LENGTH, units)} inside"


def _apart(sheet: Sheet, units: Units) -> str:
    return f"{_figure(sheet.spacing, u.SHORT_LENGTH, units)} apart"


def _wide(words: str, size: float, *, bold: bool = False) -> float:
    """What words take across at the most: no two typefaces agree."""
    letters = sum(
        1.0 if east_asian_width(one) in "WF" else 0.8 if one.isupper() or one in "mw—…" else 0.6
        for one in words
    )
    return letters * size * (1.1 if bold else 1)


class _Schematic(Picture):
    """A picture of parts, and of lines with arrow heads from one to the next."""

    def words(
        self, x: float, y: float, words: str, room: float, *, anchor: str = "middle", bold: bool = False
    ) -> None:
        """Words in the room there is: smaller if they are long, and cut, with … for the rest, if longer."""
        size = SIZE
        while size > SMALLEST and _wide(words, size, bold=bold) > room:
            size -= 1
        while len(words) > 1 and _wide(words, size, bold=bold) > room:
            words = f"{words.rstrip('…')[:-1].rstrip()}…"
        self.text(x, y, words, anchor=anchor, bold=bold, size=size)

    def flow(self, points: Sequence[Point], *, width: float = 2, dash: str = "") -> None:
        """A line through points that ends in an arrow head."""
        (x0, y0), (x, y) = points[-2:]
        size = 7 + width
        share = size / math.dist((x0, y0), (x, y))
        self.line([*points[:-1], (x - share * (x - x0), y - share * (y - y0))], width=width, dash=dash)
        self.arrow((x, y), (x - x0, y - y0), size)

    def arrow(self, tip: Point, toward: Point, size: float) -> None:
        """An arrow head whose tip lies here."""
        (x, y), along = tip, math.hypot(*toward)
        dx, dy = size * toward[0] / along, size * toward[1] / along
        self.area([tip, (x - dx - dy / 2, y - dy + dx / 2), (x - dx + dy / 2, y - dy - dx / 2)], strength=1)

    def fan(self, x: float, y: float, radius: float) -> None:
        """A fan wheel in its housing."""
        self.dot(x, y, radius=radius, hollow=True)
        self.dot(x, y, radius=radius / 6)
        for turn in (math.pi / 3 * number for number in range(6)):
            blade = (_round(x, y, radius * (1 + step) / 6, turn + 0.18 * step) for step in range(5))
            self.line(list(blade))

    def meter(self, x: float, y: float, radius: float) -> None:
        """A metering element from its end."""
        self.dot(x, y, radius=radius, hollow=True)
        for turn in (math.pi / 6 + math.pi / 3 * number for number in range(3)):
            self.line([_round(x, y, radius, turn), _round(x, y, -radius, turn)], width=1.5)

    def tractor(self, x: float, ground: float) -> None:
        """A tractor from its side, its back to the right."""
        for across, radius, hub in ((20, 19, 5), (-29, 10, 3)):
            self.dot(x + across, ground - radius - 1, radius=radius, hollow=True)
            self.dot(x + across, ground - radius - 1, radius=hub)
        hood = [(-38, 24), (-38, 43), (-4, 43), (-4, 70), (28, 70), (31, 42)]
        for points in (hood, [(-17, 13), (-1, 13)]):
            self.line([(x + across, ground - up) for across, up in points])


def _round(x: float, y: float, radius: float, turn: float) -> Point:
    return x + radius * math.cos(turn), y + radius * math.sin(turn)


def _hop(x: float, y: float, inwards: int) -> list[Point]:
    """A bow over a line that is crossed and not joined, on the way outwards."""
    turns = (math.pi * step / 8 for step in range(9))
    return [(x + 6 * inwards * math.cos(turn), y - 6 * math.sin(turn)) for turn in turns]


class _Stream(NamedTuple):
    """A stream's line: the lanes from the tanks out to its own, its level at the fan, and its dash."""

    lanes: tuple[float, ...]
    level: float
    dash: str

    @property
    def inwards(self) -> int:
        """Towards the tanks: 1 on the left side, -1 on the right one."""
        return 1 if self.lanes[-1] < MIDDLE else -1

    @property
    def anchor(self) -> str:
        """Of words that begin at this side."""
        return "start" if self.inwards > 0 else "end"


class _AirPath(_Schematic):
    """From the top: the fan, the tanks between the streams that run down both sides, hoses, heads, runs."""

    FAN, RADIUS = 38.0, 27.0
    LEVEL, LEVELS = 98.0, 30.0  # of the first line sideways from the fan, and from one to the next

    def __init__(self, sheet: Sheet, names: Sequence[str], units: Units) -> None:
        left, right = (len(names) + 1) // 2, len(names) // 2
        self.top = self.LEVEL + self.LEVELS * (left - 1) + 24
        self.floor = self.top + PITCH * len(sheet.tanks) + 12
        self.below = self.floor + (36 if len(names) == 1 else 56)
        super().__init__(self.below + 116)
        self.streams = {name: self._stream(number, left, right) for number, name in enumerate(names)}
        self.left = EDGE + 6 + LANE * (left - 1) + 44
        self.right = WIDTH - (EDGE + 6 + LANE * (right - 1) + 44 if right else EDGE)
        self._draw_fan(_figure(sheet.fan.working, u.TURNING_SPEED, units))
        for name, stream in self.streams.items():
            self._draw_stream(name, stream)
        for number, tank in enumerate(sheet.tanks):
            self._draw_tank(tank, self.streams[tank.stream], self.top + PITCH * number)
        self._draw_hoses(_hoses(sheet, units) + ("" if sheet.air else " to the heads"))
        self._draw_heads(_count(sheet.heads), _count(sheet.runs), _apart(sheet, units))

    def _stream(self, number: int, left: int, right: int) -> _Stream:
        """Streams take turns on the left and on the right, from the tanks outwards."""
        on_left, depth = number % 2 == 0, number // 2
        outermost = (left if on_left else right) - 1
        out = [EDGE + 6 + LANE * (outermost - at) for at in range(depth + 1)]
        lanes = out if on_left else [WIDTH - place for place in out]
        level = self.LEVEL + self.LEVELS * (outermost - depth)
        return _Stream(tuple(lanes), level, DASHES[number % len(DASHES)])

    def _draw_fan(self, speed: str) -> None:
        lowest = max(stream.level for stream in self.streams.values())
        self.fan(MIDDLE, self.FAN, self.RADIUS)
        beside = MIDDLE + self.RADIUS + 15
        self.text(beside, self.FAN - 3, "Fan", bold=True, size=SIZE)
        self.words(beside, self.FAN + 18, speed, WIDTH - EDGE - beside, anchor="start")
        self.text(MIDDLE - 100, self.FAN + 5, "air", anchor="end", size=SIZE)
        self.flow([(MIDDLE - 92, self.FAN), (MIDDLE - self.RADIUS - 4, self.FAN)], width=LANE_WIDTH)
        self.line([(MIDDLE, self.FAN + self.RADIUS), (MIDDLE, lowest + LANE_WIDTH / 2)], width=6)

    def _draw_stream(self, name: str, stream: _Stream) -> None:
        """Out of the fan's duct, with its name on it, and down to the hoses."""
        lane = stream.lanes[-1]
        path = [(MIDDLE, stream.level), (lane, stream.level), (lane, self.floor)]
        self.flow(path, width=LANE_WIDTH, dash=stream.dash)
        self.arrow((lane, self.top + STRAIGHT / 2), (0, 1), 7 + LANE_WIDTH)
        at, room = lane + 10 * stream.inwards, abs(MIDDLE - lane) - 26
        self.words(at, stream.level - 9, name, room, anchor=stream.anchor)

    def _draw_tank(self, tank: Tank, stream: _Stream, top: float) -> None:
        """A tank with its words in it, its meter under the outlet, and the way of its product to a stream."""
        inwards = stream.inwards
        near, far = (self.left, self.right) if inwards > 0 else (self.right, self.left)
        outlet, shoulder, neck = near + OUTLET * inwards, top + STRAIGHT, top + STRAIGHT + 15
        funnel = [(outlet + 11 * inwards, neck), (outlet - 11 * inwards, neck)]
        walls = [(near, shoulder), (near, top), (far, top), (far, shoulder), *funnel]
        self.area(walls, strength=0.1)
        self.line([*walls, walls[0]])
        across, room = (near + far) / 2, abs(far - near) - 16
        self.words(across, top + 21, tank.name, room, bold=True)
        self.words(across, top + 42, tank.product, room)
        y = neck + 11
        self.meter(outlet, y, 10)
        self.text(outlet + 17 * inwards, y + 5, "meter", anchor=stream.anchor, size=SMALLEST)
        hops = [point for lane in stream.lanes[:-1] for point in _hop(lane, y, inwards)]
        end = stream.lanes[-1] + LANE_WIDTH / 2 * inwards
        self.flow([(outlet - 10 * inwards, y), *hops, (end, y)])

    def _draw_hoses(self, words: str) -> None:
        """What all streams lead into; which hose is whose, no sheet says."""
        self.box(EDGE, self.floor, WIDTH - EDGE, self.below, strength=0, outline=True)
        self.words(MIDDLE, self.floor + 23, words, WIDTH - 2 * EDGE - 16, bold=True)
        if len(self.streams) > 1:
            more = "Which stream goes where: see the machine's papers"
            self.text(MIDDLE, self.floor + 44, more, anchor="middle", size=SMALLEST)

    def _draw_heads(self, heads: int, runs: int, apart: str) -> None:
        """The heads, each over its share of the runs, with the words for both at the left."""
        y, base, end = self.below + 34, self.below + 84, WIDTH - EDGE
        said = [_counted(heads, "head"), _counted(runs, "run"), apart]
        room = min(max(_wide(words, SIZE) for words in said), 200)
        for words, line in zip(said, (y + 5, base, base + 21), strict=True):
            self.words(EDGE, line, words, room, anchor="start")
        start = EDGE + room + 12
        drawn = heads if heads <= MOST_HEADS else 1
        share = (end - start) / drawn
        for x in (start + share * (number + 0.5) for number in range(drawn)):
            self.flow([(x, self.below), (x, y - 9)])
            if heads <= MOST_HEADS:
                reach = share / 2 - 1.5
                self.dot(x, y, radius=8, hollow=True)
                self.area([(x, y + 9), (x + reach, base), (x - reach, base)], strength=0.25)
            else:
                self.box(start, y - 9, end, y + 9, strength=0, outline=True)
                self.box(start, y + 9, end, base, strength=0.25)
        self.line([(start, base), (end, base)], width=1.5)
        if runs > MOST_RUNS:
            self.box(start, base, end, base + 12, strength=0.5)
        else:
            for x in (start + (end - start) * (number + 0.5) / runs for number in range(runs)):
                self.line([(x, base), (x, base + 12)], width=1.5)


class _OilPath(_Schematic):
    """The tractor at the left, the fan motor and the meters' drives at the right, and the lines between."""

    DRAIN, RETURN, PRESSURE = 42.0, 104.0, 160.0  # where the fan motor's lines run
    FEED, METERS_RETURN = 236.0, 290.0  # and those of the meters' drives
    LEFT, TRACTOR, SPLIT, MOTOR, RIGHT = 10.0, 122.0, 276.0, 300.0, WIDTH - 10.0  # across

    def __init__(self, sheet: Sheet, oil: Oil, taken: str, units: Units) -> None:
        bottom = self.METERS_RETURN + 22 if oil.meters_flow else self.PRESSURE + 28
        super().__init__(bottom + 10)
        ground = (10 + bottom) / 2 - 3
        self.tractor((self.LEFT + self.TRACTOR) / 2, ground)
        gives = _figure(oil.tractor_flow, u.LIQUID_FLOW, units)
        self._draw_part(self.LEFT, self.TRACTOR, 10, bottom, ground + 34, ["Tractor", "gives", gives])
        speed = _figure(sheet.fan.working, u.TURNING_SPEED, units)
        pressure = f"at {_figure(oil.pressure, u.GAUGE_PRESSURE, units)}"
        motor = ["Fan motor", speed, f"takes {taken}", pressure]
        self.fan((self.MOTOR + self.RIGHT) / 2, 46, 24)
        self._draw_part(self.MOTOR, self.RIGHT, 10, self.PRESSURE + 28, 100, motor)
        self.flow([(self.MOTOR, self.DRAIN), (self.TRACTOR, self.DRAIN)], dash="3 4")
        self._name_line(self.DRAIN, "case drain", "free, no pressure")
        self.flow([(self.MOTOR, self.RETURN), (self.TRACTOR, self.RETURN)], width=2.5)
        self._name_line(self.RETURN, "return")
        self.flow([(self.TRACTOR, self.PRESSURE), (self.MOTOR, self.PRESSURE)], width=4)
        bore = _inside(oil.hose_bore, units) if oil.hose_bore else ""
        self._name_line(self.PRESSURE, "pressure hose", bore)
        if oil.meters_flow:
            self._draw_meters(_figure(oil.meters_flow, u.LIQUID_FLOW, units), bottom)

    def _draw_part(
        self, left: float, right: float, top: float, bottom: float, y: float, lines: Sequence[str]
    ) -> None:
        """A box with lines of words from `y` on, the first of them its name."""
        self.box(left, top, right, bottom, strength=0.1, outline=True)
        for number, words in enumerate(lines):
            self.words((left + right) / 2, y + 22 * number, words, right - left - 4, bold=number == 0)

    def _name_line(self, y: float, over: str, under: str = "") -> None:
        """Words over and under a line of oil."""
        for words, line in ((over, y - 9), (under, y + 20)):
            if words:
                self.words((self.TRACTOR + self.SPLIT) / 2, line, words, self.SPLIT - self.TRACTOR - 10)

    def _draw_meters(self, flow: str, bottom: float) -> None:
        """A second way beside the fan motor's, from the same pressure line."""
        top = self.FEED - 24
        self.meter((self.MOTOR + self.RIGHT) / 2, self.FEED, 13)
        self._draw_part(self.MOTOR, self.RIGHT, top, bottom, self.FEED + 36, ["Meter drives", f"take {flow}"])
        self.dot(self.SPLIT, self.PRESSURE)
        parted = [(self.SPLIT, self.PRESSURE), (self.SPLIT, self.FEED), (self.MOTOR, self.FEED)]
        self.flow(parted, width=4)
        self.flow([(self.MOTOR, self.METERS_RETURN), (self.TRACTOR, self.METERS_RETURN)], width=2.5)
        self._name_line(self.METERS_RETURN, "return")
