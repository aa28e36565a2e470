"""The complaint: first in the caller's own words, then as findings."""

from faultnet.cases.events import AnyEvent, Passed, Picked, Told
from faultnet.desk.danger import ENOUGH
from faultnet.visit.progress import Progress, wrong
from faultnet.visit.search import system_index
from faultnet.visit.seen import by_use
from faultnet.visit.talk import Talk
from faultnet.visit.told import title_of
from faultnet.visit.turn import ENTER, Line, Reply, Turn, Typed, numbered

WORDS = "complaint"
"""The field of the call sheet that holds the caller's words."""

SHOWN = 7
"""Findings in the list at a time."""

_STAGE = "call-complaint"
_HEADING = "What is wrong"


def asked(talk: Talk, at: Progress) -> Turn | None:
    """Return the question for the caller's words, then the list of what they may mean."""
    if _STAGE in at.passed or ENOUGH in at.passed:
        return None
    if WORDS not in at.call_sheet:
        line = Line("note", "Write it as they say it. Enter alone leaves it out.")
        typed = Typed(f"call-sheet:{WORDS}", "Words:")
        return Turn("complaint", _HEADING, "What is wrong with the water?", (line,), typed=typed)
    return _meant(talk, at)


def _meant(talk: Talk, at: Progress) -> Turn:
    """Return the list of what the words may mean, then of what is told most often."""
    told = complaints(talk, at)
    labels = {title_of(talk.subject, about): _event(talk, about) for about in _likely(talk, at)}
    replies = [*numbered(labels), Reply("t", "search for other words", view="search")]
    replies.append(Reply(ENTER, "that is all" if told else "none of these", Passed(_STAGE)))
    heading = f"So far: {'; '.join(told)}" if told else f"“{at.call_sheet[WORDS]}”"
    title = "Anything else?" if told else "Which is it? Ask back, then take all that fit."
    return Turn(
        "seen", heading if told or at.call_sheet[WORDS] else _HEADING, title, (), tuple(replies)
    )


def complaints(talk: Talk, at: Progress) -> list[str]:
    """Return the titles of what has been told as wrong."""
    return [talk.finding(c).title for c in at.complaints if wrong(talk.finding(c), at.said(c))]


def _likely(talk: Talk, at: Progress) -> list[str]:
    known = talk.subject.knowledge
    found = system_index(talk.subject).find(at.call_sheet[WORDS]) if at.call_sheet[WORDS] else []
    kept = [f for f in found if not at.settled(f) and _by_phone(talk, at, f)]
    usual = [f for f in by_use(talk, at) if known.findings[f].ask_caller]
    left = [f for f in dict.fromkeys((*kept, *usual)) if f not in at.denied]
    return left[:SHOWN]


def _by_phone(talk: Talk, at: Progress, about: str) -> bool:
    if about not in talk.subject.findings:
        return True
    return bool(talk.finding(about).ask_caller) and talk.askable(at, about)


def _event(talk: Talk, about: str) -> AnyEvent:
    """Taking it says yes, where yes says all."""
    finding = talk.subject.knowledge.findings.get(about)
    return Told(about, "yes") if finding is None or len(finding.answers) == 2 else Picked(about)
