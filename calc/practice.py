"""Problems to practise on: figures drawn by a seed, an answer judged by a calculator, and the slip behind it.

A problem is written as a page holds it, `{"calculator": id, "ask": result, "given": {…}, "within": "1 %",
"slips": […]}`. A given figure is fixed, `40 ft`, or drawn on steps, `40 to 80 by 5 ft`. A slip says what was
done wrong, and how it is known: `given`, other figures that lead to the same answer, or `times`, a factor.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from calc.declare import Calculator, Found, Input, Output, Rows
from calc.errors import InputError, Problem, listed, nearest, problem, refuse
from calc.number import as_decimal, settle, split_number
from calc.quantity import Units, exact, parse, show
from calc.reading import read_given
from calc.reply import SCHEMA, calculator_named, success
from calc.units import SHARE, Kind

TRIES = 40  # draws of one seed until the figures make sense together
RANGE_EXAMPLE = "40 to 80 by 5 ft"
WITHIN = "1 %"
"""How near an answer has to be, where a problem does not say."""
EXAMPLE = '{"calculator": "rate", "ask": "meter_speed", "given": {"width": "40 to 80 by 5 ft"}}'
_MASK = (1 << 64) - 1

# What an answer that is not right most often comes from, looked for in this order once no slip of the
# problem's own fits.
SAYS = {
    "right": "Right.",
    "unit": "That is the figure in {unit}. Look at the unit again.",
    "tens": "The digits are right, and the decimal mark is not in its place.",
    "upside-down": "You divided the wrong way round.",
    "too-much": "Not yet: this is {share} too much.",
    "too-little": "Not yet: this is {share} too little.",
    "other-sign": "Not yet: look at the sign.",
}


@dataclass(frozen=True)
class Slip:
    """What was done wrong, in words, and the figures or the factor that it is known by."""

    says: str
    given: Mapping[str, Any] = field(default_factory=dict)
    times: Fraction | None = None


@dataclass(frozen=True)
class Practice:
    """A problem that has been read: `given` as it is written, `within` a share of the answer."""

    calculator: Calculator
    ask: Output
    given: Mapping[str, Any]
    within: Fraction
    slips: Sequence[Slip] = ()

    @property
    def kind(self) -> Kind:
        """What the answer is measured in."""
        assert self.ask.kind
        return self.ask.kind


@dataclass(frozen=True)
class Posed:
    """One problem with its figures: what is given, as text and read, what was found, and the answer in SI."""

    given: Mapping[str, Any]
    values: Mapping[str, Any]
    found: Found
    answer: float


def read(written: Mapping[str, Any]) -> Practice:
    """The problem that is written so. Raises `InputError` with everything that is wrong with it."""
    if not isinstance(written, Mapping) or not isinstance(written.get("given", {}), Mapping):
        raise refuse("practice", "not-an-object", example=EXAMPLE)
    calculator = calculator_named(str(written.get("calculator", "")))
    problems: list[Problem] = []
    ask = _asked(calculator, str(written.get("ask", "")), problems)
    given = written.get("given", {})
    _check(calculator, given, "given", problems)
    within = Fraction(0)
    try:
        within = exact(str(written.get("within", WITHIN)), SHARE)
        if not 0 < within < 1:
            problems.append(problem("within", "not-a-tolerance", example="1 %"))
    except InputError as error:
        problems += [one.at("within") for one in error.problems]
    slips = [
        _slip(calculator, one, f"slips[{number}]", problems)
        for number, one in enumerate(written.get("slips", ()), start=1)
    ]
    if problems or ask is None:
        raise InputError(problems)
    return Practice(calculator, ask, given, within, slips)


def _asked(calculator: Calculator, name: str, problems: list[Problem]) -> Output | None:
    figures = {one.name: one for one in calculator.outputs if one.kind}
    if name not in figures:
        meant = nearest(name, figures)
        problems.append(
            problem("ask", "misspelt-result", text=name, meant=meant)
            if meant
            else problem("ask", "unknown-result", text=name, results=listed(figures, "and"))
        )
    return figures.get(name)


def _slip(calculator: Calculator, written: Mapping[str, Any], place: str, problems: list[Problem]) -> Slip:
    times = None
    _check(calculator, written.get("given", {}), f"{place}.given", problems)
    if "times" in written:
        try:
            times, rest = split_number(str(written["times"]), "1.5")
            if rest or times <= 0:
                problems.append(problem(f"{place}.times", "not-bare", text=rest, bare="1.5"))
        except InputError as error:
            problems += [one.at(f"{place}.times") for one in error.problems]
    if not written.get("given") and "times" not in written:
        problems.append(problem(place, "no-slip"))
    return Slip(str(written.get("says", "")), written.get("given", {}), times)


def _check(calculator: Calculator, given: Mapping[str, Any], place: str, problems: list[Problem]) -> None:
    """Say which fields there are not, and which ranges cannot be read."""
    known = {one.name: one for one in calculator.inputs}
    for name, value in given.items():
        if name not in known:
            meant = nearest(name, known)
            problems.append(
                problem(f"{place}.{name}", "misspelt-field", meant=meant)
                if meant
                else problem(f"{place}.{name}", "unknown-field", fields=listed(known, "and"))
            )
        for path, text in _leaves(f"{place}.{name}", value):
            try:
                steps(text)
            except InputError as error:
                problems += [one.at(path) for one in error.problems]


def _leaves(path: str, value: Any) -> list[tuple[str, str]]:
    if isinstance(value, Mapping):
        return [leaf for name, one in value.items() for leaf in _leaves(f"{path}.{name}", one)]
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [leaf for at, one in enumerate(value, start=1) for leaf in _leaves(f"{path}[{at}]", one)]
    return [(path, str(value))]


def steps(text: str) -> tuple[Fraction, Fraction, int, str] | None:
    """The first figure, the step, how many figures there are and their unit; None where `text` is no range.

    Raises `InputError` (field "") where it looks like a range and is none.
    """
    first, to, rest = text.partition(" to ")
    last, by, step = rest.partition(" by ")
    if not (to and by):
        return None
    (low, before), (high, between) = split_number(first, RANGE_EXAMPLE), split_number(last, RANGE_EXAMPLE)
    size, unit = split_number(step, RANGE_EXAMPLE)
    count = (high - low) / size + 1 if size > 0 else Fraction(0)
    if before or between or count < 2 or count.denominator != 1:
        raise refuse("", "not-a-range", text=text, example=RANGE_EXAMPLE)
    return low, size, int(count), unit


def pose(practice: Practice, seed: int) -> Posed:
    """The problem with the figures of this seed: the same on every device and at any time.

    Figures that the calculator refuses or warns of are drawn again. Raises `InputError` with what is wrong
    with the last ones where none make sense.
    """
    wrong: InputError | None = None
    for attempt in range(TRIES):
        given = _drawn(practice.given, seed + (attempt << 32))
        try:
            posed = _worked(practice, given)
        except InputError as error:
            wrong = error.in_units(Units())
            continue
        if posed and posed.answer and not _stops(practice, posed.found):
            return posed
    raise wrong or refuse("given", "never-solvable", tries=TRIES)


def _worked(practice: Practice, given: Mapping[str, Any]) -> Posed | None:
    """The problem with these figures, read as the book writes them; None where they lead to no figure."""
    values = read_given(practice.calculator, given, Units())
    found = practice.calculator.function(**values)
    answer = found.values.get(practice.ask.name)
    return Posed(given, values, found, settle(answer)) if isinstance(answer, (int, float)) else None


def _stops(practice: Practice, found: Found) -> bool:
    levels = {note.code: note.level for note in practice.calculator.notes}
    return any(levels[said.code] == "stop" for said in found.notes)


def _drawn(given: Mapping[str, Any], seed: int) -> dict[str, Any]:
    return {name: _figure(value, seed, name) for name, value in given.items()}


def _figure(value: Any, seed: int, path: str) -> Any:
    if isinstance(value, Mapping):
        return {name: _figure(one, seed, f"{path}.{name}") for name, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_figure(one, seed, f"{path}.{number}") for number, one in enumerate(value)]
    scale = steps(str(value))
    if scale is None:
        return str(value)
    low, size, count, unit = scale
    number = low + size * (chosen(seed, path) % count)
    return f"{as_decimal(number):f} {unit}".strip()


def chosen(seed: int, name: str) -> int:
    """A whole number of 64 bits for a name under a seed, as even as chance and always the same."""
    state = seed & _MASK
    for letter in name.encode():
        state = mixed(state ^ letter)
    return state


def mixed(state: int) -> int:
    """The next number after `state`: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    state = (state + 0x9E3779B97F4A7C15) & _MASK
    state = ((state ^ (state >> 30)) * 0xBF58476D1CE4E5B9) & _MASK
    state = ((state ^ (state >> 27)) * 0x94D049BB133111EB) & _MASK
    return state ^ (state >> 31)


def judge(practice: Practice, posed: Posed, text: str, units: Units) -> dict[str, Any]:
    """What is said of an answer: whether it is right, in words why not, and under which code.

    Raises `InputError` (field "answer") where it cannot be read as a figure of the kind.
    """
    try:
        answered = parse(text, practice.kind, units)
    except InputError as error:
        raise InputError(one.at("answer") for one in error.in_units(units).problems) from error
    code, says = _verdict(practice, posed, answered, text)
    return {"right": code == "right", "code": code, "says": says}


def _verdict(practice: Practice, posed: Posed, answered: float, text: str) -> tuple[str, str]:
    def near(other: float) -> bool:
        return abs(answered - other) <= practice.within * abs(other)

    right = posed.answer
    if near(right):
        return "right", SAYS["right"]
    for number, slip in enumerate(practice.slips, start=1):
        led = led_to(practice, posed, slip)
        if led is not None and near(led):
            return f"slip-{number}", slip.says
    unit = _unit_slip(practice, right, text)
    if unit:
        return "unit", SAYS["unit"].format(unit=unit)
    ratio = answered / right
    if ratio <= 0:
        return "other-sign", SAYS["other-sign"]
    if any(near(right * 10.0**power) for power in (-3, -2, -1, 1, 2, 3)):
        return "tens", SAYS["tens"]
    if _is_upside_down(practice, right, answered, text):
        return "upside-down", SAYS["upside-down"]
    code = "too-much" if ratio > 1 else "too-little"
    return code, SAYS[code].format(share=show(abs(ratio - 1), SHARE))


def _is_upside_down(practice: Practice, right: float, answered: float, text: str) -> bool:
    """Whether one over the right number was written, in the unit that was written; near 1 nobody can tell."""
    number, _ = split_number(text, "")
    meant = right * number / answered
    return not 0.5 < meant < 2 and abs(number * meant - 1) <= practice.within


def led_to(practice: Practice, posed: Posed, slip: Slip) -> float | None:
    """The answer that a slip leads to with these figures; None where it leads to none."""
    led: Posed | None = posed
    if slip.given:
        try:
            led = _worked(practice, {**posed.given, **slip.given})
        except InputError:
            return None
    return led.answer * float(slip.times if slip.times is not None else 1) if led else None


def _unit_slip(practice: Practice, right: float, text: str) -> str | None:
    """The unit in which the number that was written would have been right, where another was written."""
    if practice.kind.bare:
        return None
    number, spelling = split_number(text, "")
    for unit in practice.kind.units:
        meant = float(number * unit.factor + unit.zero)
        if unit.name != spelling and abs(meant - right) <= practice.within * abs(right):
            return unit.name
    return None


def respond(asked: Mapping[str, Any]) -> dict[str, Any]:
    """The reply to a request for a problem: its figures, and what is said of an answer if there is one.

    Raises `InputError`.
    """
    units = Units.read(str(asked.get("units", "metric")))
    practice = read(asked["practice"])
    posed = pose(practice, _seed(asked.get("seed", 0)))
    found = {"ok": True, "schema": SCHEMA, "calculator": practice.calculator.id, "units": str(units)}
    found["shown"] = shown(practice, posed, units)
    if "answer" in asked:
        found |= judge(practice, posed, str(asked["answer"]), units)
    if asked.get("working"):
        found["working"] = working(practice, posed, units)
    return found


def _seed(text: Any) -> int:
    if not (str(text).isascii() and str(text).isdecimal()):
        raise refuse("seed", "whole", text=str(text), example="7")
    return int(text)


def shown(practice: Practice, posed: Posed, units: Units) -> dict[str, str]:
    """Each given figure as a reader of these units sees it, by its name; in rows `tanks.1.rate`."""
    used = _reply(practice, posed, units)["used"]
    return {path: _seen(_at(posed.given, path), _at(used, path)) for path in paths(posed.given)}


def paths(given: Mapping[str, Any]) -> list[str]:
    """The names of all figures that are given, those in rows with the number of their row."""
    leaves = [leaf for name, one in given.items() for leaf in _leaves(name, one)]
    return [path.replace("[", ".").replace("]", "") for path, _ in leaves]


def _reply(practice: Practice, posed: Posed, units: Units) -> dict[str, Any]:
    """What the calculator replies, in a reader's units."""
    return success(practice.calculator, posed.values, posed.found, units)


def _at(values: Any, path: str) -> Any:
    for step in path.split("."):
        in_list = isinstance(values, Sequence) and not isinstance(values, str)
        values = values[int(step) - 1] if in_list else values[step]
    return values


def _seen(drawn: str, used: Any) -> str:
    """A figure as it was drawn where its unit is the reader's, else as a calculator shows it."""
    if not isinstance(used, Mapping):
        return str(used)
    unit = drawn.partition(" ")[2]
    return drawn if unit and used["shown"].partition(" ")[2] == unit else str(used["shown"])


def working(practice: Practice, posed: Posed, units: Units) -> list[dict[str, str]]:
    """How the answer is found: what is given, the figures on the way, and the answer; each with its title."""
    found = _reply(practice, posed, units)
    lines = []
    for one in practice.calculator.inputs:
        used = found["used"].get(one.name)
        if isinstance(one, Input) and isinstance(used, Mapping) and one.name in posed.given:
            lines.append({"title": one.title, "shown": used["shown"]})
        elif isinstance(one, Rows) and used:
            lines += _rows(one, used)
    figures = [o for o in practice.calculator.outputs if o.kind and found["results"].get(o.name) is not None]
    for result in sorted(figures, key=lambda o: o.name == practice.ask.name):  # the answer last
        lines.append({"title": result.title, "shown": found["results"][result.name]["shown"]})
    return lines


def _rows(rows: Rows, used: Sequence[Mapping[str, Any]]) -> list[dict[str, str]]:
    return [
        {"title": f"{rows.each} {number}: {column.title}", "shown": row[column.name]["shown"]}
        for number, row in enumerate(used, start=1)
        for column in rows.columns
        if isinstance(row.get(column.name), Mapping)
    ]
