"""How far numbers may move before another next step is advised.

What a step is expected to come to is no straight line in a chance, nor in the minutes of a
repair: plans change on the way. So each value is worked out anew, as ``next`` would. The
minutes of a check add to its own total and to nothing else, which gives the place; it is
held by working out the advice just before and just after.
"""

from collections.abc import Iterator
from functools import cached_property
from math import exp, log
from time import monotonic

import msgspec

from faultnet.advice.authored import Authored
from faultnet.advice.step import Advice, Step
from faultnet.advice.steps import next_steps
from faultnet.advice.subject import Subject
from faultnet.model.check import Work
from faultnet.model.evidence import Evidence
from faultnet.model.origin import Number
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.doubt import deviation, spot, value_at
from faultnet.review.sensitivity.margin import Margin

REACH = 4.0
"""Numbers are moved by up to this factor, chances on their odds."""
HALVINGS = 6
"""How often the stretch with the change is halved."""
CHANCES = 6
"""Chances looked at: those that move the first cause most."""
STEPS = 3
"""Steps whose minutes are looked at, best first."""
SECONDS = 20.0
"""No further number is looked at after so long."""
EDGE = 1e-3
"""How near to a place, as a share, the advice is worked out on either side of it."""


class StepFlip(msgspec.Struct, frozen=True):
    """The value of a number at which another step comes first, and which."""

    value: float
    step: str
    title: str


class StepMargin(msgspec.Struct, frozen=True):
    """How far a number may move before another step is advised.

    ``solved`` says that the place follows from a straight line; else it was narrowed down.
    """

    number: Authored
    low: StepFlip | None
    high: StepFlip | None
    solved: bool


class NextMargins(msgspec.Struct, frozen=True):
    """The step advised, its runner-up, and the numbers looked at; those that change it first.

    ``left`` numbers were not looked at for want of time.
    """

    first: Step | None
    second: Step | None
    margins: tuple[StepMargin, ...]
    left: int = 0


class Stepping(msgspec.Struct, frozen=True, dict=True):
    """The next step of a case, ready to have numbers moved."""

    common: Common
    evidence: Evidence
    who: str = "technician"

    @cached_property
    def base(self) -> Advice:
        """The advice with the numbers as they are."""
        return self._advice(self.subject)

    @property
    def subject(self) -> Subject:
        """The system."""
        return self.common.subject

    def margins(self, margins: list[Margin], seconds: float = SECONDS) -> NextMargins:
        """Return the margins of minutes, and of the chances that move the first cause most.

        After ``seconds`` no further number is begun with.
        Raises ``TooLargeError`` and ``UnfitReadingError``.
        """
        steps = [s for s in self.base.steps if s.kind != "make-safe"]
        if len(steps) < 2:
            return NextMargins(steps[0] if steps else None, None, ())
        asked: list[tuple[Authored, Step | None]] = list(self._minutes(steps[:STEPS]))
        asked += [(margin.number, None) for margin in _influential(margins)[:CHANCES]]
        found, left, end = [], 0, monotonic() + seconds
        for number, own in asked:
            if monotonic() > end:
                left += 1
            else:
                found.append(self._margin(number, own))
        found.sort(key=_nearest)
        return NextMargins(steps[0], steps[1], tuple(found), left)

    def advised(self, number: Authored, value: float) -> Step:
        """Return the step that is advised with a number put to another value."""
        if number.places:
            changed = self.common.moved(dict.fromkeys(number.places, value))
            subject = Subject(self.subject.knowledge, self.subject.system, changed)
        else:
            subject = self.common.beside.subject(self.subject, number.number, value)
        return self._advice(subject).steps[0]

    def _advice(self, subject: Subject) -> Advice:
        return next_steps(subject, self.evidence, self.who)

    def _minutes(self, steps: list[Step]) -> Iterator[tuple[Authored, Step | None]]:
        """The minutes of the best steps, with the check whose own they are."""
        knowledge = self.subject.knowledge
        seen: set[Number] = set()
        for step in steps:
            check, repair = knowledge.checks.get(step.id), knowledge.repairs.get(step.id)
            told: list[tuple[Number, str, Step | None]] = []
            if step.kind == "check" and check is not None:
                told = [(n, a, step if a == "minutes" else None) for n, a in _work(check.work)]
            elif repair is not None:
                told = [(n, a, None) for n, a in _work(repair.work)]
                told.append((repair.proof_minutes, "minutes of proof", None))
            elif step.kind == "specialist":
                told = [(self.subject.system.specialist.minutes, "minutes", None)]
            for number, about, own in told:
                if number.value > 0.0 and number not in seen:
                    seen.add(number)
                    yield Authored(number, "minutes", f"{step.id}: {about}"), own

    def _margin(self, number: Authored, own: Step | None) -> StepMargin:
        low, high = self._ends(number)
        solved = self._solved(number, own)
        if solved is not None:
            return solved
        return StepMargin(
            number, self._narrowed(number, low), self._narrowed(number, high), solved=False
        )

    def _solved(self, number: Authored, own: Step | None) -> StepMargin | None:
        """The place where a check's own minutes change the advice; None where that fails."""
        first, second = self.base.steps[:2]
        if own is None:
            return None
        gap = (second if own.id == first.id else first).expected_total - own.expected_total
        value = number.value + gap
        if not number.value / REACH <= value <= number.value * REACH:
            return None
        before = self.advised(number, value - (EDGE if gap > 0.0 else -EDGE) * value)
        after = self.advised(number, value + (EDGE if gap > 0.0 else -EDGE) * value)
        if before.id != first.id or after.id == first.id:
            return None
        flip = StepFlip(value, after.id, after.title)
        return StepMargin(
            number, flip if gap < 0.0 else None, flip if gap > 0.0 else None, solved=True
        )

    def _ends(self, number: Authored) -> tuple[float, float]:
        start = spot(number.kind, number.value)
        low, high = (value_at(number.kind, start + side * log(REACH)) for side in (-1.0, 1.0))
        return low, high

    def _narrowed(self, number: Authored, end: float) -> StepFlip | None:
        """The change between a number and an end, halved down to; none where the end has none."""
        first = self.base.steps[0].id
        after = self.advised(number, end)
        if after.id == first:
            return None
        held, past = spot(number.kind, number.value), spot(number.kind, end)
        for _ in range(HALVINGS):
            middle = (held + past) / 2.0
            step = self.advised(number, value_at(number.kind, middle))
            if step.id == first:
                held = middle
            else:
                past, after = middle, step
        return StepFlip(value_at(number.kind, (held + past) / 2.0), after.id, after.title)


def _work(work: Work) -> list[tuple[Number, str]]:
    return [(work.minutes, "minutes"), (work.waiting, "minutes of waiting")]


def _influential(margins: list[Margin]) -> list[Margin]:
    """Chances in a network, those first whose doubt moves the first cause most."""

    def moves(margin: Margin) -> float:
        value = margin.number.value
        spread = value * (1.0 - value) if margin.number.kind == "chance" else value
        return -abs(margin.slope) * spread * deviation(margin.number.number)

    return sorted((m for m in margins if m.number.places), key=moves)


def _nearest(margin: StepMargin) -> float:
    start = spot(margin.number.kind, margin.number.value)
    flips = [f.value for f in (margin.low, margin.high) if f is not None]
    return min((abs(spot(margin.number.kind, v) - start) for v in flips), default=exp(9))
