"""A case as a position to plan from: what could be done next, and what may come of it."""

from collections.abc import Hashable, Sequence
from functools import cached_property

import msgspec

from faultnet.advice.candidates import Candidate
from faultnet.advice.observe import observe
from faultnet.advice.outlooks import Look, Outlooks
from faultnet.advice.plan import Repairs
from faultnet.advice.ranking import believe
from faultnet.advice.site import State
from faultnet.advice.situation import Situation, without_roots
from faultnet.advice.subject import Subject
from faultnet.advice.ties import even_minutes
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.inference.query import Query
from faultnet.model.evidence import Answer, Evidence
from faultnet.network.average import averaged
from faultnet.planning.plan import Branch, Move, moved
from faultnet.planning.position import Position, Step

CHECKS = 4
"""Checks that a plan may begin with from any position: the best ones one step ahead."""
ENDED = "it works"
NOT_ENDED = "it does not work"
OTHERWISE = "any other answer"
SPECIALIST = "specialist"

Outcome = tuple[str, float, Position | None]


class Standing(msgspec.Struct, frozen=True, dict=True):
    """The position after some answers; ``repairs`` is what to do with no further check.

    It is looked into only when a search gets there. What is to end stays what it was at
    the ``start``, whatever else is found wrong on the way. Checks ``done`` on the way are
    not done again. ``share`` of the cost with no further check is taken to be sure: a guide
    to the search and no proof. ``roots`` is what is believed of layout and circumstances:
    as at the start, but for what has been answered since.
    """

    start: Situation
    evidence: Evidence
    repairs: Repairs
    share: float
    roots: dict[int, tuple[float, ...]]
    done: frozenset[str] = frozenset()
    known: Outlooks | None = None

    @cached_property
    def key(self) -> Hashable:
        """The evidence, in whatever order it came."""
        evidence = self.evidence
        answers = frozenset((a.finding, a.answer, a.speaker) for a in evidence.now.answers)
        roots = frozenset((*evidence.layout.items(), *evidence.circumstances.items()))
        return (self.done, answers, roots, evidence.set_ups, evidence.now.spoiled)

    def steps(self) -> Sequence[Step]:
        """Return the best checks, the best repairs and the specialist."""
        outlooks = self._outlooks
        steps = [Step(SPECIALIST, "fall-back", self.start.specialist)]
        if outlooks is None:
            return steps
        situation = outlooks.situation
        for first in outlooks.first_repairs:
            repair = situation.subject.knowledge.repairs[first.repair]
            price = situation.prices.repair(repair, situation.state).minutes
            steps.append(Step(first.repair, "repair", price))
        for name, look in self._looks.items():
            steps.append(Step(name, "check", situation.price(look.candidate)))
        return steps

    def after(self, step: Step) -> Sequence[Outcome]:
        """Return what may come of a step, how likely, and the position then."""
        if step.kind == "check":
            return self._after_check(self._looks[step.id])
        if step.kind == "repair" and self._outlooks is not None:
            first = next(f for f in self._outlooks.first_repairs if f.repair == step.id)
            then = InOrder(first.follow, 1.0 - first.ends, self.start.specialist)
            return _likely([(ENDED, first.ends, None), (NOT_ENDED, 1.0 - first.ends, then)])
        return [(ENDED, 1.0, None)]

    def upper(self) -> float:
        """Return the expected minutes with no further check."""
        return self.repairs.cost

    def lower(self) -> float:
        """Return what is taken to be sure of that."""
        return self.share * self.repairs.cost

    def without_checks(self) -> Move:
        """Return the repairs in order, the specialist last."""
        return InOrder(self.repairs, 1.0, self.start.specialist).without_checks()

    def sharpened(self) -> "Standing":
        """Return the position itself."""
        return self

    @cached_property
    def _outlooks(self) -> Outlooks | None:
        """What may follow; None where it cannot be computed, or cannot come about at all."""
        if self.known is not None:
            return self.known
        start = self.start
        observed = observe(start.subject, self.evidence)
        network = start.subject.network
        if not start.thorough:
            network = averaged(network, self.roots)
            observed = without_roots(observed)
        query = Query(network, observed)
        try:
            beliefs = believe(start.subject, query, brought=False)
        except (ImpossibleEvidenceError, TooLargeError):
            return None
        return Outlooks(
            msgspec.structs.replace(
                start,
                evidence=self.evidence,
                query=query,
                beliefs=beliefs,
                roots=self.roots,
                leave_out=start.leave_out | self.done,
            )
        )

    @cached_property
    def _looks(self) -> dict[str, Look]:
        """The best checks, best first."""
        outlooks = self._outlooks
        if outlooks is None:
            return {}
        looks = sorted(outlooks.looks, key=lambda look: even_minutes(outlooks.value(look)))[:CHECKS]
        return {look.candidate.check.id: look for look in looks}

    def _after_check(self, look: Look) -> Sequence[Outcome]:
        assert self._outlooks is not None
        situation = self._outlooks.situation
        state = situation.prices.work(look.candidate.check.work, situation.state).after
        done = self.done | {look.candidate.check.id}
        outcomes: list[Outcome] = []
        lasting = look.lasting()
        for answers, chance, follow in zip(look.answers, lasting, look.follow, strict=True):
            evidence = told(self.start.subject, self.evidence, look.candidate, answers, state)
            roots = self._roots({r: answers[r] for r in look.candidate.roots})
            then = Standing(self.start, evidence, follow, self.share, roots, done)
            outcomes.append((label(answers), chance, then))
        rest = InOrder(look.rest, 1.0, self.start.specialist)
        outcomes.append((OTHERWISE, 1.0 - sum(lasting), rest))
        return _likely(outcomes)

    def _roots(self, said: dict[str, str]) -> dict[int, tuple[float, ...]]:
        """What is believed of the roots, those that were answered known."""
        subject = self.start.subject
        known = {}
        for root, state in said.items():
            index = subject.roots[root]
            states = subject.network.roots[index].states
            known[index] = tuple(float(s == state) for s in states)
        return self.roots | known


class InOrder(msgspec.Struct, frozen=True):
    """Repairs in order, the specialist last, with nothing else to choose.

    Their cost and chances count from a moment at which the trouble was not over with
    chance ``left``.
    """

    repairs: Repairs
    left: float
    specialist: float

    @property
    def key(self) -> Hashable:
        """The repairs with their prices and chances."""
        return (self.repairs, self.left)

    def steps(self) -> Sequence[Step]:
        """Return the whole of it as one step."""
        return [Step(SPECIALIST, "fall-back", self.upper())]

    def after(self, _step: Step) -> Sequence[Outcome]:
        """Return the end."""
        return [(ENDED, 1.0, None)]

    def upper(self) -> float:
        """Return the expected minutes."""
        return self.repairs.cost / self.left

    def lower(self) -> float:
        """Return the same."""
        return self.upper()

    def without_checks(self) -> Move:
        """Return the repairs in order, the specialist last."""
        move = moved(Step(SPECIALIST, "fall-back", self.specialist), (Branch(ENDED, 1.0),))
        left = [self.left, *(turn.left for turn in self.repairs.turns)]
        for turn, before in zip(reversed(self.repairs.turns), reversed(left[:-1]), strict=True):
            stays = turn.left / before if before > 0.0 else 0.0
            branches = [Branch(ENDED, 1.0 - stays), Branch(NOT_ENDED, stays, move)]
            move = moved(
                Step(turn.repair, "repair", turn.price),
                tuple(b for b in branches if b.probability > 0.0),
            )
        return move

    def sharpened(self) -> "InOrder":
        """Return the position itself."""
        return self


def told(
    subject: Subject, known: Evidence, candidate: Candidate, answers: dict[str, str], state: State
) -> Evidence:
    """Return the evidence with the answers to a check, and the site as the check leaves it."""
    said = [Answer(f, answers[f], candidate.speaker) for f in candidate.findings]
    spoilt = [f for f in candidate.check.spoils if f not in candidate.findings]
    now = msgspec.structs.replace(
        known.now,
        answers=(*known.now.answers, *said),
        spoiled=tuple(sorted({*known.now.spoiled, *spoilt})),
    )
    layout = {r: answers[r] for r in candidate.roots if r in subject.system.layout}
    happened = {r: answers[r] == "yes" for r in candidate.roots if r not in layout}
    return msgspec.structs.replace(
        known,
        rounds=(*known.rounds[:-1], now),
        layout=known.layout | layout,
        circumstances=known.circumstances | happened,
        set_ups=tuple(sorted(state)),
    )


def label(answers: dict[str, str]) -> str:
    """Return joint answers as one word for a branch."""
    return ", ".join(f"{about}={answer}" for about, answer in answers.items())


def _likely(outcomes: Sequence[Outcome]) -> Sequence[Outcome]:
    """Leave out what cannot come; rounding may have gone below zero."""
    return [outcome for outcome in outcomes if outcome[1] > 1e-12]
