"""What each cause shows when it is the only one, layout by layout, exactly.

The same network with exactly one cause, each as likely as any other: one sweep weighs
every answer under every layout that it hangs on against every cause. Leaks, rules, hiders
and needs count; what a cause brings along does not.
"""

from functools import cached_property
from itertools import product
from math import prod

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.subject import Subject
from faultnet.inference.downsets import ALWAYS, Terms
from faultnet.network.network import Cause, Finding, Network
from faultnet.review.facts.sweeping import LEAST, Sweeping

Array = npt.NDArray[np.float64]
States = tuple[tuple[int, int], ...]
"""Roots, each with one of its states."""

MOST_STATES = 64
"""Layouts together that a finding is looked at under; beyond, one root at a time."""


class Column(msgspec.Struct, frozen=True):
    """One answer of a finding (by index; ``cannot`` last) under some states of roots."""

    finding: int
    answer: int
    states: States = ()


class Alone(msgspec.Struct, frozen=True, dict=True):
    """The chance of every answer where a cause is alone, by column and cause.

    Every member raises ``TooLargeError``.
    """

    subject: Subject

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        """Every answer that is not normal, under every layout that it hangs on."""
        return tuple(
            Column(k, answer, states)
            for k, finding in enumerate(self.subject.network.findings)
            for states in self._states(k)
            for answer in range(1, len(finding.answers) + bool(finding.needs))
        )

    @cached_property
    def shown(self) -> Array:
        """P(answer | the cause alone, layout); not a number where the cause cannot be."""
        layouts = {c.states: k for k, c in enumerate(self.columns)}
        place = {states: k for k, states in enumerate(layouts)}
        terms = [self._layout(states) for states in place]
        masses = self._sweeping.weigh([*terms, *map(self._terms, self.columns)]).causes
        there = masses[: len(place)][[place[c.states] for c in self.columns]]
        some = masses[len(place) :]
        none = np.full_like(some, np.nan)
        return np.asarray(np.divide(some, there, out=none, where=there > LEAST))

    @cached_property
    def _sweeping(self) -> Sweeping:
        return Sweeping(_one_cause(self.subject.network))

    def _terms(self, column: Column) -> Terms:
        expander = self._sweeping.expander
        answer = expander.answer(column.finding, column.answer)
        return expander.joint([answer, self._layout(column.states)])

    def _layout(self, states: States) -> Terms:
        expander = self._sweeping.expander
        return expander.joint([expander.root(*each) for each in states]) if states else ALWAYS

    def _states(self, finding: int) -> list[States]:
        roots = sorted(self._roots[finding])
        sizes = {r: range(len(self.subject.network.roots[r].states)) for r in roots}
        if prod(len(states) for states in sizes.values()) > MOST_STATES:
            return [((r, state),) for r in roots for state in sizes[r]]
        picks = product(*sizes.values())
        return [tuple(zip(roots, pick, strict=True)) for pick in picks]

    @cached_property
    def _roots(self) -> list[set[int]]:
        """The open roots that each finding hangs on, by way of others too."""
        open_ = {k for k, r in enumerate(self.subject.network.roots) if len(r.states) > 1}
        found: list[set[int]] = []
        for finding in self.subject.network.findings:
            parents = (*finding.hidden_by, *finding.needs, *(r.source for r in finding.follows))
            found.append((_own_roots(finding) & open_).union(*(found[p] for p in parents)))
        return found


def _own_roots(finding: Finding) -> set[int]:
    conditions = [finding.when, *(link.when for link in (*finding.links, *finding.follows))]
    return {root for condition in conditions for root, _ in condition}


def _one_cause(network: Network) -> Network:
    """The network with exactly one cause, each as likely as any other where it can be."""
    even = 1.0 / len(network.causes)
    causes = tuple(Cause(c.id, even, when=c.when) for c in network.causes)
    return msgspec.structs.replace(network, causes=causes, faults="one")
