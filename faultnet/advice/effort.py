"""What an answer would take, known before anything is worked out."""

from faultnet.advice.observe import observe
from faultnet.advice.subject import Subject
from faultnet.inference.query import Query
from faultnet.model.evidence import Evidence


def refuse_beyond(limit: int, subject: Subject, evidence: Evidence) -> None:
    """Refuse evidence whose ranking passes through more cells than a limit.

    Raises ``TooLargeError``, ``UnknownNameError`` and ``UnfitReadingError``.
    """
    query = Query(subject.network, observe(subject, evidence))
    query.refuse(query.plan.work, limit)
