"""What can be wrong with what a person gave, and the one table of words that says so."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

MESSAGES: dict[str, str] = {
    # numbers
    "empty": "nothing is written here; write a value such as {example}, or leave the field out",
    "not-a-number": "“{text}” does not start with a plain number; write it like {example}",
    "digits": "“{text}” uses digits other than 0 to 9; write it like {example}",
    "thousands-comma": "“{text}” could mean {joined} or {point}; write the one you mean",
    "two-marks": "“{text}” has more than one decimal mark; write it with one, like {example}",
    "inner-space": "“{text}” has a space inside the number; write it without, like {example}",
    "fraction": "“{text}” is written as a fraction; write it as a decimal, like {example}",
    "bare-mark": "“{text}” needs a digit on both sides of its decimal mark; write it like {example}",
    "too-long": "this is too long to be a figure; write it like {example}",
    "not-text": "a value is written as text with its unit, like {example}",
    # units
    "missing-unit": "“{text}” is missing its unit; write {suggestions}",
    "unknown-unit": "the unit “{unit}” is not known here; write one of {units}",
    "misspelt-unit": "the unit “{unit}” is not known; did you mean “{meant}”?",
    "wrong-kind": "“{text}” is a measure of {got}; this field takes {wanted}: write it in {units}",
    "which-gallon": "“{unit}” could be a US or an imperial measure; write “{us}” or “{imperial}”",
    "not-bare": "“{text}” is a plain count without a unit; write {bare}",
    "whole": "“{text}” must be a whole number; write it like {example}",
    # ranges
    "too-low": "“{shown}” is below the least that makes sense here, {limit}; check the figure and its unit",
    "too-high": "“{shown}” is above the most that makes sense here, {limit}; check the figure and its unit",
    # give or take
    "give-not-here": "a give or take has no place here; write the figure alone, like {example}",
    "give-alone": "the figure itself is missing before the give or take; write it like {example}",
    "give-unread": "the give or take is not read: {why}",
    "give-negative": "a give or take is a size, without a sign; write it like {example}",
    "give-too-wide": "with this give or take the figure could be one that makes no sense here; write less",
    # choices, names, rows
    "not-a-choice": "“{text}” is not one of the choices; write one of {choices}",
    "misspelt-choice": "“{text}” is not one of the choices; did you mean “{meant}”?",
    "name-length": "a name is between 1 and 60 characters; this one has {length}",
    "name-signs": "this name holds a sign that cannot be printed; type it again, like {example}",
    "not-rows": "this is a list of rows, each like {example}",
    "not-a-row": "a row is a set of named values, like {example}",
    "row-count": "there are {count} rows; give between {least} and {most}",
    "same-name": "the name “{text}” stands twice; give each row its own",
    # which fields
    "required": "this is needed; write it like {example}",
    "unknown-field": "there is no such field; the fields are {fields}",
    "misspelt-field": "there is no such field; did you mean “{meant}”?",
    "twice": "this is given twice; give it once",
    "two-left-out": "only one of {group} may be left out; give this one, like {example}, or the others",
    "none-left-out": "all of {group} are given; leave out the one you want worked out",
    "one-of": "give one of {group}",
    "only-one-of": "give only one of {group}",
    "not-used": "this has no place with {other} = {value}; leave it out",
    "not-with": "“{text}” does not go with {other} = {value}; write {choices}",
    "needed-with": "this is needed with {other} = {value}; write it like {example}",
    # one value against another
    "low-above-high": "{low} is above {high}, the upper end of the range; swap them or correct one",
    "tare-above-gross": "the empty container, {tare}, weighs as much as the full one, {gross}; check both",
    "outlet-too-big": "the outlet, {outlet}, is larger than the body, {body}; check both",
    "too-deep": "{depth} is deeper than the tank, {height}; measure from the outlet up",
    "no-room": "{what} does not fit: {shown} against {limit}; check both",
    "other-head": "run {run} stands under head {first} further up and under head {second} here; correct one",
    "not-a-field-speed": "{course} in {time} is {speed}; a machine goes from {low} to {high}: check both",
    "nothing-left": "a loss of {loss} in points leaves nothing of {germination} germination; check both",
    "too-wide-a-spread": "a spread of {spread} does not fit into a spacing of {spacing}; check both",
    "above-whole": "the shares add up to {total}, and no product holds more than 100 %; check each",
    "reserve-too-big": "the reserve, {reserve}, leaves nothing of the {mass} in {tank}; check both",
    "speeds-far-apart": "{new} is over five times {now}, or under a fifth of it; check both and their units",
    # problems to practise on
    "not-a-range": "“{text}” is no range of figures on even steps; write it like “{example}”",
    "not-a-tolerance": "an answer may be off by more than 0 % and less than 100 %; write it like {example}",
    "unknown-result": "there is no figure “{text}” among the results; they are {results}",
    "misspelt-result": "there is no figure “{text}” among the results; did you mean “{meant}”?",
    "no-slip": "a slip is known by the figures it leads to: give “given” or “times”",
    "never-solvable": "no figures in these ranges make sense together in {tries} draws; narrow them",
    # entries of the record
    "entry-not-text": "this must be text; write it like {example}",
    "entry-length": "this has {length} characters; write between 1 and {most}",
    "entry-signs": "this is blank, or holds a sign that cannot be seen; write it like {example}",
    "entry-form": "this is not written as it must be; write it like {example}",
    "entry-not-one": "this must be one of {choices}",
    "entry-not-list": "this must be a list, like {example}",
    "entry-not-named": "this must be a set of names and values, like {example}",
    "entry-name": "a name is made of the letters a to z, of digits and of “_”, and begins with a letter",
    "entry-unknown": "there is no field “{text}” in an entry of this kind; leave it out",
    "no-limit": "a measured value has a lowest or a highest limit; give one",
    "wrong-verdict": "by its value and its limits the verdict is “{verdict}”; correct one of them",
    "action-needed": "the value is outside its limits; write what was done about it",
    "ended-alone": "the attempt was ended; the level can be 0 or 1",
    "not-all-seen": "from level 2 on, everything must be seen without prompting; choose 0 or 1",
    "other-name": "a signature bears the same name as above, {name}",
    "own-evaluator": "nobody signs off their own work; write the name of whoever watched",
    "refresher-before": "the next refresher comes after the day of this one; correct one of them",
    "record-too-long": "the file has more than {most} characters; export it in parts",
    "record-too-deep": "brackets stand too deep in each other; choose a file that a book exported",
    "record-empty": "the file is empty; choose a file that a book has exported",
    "record-newer": "the file is of format {format}; this book knows {known}: renew the book first",
    "not-a-record": "this is no record of this book; choose a JSON or CSV file that a book has exported",
    "not-csv": "the file is not readable as CSV: {why}",
    "unknown-request": "“{text}” cannot be asked of the record; ask one of {names}",
    # the whole request
    "not-json": "the values given are not readable as JSON: {why}",
    "not-an-object": "the values given must be one set of names and values, like {example}",
    "not-an-argument": "“{text}” is not written as NAME=VALUE",
    "no-file": "the file “{text}” cannot be read: {why}",
    "unknown-calculator": "there is no calculator “{text}”; the calculators are {ids}",
    "misspelt-calculator": "there is no calculator “{text}”; did you mean “{meant}”?",
    "unknown-units": "the units “{text}” are not known; write metric, us or imperial",
    "unknown-option": "“{text}” is not an option; the options are {options}",
    "our-fault": "something went wrong inside the calculator; please report this, with the values you gave",
}


@dataclass(frozen=True)
class Problem:
    """One thing wrong: the field it stands in ("" for the whole request), a stable code, and the parts of
    its words. A part that is an amount (`calc.quantity.Amount`) is shown in the reader's `units`.
    """

    field: str
    code: str
    parts: Mapping[str, Any]
    units: Any = None

    def at(self, field: str) -> Problem:
        """The same problem, said of another field."""
        return replace(self, field=field)

    @property
    def text(self) -> str:
        """What is wrong, and what to write instead."""
        shown = {name: p.shown(self.units) if hasattr(p, "shown") else p for name, p in self.parts.items()}
        return MESSAGES[self.code].format(**shown)


class InputError(ValueError):
    """Everything that is wrong with one request, all at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def in_units(self, units: Any) -> InputError:
        """The same, said in a reader's units."""
        return InputError(replace(p, units=units) for p in self.problems)

    def __str__(self) -> str:
        return "\n".join(f"{p.field}: {p.text}" if p.field else p.text for p in self.problems)


def problem(field: str, code: str, /, **parts: object) -> Problem:
    """A problem with its words from `MESSAGES`, filled with `parts`. Raises KeyError for an unknown code."""
    if code not in MESSAGES:
        raise KeyError(code)
    return Problem(field, code, parts)


def refuse(field: str, code: str, /, **parts: object) -> InputError:
    """An `InputError` that holds one problem."""
    return InputError([problem(field, code, **parts)])


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that `word` was probably meant to be, or None."""
    names = list(known)
    folded = {name.casefold(): name for name in names}
    if word.casefold() in folded:
        return folded[word.casefold()]
    close = difflib.get_close_matches(word.casefold(), list(folded), n=1, cutoff=0.75)
    return folded[close[0]] if close else None


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words as a reader's list: `a, b or c`."""
    names = list(words)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"
