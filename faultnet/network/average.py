"""A network with its unknown roots averaged out."""

from collections.abc import Mapping, Sequence
from itertools import product

import msgspec

from faultnet.network.network import (
    Cause,
    Condition,
    Finding,
    Link,
    Network,
    Root,
    cause_probability,
    cause_roots,
)


def averaged(network: Network, chances: Mapping[int, Sequence[float]]) -> Network:
    """Return the network with roots replaced by their average effect.

    ``chances`` holds P(state) of the roots to replace; they are taken as independent,
    and what depended on one of them no longer does. All root ids and states stay.
    """
    average = _Average(network, chances)
    return Network(
        network.id,
        tuple(
            Root(r.id, r.states, tuple(chances.get(k, r.prior)))
            for k, r in enumerate(network.roots)
        ),
        tuple(average.cause(c) for c in network.causes),
        tuple(average.finding(f) for f in network.findings),
        network.faults,
    )


def chances_when(
    network: Network, chances: Mapping[int, Sequence[float]], states: Mapping[int, int]
) -> dict[int, tuple[float, float]]:
    """Return, by cause, its chance with all roots averaged, and with some states known.

    Only causes that depend on one of the ``states`` (by root) are in the result.
    """
    known = {
        r: tuple(float(k == states[r]) for k in range(len(p))) if r in states else p
        for r, p in chances.items()
    }
    before, after = _Average(network, chances), _Average(network, known)
    return {
        k: (before.cause(cause).probability, after.cause(cause).probability)
        for k, cause in enumerate(network.causes)
        if any(r in states for r in cause_roots(cause))
    }


class _Average:
    def __init__(self, network: Network, chances: Mapping[int, Sequence[float]]) -> None:
        self.network = network
        self.chances = chances

    def cause(self, cause: Cause) -> Cause:
        """A cause with its replaced roots averaged; kept ones still tip the odds."""
        gone = [r for r in cause_roots(cause) if r in self.chances]
        total = 0.0
        for pick in product(*(range(len(self.chances[r])) for r in gone)):
            weight = 1.0
            for root, state in zip(gone, pick, strict=True):
                weight *= self.chances[root][state]
            if weight:
                total += weight * self._probability(cause, dict(zip(gone, pick, strict=True)))
        brings = tuple(
            msgspec.structs.replace(
                b, probability=b.probability * self._holds(self.network.causes[b.cause].when)
            )
            for b in cause.brings
        )
        factors = tuple((r, f) for r, f in cause.factors if r not in self.chances)
        return Cause(cause.id, min(total, 1.0), factors, self._kept(cause.when), brings)

    def _probability(self, cause: Cause, states: dict[int, int]) -> float:
        """P(present) with some roots known and no other tipping the odds."""
        known = Cause(
            cause.id,
            cause.probability,
            tuple((r, f) for r, f in cause.factors if r in states),
            tuple((r, a) for r, a in cause.when if r in states),
        )
        return cause_probability(known, states)

    def finding(self, finding: Finding) -> Finding:
        """A finding with its strengths averaged over the replaced roots."""
        return msgspec.structs.replace(
            finding,
            leak=tuple(x * self._holds(finding.when) for x in finding.leak),
            links=tuple(self._link(link, finding.when) for link in finding.links),
            follows=tuple(self._link(link, finding.when) for link in finding.follows),
            when=self._kept(finding.when),
        )

    def _link(self, link: Link, when: Condition) -> Link:
        share = self._holds(link.when + when)
        return Link(link.source, tuple(x * share for x in link.levels), self._kept(link.when))

    def _kept(self, condition: Condition) -> Condition:
        return tuple((r, a) for r, a in condition if r not in self.chances)

    def _holds(self, condition: Condition) -> float:
        """The chance that a condition on replaced roots holds, the roots independent."""
        allowed: dict[int, list[bool]] = {}
        for root, states in condition:
            if root in self.chances:
                held = allowed.setdefault(root, [True] * len(states))
                allowed[root] = [a and b for a, b in zip(held, states, strict=True)]
        chance = 1.0
        for root, held in allowed.items():
            chance *= sum(p for p, a in zip(self.chances[root], held, strict=True) if a)
        return chance
