"""A record in a few lines for the office: each job, with what is outside or open, and who signed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from calc.record.entry import Entry
from calc.record.files import merged, twins
from calc.record.kinds import LEVELS


def summary(entries: Iterable[Entry]) -> str:
    """The lines, as text."""
    kept = merged(entries)
    jobs: dict[str, list[Entry]] = {}
    for one in kept:
        if "job" in one:
            jobs.setdefault(one["job"], []).append(one)
    lines = [f"Entries: {len(kept)}. Jobs: {len(jobs)}."]
    for job in sorted(jobs.values(), key=lambda of: of[0]["when"]):
        lines += ["", *_job(job)]
    sheets = [one for one in kept if one["kind"] == "watched"]
    if sheets:
        lines += ["", "Watched and signed:"]
        lines += [
            f"  {one['date']} {one['trainee']}: {one['title']}, {LEVELS[one['level']]} ({one['evaluator']})"
            for one in sheets
        ]
    if same := twins(kept):
        lines += ["", "Numbers that entries with different content bear, all of which are kept:"]
        lines += [f"  {id}" for id in same]
    return "\n".join(lines) + "\n"


def open_changes(entries: Iterable[Entry]) -> list[Entry]:
    """The temporary changes of one job that were opened and not put back, in the order of their time."""
    found: dict[str, Entry] = {}
    for one in valid(entries):
        if one["kind"] == "opened":
            found[one["change"]] = one
        elif one["kind"] == "closed":
            found.pop(one["change"], None)
    return list(found.values())


def valid(entries: Iterable[Entry]) -> list[Entry]:
    """The entries that were not taken back, in the record's order."""
    kept = merged(entries)
    undone = {one["of"] for one in kept if one["kind"] == "undone"}
    return [one for one in kept if one["kind"] != "undone" and one["id"] not in undone]


def _job(entries: Sequence[Entry]) -> Iterator[str]:
    standing = valid(entries)
    begun = next((one for one in standing if one["kind"] == "begun"), None)
    name = begun["name"] if begun else "A job of which the beginning is missing"
    serial = f", {begun['serial']}" if begun and "serial" in begun else ""
    yield f"{name}{serial}: {entries[0]['when'][:10]} to {entries[-1]['when'][:10]}"
    yield f"  by {', '.join(sorted({one['who'] for one in entries}))}"
    counts = [
        f"{len([one for one in standing if one['kind'] == kind])} {words}"
        for kind, words in (("done", "steps done"), ("measured", "values"), ("skipped", "that did not apply"))
    ]
    yield f"  {', '.join(counts)}"
    for one in standing:
        if one["kind"] == "measured" and one["verdict"] == "outside":
            yield f"  outside: {one['what']} {one['value']}; {one['action']}"
    for one in open_changes(entries):
        yield f"  open: {one['change']} ({one['who']}, {one['when'][:10]})"
    signed = [one for one in standing if one["kind"] == "signed"]
    for one in signed:
        yield f"  signed: {one['name']}, {one['role']}, {one['when'][:10]}"
    if not signed:
        yield "  not signed"
