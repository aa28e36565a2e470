"""Closed cases for the tests: by hand, and imagined ones whose causes were all seen."""

import msgspec

from faultnet.advice.imagined import Manner, imagine
from faultnet.learning.closed import ClosedCase, Confirmation, StepTaken
from faultnet.learning.source import Batch, CasesAtHand
from faultnet.model.evidence import Answer, Evidence, Round

FOOT_VALVE = ClosedCase(
    id="case-1",
    system="jet-pump",
    opened="2026-02-03T07:00:00Z",
    closed="2026-02-03T11:00:00Z",
    ending="mended",
    evidence=Evidence(
        (
            Round(
                (
                    Answer("no-pressure", "yes", "caller"),
                    Answer("prime-falls", "slowly", "technician"),
                    Answer("found-foot-valve-leaks-by-lift-the-line", "yes"),
                ),
                repairs=("renew-foot-valve",),
            ),
            Round(),
        ),
        {"source-level": "below-pump"},
        {"after-freeze": False},
    ),
    confirmed=(Confirmation("foot-valve-leaks"),),
    steps=(
        StepTaken("look-at-prime", "check", 0, 8.0),
        StepTaken("renew-foot-valve", "repair", 0, 90.0),
    ),
)


def like(**changes):
    """Return that case with changes."""
    return msgspec.structs.replace(FOOT_VALVE, **changes)


class Parts:
    """A source of so many cases a part."""

    def __init__(self, cases, size):
        self.cases, self.size = cases, size

    def parts(self):
        starts = range(0, len(self.cases), self.size)
        return [CasesAtHand(tuple(self.cases[k : k + self.size])) for k in starts]


class Spoilt:
    """A source of one part in which something could not be read."""

    def __init__(self, *set_aside):
        self.set_aside = set_aside

    def parts(self):
        return [self]

    def read(self):
        return Batch((FOOT_VALVE,), self.set_aside)


def imagined(subject, seed, count):
    """Return calls whose causes were all seen while they were mended."""
    manner = Manner(complaints=0, questions=4)
    found = []
    for number in range(count):
        call = imagine(subject, seed, number, manner)
        seen = tuple(map(Confirmation, call.causes))
        month = 1 + number % 12
        found.append(
            like(
                id=f"imagined-{number}",
                closed=f"2025-{month:02}-15T12:00:00Z",
                evidence=call.evidence,
                confirmed=seen,
            )
        )
    return found
