"""Rules on the book's lists: chances of faults, hazards, phases. What breaks them is found in these rooms."""

from __future__ import annotations

from handbook.checking.rule import declare

_CASE = (
    "/// practice | The hose\n{hazard}    right: Use cardboard.\n    because: It holds the jet.\n    wrong:\n"
    "      - {{says: Use a glove., because: Oil goes through it.}}\n"
    "      - {{says: Use a rag., because: Oil goes through it.}}\n\n"
    "An oil hose may leak. With what do you feel for it?\n\n///"
)
declare(
    __name__,
    id="chances",
    asks="A fault that has figures has a chance and a time for each cause on its page, and for nothing else.",
    why="The order in which to look is worked out from all of them.",
    source="This book: what is worked out from the figures",
    file="faults/chances.yml",
    wrong="format: 1\nnote: Invented.\nfaults:\n  no-such-page: {}",
    right="format: 1\nnote: Invented.\nfaults: {}",
    stops=True,
)
declare(
    __name__,
    id="register",
    asks="A list of hazards or of phases holds what it must hold.",
    why="The pages that show them are made from these lists.",
    source="This book: what is made from the lists",
    file="reference/hazards.yml",
    wrong="format: 1\nnote: All of them.\nhazards:\n  - name: Fire",
    right="format: 1\nnote: All of them.\nhazards: []",
    stops=True,
)
declare(
    __name__,
    id="hazard-register",
    asks="Each hazard that a page warns of stands in the list of hazards, and each of that list on a page.",
    why="A hazard that is in no list is forgotten on the next page. One that is on no page warns nobody.",
    source="Common practice: a hazard register",
    file="reference/hazards.yml",
    wrong="format: 1\nnote: All of them.\nhazards:\n  - {name: Fire, lines: [Dry straw burns]}",
    right="format: 1\nnote: All of them.\nhazards: []",
)
declare(
    __name__,
    id="hazard-practice",
    asks="Each hazard that the book calls a danger has a practice, which names it as the list does.",
    why="What is only read is not done when it counts.",
    source="Common practice: training by cases",
    wrong=_CASE.format(hazard="    hazard: Oil jets\n"),
    right=_CASE.format(hazard=""),
)
declare(
    __name__,
    id="phases",
    asks="Each phase of the job has a page, and each page names a phase that there is.",
    why="A phase without a page is left out in the yard.",
    source="This book: the job in its order",
    file="procedures/phases.yml",
    wrong="format: 1\nnote: The job.\nphases: {'1': Delivery}",
    right="format: 1\nnote: The job.\nphases: {}",
)
