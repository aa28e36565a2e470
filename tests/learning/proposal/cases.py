"""Closed cases out of imagined calls, invented: each call's causes are confirmed at once."""

from datetime import UTC, datetime, timedelta

from faultnet.advice.imagined import Manner, imagine
from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken

TOLD = Manner(complaints=3, questions=8)
BEGIN = datetime(2026, 1, 1, tzinfo=UTC)


def closed_cases(subject, count, seed=1, minutes=None):
    """Return cases of a system, one every few hours; ``minutes`` is what a step takes, by step."""
    found = []
    for number in range(count):
        call = imagine(subject, seed, number, TOLD)
        when = BEGIN + timedelta(hours=7 * number)
        steps = tuple(
            StepTaken(step, kind, minutes=taken * (0.8 + 0.1 * (number % 5)))
            for (kind, step), taken in (minutes or {}).items()
        )
        found.append(
            ClosedCase(
                id=f"invented-{seed}-{number:05d}",
                system=subject.system.id,
                opened=f"{when:%Y-%m-%dT%H:%M:%S}.000Z",
                closed=f"{when + timedelta(hours=2):%Y-%m-%dT%H:%M:%S}.000Z",
                ending="works-again",
                evidence=call.evidence,
                confirmed=tuple(Confirmation(cause) for cause in call.causes),
                steps=steps,
                knowledge=subject.knowledge.version,
            )
        )
    return tuple(found)
