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
    """Return the network with each root replaced by its average effect.

    ``chances`` holds P(state) of every root; the roots are taken as independent, and
    what depended on one of them no longer does. Root ids and states stay, so that
    evidence on them is understood; they say nothing any more.
    """
    average = _Average(network, chances)
    return Network(
        network.id,
        tuple(
            Root(r.id, r.states, tuple(chances[k])) for k, r in enumerate(network.roots)
        ),
        tuple(average.cause(c) for c in network.causes),
        tuple(average.finding(f) for f in network.findings),
        network.faults,
    )


class _Average:
    def __init__(self, network: Network, chances: Mapping[int, Sequence[float]]) -> None:
        self.network = network
        self.chances = chances

    def cause(self, cause: Cause) -> Cause:
        roots = cause_roots(cause)
        total = 0.0
        for pick in product(*(range(len(self.chances[r])) for r in roots)):
            weight = 1.0
            for root, state in zip(roots, pick, strict=True):
                weight *= self.chances[root][state]
            if weight:
                states = dict(zip(roots, pick, strict=True))
                total += weight * cause_probability(cause, states)
        brings = tuple(
            msgspec.structs.replace(
                b, probability=b.probability * self._holds(self.network.causes[b.cause].when)
            )
            for b in cause.brings
        )
        return Cause(cause.id, min(total, 1.0), brings=brings)

    def finding(self, finding: Finding) -> Finding:
        leak = tuple(x * self._holds(finding.when) for x in finding.leak)
        return msgspec.structs.replace(
            finding,
            leak=leak,
            links=tuple(self._link(link, finding.when) for link in finding.links),
            follows=tuple(self._link(link, finding.when) for link in finding.follows),
            when=(),
        )

    def _link(self, link: Link, when: Condition) -> Link:
        share = self._holds(link.when + when)
        return Link(link.source, tuple(x * share for x in link.levels))

    def _holds(self, condition: Condition) -> float:
        """The chance that a condition holds, its roots independent."""
        allowed: dict[int, list[bool]] = {}
        for root, states in condition:
            held = allowed.setdefault(root, [True] * len(states))
            allowed[root] = [a and b for a, b in zip(held, states, strict=True)]
        chance = 1.0
        for root, held in allowed.items():
            chance *= sum(p for p, a in zip(self.chances[root], held, strict=True) if a)
        return chance
