"""Dangers: answers that stop everything before any ranking."""

import msgspec

from faultnet.advice.observe import dangers_of, find
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Evidence

FULL = "full"


class DangerMet(msgspec.Struct, frozen=True):
    """A danger in the open round; ``stop`` is ``full`` or ``make-safe``."""

    finding: str
    answer: str
    stop: str
    say: str
    send: str
    made_safe: bool


def dangers_met(subject: Subject, evidence: Evidence) -> tuple[DangerMet, ...]:
    """Return the dangers answered in the open round, full stops first.

    A danger counts whoever said it and however sure they are.
    """
    met = []
    for answer in evidence.now.answers:
        find(subject, answer.finding)
        finding = subject.knowledge.findings[answer.finding]
        safe = finding.id in evidence.made_safe
        met += [
            DangerMet(finding.id, danger.answer, danger.stop, danger.say, danger.send, safe)
            for danger in dangers_of(finding, answer.answer)
        ]
    unique = list(dict.fromkeys(met))
    return tuple(sorted(unique, key=lambda d: (d.made_safe, d.stop != FULL)))


def withheld(dangers: tuple[DangerMet, ...]) -> bool:
    """Whether steps are withheld until something is made safe."""
    return any(not danger.made_safe for danger in dangers)
