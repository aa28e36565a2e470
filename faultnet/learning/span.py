"""Cases by when they were closed: which were learnt from, which are looked at."""

import msgspec

from faultnet.learning.closed import ClosedCase
from faultnet.model.knowledge import Knowledge


class Span(msgspec.Struct, frozen=True):
    """Cases closed from one day to another, both counted; of one system, or of all.

    Days are as ISO 8601; an empty one leaves that end open.
    """

    since: str = ""
    until: str = ""
    system: str = ""

    def holds(self, case: ClosedCase) -> bool:
        """Whether a case is one of them."""
        return self.system in {"", case.system} and self.place(case) == "within"

    def place(self, case: ClosedCase) -> str:
        """Return whether a case was closed ``before``, ``within`` or ``after`` those days."""
        day = case.closed[:10]
        if day < self.since:
            return "before"
        return "after" if self.until and day > self.until else "within"


def learnt_from(knowledge: Knowledge) -> tuple[Span, ...]:
    """Return which cases the files say that numbers were learnt from."""
    return tuple(Span(each.since, each.until, each.system) for each in knowledge.learnt.values())
