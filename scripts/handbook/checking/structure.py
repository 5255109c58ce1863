"""Rules on how a page is written, so that it can be rendered at all. What breaks them is found on reading."""

from __future__ import annotations

from handbook.checking.rule import declare

BOOK = "This book: what the renderer would turn silently into something else"
_STEPS = "//// procedure | Stop the fan\n\n{}\n\n////"
_MEASURE = (
    "1. Read the gauge.\n\n    /// measure | Oil pressure\n        low: {low}\n        source: {source}\n"
    "        outside: Stop.\n    ///"
)


def _measured(low: str = "30 psi", source: str = "machine plate") -> str:
    return _STEPS.format(_MEASURE.format(low=low, source=source))


def _stops(**parts: object) -> None:
    declare(__name__, **parts, stops=True)


_stops(
    id="utf-8",
    asks="Every file is text in UTF-8.",
    why="In any other encoding ° and ² come out as other signs.",
    source="RFC 3629",
    wrong="\udcff",
    right="Set it to `20 °C`{.q}.",
)
_stops(
    id="block-form",
    asks="A block opens with slashes and its name, closes with as many slashes, and has an empty line above.",
    why="A block that is written otherwise comes out as plain text, and a hazard is no longer one.",
    source=BOOK,
    wrong="/// calculator | rate",
    right="/// calculator | rate\n///",
)
_stops(
    id="code-form",
    asks="Code between fences begins its line, is closed, and has at most a language behind its fence.",
    why="A fence that is never closed swallows the rest of the page.",
    source=BOOK,
    wrong="```\npython3 scripts/check.py",
    right="```\npython3 scripts/check.py\n```",
)
_stops(
    id="raw-html",
    asks="A page holds Markdown and blocks, no HTML.",
    why="HTML of one's own shows neither in large letters nor on paper as the rest does, and may run.",
    source=BOOK,
    wrong="<b>Stop</b>",
    right="**Stop**",
)
_stops(
    id="options-form",
    asks="The options of a block and the head of a page are lines of “name: value” that can be read one way.",
    why="YAML reads “no” as false and “1:30” as a number of seconds.",
    source="YAML 1.1, as PyYAML reads it",
    wrong="/// notice | The lid is loose\n    avoid: no\n///",
    right="/// notice | The lid is loose\n    avoid: 'no'\n///",
)
_stops(
    id="block-name",
    asks="A block has a name that this book knows.",
    why="An unknown one comes out as slashes and text.",
    source=BOOK,
    wrong="/// calculater | rate\n///",
    right="/// calculator | rate\n///",
)
_stops(
    id="block-argument",
    asks="Behind the bar of a block stands what it is about.",
    why="A hazard without words warns of nothing.",
    source=BOOK,
    wrong="/// doors\n///",
    right="/// doors | Where to go\n///",
)
_stops(
    id="block-place",
    asks="A block stands where its kind belongs: a measured value in its step, all else at the line's start.",
    why="Elsewhere the renderer takes it for code or for a part of the step above.",
    source=BOOK,
    wrong="1. Read this.\n\n    /// calculator | rate\n    ///",
    right="1. Read this.\n\n/// calculator | rate\n///",
)
_stops(
    id="option-missing",
    asks="A block has the options that its kind must have.",
    why="Without them there is nothing to show.",
    source=BOOK,
    wrong="/// figures | tanks\n///",
    right="/// figures | tanks\n    machine: trial-two\n///",
)
_stops(
    id="option-name",
    asks="A block has no option that its kind does not know.",
    why="What is misspelt is not read, and nobody notices.",
    source=BOOK,
    wrong="/// calculator | rate\n    machin: trial-two\n///",
    right="/// calculator | rate\n    machine: trial-two\n///",
)
_stops(
    id="option-value",
    asks="The value of an option is of its kind: a text, a list, or a figure with its unit in range.",
    why="A figure that cannot be read leaves the form empty.",
    source=BOOK,
    wrong="/// calculator | rate\n    width: 40\n///",
    right="/// calculator | rate\n    width: 40 ft\n///",
)
_stops(
    id="calculator-name",
    asks="A calculator that a page names is one of this book's.",
    why="There is nothing else to show.",
    source=BOOK,
    wrong="/// calculator | raet\n///",
    right="/// calculator | rate\n///",
)
_stops(
    id="machine-name",
    asks="A machine or tank that a page names has its sheet, or stands in it.",
    why="Without a sheet there are no figures.",
    source=BOOK,
    wrong="/// figures | tanks\n    machine: trial-tow\n///",
    right="/// figures | tanks\n    machine: trial-two\n///",
)
_stops(
    id="figures-name",
    asks="Figures that a page asks for are figures that can be made from a sheet.",
    why="There is nothing else to show.",
    source=BOOK,
    wrong="/// figures | tank\n    machine: trial-two\n///",
    right="/// figures | tanks\n    machine: trial-two\n///",
)
_stops(
    id="step-numbers",
    asks="The steps of a procedure are numbered through from 1.",
    why="People call out the number of a step. Two steps 7 are two mistakes on the telephone.",
    source="Common practice for checklists",
    wrong=_STEPS.format("1. Stop the fan.\n3. Close the lid."),
    right=_STEPS.format("1. Stop the fan.\n2. Close the lid."),
    file="procedures/example.md",
)
_stops(
    id="limit",
    asks="A measured value has a limit below or above it, with its unit, the lower one first.",
    why="A value without a limit is neither good nor bad.",
    source="Common practice for acceptance tests",
    wrong=_measured(low="30 psj"),
    right=_measured(),
    file="procedures/example.md",
)
_stops(
    id="limit-source",
    asks="A limit says what kind of source it has.",
    why="A limit from law is kept at any price, one from common practice is open to question.",
    source="Common practice for acceptance tests",
    wrong=_measured(source="the boss"),
    right=_measured(),
    file="procedures/example.md",
)
_stops(
    id="page-kind",
    asks="The head of a page says of which kind it is.",
    why="A reader who wants to do something is not served by a lesson, nor the other way round.",
    source="Diátaxis, a framework for documentation",
    wrong="---\ntitle: Example\nsummary: An example.\n---\n\nA meter turns.",
    right="---\ntitle: Example\nkind: lesson\nsummary: An example.\n---\n\nA meter turns.",
)
_stops(
    id="link",
    asks="A link within the book leads to a page, and to a place in it, that is there.",
    why="Without signal a dead link is the end of the way.",
    source="WCAG 2.2, success criterion 2.4.4; common practice",
    wrong="More is on [the next page](nowhere.md).",
    right="More is on [the first page](../index.md).",
)
_stops(
    id="glossary",
    asks="The glossary gives each name once, with what it means.",
    why="What is looked up is found in one place.",
    source=BOOK,
    file="reference/glossary.yml",
    wrong="format: 1\nnote: Words.\nverbs: []\nterms:\n  - name: meter\n",
    right="format: 1\nnote: Words.\nverbs: []\nterms:\n  - name: meter\n    means: It measures product.\n",
)
_stops(
    id="navigation",
    asks="Every page stands in the navigation, and all that stands there is a page.",
    why="A page that no menu names is found by nobody who does not know of it.",
    source="Common practice",
    file="mkdocs.yml",
    wrong="docs_dir: docs\nnav:\n  - index.md\n  - lessons/gone.md\n",
    right="docs_dir: docs\nnav:\n  - index.md\n",
)
_WATCHED = (
    "/// observed | Isolate a drive\n    behaviors:\n      - Stops the fan.\n      - Takes the key.\n{more}"
    "    ends:\n      - Reaches past a guard.\n      - Bridges a switch.\n///"
)
_stops(
    id="observed",
    asks="A sheet for watching a job has 6 to 12 behaviors, and 2 or 3 things that end the attempt.",
    why="Fewer show too little. Of more, some are missed while one looks at the paper.",
    source="Common practice: seen, prompted or not seen",
    wrong=_WATCHED.format(more=""),
    right=_WATCHED.format(more="".join(f"      - Proves step {n}.\n" for n in range(3, 7))),
)
_CHANGED = "1. Lower the limit.\n\n    /// opens | A low limit\n    ///\n\n2. Raise the limit."
_stops(
    id="temporary",
    asks="A change that a procedure makes for a time is put back in a later step of the same procedure.",
    why="A setting left over from a test keeps a machine from starting, far from whoever set it.",
    source="Common practice for temporary modifications",
    wrong=_STEPS.format(_CHANGED),
    right=_STEPS.format(f"{_CHANGED}\n\n    /// closes | A low limit\n    ///\n"),
    file="procedures/example.md",
)
_PRACTICE = """
/// practice | Meter speed
    calculator: rate
    ask: {ask}
    given:
        width: 40 to 80 by 5 ft
        rate: 60 to 180 by 5 lb/ac
        speed: 5 mph
        mass_per_turn: 1.4 lb/rev

The working width is {{width}}, the rate {{rate}}, the ground speed {{speed}}.
One turn gives {{mass_per_turn}}. How fast must the meter turn?

///
"""
_stops(
    id="practice",
    asks="A practice tells a case with all its figures, and a calculator answers it for every draw of them. "
    "Or it gives one right choice and two wrong ones or more, each with what comes of it.",
    why="A problem without an answer teaches that the book is wrong.",
    source=BOOK,
    wrong=_PRACTICE.format(ask="meter_sped"),
    right=_PRACTICE.format(ask="meter_speed"),
)
