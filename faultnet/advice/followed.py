"""A case as faultnet is followed through it: its best step, and where each answer leads.

Every place is looked at anew, with all that was answered on the way, as ``next`` would.
"""

from functools import cached_property

import msgspec

from faultnet.advice.dangers import DangerMet, dangers_met
from faultnet.advice.outlooks import CERTAIN, Look, Outlooks
from faultnet.advice.plan import Repairs, Turn
from faultnet.advice.situation import situate
from faultnet.advice.standing import told
from faultnet.advice.step import Advice, Step
from faultnet.advice.steps import advise, valued
from faultnet.advice.subject import Subject
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.model.evidence import Evidence

CHECK = "check"


class Answered(msgspec.Struct, frozen=True):
    """An answer of a check with its exact chance, and the place that it leads to.

    ``dangers`` are those that the answer tells of; the place then takes them as made safe.
    """

    answers: dict[str, str]
    chance: float
    place: "Place"
    dangers: tuple[DangerMet, ...] = ()


class Place(msgspec.Struct, frozen=True, dict=True):
    """Where a case stands after the checks that are ``done``, every danger made safe.

    What is to end, the ``goal``, stays what it was at the start, whatever else is found
    wrong on the way; at the start it is what was told as wrong.
    """

    subject: Subject
    evidence: Evidence
    who: str
    done: frozenset[str] = frozenset()
    goal: tuple[int, ...] | None = None

    @cached_property
    def outlooks(self) -> Outlooks | None:
        """What may follow; none where it cannot come about or cannot be computed."""
        try:
            situation = situate(self.subject, self.evidence, self.who, leave_out=self.done)
            if self.goal is not None:
                situation = msgspec.structs.replace(situation, goal=self.goal)
            return valued(situation)
        except (ImpossibleEvidenceError, TooLargeError):
            return None

    @cached_property
    def advice(self) -> Advice | None:
        """What faultnet advises here."""
        return None if self.outlooks is None else advise(self.outlooks)

    @property
    def step(self) -> Step | None:
        """The best step."""
        return self.advice.steps[0] if self.advice else None

    @property
    def looks(self) -> bool:
        """Whether a check is the best step."""
        return self.step is not None and self.step.kind == CHECK

    @cached_property
    def may_look(self) -> bool:
        """Whether a check looks like the best step, the chances of its answers taken roughly."""
        outlooks = self.outlooks
        if outlooks is None:
            return False
        return any(outlooks.value(look) < self.repairs.cost for look in outlooks.looks)

    @property
    def lasts(self) -> float:
        """P(the trouble lasts with nothing mended)."""
        return self.outlooks.lasts if self.outlooks else 1.0

    @cached_property
    def repairs(self) -> Repairs:
        """The best repairs in order with no further check, the specialist last."""
        outlooks = self.outlooks
        assert outlooks is not None
        situation = outlooks.situation
        orders = [outlooks.base]
        for first in outlooks.first_repairs:
            entry = situation.subject.knowledge.repairs[first.repair]
            price = situation.prices.repair(entry, situation.state).minutes
            turns = (Turn(first.repair, price, 1.0 - first.ends), *first.follow.turns)
            orders.append(Repairs(price + first.follow.cost, turns))
        return min(orders, key=lambda each: each.cost)

    @cached_property
    def look(self) -> Look:
        """The look that the best step is."""
        assert self.outlooks is not None
        assert self.step is not None
        return next(k for k in self.outlooks.looks if k.candidate.check.id == self.step.id)

    @cached_property
    def likeliest(self) -> tuple[Answered, ...]:
        """The likeliest answers of the best check, those that faultnet plans for."""
        assert self.step is not None
        told_of = [(o.answers, o.probability) for o in self.step.outcomes]
        return tuple(self._answered(a, p) for a, p in told_of if p > CERTAIN)

    def _answered(self, answers: dict[str, str], chance: float) -> Answered:
        assert self.outlooks is not None
        situation, candidate = self.outlooks.situation, self.look.candidate
        state = situation.prices.work(candidate.check.work, situation.state).after
        after = told(self.subject, self.evidence, candidate, answers, state)
        met = tuple(d for d in dangers_met(self.subject, after) if not d.made_safe)
        done = self.done | {candidate.check.id}
        place = Place(self.subject, made_safe(after, met), self.who, done, situation.goal)
        return Answered(answers, chance, place, met)


def made_safe(evidence: Evidence, dangers: tuple[DangerMet, ...]) -> Evidence:
    """Return evidence with dangers dealt with."""
    safe = tuple(dict.fromkeys((*evidence.made_safe, *(d.finding for d in dangers))))
    return msgspec.structs.replace(evidence, made_safe=safe)
