"""Presses keys in the rate form, one after another, and takes how long each answer needs to be seen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import cycle, islice

from playwright.sync_api import Page

from handbook.bench.browsers import Browsers
from handbook.bench.pages import Subject, example, expected, key_watching
from handbook.bench.runs import PATIENCE, opened, refuse_detour
from handbook.console import Stop

FIELD = "rate"
COUNT = 60


@dataclass(frozen=True)
class Hand:
    """How keys are pressed, in ms: a `look` at the page, the field, a `wait`, and a `rest` after each."""

    look: float = 0
    wait: float = 0
    rest: float = 0


PERSON = Hand(look=3000, wait=1000, rest=200)  # five keys in a second, once the keyboard of a phone is up
HURRIED = Hand(wait=1000, rest=200)  # one who goes to the field without a look at the page
AT_ONCE = Hand()  # each key at the moment when the answer to the one before is seen

_MEASURED = "() => window.furrowbookMeasured"
_KEY = "() => window.furrowbookKey"
# Focus with the caret behind the figure and in front of its unit.
_FOCUS = """([name, caret]) => {
    const field = document.querySelector("[data-calculator] form").elements.namedItem(name);
    field.focus();
    field.setSelectionRange(caret, caret);
}"""


@dataclass(frozen=True)
class Key:
    """Milliseconds until the answer was painted: from the key on, and from the question to Python on."""

    whole: float
    asked: float


def press_keys(browsers: Browsers, subject: Subject, hand: Hand, count: int = COUNT) -> list[Key]:
    """`count` keys in this page of the book once it answers, each of which changes the answer.

    A digit is added to the figure and taken away again, by turns. Raises `Stop` where an answer is wrong
    or does not come, or as `measure` does.
    """
    with answering(browsers, subject) as page:
        page.evaluate(key_watching())
        figure = _figure()
        page.wait_for_timeout(hand.look)
        page.evaluate(_FOCUS, [FIELD, len(figure)])
        page.wait_for_timeout(hand.wait)
        pressed = []
        for key in islice(_keys(), count):
            pressed.append(_press(page, key, figure))
            page.wait_for_timeout(hand.rest)
        return pressed


@contextmanager
def answering(browsers: Browsers, subject: Subject) -> Iterator[Page]:
    """This page of the book, once it has answered. Raises `Stop` as `measure` does."""
    with opened(browsers, subject) as page:
        page.wait_for_function(_MEASURED, polling=100, timeout=PATIENCE)
        refuse_detour(page, subject)
        yield page


def _keys() -> cycle[str]:
    return cycle(key for digit in "123456789" for key in (digit, "Backspace"))


def _figure() -> str:
    found = re.match(r"[0-9]+", example()[FIELD])
    if not found:
        raise Stop(f"The worked example of “{FIELD}” does not begin with a figure to type behind.")
    return found[0]


def _press(page: Page, key: str, figure: str) -> Key:
    text = example()[FIELD]
    written = text if key == "Backspace" else figure + key + text[len(figure) :]
    says = expected({**example(), FIELD: written})
    page.keyboard.press(key)
    # The page gives a promise, which is waited for.
    found = page.wait_for_function(_KEY, timeout=PATIENCE).json_value()
    if found["shown"] != says:
        raise Stop(f"With “{written}” typed the page answered {found['shown']!r} and not {says!r}.")
    if found["asked"] is None:
        raise Stop(f"With “{written}” typed the answer changed although Python was not asked.")
    return Key(found["whole"], found["asked"])
