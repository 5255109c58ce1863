"""The HTML templates of the blocks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from handbook.quantities import limit_markdown
from handbook.quantity_marks import marked_html

TEMPLATES = Path(__file__).parent / "web" / "templates"


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["levels"] = {"info": "Note:", "check": "Check:", "stop": "Stop:"}
    made.globals["limit_md"] = limit_markdown
    made.filters["marked"] = marked_html
    return made


def template(name: str) -> Template:
    """A template of `web/templates`; what is put into it is escaped."""
    return _environment().get_template(name)
