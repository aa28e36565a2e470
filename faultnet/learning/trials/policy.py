"""What a policy is: whoever says what to do next, from what is known."""

from typing import Protocol

import msgspec

from faultnet.advice.load import Load
from faultnet.advice.subject import Subject
from faultnet.learning.closed import StepKind
from faultnet.model.evidence import Evidence

SPECIALIST = "specialist"


class Chosen(msgspec.Struct, frozen=True):
    """What a policy picks: a check or a repair by its id, or the specialist."""

    kind: StepKind
    id: str


HAND_OVER = Chosen("specialist", SPECIALIST)
"""Whoever always gets it working is sent for."""


class At(msgspec.Struct, frozen=True):
    """Where a call stands, as whoever goes there knows it.

    ``who`` acts: ``caller`` while the call is on the phone. ``complaints`` are what was
    complained of first, ``checked`` the checks done or refused in this round, ``repaired`` the
    repairs done in their order. ``asked_for`` holds what those who know everything know: the
    causes that are there and make the complaints; only perfect knowledge looks at it. Evidence
    that needs more than ``cells`` cells is too large to think about.
    """

    subject: Subject
    evidence: Evidence
    who: str
    complaints: tuple[str, ...]
    checked: tuple[str, ...] = ()
    repaired: tuple[str, ...] = ()
    asked_for: tuple[str, ...] = ()
    cells: int = 2**18


class Policy(Protocol):
    """Whoever picks the next step. What is picked hangs on nothing but what is given."""

    @property
    def name(self) -> str:
        """What it is called in a trial."""
        ...

    def next(self, at: At) -> Chosen | None:
        """Return the next step; on the phone none means that somebody drives there.

        Raises ``ImpossibleEvidenceError`` and ``TooLargeError`` where the evidence is.
        """
        ...

    def load(self, at: At, /) -> Load:
        """Return what is loaded besides what is usually on the truck."""
        ...
