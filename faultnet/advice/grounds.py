"""What evidence comes to before anything is asked of it; ranking and steps stand on it alike."""

from functools import cached_property

import msgspec

from faultnet.advice.conflict import Said, conflict
from faultnet.advice.observe import observe
from faultnet.advice.subject import Subject
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence


class Grounds(msgspec.Struct, frozen=True, dict=True):
    """Evidence about a system, compiled; each part is made when it is asked for, once.

    Any part raises ``UnknownNameError``, ``UnfitReadingError`` and ``TooLargeError``.
    """

    subject: Subject
    evidence: Evidence

    @cached_property
    def observed(self) -> Observed:
        """The evidence as likelihoods."""
        return observe(self.subject, self.evidence)

    @cached_property
    def query(self) -> Query:
        """The evidence on the network, ready to be swept."""
        return Query(self.subject.network, self.observed)

    @cached_property
    def conflict(self) -> tuple[Said, ...]:
        """Which answers cannot all be true, for evidence that is impossible."""
        return conflict(self.subject, self.evidence)

    def refuse_beyond(self, limit: int) -> None:
        """Raise ``TooLargeError`` where a ranking passes through more cells than a limit."""
        self.query.refuse(self.query.plan.work, limit)


def grounds(subject: Subject, evidence: Evidence) -> Grounds:
    """Return what evidence comes to; kept for the few that were asked about last."""
    key = msgspec.msgpack.encode(evidence)
    return subject.recent.once(key, lambda: Grounds(subject, evidence))
