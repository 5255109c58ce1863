"""Whatever a page may ask, in JSON text: a calculator's answer, a problem to practise on, or the record.

A problem is asked for by `{"practice": {…}, "seed": 7, "units": "us"}`, as `calc.practice` writes problems.
With `"answer": "51.9 rpm"` beside it the reply judges that, with `"working": true` it shows how it is found.
What `{"record": "…"}` asks for, `calc.record.requests` says.
"""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

from calc import practice, reply
from calc.reply import compact, respond


def warm_up() -> None:
    """Run what can be run beforehand: a snapshot taken afterwards starts ready.

    It has of the standard library what was brought until then, and no more. So what only the record needs
    of it is brought too.
    """
    reply.warm_up()
    importlib.import_module("csv")


def _of_the_record(asked: Mapping[str, Any]) -> dict[str, Any]:
    from calc.record import requests  # most pages never ask it, and every start would carry it

    return requests.respond(asked)


def answer(request: str) -> str:
    """The reply to a request, both JSON text. Never raises."""
    return compact(respond(request, {"practice": practice.respond, "record": _of_the_record}))
