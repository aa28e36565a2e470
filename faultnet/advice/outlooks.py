"""What is expected to follow: repair-only plans, now and after each answer of a check."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import msgspec
import numpy as np

from faultnet.advice.candidates import Candidate
from faultnet.advice.plan import Outlook, prefixes, repair_only_cost
from faultnet.advice.site import State
from faultnet.advice.situation import SHORTLIST, Situation
from faultnet.advice.works import Works
from faultnet.inference.downsets import ALWAYS, Expander, Terms
from faultnet.network.average import averaged

ANSWERS = 4
"""Joint answers of a check that a plan is made for; rarer ones go to the specialist."""
FIRST_REPAIRS = 4
"""Repairs that are valued as the next step."""

Asked = tuple[Terms, list[frozenset[str]]]


@dataclass(frozen=True)
class Look:
    """A check with its likeliest answers, their chances and what each then costs.

    The chances come from what values the plans; exact ones replace them later.
    """

    candidate: Candidate
    answers: tuple[dict[str, str], ...]
    chances: tuple[float, ...]
    costs: tuple[float, ...]


@dataclass(frozen=True)
class FirstRepair:
    """A repair as the next step: the chance that it ends it, the minutes that follow."""

    repair: str
    ends: float
    follow: float


@dataclass(frozen=True)
class _Drawn:
    """A check with its likeliest answers and the order of repairs after each."""

    candidate: Candidate
    answers: tuple[dict[str, str], ...]
    orders: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Outlooks:
    """Plans of a situation, all valued in as few sweeps as possible."""

    situation: Situation

    @cached_property
    def looks(self) -> list[Look]:
        """Every check examined, with what follows each answer."""
        shared = iter(self._valued[1 + len(self._first_orders) :])
        looks = []
        for drawn in self._drawn:
            if self._own_sweep(drawn.candidate):
                works = self._works([drawn], drawn.candidate.roots)
                values = works.of_each([(ALWAYS, []), *self._asked(works, drawn)])
                total, values = values[0][0], values[1:]
            else:
                total = self._valued[0][0]
                values = [next(shared) for _ in drawn.answers]
            looks.append(self._look(drawn, total, values))
        return looks

    @cached_property
    def base(self) -> float:
        """Minutes expected with no further check."""
        return self._cost(Outlook(self._base_order, self._valued[0][1]), self.situation.state)

    @cached_property
    def first_repairs(self) -> list[FirstRepair]:
        """The best repairs of the plan with no further check, each as its first."""
        situation = self.situation
        result = []
        for order, (_, works) in zip(self._first_orders, self._valued[1:], strict=False):
            entry = situation.subject.knowledge.repairs[order[0]]
            state = situation.prices.repair(entry, situation.state).after
            follow = self._cost(Outlook(order[1:], works[1:]), state, 1.0 - works[0])
            result.append(FirstRepair(order[0], works[0], follow))
        return result

    @cached_property
    def floor(self) -> float:
        """A lower bound: what the causes would cost to mend if they were known.

        A repair is needed when all others together do not end the trouble; set-ups and
        calls are left out, and what no repair here mends is taken at the cheapest price.
        """
        shortlist = self.situation.shortlist
        ends, *without = self._single_and_joint[len(shortlist) :]
        repairs = self.situation.subject.knowledge.repairs
        bare = {r: self.situation.prices.bare(repairs[r]) for r in self.situation.screen.prices}
        needed = sum(
            bare[r] * max(0.0, ends - rest) for r, rest in zip(shortlist, without, strict=True)
        )
        return needed + min(bare.values(), default=0.0) * (1.0 - ends)

    def _look(
        self, drawn: _Drawn, total: float, values: Sequence[tuple[float, tuple[float, ...]]]
    ) -> Look:
        situation = self.situation
        state = situation.prices.work(drawn.candidate.check.work, situation.state).after
        costs = tuple(
            self._cost(Outlook(order, works), state)
            for order, (_, works) in zip(drawn.orders, values, strict=True)
        )
        chances = tuple(weight / total for weight, _ in values)
        return Look(drawn.candidate, drawn.answers, chances, costs)

    def _cost(self, outlook: Outlook, state: State, left: float = 1.0) -> float:
        situation = self.situation
        return repair_only_cost(situation.subject, situation.prices, outlook, state, left)

    @cached_property
    def _valued(self) -> list[tuple[float, tuple[float, ...]]]:
        """W of the plan without checks, of the first repairs, and after shared answers."""
        asked: list[Asked] = [(ALWAYS, prefixes(self._base_order))]
        asked += [(ALWAYS, prefixes(order)) for order in self._first_orders]
        for drawn in self._drawn:
            if not self._own_sweep(drawn.candidate):
                asked += self._asked(self._shared, drawn)
        return self._shared.of_each(asked)

    @cached_property
    def _single_and_joint(self) -> tuple[float, ...]:
        """W of each repair alone, of all of the shortlist, and of all but each."""
        shortlist = self.situation.shortlist
        everything = frozenset(shortlist)
        sets = [frozenset({r}) for r in shortlist]
        sets += [everything, *(everything - {r} for r in shortlist)]
        return self._shared.of(ALWAYS, sets)

    @cached_property
    def _base_order(self) -> tuple[str, ...]:
        """The shortlist by the chance that each repair alone ends it, per minute."""
        gains = dict(zip(self.situation.shortlist, self._single_and_joint, strict=False))
        prices = self.situation.screen.prices
        return tuple(sorted(gains, key=lambda r: -gains[r] / prices[r]))

    @cached_property
    def _first_orders(self) -> list[tuple[str, ...]]:
        return [
            (first, *(r for r in self._base_order if r != first))
            for first in self._base_order[:FIRST_REPAIRS]
        ]

    @cached_property
    def _drawn(self) -> list[_Drawn]:
        return [self._draw(candidate) for candidate in self.situation.examined]

    def _draw(self, candidate: Candidate) -> _Drawn:
        """The likeliest joint answers by the quick screen, each with an order of repairs."""
        screen = self.situation.screen
        answers, likelihoods = screen.likelihoods(candidate)
        masses = likelihoods * self.situation.chances
        best = np.argsort(-masses.sum(axis=1), kind="stable")[:ANSWERS]
        orders = tuple(screen.order(masses[k], SHORTLIST) for k in best)
        return _Drawn(candidate, tuple(answers[k] for k in best), orders)

    def _asked(self, works: Works, drawn: _Drawn) -> list[Asked]:
        expander = Expander(works.before)
        subject = self.situation.subject
        return [
            (drawn.candidate.terms(subject, expander, answers), prefixes(order))
            for answers, order in zip(drawn.answers, drawn.orders, strict=True)
        ]

    def _own_sweep(self, candidate: Candidate) -> bool:
        """Whether a check asks about roots that are averaged out for the others."""
        return bool(candidate.roots) and not self.situation.thorough

    @cached_property
    def _shared(self) -> Works:
        return self._works([d for d in self._drawn if not self._own_sweep(d.candidate)], ())

    def _works(self, drawn: Sequence[_Drawn], kept: Sequence[str]) -> Works:
        """What values plans; unless thorough, all roots but those kept are averaged out."""
        situation = self.situation
        subject, observed = situation.subject, situation.query.observed
        network = subject.network
        if not situation.thorough:
            stay = {subject.roots[r] for r in kept}
            gone = {r: p for r, p in situation.beliefs.roots.items() if r not in stay}
            network = averaged(network, gone)
            known = {r: p for r, p in observed.roots.items() if r in stay}
            observed = msgspec.structs.replace(observed, roots=known)
        repairs = {r for d in drawn for order in d.orders for r in order} | set(situation.shortlist)
        findings = {subject.findings[f] for d in drawn for f in d.candidate.findings}
        return Works(subject, network, observed, tuple(sorted(repairs)), tuple(sorted(findings)))
