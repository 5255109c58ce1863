"""Pictures as a reader has to be able to read them: a check of our own for every calculator's."""

from __future__ import annotations

import itertools
import re
from typing import NamedTuple
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
# Share of its width that lies left of a text's own place.
LETTER = {"start": 0.0, "middle": 0.5, "end": 1.0}
WIDE = 0.6  # of its size: what a letter takes across

Box = tuple[float, float, float, float]


class Seen(NamedTuple):
    """A picture, where each text of it lies (left, top, right, bottom), and the points of its shapes."""

    root: ElementTree.Element
    boxes: list[Box]
    points: list[tuple[float, float]]


def looked_at(svg: str) -> Seen:
    """What is drawn, once no text overlaps another or leaves the box, nor does any shape leave it."""
    root = ElementTree.fromstring(svg)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    boxes: list[Box] = []
    for text in root.iter(f"{SVG}text"):
        left, top, right, bottom = box = box_of(text)
        assert left >= 0 and right <= width and top >= 0 and bottom <= height, text.text
        boxes.append(box)
    for one, other in itertools.combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)
    points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", svg)]
    assert all(0 <= x <= width and 0 <= y <= height for x, y in points)
    assert all(0 <= float(part) <= 1 for part in re.findall(r'opacity="([^"]+)"', svg))
    return Seen(root, boxes, points)


def box_of(text: ElementTree.Element) -> Box:
    """Where a text lies, by its letters."""
    x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
    wide = WIDE * size * len(text.text or "")
    left = x - LETTER[text.attrib["text-anchor"]] * wide
    return left, y - size, left + wide, y
