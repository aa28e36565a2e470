"""How far the answers of two versions to one case or call differ."""

from collections.abc import Collection
from math import log

import msgspec

from faultnet.review.compare.answers import Answers, NextStep

SAME = 1e-9
"""Probabilities that differ by less are the same: the digits of the arithmetic."""
SAME_MINUTES = 1e-6
"""Expected minutes that differ by less are the same."""
LEAST = 1e-12
"""The least chance that a truth is taken to have had, so that one miss does not count alone."""


class Both(msgspec.Struct, frozen=True):
    """Something in the old version and in the new one."""

    old: str
    new: str

    @property
    def differs(self) -> bool:
        """Whether it is not the same."""
        return self.old != self.new


class Moved(msgspec.Struct, frozen=True):
    """The cause whose probability moved most, by its new id, and its probabilities."""

    cause: str = ""
    old: float = 0.0
    new: float = 0.0

    @property
    def by(self) -> float:
        """The absolute move."""
        return abs(self.new - self.old)


class Step(msgspec.Struct, frozen=True):
    """The next steps, and the minutes that each version expects until all is done."""

    id: Both
    old_total: float
    new_total: float


class Loss(msgspec.Struct, frozen=True):
    """What the truth of a simulated call cost either version: minus the log of its chance.

    Summed over all causes, there or not, that both versions know; in nats. ``drawn_from`` is
    ``old`` or ``new``: a version is at its best on calls of its own.
    """

    drawn_from: str
    old: float
    new: float


class Difference(msgspec.Struct, frozen=True):
    """One case or call in both versions.

    ``passed`` holds yes, no, or nothing where the version has no such case. ``left_out``
    names the evidence that one of the versions does not know. ``truth`` holds the causes that
    are at fault in a simulated call, ``said`` what its caller says.
    """

    kind: str
    id: str
    system: str
    first: Both
    dangers: Both
    refused: Both
    moved: Moved = Moved()
    step: Step | None = None
    passed: Both = Both("", "")
    loss: Loss | None = None
    left_out: tuple[str, ...] = ()
    truth: tuple[str, ...] = ()
    said: tuple[str, ...] = ()

    @property
    def now_fails(self) -> bool:
        """Whether a case that passed fails."""
        return (self.passed.old, self.passed.new) == ("yes", "no")

    @property
    def now_passes(self) -> bool:
        """Whether a case that failed passes."""
        return (self.passed.old, self.passed.new) == ("no", "yes")

    @property
    def step_changed(self) -> bool:
        """Whether another step comes next."""
        return self.step is not None and self.step.id.differs

    @property
    def minutes(self) -> float:
        """How far the expected minutes moved."""
        return 0.0 if self.step is None else abs(self.step.new_total - self.step.old_total)

    @property
    def differs(self) -> bool:
        """Whether any answer is not the same."""
        told = (self.first, self.dangers, self.refused, self.passed)
        moved = self.moved.by > SAME or self.minutes > SAME_MINUTES
        return moved or self.step_changed or any(each.differs for each in told)

    @property
    def weight(self) -> tuple[float, ...]:
        """What to sort by, the worst last: what fails, dangers, first causes, moves, steps."""
        return (
            self.now_fails,
            self.dangers.differs or self.refused.differs,
            self.first.differs,
            self.moved.by,
            self.step_changed,
            self.minutes,
        )


def moved_most(old: Answers, new: Answers) -> Moved:
    """Return the cause that moved most of all that both versions have, or only one."""
    if old.refused or new.refused:
        return Moved()
    known = dict.fromkeys((*new.causes, *old.causes))
    moves = (Moved(c, old.causes.get(c, 0.0), new.causes.get(c, 0.0)) for c in known)
    return max(moves, key=lambda m: m.by, default=Moved())


def loss_of(truth: Collection[str], answers: Answers, known: Collection[str]) -> float:
    """Return what a truth cost: minus the log of the chance of each cause, there or not."""
    chances = (answers.causes[c] if c in truth else 1.0 - answers.causes[c] for c in known)
    return sum(-log(max(chance, LEAST)) for chance in chances)


def steps(old: NextStep | None, new: NextStep | None) -> Step | None:
    """Return both next steps, where both versions have one."""
    if old is None or new is None:
        return None
    return Step(Both(old.id, new.id), old.expected_total, new.expected_total)
