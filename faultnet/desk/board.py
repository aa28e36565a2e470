"""The board: open cases in the order in which somebody has to go."""

from collections.abc import Iterable

import msgspec

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, seconds_of
from faultnet.desk.urgency import Urgency, urgency_of
from faultnet.visit.counsel import Counsel
from faultnet.visit.fold import progress_of
from faultnet.visit.talk import Talk


class Waiting(msgspec.Struct, frozen=True):
    """An open case with its urgency and since when it waits; ``reason`` says why it stands there.

    ``since`` is in UTC as in an entry.
    """

    case: str
    site: str
    urgency: Urgency
    since: str
    reason: str


def waiting(subject: Subject, entries: Iterable[Entry], now: float) -> Waiting | None:
    """Return where a case stands on the board, ``now`` in seconds since 1970; None once closed."""
    at = progress_of(subject, entries, "")
    case = at.case
    if case.ended or not case.begun:
        return None
    urgency = urgency_of(Talk(subject, Counsel(subject, "caller")), at)
    hours = max(0.0, now - seconds_of(case.begun)) / 3600.0
    waits = f"waits {hours:.0f} h" if hours >= 1.0 else "waits less than an hour"
    told = f"{urgency.id} {urgency.title}: {urgency.reason}; {waits}"
    return Waiting(case.id, case.site, urgency, case.begun, told)


def in_order(cases: Iterable[Waiting]) -> tuple[Waiting, ...]:
    """Return cases by urgency, among equals whoever waits longest first."""
    return tuple(sorted(cases, key=lambda each: (each.urgency.id, each.since, each.case)))
