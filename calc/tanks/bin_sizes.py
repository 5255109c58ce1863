"""Which sizes a tank of each shape has, and what does not fit together among the values given."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, cast

from calc.declare import CATALOGUE, Input
from calc.errors import Problem, listed, problem
from calc.number import settle
from calc.quantity import Amount
from calc.units import LENGTH

BODY_SIZES = {
    "box": ("length", "width", "height"),
    "upright-cylinder": ("height", "diameter"),
    "lying-cylinder": ("length", "diameter"),
}
HOPPERS_UNDER = {
    "box": ("none", "wedge", "pyramid"),
    "upright-cylinder": ("none", "cone"),
    "lying-cylinder": ("none",),
}
HOPPER_SIZES = {
    "none": (),
    "cone": ("hopper_depth", "outlet_diameter"),
    "wedge": ("hopper_depth", "outlet_length"),
    "pyramid": ("hopper_depth", "outlet_length", "outlet_width"),
}
OUTLET_IN = {"outlet_diameter": "diameter", "outlet_length": "length", "outlet_width": "width"}


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """What does not fit together among values that are each right, in the order of the inputs."""
    body, hopper = given["body"], given["hopper"]
    problems = _wrong_sizes(given, BODY_SIZES, "body")
    fits = hopper in HOPPERS_UNDER[body]
    if fits:
        problems += _wrong_sizes(given, HOPPER_SIZES, "hopper")
        problems += _outlets_too_big(given, (*BODY_SIZES[body], *HOPPER_SIZES[hopper]))
    elif body == "lying-cylinder":
        problems.append(problem("hopper", "not-used", other="body", value=body))
    else:
        choices = listed(HOPPERS_UNDER[body])
        problems.append(problem("hopper", "not-with", text=hopper, other="body", value=body, choices=choices))
    if body == "lying-cylinder":
        given_in_vain = [("lid", given["lid"] != "none"), ("heap_angle", given["heap_angle"] is not None)]
        problems += [
            problem(name, "not-used", other="body", value=body) for name, wrong in given_in_vain if wrong
        ]
    total = _total_depth(given)
    if total is not None and given["depth"] is not None and settle(given["depth"]) > settle(total):
        problems.append(
            problem("depth", "too-deep", depth=Amount(given["depth"], LENGTH), height=Amount(total, LENGTH))
        )
    order = [one.name for one in CATALOGUE["bin-capacity"].inputs]
    return sorted(problems, key=lambda one: order.index(one.field))


def _wrong_sizes(given: Mapping[str, Any], sizes: Mapping[str, Sequence[str]], choice: str) -> list[Problem]:
    """The sizes that the chosen shape lacks, and those that it has no place for."""
    chosen = given[choice]
    problems = []
    for name in dict.fromkeys(name for names in sizes.values() for name in names):
        wanted, there = name in sizes[chosen], given[name] is not None
        if wanted and not there:
            example = cast(Input, CATALOGUE["bin-capacity"].input(name)).example
            problems.append(problem(name, "needed-with", other=choice, value=chosen, example=example))
        elif there and not wanted:
            problems.append(problem(name, "not-used", other=choice, value=chosen))
    return problems


def _outlets_too_big(given: Mapping[str, Any], used: Sequence[str]) -> list[Problem]:
    problems = []
    for name, over in OUTLET_IN.items():
        outlet, body = given[name], given[over]
        if name in used and over in used and None not in (outlet, body) and settle(outlet) > settle(body):
            problems.append(
                problem(name, "outlet-too-big", outlet=Amount(outlet, LENGTH), body=Amount(body, LENGTH))
            )
    return problems


def _total_depth(given: Mapping[str, Any]) -> float | None:
    """From outlet to top; None while what it is made of is not given, or does not fit."""
    if given["body"] == "lying-cylinder":
        parts = [given["diameter"]]
    elif given["hopper"] not in HOPPERS_UNDER[given["body"]]:
        return None
    else:
        parts = [given["height"], 0.0 if given["hopper"] == "none" else given["hopper_depth"]]
    return None if None in parts else math.fsum(parts)
