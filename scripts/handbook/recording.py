"""What a page needs so that a record of it can be kept: names of steps, and fields to be filled in."""

from __future__ import annotations

import hashlib
import xml.etree.ElementTree as etree
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.by_unit import kind_of, limit_kind
from calc.record.fields import Field
from calc.record.kinds import COMMON, KINDS
from calc.units import Kind

TURNING = "1 rpm"  # what a reading that is expected of each tank is measured in


@dataclass(frozen=True)
class Asked:
    """A value that a step asks for: what it is, its kind, and its limits as they are written."""

    title: str
    kind: Kind
    example: str
    low: str = ""
    high: str = ""
    within: str = ""
    hint: str = ""
    default: str = ""


def asked(what: str, options: Mapping[str, Any], found: Sequence[str] | None) -> Asked:
    """What a measured value asks for, by its options and by what is expected of a tank, if anything is."""
    if not options["expected"]:
        low, high = (str(options[name]) for name in ("low", "high"))
        return Asked(what, limit_kind(low or high), low or high, low, high)
    kind = kind_of(TURNING)[0]
    if found and "<" not in "".join(found):
        low, high, middle = found
        return Asked(what, kind, middle, low, high)
    return Asked(what, kind, "40 rpm", within=str(options["within"]))


def job_fields() -> list[Field]:
    """What is asked when a job is begun: the machine, the place and the names."""
    fields = {one.name: one for one in (*COMMON, *KINDS["begun"].fields)}
    return [fields[name] for name in ("name", "serial", "place", "who", "second")]


def mark_steps(procedure: etree.Element) -> None:
    """Name every step and every hazard by what it says: another step has another name, in any build."""
    seen: dict[str, int] = {}
    for element in procedure.iter():
        if element.tag == "ol":
            for step in element.findall("li"):
                text = " ".join([step.text or "", *(one.text or "" for one in step.findall("p"))])
                step.set("data-step", _key(text, seen))
        elif element.get("data-hazard"):
            element.set("data-step", _key(f"hazard {element.get('data-hazard')}", seen))


def _key(text: str, seen: dict[str, int]) -> str:
    key = hashlib.sha256(" ".join(text.split()).encode()).hexdigest()[:8]
    seen[key] = seen.get(key, 0) + 1
    return key if seen[key] == 1 else f"{key}-{seen[key]}"
