"""A quick look at every check, to choose which are worth an exact valuation.

The causes are taken as independent with the exact probabilities of the ranking, the
answers of a check as independent given each cause. What comes out orders the checks
and the repairs; no figure shown to anybody is made here.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from faultnet.advice.candidates import Candidate
from faultnet.advice.observe import said
from faultnet.advice.subject import Subject
from faultnet.model.evidence import Answer
from faultnet.model.finding import CANNOT
from faultnet.network.network import Condition

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Screen:
    """Quick values from the probability of each cause, in network order.

    ``prices`` are the minutes of each repair from the present state of the site.
    """

    subject: Subject
    chances: Array
    prices: dict[str, float]
    specialist: float

    @cached_property
    def repairs(self) -> list[str]:
        """Repairs in the order of the columns."""
        return list(self.prices)

    @cached_property
    def mends(self) -> Array:
        """One where a repair (column) mends a cause (row)."""
        result = np.zeros((len(self.chances), len(self.repairs)))
        for column, repair in enumerate(self.repairs):
            result[list(self.subject.mended_by[repair]), column] = 1.0
        return result

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

    def likelihoods(self, candidate: Candidate) -> tuple[list[dict[str, str]], Array]:
        """Joint answers and P(answers | cause present), by answers and cause."""
        kept = self._kept.get(candidate.check.id)
        if kept is None:
            kept = self._kept[candidate.check.id] = self._likelihoods(candidate)
        return kept

    @cached_property
    def _kept(self) -> dict[str, tuple[list[dict[str, str]], Array]]:
        """Likelihoods worked out so far, by check."""
        return {}

    def _likelihoods(self, candidate: Candidate) -> tuple[list[dict[str, str]], Array]:
        answers = candidate.answers(self.subject)
        columns: dict[tuple[str, str], Array] = {}
        for joint in answers:
            for about, answer in joint.items():
                if (about, answer) not in columns:
                    columns[about, answer] = self._said(candidate, about, answer)
        rows = [np.prod([columns[pair] for pair in joint.items()], axis=0) for joint in answers]
        return answers, np.array(rows)

    def repair_only(self, masses: Array) -> tuple[Array, npt.NDArray[np.int64]]:
        """Minutes of the best repair-only sequence and its order, by row of masses."""
        prices = np.array([self.prices[r] for r in self.repairs])
        gains = masses @ self.mends
        order = np.argsort(-gains / prices, axis=1, kind="stable")
        total = np.maximum(masses.sum(axis=1, keepdims=True), 1e-300)
        done = np.cumsum(np.take_along_axis(gains, order, axis=1), axis=1) / total
        left = np.concatenate([np.ones_like(total), np.maximum(1.0 - done, 0.0)], axis=1)
        spent = np.cumsum(prices[order] * left[:, :-1], axis=1)
        spent = np.concatenate([np.zeros_like(total), spent], axis=1)
        return (spent + self.specialist * left).min(axis=1), order

    def value(self, candidate: Candidate, price: float) -> float:
        """Price of a check plus what is expected to follow it."""
        _, likelihoods = self.likelihoods(candidate)
        masses = likelihoods * self.chances
        costs, _ = self.repair_only(masses)
        weights = masses.sum(axis=1)
        return price + float((costs * weights).sum() / max(weights.sum(), 1e-300))

    def order(self, masses: Array, most: int) -> tuple[str, ...]:
        """The repairs that mend most of the mass, best per minute first."""
        gains = masses @ self.mends
        chosen = np.argsort(-gains, kind="stable")[:most]
        prices = np.array([self.prices[r] for r in self.repairs])
        ranked = sorted(chosen, key=lambda k: (-gains[k] / prices[k], k))
        return tuple(self.repairs[k] for k in ranked)

    def _said(self, candidate: Candidate, about: str, answer: str) -> Array:
        if about in self.subject.roots:
            return self._root(about, answer)
        index = self.subject.findings[about]
        finding = self.subject.knowledge.findings[about]
        alone = self.shown[index]
        leak = sum(self.subject.network.findings[index].leak)
        others = (1.0 - leak) * np.prod(1.0 - alone * self.chances)
        normal = (1.0 - alone) * others / np.maximum(1.0 - alone * self.chances, 1e-12)
        levels = len(finding.answers) - 1
        chance = said(self.subject, Answer(about, answer, candidate.speaker))
        if answer == CANNOT:
            return np.full_like(normal, 0.01)
        abnormal = sum(chance[1 : levels + 1]) / levels
        return np.asarray(chance[0] * normal + abnormal * (1.0 - normal))

    def _root(self, root: str, state: str) -> Array:
        index = self.subject.roots[root]
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
        return np.asarray(shares[entry.states.index(state)])

    def _likely(self, condition: Condition) -> float:
        """Prior chance of a condition on the layout."""
        chance = 1.0
        for root, allowed in condition:
            prior = self.subject.network.roots[root].prior
            chance *= sum(p for p, a in zip(prior, allowed, strict=True) if a)
        return chance
