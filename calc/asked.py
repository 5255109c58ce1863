"""Whatever a page may ask, in JSON text: a calculator's answer, a problem to practise on, or the record.

A problem is asked for by `{"practice": {…}, "seed": 7, "units": "us"}`, as `calc.practice` writes problems.
With `"answer": "51.9 rpm"` beside it the reply judges that, with `"working": true` it shows how it is found.
What `{"record": "…"}` asks for, `calc.record.requests` says.
"""

from __future__ import annotations

from calc import practice
from calc.record import requests
from calc.reply import compact, respond, warm_up

__all__ = ["answer", "warm_up"]


def answer(request: str) -> str:
    """The reply to a request, both JSON text. Never raises."""
    return compact(respond(request, {"practice": practice.respond, "record": requests.respond}))
