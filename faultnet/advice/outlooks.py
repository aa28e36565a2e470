"""What is expected to follow: repair-only plans, now and after each answer of a check.

All of it is for trouble that lasts: that is not over with nothing mended, as it is where
a danger that was made safe was there with no cause.
"""

from collections.abc import Sequence
from functools import cached_property, reduce
from math import inf, prod

import msgspec
import numpy as np

from faultnet.advice.answers import MOST
from faultnet.advice.candidates import Candidate
from faultnet.advice.plan import Outlook, Repairs, prefixes, repair_only
from faultnet.advice.site import State
from faultnet.advice.situation import SHORTLIST, Situation
from faultnet.advice.ties import best_first
from faultnet.advice.works import Asked, Works
from faultnet.inference.downsets import ALWAYS, Expander, plus, scaled
from faultnet.inference.rows import Tip
from faultnet.network.average import chances_when

ANSWERS = 4
"""Joint answers of a check that a plan is made for each; one for all rarer ones."""
FIRST_REPAIRS = 4
"""Repairs that are valued as the next step."""
NOTHING = frozenset[str]()
"""No repair at all."""
CERTAIN = 1e-9
"""What is less likely to last is over; below, too few digits are left to divide by."""


class Look(msgspec.Struct, frozen=True):
    """A check with its likeliest answers, their chances and the repairs that follow each.

    The chances come from what values the plans; exact ones replace them later. ``lasts``
    is how much likelier each answer is where the trouble lasts. ``rest`` is what follows
    any other answer.
    """

    candidate: Candidate
    answers: tuple[dict[str, str], ...]
    chances: tuple[float, ...]
    lasts: tuple[float, ...]
    follow: tuple[Repairs, ...]
    rest: Repairs

    def lasting(self, chances: Sequence[float] = ()) -> list[float]:
        """P(answer | the trouble lasts), by answer; better ``chances`` may be given."""
        return [p * more for p, more in zip(chances or self.chances, self.lasts, strict=True)]


class FirstRepair(msgspec.Struct, frozen=True):
    """A repair as the next step: the chance that it ends it, and the repairs that follow."""

    repair: str
    ends: float
    follow: Repairs


class _Drawn(msgspec.Struct, frozen=True):
    """A check with its likeliest answers and the order of repairs after each.

    Where there are more answers, one order more stands for all the others.
    """

    candidate: Candidate
    answers: tuple[dict[str, str], ...]
    orders: tuple[tuple[str, ...], ...]


class _Valued(msgspec.Struct, frozen=True):
    """P(evidence and answer), P(the trouble lasts | these), and W of growing sets if so."""

    weight: float
    lasts: float
    works: tuple[float, ...]

    @classmethod
    def of(cls, weight: float, works: Sequence[float]) -> "_Valued":
        """From W of several sets, the first of them with nothing mended."""
        over, *ended = works
        lasts = 1.0 - over
        if lasts < CERTAIN:
            return cls(weight, 0.0, (0.0,) * len(ended))
        return cls(weight, lasts, tuple(max(0.0, w - over) / lasts for w in ended))


class Outlooks(msgspec.Struct, frozen=True, dict=True):
    """Plans of a situation, all valued in as few sweeps as possible."""

    situation: Situation

    @property
    def lasts(self) -> float:
        """P(the trouble lasts with nothing mended)."""
        return self._valued[0].lasts

    def weigh(self) -> None:
        """Value the plans now; raise ``TooLargeError`` where that would take too long."""
        _ = self._valued

    @cached_property
    def looks(self) -> list[Look]:
        """Every check examined, with what follows each answer."""
        valued = iter(self._valued[2 + len(self._first_orders) :])
        return [self._look(drawn, [next(valued) for _ in drawn.orders]) for drawn in self._drawn]

    @cached_property
    def base(self) -> Repairs:
        """What is done with no further check."""
        return self._repairs(Outlook(self._base_order, self._valued[1].works), self.situation.state)

    @cached_property
    def first_repairs(self) -> list[FirstRepair]:
        """The best repairs of the plan with no further check, each as its first."""
        situation = self.situation
        result = []
        for order, valued in zip(self._first_orders, self._valued[2:], strict=False):
            works = valued.works
            entry = situation.subject.knowledge.repairs[order[0]]
            state = situation.prices.repair(entry, situation.state).after
            follow = self._repairs(Outlook(order[1:], works[1:]), state, 1.0 - works[0])
            result.append(FirstRepair(order[0], works[0], follow))
        return result

    @cached_property
    def floor(self) -> float:
        """A lower bound: what the causes would cost to mend if they were known.

        A repair is needed when all others together do not end the trouble; set-ups and
        calls are left out, and what no repair here mends is taken at the cheapest price.
        """
        shortlist = self.situation.shortlist
        ends, *without = self._valued[0].works
        repairs = self.situation.subject.knowledge.repairs
        bare = {r: self.situation.prices.bare(repairs[r]) for r in self.situation.screen.prices}
        needed = sum(
            bare[r] * max(0.0, ends - rest) for r, rest in zip(shortlist, without, strict=True)
        )
        return needed + min(bare.values(), default=0.0) * (1.0 - ends)

    def value(
        self, look: Look, chances: Sequence[float] = (), costs: Sequence[float] = ()
    ) -> float:
        """Price of a check plus what is expected to follow.

        ``chances`` of its answers and ``costs`` after them may be given where better ones
        are known.
        """
        lasting = look.lasting(chances)
        costs = costs or [then.cost for then in look.follow]
        follow = sum(p * cost for p, cost in zip(lasting, costs, strict=True))
        rest = max(0.0, 1.0 - sum(lasting)) * look.rest.cost
        return self.situation.price(look.candidate) + follow + rest

    def _look(self, drawn: _Drawn, values: Sequence[_Valued]) -> Look:
        situation = self.situation
        state = situation.prices.work(drawn.candidate.check.work, situation.state).after
        follow = tuple(
            self._repairs(Outlook(order, valued.works), state)
            for order, valued in zip(drawn.orders, values, strict=True)
        )
        count, now = len(drawn.answers), self._valued[0]
        chances = tuple(valued.weight / now.weight for valued in values[:count])
        lasts = tuple(valued.lasts / (now.lasts or 1.0) for valued in values[:count])
        rest = follow[count] if len(follow) > count else self.base
        return Look(drawn.candidate, drawn.answers, chances, lasts, follow[:count], rest)

    def _repairs(self, outlook: Outlook, state: State, left: float = 1.0) -> Repairs:
        situation = self.situation
        return repair_only(situation.subject, situation.prices, outlook, state, left)

    @cached_property
    def _valued(self) -> list[_Valued]:
        """W for the floor, of the plan without checks, of the first repairs, after answers."""
        everything = frozenset(self.situation.shortlist)
        needed = [everything, *(everything - {r} for r in self.situation.shortlist)]
        asked = [Asked(ALWAYS, [NOTHING, *needed])]
        asked += [Asked(ALWAYS, _growing(o)) for o in (self._base_order, *self._first_orders)]
        expander = Expander(self._works.before)
        for drawn in self._drawn:
            each = [
                self._after(drawn.candidate, expander, answers, order)
                for answers, order in zip(drawn.answers, drawn.orders, strict=False)
            ]
            asked += each
            if len(drawn.orders) > len(each):
                others = scaled(reduce(plus, (one.terms for one in each)), -1.0)
                asked.append(Asked(plus(ALWAYS, others), _growing(drawn.orders[-1])))
        return [_Valued.of(*each) for each in self._works.of_each(asked)]

    def _after(
        self,
        candidate: Candidate,
        expander: Expander,
        answers: dict[str, str],
        order: tuple[str, ...],
    ) -> Asked:
        """What to weigh after an answer; roots that are averaged out tip the causes."""
        subject = self.situation.subject
        tip = None
        if not self.situation.thorough and candidate.roots:
            tip = self._tip({r: answers[r] for r in candidate.roots})
            answers = {f: answers[f] for f in candidate.findings}
        terms = candidate.terms(subject, expander, answers)
        return Asked(terms, _growing(order), tip)

    def _tip(self, said: dict[str, str]) -> Tip:
        """What knowing roots does to the causes, the other roots averaged."""
        subject, chances = self.situation.subject, self.situation.roots
        roots = subject.network.roots
        states = {
            subject.roots[r]: roots[subject.roots[r]].states.index(s) for r, s in said.items()
        }
        scale = prod(chances[r][s] for r, s in states.items())
        odds = []
        for cause, (before, after) in chances_when(subject.network, chances, states).items():
            if not (0.0 < before < 1.0 and after < 1.0):
                continue  # impossible or certain: no odds to move
            odds.append((cause, after * (1.0 - before) / (before * (1.0 - after))))
            scale *= (1.0 - after) / (1.0 - before)
        return Tip(tuple(odds), scale)

    @cached_property
    def _base_order(self) -> tuple[str, ...]:
        """The repairs worth their minutes, best first."""
        situation = self.situation
        return situation.screen.order(np.ones_like(situation.chances), SHORTLIST)

    @cached_property
    def _first_orders(self) -> list[tuple[str, ...]]:
        return [
            (first, *(r for r in self._base_order if r != first))
            for first in self.situation.shortlist[:FIRST_REPAIRS]
        ]

    @cached_property
    def _drawn(self) -> list[_Drawn]:
        return [self._draw(candidate) for candidate in self.situation.examined]

    def _draw(self, candidate: Candidate) -> _Drawn:
        """The likeliest joint answers by the quick screen, each with an order of repairs."""
        screen = self.situation.screen
        answers = candidate.answers(self.situation.subject)
        likelihoods = screen.likelihoods(candidate)
        masses = likelihoods * self.situation.chances
        best = best_first(masses.sum(axis=1))[:ANSWERS]
        after = [likelihoods[k] for k in best]
        if len(answers) > len(best) and (self.situation.thorough or not candidate.roots):
            after.append(likelihoods.sum(axis=0) - likelihoods[best].sum(axis=0))
        orders = tuple(screen.order(likelihood, SHORTLIST) for likelihood in after)
        return _Drawn(candidate, tuple(answers[k] for k in best), orders)

    @cached_property
    def _works(self) -> Works:
        """What weighs the repairs of all plans."""
        situation = self.situation
        subject = situation.subject
        network, observed = situation.valuing
        repairs = {r for d in self._drawn for order in d.orders for r in order}
        repairs |= set(situation.shortlist)
        findings = {subject.findings[f] for d in self._drawn for f in d.candidate.findings}
        return Works(
            subject,
            network,
            observed,
            situation.goal,
            tuple(sorted(repairs)),
            tuple(sorted(findings)),
            inf if situation.thorough else MOST,
        )


def _growing(order: Sequence[str]) -> list[frozenset[str]]:
    """The sets of a sequence of repairs: nothing, the first, the first two ..."""
    return [NOTHING, *prefixes(order)]
