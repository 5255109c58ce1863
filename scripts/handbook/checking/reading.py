"""Rules on how long a sentence and a paragraph are, and how hard a page is to read."""

from __future__ import annotations

from collections.abc import Iterable

from handbook.checking.passages import Page, Passage
from handbook.checking.rule import rule
from handbook.checking.sentences import grade, most_sentences, sentences, words_in
from handbook.checking.words import Words
from handbook.problems import Finding, Found

STEP_WORDS = 20
PROSE_WORDS = 25
PARAGRAPH_SENTENCES = 6
LONG_PROSE = 100  # words
HARDEST_GRADE = 8
_DONE = ("step", "avoid")  # what someone does while reading


def _too_long(passages: Iterable[Passage], most: int, name: str) -> Found:
    for passage in passages:
        if len(words_in(passage.text)) <= most:  # told apart into sentences only where one can be too long
            continue
        for sentence in sentences(passage.text):
            if len(sentence.words) > most:
                yield Finding(
                    passage.line_of(sentence.place),
                    name,
                    f"this sentence has {len(sentence.words)} words; end it sooner, with {most} at most",
                )


@rule(
    id="step-length",
    asks=f"A sentence that tells someone what to do has at most {STEP_WORDS} words.",
    why="Steps are read with a hand on the machine. A short one is still known when the eye is off the page.",
    source="ASD-STE100 Simplified Technical English, rules on procedures",
    wrong="""
        /// warning | The fan can throw what lies in it
            consequence: A stone hits you in the face and can blind you.
            avoid: Stand to the side of the outlet, well away from the hose, whenever anyone at all starts
              the fan or turns its speed up by hand.
        ///
        """,
    right="""
        /// warning | The fan can throw what lies in it
            consequence: A stone hits you in the face and can blind you.
            avoid: Stand to the side of the outlet whenever the fan is started.
        ///
        """,
)
def step_length(page: Page, words: Words) -> Found:
    """Steps, and what hazards and limits tell the reader to do."""
    done = (passage for passage in page.passages if passage.kind in _DONE)
    return _too_long(done, STEP_WORDS, "step-length")


@rule(
    id="sentence-length",
    asks=f"A sentence that explains has at most {PROSE_WORDS} words.",
    why="A reader in a cab is called away in the middle of it. What is short is found again.",
    source="ASD-STE100 Simplified Technical English, rules on descriptions",
    wrong="""
        The meter turns with the ground, so that when the tractor slows down on a hill the meter slows down
        too and the rate on the ground stays as it was before.
        """,
    right="""
        The meter turns with the ground. When the tractor slows on a hill, the meter slows too.
        So the rate on the ground stays as it was.
        """,
)
def sentence_length(page: Page, words: Words) -> Found:
    """Everything that is not done while reading."""
    told = (passage for passage in page.passages if passage.kind not in _DONE)
    return _too_long(told, PROSE_WORDS, "sentence-length")


@rule(
    id="paragraph-length",
    asks=f"A paragraph has at most {PARAGRAPH_SENTENCES} sentences.",
    why="A paragraph holds one idea. Where it grows longer, a second idea has come in.",
    source="ASD-STE100 Simplified Technical English, rules on descriptions",
    wrong="One tank. Two tanks. Three tanks. Four tanks. Five tanks. Six tanks. Seven tanks.",
    right="One tank. Two tanks. Three tanks. Four tanks.\n\nFive tanks. Six tanks. Seven tanks.",
)
def paragraph_length(page: Page, words: Words) -> Found:
    """Paragraphs and the items of lists."""
    for passage in page.passages:
        if passage.kind in ("paragraph", "item") and most_sentences(passage.text) > PARAGRAPH_SENTENCES:
            count = len(sentences(passage.text))
            if count > PARAGRAPH_SENTENCES:
                yield Finding(
                    passage.line,
                    "paragraph-length",
                    f"this paragraph has {count} sentences; leave an empty line where its second idea "
                    f"begins, so that each has {PARAGRAPH_SENTENCES} at most",
                )


@rule(
    id="reading-grade",
    asks=f"Prose of {LONG_PROSE} words or more reads at US school grade {HARDEST_GRADE} or below.",
    why="Many who read this do not read for a living, and many read in their second language. "
    "Steps and lists are left out, for a formula tells nothing of them.",
    source="Common practice for public information; Automated Readability Index, AMRL-TR-66-220 (1967)",
    wrong="""
        Commissioning pneumatic distribution equipment necessitates comprehensive understanding of volumetric
        metering characteristics. Manufacturers' documentation frequently distinguishes theoretical
        displacement from experimentally determined displacement.
        Temperature, atmospheric humidity, granulometry,
        electrostatic interactions and mechanical deterioration simultaneously influence volumetric
        displacement.

        Consequently, practitioners systematically re-establish proportionality coefficients.
        Documentation of environmental circumstances accompanies experimentally established coefficients.
        Retrospective investigations demonstrate considerable inter-seasonal variability. Organizational
        procedures consequently recommend systematic recalibration preceding significant operational
        transitions.

        Supervisory personnel independently authenticate recalibration documentation.
        Authentication requirements differ substantially between organizations. Comprehensive documentation
        facilitates subsequent investigations.

        Insufficient documentation compromises investigations.
        Organizations consequently establish documentation requirements. Requirements undergo periodical
        re-examination. Re-examination responsibilities belong to designated supervisory representatives.
        Representatives communicate modifications immediately. Communication responsibilities necessitate
        organizational acknowledgement.
        """,
    right="""
        A meter that was right last spring may be wrong today. The seed is of another size. The air is damp,
        and the rollers are worn.

        So catch what each meter gives before the season, and again for each new
        lot. Write down the lot, the day and the mass of each catch. Someone else reads what you wrote.

        If the mass has changed much since the last lot, look for the reason before you go on. A worn roller
        gives less each year. A damp lot gives less for a day. What you write down now tells you next year
        which of the two it was. Without it you can only guess, and the field pays for the guess.
        """,
)
def reading_grade(page: Page, words: Words) -> Found:
    """The paragraphs of the page together."""
    prose = [passage for passage in page.passages if passage.kind == "paragraph"]
    texts = [passage.text for passage in prose]
    count = sum(len(sentence.words) for text in texts for sentence in sentences(text))
    if count >= LONG_PROSE:
        found = grade(texts)
        if found > HARDEST_GRADE:
            yield Finding(
                prose[0].line,
                "reading-grade",
                f"the prose of this page reads at US school grade {found:.1f}; write shorter words and "
                f"sentences, for grade {HARDEST_GRADE} or below",
            )
