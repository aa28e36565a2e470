"""The whole network of a system as a graph: every link of the files that can hold there."""

from collections.abc import Iterable, Iterator
from itertools import combinations

import msgspec

from faultnet.drawing.network.graph import Edge, Graph, Group, Node
from faultnet.model.cause import Cause, Shows
from faultnet.model.check import Check
from faultnet.model.finding import Finding
from faultnet.model.in_words import factor_said, strengths_said
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System
from faultnet.network.build import UNLISTED, members, possible

LAYOUT = Group("root:layout", "root", "Layout")
BEFORE = Group("root:before", "root", "Just before")
ELSE = Group(f"cause:{UNLISTED}", "cause", "In no file")


def whole(knowledge: Knowledge, system: System) -> Graph:
    """Return everything that belongs to a system, with all its checks; nothing is left out."""
    return _Gatherer(knowledge, system).graph()


class _Gatherer:
    """Gathers what a system has."""

    def __init__(self, knowledge: Knowledge, system: System) -> None:
        self.known = knowledge
        self.system = system
        here = members(knowledge, system)
        self.causes = [knowledge.causes[each] for each in here.causes if each != UNLISTED]
        self.findings = [knowledge.findings[each] for each in sorted(here.findings)]
        self.ids = {*(f"cause:{each}" for each in here.causes)}
        self.ids |= {f"finding:{each}" for each in here.findings}
        self.ids |= {f"root:{each}" for each in here.roots}
        self.checks = [each for each in knowledge.checks.values() if self._can_be_done(each)]
        self.ids |= {f"check:{each.id}" for each in self.checks}

    def graph(self) -> Graph:
        nodes = tuple(self._nodes())
        kept = {node.group for node in nodes}
        groups = tuple(group for group in self._groups() if group.id in kept)
        edges = [e for e in self._edges() if e.source in self.ids and e.target in self.ids]
        title = f"Network: {self.system.title}"
        return Graph(title, self.system.title, groups, nodes, joined(edges))

    def _can_be_done(self, check: Check) -> bool:
        reveals = {f"finding:{each}" for each in check.reveals}
        here = check.part in self.system.parts and possible(check.only_when, self.system)
        return here and bool(reveals & self.ids)

    def _groups(self) -> Iterator[Group]:
        yield LAYOUT
        yield BEFORE
        for kind in ("cause", "finding", "check"):
            for name in self.system.parts:
                yield Group(f"{kind}:{name}", kind, self.known.parts[name].title)
        yield ELSE

    def _nodes(self) -> Iterator[Node]:
        for name in self.system.layout:
            yield Node(f"root:{name}", "root", self.known.layouts[name].title, LAYOUT.id)
        for name in self.system.circumstances:
            yield Node(f"root:{name}", "root", self.known.circumstances[name].title, BEFORE.id)
        for cause in self.causes:
            yield Node(f"cause:{cause.id}", "cause", cause.title, f"cause:{cause.part}")
        yield Node(f"cause:{UNLISTED}", "cause", "Something not in these files", ELSE.id)
        for each in self.findings:
            yield Node(
                f"finding:{each.id}",
                "finding",
                each.title,
                f"finding:{each.part}",
                danger=bool(each.dangers),
                look=bool(each.found_cause),
            )
        for check in self.checks:
            yield Node(f"check:{check.id}", "check", check.title, f"check:{check.part}")

    def _edges(self) -> Iterator[Edge]:
        yield from self._shown(UNLISTED, self.system.unlisted.shows)
        for cause in self.causes:
            yield from self._shown(cause.id, cause.shows)
            yield from self._chains(cause)
            yield from self._tipped(cause)
        for finding in self.findings:
            yield from self._among_findings(finding)
        for check in self.checks:
            for name in check.reveals:
                yield Edge(f"finding:{name}", f"check:{check.id}", "reveals")
        for group in self.known.look_alikes.values():
            for one, other in combinations(group.causes, 2):
                yield Edge(f"cause:{one}", f"cause:{other}", "alike")

    def _shown(self, name: str, shown: tuple[Shows, ...]) -> Iterator[Edge]:
        for shows in shown:
            finding = self.known.findings[shows.finding]
            if possible(shows.when, self.system):
                strength = sum(number.value for number in shows.strength)
                says = strengths_said(self.known, finding, shows.strength, shows.when)
                to = f"finding:{finding.id}"
                yield Edge(f"cause:{name}", to, "shows", strength, (says,))

    def _chains(self, cause: Cause) -> Iterator[Edge]:
        for leads in cause.leads_to:
            ends = f"cause:{cause.id}", f"cause:{leads.cause}"
            if leads.strength is None:
                yield Edge(*ends, "advice")
            else:
                says = strengths_said(self.known, None, (leads.strength,), {})
                yield Edge(*ends, "leads", leads.strength.value, (says,))

    def _tipped(self, cause: Cause) -> Iterator[Edge]:
        for factor in cause.likelier_when:
            says = factor_said(self.known, factor)
            yield Edge(f"root:{factor.about}", f"cause:{cause.id}", "tips", says=(says,))

    def _among_findings(self, finding: Finding) -> Iterator[Edge]:
        here = f"finding:{finding.id}"
        for rule in finding.follows_from:
            if possible(rule.when, self.system):
                strength = sum(number.value for number in rule.strength)
                says = strengths_said(self.known, finding, rule.strength, rule.when)
                yield Edge(f"finding:{rule.finding}", here, "follows", strength, (says,))
        for name in finding.hidden_by:
            yield Edge(f"finding:{name}", here, "hides")
        for name in finding.needs:
            yield Edge(f"finding:{name}", here, "needs")


def joined(edges: Iterable[Edge]) -> tuple[Edge, ...]:
    """Return edges, those of one kind between the same two as one: the strongest leads."""
    found: dict[tuple[str, str, str], Edge] = {}
    for edge in edges:
        key = edge.source, edge.target, edge.kind
        if key in found:
            first = found[key]
            strength = max((s for s in (first.strength, edge.strength) if s), default=None)
            says = (*first.says, *edge.says)
            found[key] = msgspec.structs.replace(first, strength=strength, says=says)
        else:
            found[key] = edge
    return tuple(found.values())
