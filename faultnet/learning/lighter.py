"""Evidence with one answer fewer, where it is too much at once or cannot all be true."""

from msgspec.structs import replace

from faultnet.advice.conflict import conflict
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer, Evidence

Place = tuple[int, str]
"""A round and the finding that was answered in it."""


def conflicting(subject: Subject, evidence: Evidence) -> set[Place]:
    """Return answers that cannot all be true."""
    return {(each.round, each.about) for each in conflict(subject, evidence)}


def lighter(evidence: Evidence, kept: tuple[str, ...], among: set[Place]) -> Evidence | None:
    """Return the evidence without one answer; none where no other than the ``kept`` is left.

    It is one of those ``among`` which it helps, if there is one, else any: a caller's before a
    technician's, an early one before a late one.
    """
    places = [
        (answer.speaker != "caller", number, place, answer)
        for number, round_ in enumerate(evidence.rounds)
        for place, answer in enumerate(round_.answers)
        if answer.finding not in kept
    ]
    best = [each for each in places if (each[1], each[3].finding) in among]
    first = min(best or places, key=lambda each: each[:3], default=None)
    return None if first is None else _without(evidence, first[1], first[3])


def _without(evidence: Evidence, number: int, answer: Answer) -> Evidence:
    rounds = list(evidence.rounds)
    answers = tuple(a for a in rounds[number].answers if a != answer)
    rounds[number] = replace(rounds[number], answers=answers)
    return replace(evidence, rounds=tuple(rounds))
