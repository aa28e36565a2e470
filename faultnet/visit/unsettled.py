"""What people said or did on one case without having seen each other's, in words."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from faultnet.advice.subject import Subject
from faultnet.cases.case import Apart, Case, Conflict, Kind
from faultnet.cases.entry import Entry
from faultnet.cases.events import Ended, RoundBegun
from faultnet.visit.said import said
from faultnet.visit.told import answer_said, title_of

TITLES: dict[Kind, str] = {
    "closed": "One closed the case while the other went on",
    "mended": "Both of them mended something",
    "undone": "One took back what the other went on from",
}


class Voiced(msgspec.Struct, frozen=True):
    """What one of them said or did, in words: by whom, whose word it is, when (UTC)."""

    author: str
    by: str
    words: str
    at: str


class Unsettled(msgspec.Struct, frozen=True):
    """Something that is open until somebody who has seen all of it says how it is.

    ``kind`` is ``said`` where different things were told about ``title``; else it says how
    what was done does not go together. ``round`` counts from 1; it is null where it
    belongs to none.
    """

    kind: Literal["said"] | Kind
    title: str
    round: int | None
    said: tuple[Voiced, ...]


def unsettled(subject: Subject, case: Case) -> Iterator[Unsettled]:
    """Yield what is unsettled in a case: what was done apart, then what was said."""
    yield from (done_apart(subject, case, each) for each in case.apart)
    yield from (said_apart(subject, each) for each in case.conflicts)


def said_apart(subject: Subject, conflict: Conflict) -> Unsettled:
    """Return in words what people said differently."""
    about = conflict.about
    voices = tuple(
        Voiced(v.author, v.speaker, answer_said(subject, about, v.value), v.at)
        for v in conflict.said
    )
    number = None if conflict.round is None else conflict.round + 1
    return Unsettled("said", title_of(subject, about), number, voices)


def done_apart(subject: Subject, case: Case, apart: Apart) -> Unsettled:
    """Return in words what people did apart."""
    voices = tuple(
        Voiced(each.author, case.sitting(each.author).speaker, _did(subject, apart, each), each.at)
        for each in apart.done
    )
    return Unsettled(apart.kind, TITLES[apart.kind], None, voices)


def _did(subject: Subject, apart: Apart, entry: Entry) -> str:
    """Return what one of them did; of an undoing what was undone."""
    if apart.of and getattr(entry.event, "event", "") == apart.of.id:
        return f"Taken back: {said(subject, apart.of.event)}"
    if isinstance(entry.event, Ended):
        return f"Closed: {said(subject, entry.event)}"
    if isinstance(entry.event, RoundBegun):
        return f"Something else changed: {entry.event.text}".removesuffix(": ")
    return said(subject, entry.event) or "Went on"
