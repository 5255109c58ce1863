"""What trying came to, room by room, and every change that was not noticed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from statistics import NormalDist

from handbook.measured import Part, Table, Words
from handbook.mutation.made import Mutant
from handbook.mutation.spared import LIST, Reasons
from handbook.mutation.trying import Trial

AIM = 0.90
CERTAIN = 0.95


def report(root: Path, trials: Sequence[Trial], of_all: int) -> list[Part]:
    """The table by room, the share with its interval where not all was tried, and what was not noticed."""
    reasons = Reasons(root)
    missed = [trial for trial in trials if not trial.caught]
    excused = [trial for trial in missed if reasons.of(trial.mutant)]
    rooms: dict[str, list[Trial]] = {}
    for trial in trials:
        rooms.setdefault(room_of(trial.mutant), []).append(trial)
    rows = tuple((room, f"{len(lot)}", _share(lot)) for room, lot in sorted(rooms.items()))
    caught = len(trials) - len(missed)
    parts: list[Part] = [
        Table(("room of calc", "changes", "noticed"), rows),
        f"Noticed: {caught} of {len(trials)}, {_share(trials)} (aim {AIM:.0%}).",
    ]
    if len(trials) < of_all:
        low, high = interval(caught, len(trials))
        parts += [
            f"Chosen by lot out of {of_all}; of all of them {low:.1%} to {high:.1%} would be (95 in 100)."
        ]
    bare = [trial.mutant for trial in missed if trial not in excused]
    parts += [
        f"Not noticed, with a reason in {LIST}: {len(excused)}.",
        f"Not noticed, without a reason: {len(bare)}.",
    ]
    if bare:
        bare.sort(key=lambda one: (one.module, one.line))
        said = tuple((f"{one.module}:{one.line}", f"`{one.was}` as `{one.becomes}`") for one in bare)
        parts.append(Words(said))
    return parts


def room_of(mutant: Mutant) -> str:
    """The room of `calc` that a change is in; its ground floor has none."""
    parts = mutant.module.split("/")
    return parts[1] if len(parts) > 2 else "calc"


def _share(trials: Sequence[Trial]) -> str:
    return f"{sum(trial.caught for trial in trials) / len(trials):.1%}"


def interval(caught: int, tried: int) -> tuple[float, float]:
    """Wilson's interval for a share. Source: NIST/SEMATECH e-Handbook, 7.2.4.1 (from memory)."""
    z = NormalDist().inv_cdf((1 + CERTAIN) / 2)
    share, part = caught / tried, z * z / tried
    middle = (share + part / 2) / (1 + part)
    half = z * math.sqrt(share * (1 - share) / tried + part / tried / 4) / (1 + part)
    return middle - half, middle + half
