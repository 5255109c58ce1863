"""The kinds of entries, and the fields of each: the one declaration of what a record holds."""

from __future__ import annotations

from dataclasses import dataclass

from calc.record.fields import Day, Field, Named, One, Several, Text, Written

UUID = r"[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"
EXAMPLE_ID = "3f1c8a52-7d1e-4b8f-9c55-0a6f2d9be410"
STROKES = r"(M[0-9]{1,4} [0-9]{1,4}(L[0-9]{1,4} [0-9]{1,4}){0,2000}){1,200}"
SEEN = {"seen": "Seen", "prompted": "Prompted", "not-seen": "Not seen"}
LEVELS = {
    "0": "0 not started",
    "1": "1 with help",
    "2": "2 alone, watched",
    "3": "3 alone",
    "4": "4 can teach it",
}
VERDICTS = {"within": "Within its limits", "outside": "Outside its limits"}
ROLES = {"technician": "Technician", "second": "Second person", "operator": "Operator", "owner": "Owner"}

COMMON: tuple[Field, ...] = (
    Written("id", "Number of the entry", EXAMPLE_ID, True, UUID),
    Day("when", "When, in UTC", "2027-04-30T13:05:09.120Z", True, time=True),
    Text("who", "Who", "R. Field", True, 60),
    Text("second", "With", "T. Furrow", most=60),
    Text("build", "Build of the book", "0123456789ab", True, 40),
)
"""What every entry holds beside its kind."""

_JOB = Written("job", "Job", EXAMPLE_ID, True, UUID)
_STEP: tuple[Field, ...] = (
    _JOB,
    Text("page", "Page", "procedures/calibration.html", True, 200),
    Text("step", "Step", "1a2b3c4d", True, 60),
    Text("part", "Part of the page", "Low rate: Tank 1", most=200),
    Text("says", "What the page says", "Read the meter speed.", True, 2000, lines=True),
)


@dataclass(frozen=True)
class Kind:
    """One kind: its name in the file, its title for readers, and its fields beside the common ones."""

    name: str
    title: str
    fields: tuple[Field, ...]


_ALL = (
    Kind(
        "begun",
        "Job begun",
        (
            _JOB,
            Text("machine", "Machine", "four-tank", most=60),
            Text("name", "Name of the machine", "Prairie Four", True, 120),
            Text("serial", "Serial number", "A-1027", most=60),
            Text("place", "Place", "Yard, north door", most=120),
        ),
    ),
    Kind("done", "Step done", _STEP),
    Kind(
        "measured",
        "Value measured",
        (
            *_STEP,
            Text("what", "Value", "Meter speed", True, 200),
            Text("value", "Measured", "41.2 rpm", True, 60),
            Text("low", "At least", "40 rpm", most=60),
            Text("high", "At most", "44 rpm", most=60),
            One("verdict", "Verdict", "within", True, VERDICTS),
            Text("action", "What was done", "Cleaned the meter and counted again.", most=2000, lines=True),
        ),
    ),
    Kind(
        "skipped",
        "Not for this machine",
        (*_STEP, Text("reason", "Why", "It has no wings.", True, 500, True)),
    ),
    Kind("heeded", "Hazard read", _STEP),
    Kind(
        "noted",
        "Note",
        (
            _JOB,
            Text("page", "Page", "procedures/calibration.html", most=200),
            Text("step", "Step", "1a2b3c4d", most=60),
            Text("note", "Note", "The left hose is new.", True, 4000, lines=True),
        ),
    ),
    Kind(
        "pictured",
        "Photo",
        (
            _JOB,
            Text("page", "Page", "procedures/calibration.html", most=200),
            Text("step", "Step", "1a2b3c4d", most=60),
            Written("photo", "Number of the photo", EXAMPLE_ID, True, UUID),
            Written("bytes", "Size in bytes", "81920", True, "[1-9][0-9]{0,9}"),
        ),
    ),
    Kind("undone", "Taken back", (_JOB, Written("of", "Entry", EXAMPLE_ID, True, UUID))),
    Kind(
        "opened",
        "Temporary change opened",
        (*_STEP, Text("change", "Change", "Simulated ground speed is on", True, 200)),
    ),
    Kind(
        "closed",
        "Temporary change closed",
        (*_STEP, Text("change", "Change", "Simulated ground speed is on", True, 200)),
    ),
    Kind(
        "worked",
        "Worked out",
        (
            Written("job", "Job", EXAMPLE_ID, form=UUID),
            Text("machine", "Machine", "four-tank", most=60),
            Text("tank", "Tank", "1", most=60),
            Text("lot", "Lot", "W-26-114", most=60),
            Written("calculator", "Calculator", "calibration", True, "[a-z][a-z0-9-]{0,59}"),
            Named("given", "Given", "{…}", True),
            Named("results", "Results", "{…}", True),
        ),
    ),
    Kind(
        "signed",
        "Signed",
        (
            _JOB,
            One("role", "As", "operator", True, ROLES),
            Text("name", "Name", "T. Furrow", True, 60),
            Written("drawn", "Drawn by hand", "M10 10L20 30", form=STROKES, most=20_000),
        ),
    ),
    Kind(
        "watched",
        "Watched and signed",
        (
            Text("page", "Page", "procedures/make-safe.html", True, 200),
            Text("title", "Work", "Making safe", True, 200),
            One("apart", "Licensed work", "ammonia", of={"ammonia": "Ammonia"}),
            Text("trainee", "Trainee", "T. Furrow", True, 60),
            Text("employer", "Employer", "Furrow and Field", most=120),
            Day("date", "Date", "2027-04-30", True),
            Text("place", "Place", "Yard, north door", most=120),
            Text("machine", "Machine and serial number", "Prairie Four, A-1027", most=120),
            Text("language", "Language", "English", most=60),
            Text("method", "How it was taught", "Shown, then done with help, then alone", most=200),
            Several(
                "seen",
                "What was watched",
                "[…]",
                True,
                (
                    Text("says", "Behavior", "Chocks both wheels.", True, 500),
                    One("seen", "Seen", "seen", True, SEEN),
                ),
                rows=True,
            ),
            Several(
                "ended",
                "What ended the attempt",
                "[…]",
                each=(Text("", "", "Reached in.", most=500),),
                most=9,
            ),
            One("level", "Level", "2", True, LEVELS),
            Text(
                "evidence", "What was seen, in a few words", "Found the loose chock.", True, 2000, lines=True
            ),
            Text("actions", "Open actions", "Watch the next one.", most=2000, lines=True),
            Day("next", "Next refresher", "2028-04-30"),
            Text("evaluator", "Evaluator", "R. Field", True, 60),
            One("own_level", "Evaluator's own level", "4", True, LEVELS),
            Text("trainee_signed", "Signed by the trainee", "T. Furrow", True, 60),
            Written("trainee_drawn", "The trainee's hand", "M10 10L20 30", form=STROKES, most=20_000),
            Text("evaluator_signed", "Signed by the evaluator", "R. Field", True, 60),
            Written("evaluator_drawn", "The evaluator's hand", "M10 10L20 30", form=STROKES, most=20_000),
        ),
    ),
)
KINDS = {one.name: one for one in _ALL}
"""Every kind by its name."""
