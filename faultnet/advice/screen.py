"""A quick look at every check, to choose which are worth an exact valuation.

The causes are taken as independent with the exact probabilities of the ranking, the
answers of a check as independent given each cause. What comes out orders the checks
and the repairs; no figure shown to anybody is made here.
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import accumulate

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT
from faultnet.network.network import Condition

Array = npt.NDArray[np.float64]

SAVES = 0.25
"""Share of its price that a repair must save by this quick look; rough, so well under one."""
SELDOM = 0.01
"""How often a finding is taken not to be takeable; judgement, only for this quick look."""


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
        vars(other).update(shown=self.shown, _mended=self._mended)
        return other

    @cached_property
    def repairs(self) -> list[str]:
        """Repairs in the order of the columns."""
        return list(self.prices)

    def _gains(self, masses: Array) -> Array:
        """The mass that each repair mends, by row of masses; a cause has one repair."""
        by_repair, first = self._mended
        if not by_repair:
            return masses[:, :0]
        return np.asarray(np.add.reduceat(masses[:, by_repair], first, axis=1))

    @cached_property
    def _mended(self) -> tuple[list[int], list[int]]:
        """Causes by repair, and where each repair begins among them."""
        groups = [self.subject.mended_by[repair] for repair in self.repairs]
        first = [0, *accumulate(len(group) for group in groups[:-1])]
        return [cause for group in groups for cause in group], first

    @cached_property
    def shown(self) -> Array:
        """P(finding abnormal | cause alone), by finding and cause, rules followed."""
        network = self.subject.network
        result = np.zeros((len(network.findings), len(network.causes)))
        for index, finding in enumerate(network.findings):
            quiet = np.ones(len(network.causes))
            for link in finding.links:
                share = self._likely(link.when + finding.when)
                quiet[link.source] *= 1.0 - sum(link.levels) * share
            for rule in finding.follows:
                share = self._likely(rule.when + finding.when)
                quiet *= 1.0 - sum(rule.levels) * share * result[rule.source]
            result[index] = 1.0 - quiet
        return result

    def likelihoods(self, candidate: Candidate) -> Array:
        """P(answers | cause present), by joint answers of a check, in their order, and cause."""
        result = np.ones((1, len(self.chances)))
        for about in (*candidate.findings, *candidate.roots):
            each = self._said(about, candidate.speaker)
            result = (result[:, None] * each).reshape(-1, len(self.chances))
        return result

    def _repair_only(self, masses: Array) -> Array:
        """Minutes of the best repair-only sequence, by row of masses."""
        prices = np.array([self.prices[r] for r in self.repairs])
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
        (gains,) = self._gains(responsible[None])
        prices = np.array([self.prices[r] for r in self.repairs])
        chosen = np.argsort(-gains, kind="stable")[:most]
        ranked = sorted(chosen.tolist(), key=lambda k: (-gains[k] / prices[k], k))
        if sparing:
            ranked = self._worth(ranked, gains / max(responsible.sum(), 1e-300), prices)
        return tuple(self.repairs[k] for k in ranked)

    def _worth(self, ranked: Sequence[int], chances: Array, prices: Array) -> list[int]:
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
        """P(answer given | cause present), by answer and cause; worked out once."""
        kept = self._kept.get((about, speaker))
        if kept is None:
            roots = self.subject.roots
            kept = self.root(roots[about]) if about in roots else self._finding(about, speaker)
            self._kept[about, speaker] = kept
        return kept

    @cached_property
    def _kept(self) -> dict[tuple[str, str], Array]:
        """What ``_said`` has worked out so far."""
        return {}

    def _finding(self, about: str, speaker: str) -> Array:
        finding = self.subject.knowledge.findings[about]
        normal = self._normal(about)
        levels = len(finding.answers) - 1
        rows = []
        for answer in finding.all_answers:
            chance = said(self.subject, Answer(about, answer, speaker))
            abnormal = sum(chance[1 : levels + 1]) / levels
            rows.append(abnormal + (chance[0] - abnormal) * normal)
            if answer == CANNOT:
                rows[-1] = np.full_like(normal, SELDOM)
        return np.array(rows)

    def _normal(self, about: str) -> Array:
        """P(finding normal | cause present), by cause; the other causes as likely as they are."""
        index = self.subject.findings[about]
        alone = self.shown[index]
        quiet = np.maximum(1.0 - alone * self.chances, 1e-12)
        leak = sum(self.subject.network.findings[index].leak)
        return np.asarray((1.0 - alone) * ((1.0 - leak) * quiet.prod()) / quiet)

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
