"""A quick look at every check, to choose which are worth an exact valuation.

The causes are taken as independent with the exact probabilities of the ranking, the
answers of a check as independent given each cause. What comes out orders the checks
and the repairs; no figure shown to anybody is made here.
"""

from collections.abc import Sequence
from functools import cached_property, reduce

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.sayings import sayings
from faultnet.advice.subject import Subject
from faultnet.advice.ties import best_first, even
from faultnet.network.network import Condition

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

SAVES = 0.25
"""Share of its price that a repair must save by this quick look; rough, so well under one."""


class Screen(msgspec.Struct, frozen=True, dict=True):
    """Quick values from the probability of each cause, in network order.

    ``prices`` are the minutes of each repair from the present state of the site, ``alone``
    the probability of each cause before anything was said but about roots; ``goal`` are the
    findings that a repair is to end.
    """

    subject: Subject
    chances: Array
    prices: dict[str, float]
    specialist: float
    alone: Array | None = None
    goal: tuple[int, ...] = ()

    def at(self, chances: Array) -> "Screen":
        """The same quick look at other chances; what hangs on the system alone is kept."""
        other = msgspec.structs.replace(self, chances=chances)
        vars(other).update(_mended=self._mended, _minutes=self._minutes)
        return other

    @cached_property
    def repairs(self) -> list[str]:
        """Repairs in the order of the columns."""
        return list(self.prices)

    @cached_property
    def _minutes(self) -> Array:
        """The prices in the order of the columns."""
        return np.array(list(self.prices.values()))

    @cached_property
    def _mended(self) -> tuple[Places, Places]:
        """The causes that repairs mend, repair by repair, and where those of each begin."""
        each = [self.subject.mended_by[repair] for repair in self.repairs]
        first = np.cumsum([0, *(len(causes) for causes in each[:-1])])
        return np.array([c for causes in each for c in causes], dtype=np.intp), first

    def _gains(self, masses: Array) -> Array:
        """What each repair (last axis) ends of masses by cause; a cause has one repair."""
        if not self.repairs:
            return masses[..., :0]
        causes, first = self._mended
        return np.asarray(np.add.reduceat(masses[..., causes], first, axis=-1))

    @property
    def shown(self) -> Array:
        """P(finding abnormal | cause alone), by finding and cause, rules followed."""
        return self.subject.once("shown", self._shown)

    def _shown(self) -> Array:
        network = self.subject.network
        result: list[list[float]] = []
        for finding in network.findings:
            quiet = [1.0] * len(network.causes)
            for link in finding.links:
                share = self._likely(link.when + finding.when)
                quiet[link.source] *= 1.0 - sum(link.levels) * share
            for rule in finding.follows:
                strength = sum(rule.levels) * self._likely(rule.when + finding.when)
                source = result[rule.source]
                quiet = [q * (1.0 - strength * x) for q, x in zip(quiet, source, strict=True)]
            result.append([1.0 - q for q in quiet])
        return np.array(result).reshape(len(network.findings), len(network.causes))

    def likelihoods(self, candidate: Candidate) -> Array:
        """P(answers | cause present), by joint answers of a check, in their order, and cause.

        What asks nothing has one answer, which is certain.
        """
        each = [self._said(a, candidate.speaker) for a in (*candidate.findings, *candidate.roots)]
        return reduce(_crossed, each) if each else np.ones((1, len(self.chances)))

    def _repair_only(self, masses: Array) -> Array:
        """Minutes of the best repair-only sequence, by row of masses."""
        prices = self._minutes
        gains = self._gains(masses)
        free = np.where(gains > 0.0, np.inf, 0.0)
        worth = np.divide(gains, prices, out=free, where=prices > 0.0)
        order = np.argsort(-worth, axis=1, kind="stable")
        total = np.maximum(masses.sum(axis=1, keepdims=True), 1e-300)
        done = np.cumsum(np.take_along_axis(gains, order, axis=1), axis=1) / total
        left = np.concatenate([np.ones_like(total), np.maximum(1.0 - done, 0.0)], axis=1)
        spent = np.cumsum(prices[order] * left[:, :-1], axis=1)
        spent = np.concatenate([np.zeros_like(total), spent], axis=1)
        return np.asarray((spent + self.specialist * left).min(axis=1))

    def values(self, candidates: Sequence[Candidate], prices: Sequence[float]) -> list[float]:
        """Price of each check plus what is expected to follow it."""
        if not candidates:
            return []
        each = [self.likelihoods(candidate) for candidate in candidates]
        masses = np.concatenate(each) * self.chances
        weights = masses.sum(axis=1)
        costs = self._repair_only(masses) * weights
        first = np.cumsum([0, *(len(answers) for answers in each[:-1])])
        follow = np.add.reduceat(costs, first)
        totals = np.maximum(np.add.reduceat(weights, first), 1e-300)
        return [float(x) for x in np.array(prices) + follow / totals]

    def order(self, likelihood: Array, most: int, *, sparing: bool = True) -> tuple[str, ...]:
        """The repairs that most likely end the trouble after an answer, best per minute first.

        ``likelihood`` is P(answer | cause). A cause that is no likelier than it was
        before anything was said is there by coincidence, and is not what to mend. With
        ``sparing``, a repair that costs much more than it saves of the specialist is left out.
        """
        responsible = likelihood * self._excess
        gains = self._gains(responsible)
        chosen = best_first(gains)[:most]
        by_place, prices = gains.tolist(), self._minutes.tolist()
        ranked = sorted(chosen, key=lambda k: (even(-by_place[k] / prices[k]), k))
        if sparing:
            whole = max(float(responsible.sum()), 1e-300)
            ranked = self._worth(ranked, [gain / whole for gain in by_place], prices)
        return tuple(self.repairs[k] for k in ranked)

    def _worth(
        self, ranked: Sequence[int], chances: Sequence[float], prices: Sequence[float]
    ) -> list[int]:
        """Leave out repairs that cost much more than they save."""
        left, kept = 1.0, []
        for k in ranked:
            if chances[k] * self.specialist > SAVES * prices[k] * left:
                kept.append(k)
                left -= chances[k]
        return kept

    @cached_property
    def _excess(self) -> Array:
        """How much likelier than by itself each cause is that shows any of the goal.

        A cause that only brings such a one along does not end it when it is mended, and a
        single fault is no coincidence.
        """
        if self.alone is None or self.subject.network.faults == "one":
            return self.chances
        excess = np.maximum(self.chances - self.alone, 0.0)
        if self.goal:
            excess = excess * (self.shown[list(self.goal)] > 0.0).any(axis=0)
        return np.asarray(excess)

    def _said(self, about: str, speaker: str) -> Array:
        """P(answer given | cause present), by answer and cause."""
        if about in self.subject.roots:
            index = self.subject.roots[about]
            return self.subject.once(("root", index), lambda: self.root(index))
        given = self._given.get(speaker)
        if given is None:
            told = sayings(self.subject, speaker)
            given = self._given[speaker] = told.at, told.given(self._normal)
        at, chances = given
        return chances[at[about]]

    @cached_property
    def _given(self) -> dict[str, tuple[dict[str, slice], Array]]:
        """By speaker where the answers to a finding stand, and what ``_said`` says of all."""
        return {}

    @cached_property
    def _normal(self) -> Array:
        """P(finding normal | cause present), by finding and cause.

        The other causes are as likely as they are.
        """
        leaks = np.array([sum(f.leak) for f in self.subject.network.findings])
        quiet = np.maximum(1.0 - self.shown * self.chances, 1e-12)
        whole = (1.0 - leaks) * quiet.prod(axis=1)
        return np.asarray((1.0 - self.shown) * whole[:, None] / quiet)

    def root(self, index: int) -> Array:
        """P(state | cause present), by state and cause."""
        entry = self.subject.network.roots[index]
        weights = np.ones((len(entry.states), len(self.chances)))
        for column, cause in enumerate(self.subject.network.causes):
            for where, factors in cause.factors:
                if where == index:
                    weights[:, column] *= factors
            for where, allowed in cause.when:
                if where == index:
                    weights[:, column] *= allowed
        joint = weights * np.array(entry.prior)[:, None]
        shares = joint / np.maximum(joint.sum(axis=0), 1e-300)
        return np.asarray(shares)

    def _likely(self, condition: Condition) -> float:
        """Prior chance of a condition on the layout."""
        chance = 1.0
        for root, allowed in condition:
            prior = self.subject.network.roots[root].prior
            chance *= sum(p for p, a in zip(prior, allowed, strict=True) if a)
        return chance


def _crossed(one: Array, other: Array) -> Array:
    """P(both answers | cause), by joint answers and cause."""
    return (one[:, None] * other).reshape(-1, one.shape[-1])
