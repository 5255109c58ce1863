"""What the checker found, as lines for people, as JSON, and as SARIF for editors and services."""

from __future__ import annotations

import json
from typing import Any

from handbook.checking.checker import Report
from handbook.checking.rules import RULES
from handbook.problems import Problem

SARIF_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def as_text(report: Report) -> str:
    """A line for each problem, then the places that are excused, then the sum."""
    lines = [problem.with_rule for problem in report.problems]
    if report.excused:
        lines += ["", "Excused:"]
        lines += [f"{one.path}:{one.line}: {one.rule}, because: {one.reason}" for one in report.excused]
    wrong = len(report.problems)
    count = (
        "Nothing is wrong"
        if not wrong
        else "One thing is wrong"
        if wrong == 1
        else f"{wrong} things are wrong"
    )
    pages = "one page" if report.pages == 1 else f"{report.pages} pages"
    return "\n".join([*lines, *([""] if lines else []), f"{count} in {pages}."])


def as_json(report: Report) -> str:
    """One line: the problems and the excused places, each with its file, line and rule."""
    return _line(
        {
            "schema": 1,
            "pages": report.pages,
            "problems": [
                {"file": one.path, "line": one.line, "rule": one.rule, "text": one.text, "stops": _stops(one)}
                for one in report.problems
            ],
            "excused": [
                {"file": one.path, "line": one.line, "rule": one.rule, "reason": one.reason, "text": one.text}
                for one in report.excused
            ],
        }
    )


def as_sarif(report: Report) -> str:
    """A log by SARIF 2.1.0 (OASIS Standard): what stops the build is an error, all else a warning."""
    results = [
        {
            "ruleId": one.rule,
            "level": "error" if _stops(one) else "warning",
            "message": {"text": one.text},
            "locations": [_place(one.path, one.line)],
        }
        for one in report.problems
    ]
    results += [
        {
            "ruleId": one.rule,
            "level": "note",
            "message": {"text": one.text},
            "locations": [_place(one.path, one.line)],
            "suppressions": [{"kind": "inSource", "justification": one.reason}],
        }
        for one in report.excused
    ]
    rules = [
        {
            "id": rule.id,
            "shortDescription": {"text": rule.asks},
            "fullDescription": {"text": rule.why},
            "defaultConfiguration": {"level": "error" if rule.stops else "warning"},
        }
        for rule in RULES.values()
    ]
    tool = {"driver": {"name": "Furrowbook", "rules": rules}}
    return _line({"$schema": SARIF_SCHEMA, "version": "2.1.0", "runs": [{"tool": tool, "results": results}]})


FORMATS = {"text": as_text, "json": as_json, "sarif": as_sarif}


def _place(path: str, line: int) -> dict[str, Any]:
    return {"physicalLocation": {"artifactLocation": {"uri": path}, "region": {"startLine": line}}}


def _stops(problem: Problem) -> bool:
    return problem.rule in RULES and RULES[problem.rule].stops


def _line(content: Any) -> str:
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))
