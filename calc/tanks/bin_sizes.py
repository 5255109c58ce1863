"""What does not fit together among the sizes of a tank."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from calc.errors import Problem, listed, problem
from calc.number import settle
from calc.quantity import Amount
from calc.units import LENGTH

HOPPERS_UNDER = {
    "box": ("none", "wedge", "pyramid"),
    "upright-cylinder": ("none", "cone"),
    "lying-cylinder": ("none",),
}
OUTLET_IN = {"outlet_diameter": "diameter", "outlet_length": "length", "outlet_width": "width"}


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """What does not fit together among values that are each right; those that are wrong are None."""
    body, hopper, depth = given["body"], given["hopper"], given["depth"]
    if body is None or hopper is None:
        return []
    problems = []
    if hopper in HOPPERS_UNDER[body]:
        problems += _outlets_too_big(given)
    elif body != "lying-cylinder":
        choices = listed(HOPPERS_UNDER[body])
        problems.append(problem("hopper", "not-with", text=hopper, other="body", value=body, choices=choices))
    total = _total_depth(given)
    if total is not None and depth is not None and settle(depth) > settle(total):
        problems.append(
            problem("depth", "too-deep", depth=Amount(depth, LENGTH), height=Amount(total, LENGTH))
        )
    return problems


def _outlets_too_big(given: Mapping[str, Any]) -> list[Problem]:
    problems = []
    for name, over in OUTLET_IN.items():
        outlet, body = given[name], given[over]
        if None not in (outlet, body) and settle(outlet) > settle(body):
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
