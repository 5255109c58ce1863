"""Answers of calculators as pages show them: found once, written in every system of units."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from calc.declare import Calculator, Found, Say, catalogue
from calc.quantity import Units
from calc.reading import read_given
from calc.reply import success
from calc.units import SYSTEMS, Kind


@dataclass(frozen=True)
class Answer:
    """What a calculator answers: what it was given as text, those values in SI, and what it found."""

    calculator: Calculator
    given: Mapping[str, Any]
    values: Mapping[str, Any]
    found: Found

    def figure(self, name: str) -> tuple[float | None, Kind]:
        """A result in SI, or with `used.` before its name what was given; None where there is none."""
        part, _, own = name.rpartition(".")
        if part == "used":
            kind: Kind = getattr(self.calculator.input(own), "kind")  # noqa: B009  # not all fields have one
            return self.values[own], kind
        output = next(one for one in self.calculator.outputs if one.name == own)
        value = self.found.values.get(own)
        assert output.kind  # what is said in words is asked for as words
        return (None if value is None or isinstance(value, str | Say) else value), output.kind

    def words(self, name: str) -> str:
        """A result that is said in words."""
        value = self.found.values[name]
        if isinstance(value, Say):
            output = next(one for one in self.calculator.outputs if one.name == name)
            return output.says[value.code].fill(value.parts, Units())
        return str(value)

    def replies(self) -> list[tuple[list[str], dict[str, Any]]]:
        """The whole reply in each system of units; systems that read alike share one."""
        alike: dict[str, tuple[list[str], dict[str, Any]]] = {}
        for system in SYSTEMS:
            reply = success(self.calculator, self.values, self.found, Units(system))
            alike.setdefault(json.dumps({**reply, "units": ""}), ([], reply))[0].append(system)
        return list(alike.values())


def answered(calculator: str, given: Mapping[str, Any]) -> Answer:
    """What a calculator answers to what is given. Raises `InputError`."""
    return _answered(calculator, json.dumps(given))


@cache
def _answered(calculator: str, given_text: str) -> Answer:
    declared = catalogue()[calculator]
    given = json.loads(given_text)
    values = read_given(declared, given, Units())
    return Answer(declared, given, values, declared.function(**values))
