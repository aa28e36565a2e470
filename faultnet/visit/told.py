"""Ids and answers in words."""

from faultnet.advice.subject import Subject
from faultnet.model.in_words import plain

SPECIALIST = "Hand over to the specialist"

HOW = {
    "mended": "Mended and proved",
    "mended-proof-open": "Mended; the proof is still to come",
    "works-again": "Works again, mended in another way",
    "made-safe": "Made safe only",
    "temporary": "Temporary repair",
    "part-on-order": "Part on order",
    "declined": "Declined by the customer",
    "no-fault": "No fault found",
    "no-access": "No access",
    "referred": "Handed over to the specialist",
}
"""How a visit can end."""

WHY_NOT = {
    "no-tool": "a tool is not here",
    "no-part": "a part is not here",
    "no-access": "nobody can get at it",
    "not-safe-now": "it is not safe now",
    "declined": "the customer does not want it",
    "not-that": "looked at it: it was not that",
    "later": "later",
}
"""Reasons as they are said; all but the last hold for the whole visit."""

OUTCOMES = {
    "nothing": "no change",
    "a-while": "it helped for a while",
    "worse": "it got worse",
    "": "not known",
}
"""What became of it, as it is said."""


def title_of(subject: Subject, about: str) -> str:
    """Return the title of anything that has one."""
    known = subject.knowledge
    entries: tuple[dict[str, object], ...] = (
        {**known.findings},
        {**known.circumstances},
        {**known.layouts},
        {**known.readings},
        {**known.checks},
        {**known.repairs},
        {**known.set_ups},
        {**known.as_found},
        {**known.causes},
    )
    for each in entries:
        if about in each:
            return str(getattr(each[about], "title", about))
    if about.startswith("called:"):
        return f"Call in: {about.removeprefix('called:')}"
    return SPECIALIST if about == "specialist" else plain(about)


def answer_said(subject: Subject, about: str, answer: str) -> str:
    """Return an answer as it is said."""
    layout = subject.knowledge.layouts.get(about)
    for value in layout.values if layout else ():
        if value.id == answer:
            return value.title
    return "cannot be taken" if answer == "cannot" else plain(answer)


def moment_said(at: str) -> str:
    """Return the time of an entry as it is said, to the minute."""
    return f"{at[:16].replace('T', ' ')} (UTC)"
