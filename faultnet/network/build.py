"""From the knowledge of one system to its network."""

from collections.abc import Iterable
from graphlib import TopologicalSorter

import msgspec

from faultnet.model.cause import Cause as AuthoredCause
from faultnet.model.cause import Shows
from faultnet.model.condition import When
from faultnet.model.finding import Finding as AuthoredFinding
from faultnet.model.finding import Follows
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.system import System
from faultnet.network.network import (
    Bring,
    Cause,
    Condition,
    Finding,
    Levels,
    Link,
    Network,
    Root,
)

UNLISTED = "unlisted"
"""The id of the cause that stands in no file."""
YES_NO = ("no", "yes")
"""The states of a circumstance."""


class Members(msgspec.Struct, frozen=True):
    """What belongs to a system: ids in network order."""

    roots: tuple[str, ...]
    causes: tuple[str, ...]
    findings: tuple[str, ...]


def members(knowledge: Knowledge, system: System) -> Members:
    """Return the roots, causes and findings of a system; findings after their parents."""
    parts = set(system.parts)
    causes = {
        c.id for c in knowledge.causes.values() if c.part in parts and possible(c.only_when, system)
    }
    findings = {
        f.id
        for f in knowledge.findings.values()
        if f.part in parts
        and possible(f.only_when, system)
        and (not f.found_cause or f.found_cause in causes)
    }
    roots = (*system.layout, *system.circumstances)
    return Members(roots, (*sorted(causes), UNLISTED), _in_order(knowledge, findings))


def build_network(knowledge: Knowledge, system: System) -> Network:
    """Return the network of a system, with base probabilities as authored (not scaled)."""
    return Builder(knowledge, system).network()


def scaled(network: Network, scale: float) -> Network:
    """Return the network with every base probability multiplied."""
    causes = tuple(
        msgspec.structs.replace(c, probability=c.probability * scale) for c in network.causes
    )
    return msgspec.structs.replace(network, causes=causes)


def causes_only(network: Network, circumstances: Iterable[str]) -> Network:
    """Return the causes without findings, factors and chains, no circumstance holding.

    What is left says how common each cause is on a call of which nothing is known.
    """
    never = set(circumstances)
    roots = tuple(
        msgspec.structs.replace(r, prior=(1.0, 0.0)) if r.id in never else r for r in network.roots
    )
    causes = tuple(msgspec.structs.replace(c, factors=(), brings=()) for c in network.causes)
    return Network(network.id, roots, causes, (), "any")


class Builder:
    """Turns the entries of a system into a network; all in network order."""

    def __init__(self, knowledge: Knowledge, system: System) -> None:
        """Index the members of the system, and its links by finding."""
        self.knowledge = knowledge
        self.system = system
        self.members = members(knowledge, system)
        self.root_at = {r: k for k, r in enumerate(self.members.roots)}
        self.cause_at = {c: k for k, c in enumerate(self.members.causes)}
        self.finding_at = {f: k for k, f in enumerate(self.members.findings)}
        self.states = {r.id: r.states for r in self._roots()}
        self.shown_by: dict[str, list[tuple[int, Shows]]] = {}
        for cause in self.authored():
            for shows in cause.shows:
                entry = (self.cause_at[cause.id], shows)
                self.shown_by.setdefault(shows.finding, []).append(entry)
        for shows in system.unlisted.shows:
            entry = (self.cause_at[UNLISTED], shows)
            self.shown_by.setdefault(shows.finding, []).append(entry)

    def network(self) -> Network:
        """Return the network."""
        causes = [self._cause(c) for c in self.authored()]
        causes.append(Cause(UNLISTED, self.system.unlisted.how_common.value))
        findings = tuple(self._finding(f) for f in self.members.findings)
        roots = tuple(self._roots())
        return Network(self.system.id, roots, tuple(causes), findings, self.system.faults)

    def authored(self) -> list[AuthoredCause]:
        """The listed causes."""
        return [self.knowledge.causes[c] for c in self.members.causes if c != UNLISTED]

    def _roots(self) -> list[Root]:
        roots = []
        for layout, priors in self.system.layout.items():
            possible = {value: n.value for value, n in priors.items() if n.value > 0.0}
            total = sum(possible.values())
            shares = tuple(p / total for p in possible.values())
            roots.append(Root(layout, tuple(possible), shares))
        for circumstance, prior in self.system.circumstances.items():
            roots.append(Root(circumstance, YES_NO, (1.0 - prior.value, prior.value)))
        return roots

    def brings(self, cause: AuthoredCause) -> list[tuple[int, Number]]:
        """What a cause brings along here: causes by index, with how often."""
        return [
            (self.cause_at[leads.cause], leads.strength)
            for leads in cause.leads_to
            if leads.strength is not None and leads.cause in self.cause_at
        ]

    def shown(self, finding_id: str) -> list[tuple[int, Shows]]:
        """The links to a finding that can hold here: causes by index."""
        shown = self.shown_by.get(finding_id, ())
        return [(cause, each) for cause, each in shown if possible(each.when, self.system)]

    def rules(self, finding: AuthoredFinding) -> list[Follows]:
        """The rules of a finding that can hold here."""
        return [
            each
            for each in finding.follows_from
            if each.finding in self.finding_at and possible(each.when, self.system)
        ]

    def _cause(self, cause: AuthoredCause) -> Cause:
        brings = tuple(Bring(index, often.value) for index, often in self.brings(cause))
        return Cause(
            cause.id,
            cause.how_common.value,
            self._factors(cause),
            self._condition(cause.only_when),
            brings,
        )

    def _factors(self, cause: AuthoredCause) -> tuple[tuple[int, tuple[float, ...]], ...]:
        by_root: dict[str, dict[str, float]] = {}
        for factor in cause.likelier_when:
            by_root.setdefault(factor.about, {})[factor.value] = factor.factor.value
        return tuple(
            (self.root_at[r], tuple(by_root[r].get(s, 1.0) for s in self.states[r]))
            for r in self.members.roots
            if r in by_root
        )

    def _finding(self, finding_id: str) -> Finding:
        finding = self.knowledge.findings[finding_id]
        hidden, needs = _gates(self.knowledge, finding)
        links = tuple(
            Link(cause, _levels(shows.strength), self._condition(shows.when))
            for cause, shows in self.shown(finding_id)
        )
        follows = tuple(
            Link(self.finding_at[f.finding], _levels(f.strength), self._condition(f.when))
            for f in self.rules(finding)
        )
        return Finding(
            finding.id,
            finding.answers,
            _levels(finding.shows_anyway),
            links,
            follows,
            tuple(sorted(self.finding_at[h] for h in hidden if h in self.finding_at)),
            tuple(sorted(self.finding_at[n] for n in needs if n in self.finding_at)),
            self._condition(finding.only_when),
            fitful=finding.fitful,
        )

    def _condition(self, when: When) -> Condition:
        """The condition over root states, without roots that always satisfy it."""
        parts = []
        for layout, values in when.items():
            allowed = tuple(state in values for state in self.states[layout])
            if not all(allowed):
                parts.append((self.root_at[layout], allowed))
        return tuple(sorted(parts))


def possible(when: When, system: System) -> bool:
    """Whether a condition can hold anywhere in a system."""
    return all(
        any(system.layout[layout][v].value > 0.0 for v in values if v in system.layout[layout])
        for layout, values in when.items()
    )


def _levels(strength: tuple[Number, ...]) -> Levels:
    return tuple(n.value for n in strength)


def _gates(knowledge: Knowledge, finding: AuthoredFinding) -> tuple[set[str], set[str]]:
    """Hiders and needs with all that hides them: hiding is transitive; needs come first."""
    needs = _with_hiders(knowledge, finding.needs)
    return _with_hiders(knowledge, finding.hidden_by) - needs, needs


def _with_hiders(knowledge: Knowledge, findings: Iterable[str]) -> set[str]:
    result: set[str] = set()
    reached = list(findings)
    while reached:
        finding = reached.pop()
        if finding not in result:
            result.add(finding)
            reached += knowledge.findings[finding].hidden_by
    return result


def _in_order(knowledge: Knowledge, findings: set[str]) -> tuple[str, ...]:
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for finding_id in sorted(findings):
        finding = knowledge.findings[finding_id]
        hidden, needs = _gates(knowledge, finding)
        rules = {f.finding for f in finding.follows_from}
        sorter.add(finding_id, *sorted((hidden | needs | rules) & findings))
    return tuple(sorter.static_order())
