"""The board: open cases in the order in which somebody has to go.

It is made of what was told, without any ranking, so that it is there at once.
"""

from collections.abc import Iterable
from typing import Literal

import msgspec

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, seconds_of
from faultnet.desk.handing_over import handed_over
from faultnet.desk.spoken import hours_said
from faultnet.desk.urgency import Urgency, said, urgency_of
from faultnet.visit.counsel import Counsel
from faultnet.visit.fold import progress_of
from faultnet.visit.progress import Progress
from faultnet.visit.talk import Talk

Next = Literal["call", "technician", "pump", "rests"]
"""What is next: the call goes on, a technician is waited for, one is at it, it rests."""


class Waiting(msgspec.Struct, frozen=True):
    """An open case with its urgency, since when it waits, what is next and who has it.

    ``since`` is in UTC as in an entry; ``who`` is an author, empty while nobody has it.
    ``name`` and ``address`` are those that were told in the case itself.
    """

    case: str
    site: str
    urgency: Urgency
    since: str
    next: Next = "call"
    who: str = ""
    name: str = ""
    address: str = ""

    def waits(self, now: float) -> str:
        """Return how long it has waited, ``now`` in seconds since 1970."""
        hours = max(0.0, now - seconds_of(self.since)) / 3600.0
        return f"waits {hours_said(hours)}" if hours >= 1.0 else "waits less than an hour"

    def reason(self, now: float) -> str:
        """Return why it stands where it stands."""
        return f"{said(self.urgency)}; {self.waits(now)}"


def waiting(subject: Subject, entries: Iterable[Entry]) -> Waiting | None:
    """Return where a case stands on the board; None once closed."""
    at = progress_of(subject, entries, "")
    case = at.case
    if case.ended or not case.begun:
        return None
    urgency = urgency_of(Talk(subject, Counsel(subject, "caller")), at)
    is_next = _next(at)
    who = "" if is_next == "technician" else case.last
    named = at.call_sheet.get("name", ""), at.call_sheet.get("address", "")
    return Waiting(case.id, case.site, urgency, case.begun, is_next, who, *named)


def in_order(cases: Iterable[Waiting]) -> tuple[Waiting, ...]:
    """Return cases by urgency, among equals whoever waits longest first."""
    return tuple(sorted(cases, key=lambda each: (each.urgency.id, each.since, each.case)))


def _next(at: Progress) -> Next:
    if at.paused:
        return "rests"
    if any(each.speaker == "technician" for each in at.case.sittings.values()):
        return "pump"
    return "technician" if handed_over(at) else "call"
