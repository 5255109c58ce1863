"""From a wanted stand to seeds and mass, with the loss taken either way."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calc.chart import Picture, Plot, short
from calc.declare import Found, Value, say
from calc.errors import Problem, problem
from calc.number import settle
from calc.quantity import Amount, Units
from calc.units import FOOT, KERNEL_MASS, MASS_PER_AREA, PLANTS_PER_AREA, SHARE

WAYS = ("share", "points")
AROUND = (0.8, 0.9, 1.0, 1.1, 1.2)  # shares of the kernel mass and of the stand that the table goes through
SOWN = (1e-5, 0.5)  # kg/m²: what the other calculators take for a rate

_PER_SQUARE_FOOT = float(FOOT**2)


def survival_of(germination: float, loss: float, loss_as: str) -> float:
    """The share of seeds that become plants: the loss as a share of those that germinate, or in points."""
    return germination * (1 - loss) if loss_as == "share" else germination - loss


def leaves_nothing(germination: float, loss: float) -> bool:
    """Whether a loss in points takes all that germinates."""
    return settle(loss) >= settle(germination)


def wrong_together(given: Mapping[str, Any]) -> list[Problem]:
    """A loss in points that leaves nothing of the germination; values that are wrong are None."""
    germination, loss = given["germination"], given["loss"]
    if given["loss_as"] != "points" or germination is None or loss is None:
        return []
    if not leaves_nothing(germination, loss):
        return []
    parts = {"loss": Amount(loss, SHARE), "germination": Amount(germination, SHARE)}
    return [problem("loss", "nothing-left", **parts)]


def rate_for(plants: float, kernel_mass: float, survival: float, purity: float) -> float:
    """Mass per area (kg/m²) of seed whose thousand kernels weigh `kernel_mass` (kg), for `plants` per m²."""
    return plants * kernel_mass / (1000 * survival * purity)


def short_rule(plants: float, kernel_mass: float, survival: float, purity: float) -> float:
    """What the prairie short rule says, in lb/ac: plants/ft² times grams, over the shares, over 10.

    The exact divisor is 453.59237 · 1000 / 43 560 = 10.413, so it is 4.13 % high. It is shown, never used.
    """
    return plants * _PER_SQUARE_FOOT * kernel_mass * 1000 / (survival * purity) / 10


def both_ways(given: Mapping[str, Any]) -> list[list[Value]]:
    """A row for each way of taking the loss: survival, seeds and rate, and which was taken."""
    rows: list[list[Value]] = []
    for way in WAYS:
        taken = say("taken" if way == given["loss_as"] else "not-taken")
        if way == "points" and leaves_nothing(given["germination"], given["loss"]):
            rows.append([say(way), None, None, None, taken])
            continue
        survival = survival_of(given["germination"], given["loss"], way)
        rate = rate_for(given["plants"], given["kernel_mass"], survival, given["purity"])
        rows.append([say(way), survival, given["plants"] / survival, rate, taken])
    return rows


def other_lots(plants: float, kernel_mass: float, survival: float, purity: float) -> list[list[float]]:
    """A row a kernel mass: that, then the rate for each stand."""
    return [
        [m * kernel_mass, *(rate_for(p * plants, m * kernel_mass, survival, purity) for p in AROUND)]
        for m in AROUND
    ]


def draw_lots(given: Mapping[str, Any], found: Found, units: Units) -> Picture | None:
    """Rate against kernel mass for the wanted stand and a quarter to either side; None far from any drill."""
    rate, kernel_mass, plants = found.values["rate"], given["kernel_mass"], given["plants"]
    if not isinstance(rate, float) or not SOWN[0] <= settle(rate) <= SOWN[1]:
        return None
    plot = Plot(
        units,
        (KERNEL_MASS, 0.0, 1.5 * 1.5 * kernel_mass, "Mass of a thousand seeds"),  # with room for the labels
        (MASS_PER_AREA, 0.0, 1.25 * 1.5 * rate, "Rate"),
        parts={"kernel_mass": kernel_mass, "rate": rate},
    )
    for number, share in enumerate((1.0, 0.75, 1.25)):
        label = short(share * plants, PLANTS_PER_AREA, units)
        plot.curve([(0.0, 0.0), (1.5 * kernel_mass, 1.5 * share * rate)], number=number, label=label)
    plot.dot(plot.x.at(kernel_mass), plot.y.at(rate))
    return plot
