"""Recorded cases that can be replayed, and those that cannot, each with its reason."""

from collections import Counter

from faultnet.advice.subject import Subject
from faultnet.learning.closed import ClosedCase
from faultnet.learning.reading.where import source_of
from faultnet.learning.source import SetAside
from faultnet.learning.trials.replayed import unfit

CODE = "cannot-replay"


class NothingToReplayError(ValueError):
    """Cases of which none can be replayed, with the reasons."""


def recorded(where: str, truth: Subject) -> tuple[tuple[ClosedCase, ...], tuple[SetAside, ...]]:
    """Return the cases of a place that can be replayed, and those set aside.

    Raises ``SourceError`` and ``NothingToReplayError``.
    """
    cases: list[ClosedCase] = []
    aside: list[SetAside] = []
    for part in source_of(where, truth.knowledge).parts():
        batch = part.read()
        aside += batch.set_aside
        for case in batch.cases:
            reason = unfit(truth, case)
            if reason:
                aside.append(SetAside(where, CODE, reason, case.id))
            else:
                cases.append(case)
    if not cases:
        most = Counter(each.reason for each in aside).most_common(1)
        why = f" Of {len(aside)} set aside, most often: {most[0][0]}" if most else ""
        raise NothingToReplayError(f"{where}: no case that can be replayed.{why}")
    return tuple(cases), tuple(aside)
