"""The command line: `python -m calc`, `python -m calc ID NAME=VALUE … [--given FILE] [--units …] [--json]`.

Exit 0 with an answer, 2 when what was given is wrong, 1 when the fault is ours.
"""

from __future__ import annotations

import io
import os
import signal
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from calc.declare import Calculator, Choice, Field, Input, Rows, catalogue, row_optional
from calc.errors import InputError, Problem, listed, problem, refuse
from calc.reading import REPEATED
from calc.reply import SCHEMA, calculator_named, compact, failure, read_json, reply

OPTIONS = ("--json", "--given", "--units", "--help")
HELP = """Sums for air seeding.

  python -m calc                          list the calculators (--json: with every input)
  python -m calc ID                       say what a calculator takes and gives
  python -m calc ID NAME=VALUE …          work it out; a value carries its unit: speed="5 mph"
      --given FILE                        read values from a JSON object in FILE, or - for standard input
      --units metric|us|imperial          units of the answer; us,speed=metric changes one kind
      --json                              reply in one line of JSON
"""


class Request:
    """What a command line asks for, read but not yet checked by a calculator."""

    def __init__(self, arguments: Sequence[str], standard_input: io.TextIOBase) -> None:
        self.name = ""
        self.json = "--json" in arguments
        self.help = "--help" in arguments or "-h" in arguments
        self.units = "metric"
        self.given: dict[str, Any] = {}
        self.read = False  # whether values came as JSON, even none
        self.problems: list[Problem] = []
        self._standard_input = standard_input
        self._twice: list[str] = []
        waiting = iter(a for a in arguments if a not in ("--json", "--help", "-h"))
        for argument in waiting:
            self._take(argument, waiting)
        if self._twice:
            self.given[REPEATED] = sorted({*self._twice, *self.given.get(REPEATED, ())})

    def _take(self, argument: str, waiting: Any) -> None:
        option, _, value = argument.partition("=")
        if option in ("--units", "--given"):
            value = value or next(waiting, "")
            if option == "--units":
                self.units = value
            else:
                self._read(value)
        elif argument.startswith("-"):
            self.problems.append(problem("", "unknown-option", text=argument, options=listed(OPTIONS, "and")))
        elif not self.name and "=" not in argument:
            self.name = argument
        elif "=" not in argument:
            self.problems.append(problem("", "not-an-argument", text=argument))
        else:
            self._add(option, self._value(option, value))

    def _value(self, name: str, text: str) -> Any:
        """The text itself, or rows where it is a JSON list."""
        if not text.startswith("["):
            return text
        try:
            return read_json(text)
        except InputError as error:
            self.problems += [p.at(name) for p in error.problems]
            return None

    def _add(self, name: str, value: Any) -> None:
        if name in self.given:
            self._twice.append(name)
        self.given[name] = value

    def _read(self, path: str) -> None:
        try:
            text = self._standard_input.read() if path == "-" else Path(path).read_text(encoding="utf-8")
            self.read = True
            read = read_json(text.removeprefix("\ufeff"))  # which some editors put first
            if not isinstance(read, Mapping):
                raise refuse("", "not-an-object", example='{"width": "12 m"}')
        except (OSError, UnicodeError) as error:
            why = getattr(error, "strerror", None) or "it is not UTF-8 text"
            self.problems.append(problem("", "no-file", text=path, why=why))
        except InputError as error:
            self.problems += error.problems
        else:
            self._twice += read.get(REPEATED, ())
            for name, value in read.items():
                if name != REPEATED:
                    self._add(name, value)


def main(arguments: Sequence[str], standard_input: io.TextIOBase) -> int:
    """Answer one command line on standard output or standard error; the exit code."""
    request = Request(arguments, standard_input)
    try:
        return _answer(request)
    except InputError as error:
        return _fail(request, error.problems, 2)
    except Exception:  # ours, whatever it is: words, never a traceback
        return _fail(request, [problem("", "our-fault")], 1)


def _answer(request: Request) -> int:
    if request.help:
        print(HELP, end="")
        return 0
    if not request.name and not request.given and not request.problems:
        print(compact(catalogue_json()) if request.json else _catalogue_text())
        return 0
    calculator = calculator_named(request.name)
    if request.problems:
        raise InputError(request.problems)
    if not (request.given or request.read or request.json):
        print(_described(calculator))
        return 0
    made = reply(request.name, request.given, request.units)
    print(compact(made) if request.json else _reply_text(calculator, made))
    return 0


def _fail(request: Request, problems: Sequence[Problem], code: int) -> int:
    if request.json:
        print(compact(failure(request.name, problems)))
    else:
        print(InputError(problems), file=sys.stderr)
    return code


def catalogue_json() -> dict[str, Any]:
    """Every calculator with every input, for other programs."""
    return {"schema": SCHEMA, "calculators": [_calculator_json(c) for c in catalogue().values()]}


def _calculator_json(calculator: Calculator) -> dict[str, Any]:
    return {
        "id": calculator.id,
        "title": calculator.title,
        "asks": calculator.asks,
        "inputs": [_input_json(i, i.name in calculator.optional) for i in calculator.inputs],
        "all_but_one": list(calculator.all_but_one),
        "one_of": list(calculator.one_of),
        "outputs": [
            {"name": o.name, "title": o.title, "kind": o.kind.id if o.kind else "text"}
            for o in calculator.outputs
        ],
    }


def _input_json(one: Field | Rows, optional: bool) -> dict[str, Any]:
    said: dict[str, Any] = {"name": one.name, "title": one.title, "optional": optional or bool(one.default)}
    if isinstance(one, Rows):
        free = row_optional(one)
        columns = [_input_json(c, c.name in free) for c in one.columns]
        return {**said, "kind": "rows", "columns": columns, "least": one.least, "most": one.most}
    said |= {"example": one.example, "default": one.default or None, "hint": one.hint}
    if isinstance(one, (Input, Choice)) and one.only_with:
        said["only_with"] = {choice: list(fitting) for choice, fitting in one.only_with.items()}
    if isinstance(one, Input):
        units = [unit.name for unit in one.kind.units]
        return {**said, "kind": one.kind.id, "units": units, "low": one.low, "high": one.high}
    return (
        {**said, "kind": "choice", "options": dict(one.options)}
        if isinstance(one, Choice)
        else {**said, "kind": "name"}
    )


def _catalogue_text() -> str:
    known = catalogue()
    width = max(map(len, known), default=0)
    return "\n".join(f"{name:<{width}}  {one.title}: {one.asks}" for name, one in known.items())


def _described(calculator: Calculator) -> str:
    lines = [f"{calculator.title}: {calculator.asks}", "", "Takes:"]
    for one in calculator.inputs:
        if isinstance(one, Rows):
            inner = ", ".join(column.name for column in one.columns)
            lines.append(f"  {one.name} (rows of {inner}): {one.title}")
        else:
            said = f"if not given, {one.default}" if one.default else f"such as {one.example}"
            may = ", may be left out" if one.name in calculator.optional else ""
            lines.append(f"  {one.name} ({said}{may}): {one.title}")
    lines += ["", "Gives:", *(f"  {o.name}: {o.title}" for o in calculator.outputs)]
    return "\n".join(lines)


def _reply_text(calculator: Calculator, made: Mapping[str, Any]) -> str:
    known = {o.name: o for o in calculator.outputs}
    width = max(len(known[name].title) for name in made["results"])
    lines = [
        f"{known[name].title:<{width}}  {_cell_text(cell, known[name].absent)}"
        for name, cell in made["results"].items()
    ]
    for table in made["tables"]:
        rows = [
            [c["title"] for c in table["columns"]],
            *([_cell_text(c) for c in row] for row in table["rows"]),
        ]
        widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        lines += ["", table["title"]]
        lines += ["  ".join(f"{c:>{w}}" for c, w in zip(row, widths, strict=True)) for row in rows]
    lines += [f"{note['level']}: {note['text']}" for note in made["notes"]]
    return "\n".join(lines)


def _cell_text(cell: Any, absent: str = "–") -> str:
    return absent if cell is None else cell if isinstance(cell, str) else str(cell["shown"])


if __name__ == "__main__":
    for name in ("SIGPIPE", "SIGINT"):  # who stops reading, or the work, gets silence and no traceback
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_DFL)
    for stream, errors in ((sys.stdin, "strict"), (sys.stdout, "strict"), (sys.stderr, "backslashreplace")):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors=errors)
    # Arguments are UTF-8 too, whatever the locale made of their bytes; standard input may be closed.
    given = [os.fsencode(argument).decode("utf-8", "replace") for argument in sys.argv[1:]]
    sys.exit(main(given, sys.stdin if isinstance(sys.stdin, io.TextIOBase) else io.StringIO()))
