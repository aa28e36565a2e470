"""What a repair has probably mended, and its neighbours in a chain of faults."""

from msgspec.structs import replace

from faultnet.advice.ranking import RankedCause
from faultnet.inference.engine import TooLargeError
from faultnet.model.evidence import Evidence
from faultnet.visit.talk import Talk
from faultnet.visit.trouble import ConflictError

LIKELY = 2
"""Causes named beside a repair."""

WORTH_NAMING = 0.01
"""Causes less likely than this are not named."""


def mended_by(talk: Talk, evidence: Evidence, number: int, repair: str) -> list[RankedCause]:
    """Return the likeliest causes that a repair mends, as things stood before it in its round."""
    before = replace(evidence.rounds[number], repairs=())
    known = replace(evidence, rounds=(*evidence.rounds[:number], before), set_ups=(), made_safe=())
    try:
        ranking = talk.counsel.ranking(known)
    except (ConflictError, TooLargeError):
        return []
    mends = {talk.subject.network.causes[k].id for k in talk.subject.mended_by.get(repair, ())}
    likely = [c for c in ranking.causes if c.id in mends and c.probability >= WORTH_NAMING]
    return likely[:LIKELY]


def neighbours(talk: Talk, cause: str) -> list[str]:
    """Return the causes one link back and one link forward in the authored chains."""
    known = talk.subject.knowledge.causes
    back = [c for c in talk.subject.causes if c in known and _leads(talk, c, cause)]
    forward = [link.cause for link in known[cause].leads_to if link.cause in talk.subject.causes]
    return list(dict.fromkeys((*back, *forward)))


def _leads(talk: Talk, cause: str, to: str) -> bool:
    return any(link.cause == to for link in talk.subject.knowledge.causes[cause].leads_to)
