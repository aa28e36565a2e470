"""Writes the network of record, variable by variable; ``record`` says what they are."""

from collections.abc import Iterable, Sequence
from math import prod

from faultnet.model.finding import CANNOT
from faultnet.network.chains import Chains, Event, held
from faultnet.network.network import (
    PRESENCE,
    Bring,
    Cause,
    Condition,
    Finding,
    Link,
    Network,
    Root,
    cause_probability,
    cause_roots,
    cause_weight,
)
from faultnet.network.tables import Tables, Variable

TROUBLE: dict[str, dict[str, str]] = {
    "several": {"trouble": "some"},
    "one": {"trouble": "one"},
    "any": {},
}
"""The evidence that says what is taken as known, by ``Network.faults``."""
PRESENT = (False, True)
COUNTS = ("none", "one", "otherwise")


def record_tables(network: Network) -> Tables:
    """Return the network of record as tables.

    Raises ``ValueError`` where two things of the network share an id.
    """
    return Tables(network.id, tuple(Recorder(network).variables()))


class Recorder:
    """Writes one network out, variable by variable."""

    def __init__(self, network: Network) -> None:
        """Start without variables."""
        self.network = network
        self.chains = Chains()
        self.presences: list[list[str]] = [[] for _ in network.causes]
        brings = [b for c in network.causes for b in c.brings if network.faults != "one"]
        self.brought = {bring.cause for bring in brings}

    def variables(self) -> Iterable[Variable]:
        """Return all variables, parents before children; to be called once."""
        for root in self.network.roots:
            self._root(root)
        for index in range(len(self.network.causes)):
            self._cause(index)
        for index in sorted(self.brought):
            presences = [(variable, PRESENT) for variable in self.presences[index]]
            self.chains.fold(self.network.causes[index].id, presences, any, PRESENCE)
        if self.network.faults == "several":
            own = [(self._own(index), PRESENT) for index in range(len(self.network.causes))]
            self.chains.fold("trouble", own, any, ("none", "some"))
        if self.network.faults == "one":
            self._count_to_one()
        for finding in self.network.findings:
            self._finding(finding)
        return self.chains.variables.values()

    def _root(self, root: Root) -> None:
        self.chains.add(root.id, root.states, (), lambda _: root.prior)

    def _own(self, index: int) -> str:
        """Return the variable that says whether a cause came of itself."""
        cause = self.network.causes[index].id
        return f"{cause}.of-itself" if index in self.brought else cause

    def _cause(self, index: int) -> None:
        cause = self.network.causes[index]
        roots = cause_roots(cause)

        def chances(pick: tuple[int, ...]) -> tuple[float, float]:
            states = dict(zip(roots, pick, strict=True))
            if self.network.faults == "one":
                weight = cause_weight(cause, states)
                return (1.0 / (1.0 + weight), weight / (1.0 + weight))
            probability = cause_probability(cause, states)
            return (1.0 - probability, probability)

        parents = [self.network.roots[r].id for r in roots]
        self.chains.add(self._own(index), PRESENCE, parents, chances)
        self.presences[index].append(self._own(index))
        if self.network.faults != "one":
            for bring in cause.brings:
                self._bring(bring, index)

    def _bring(self, bring: Bring, by: int) -> None:
        brought = self.network.causes[bring.cause]
        variable = f"{brought.id}.with.{self.network.causes[by].id}"
        possible = self.chains.all_of(f"{variable}.when", self._events(brought.when))
        events = [(self._own(by), PRESENT), *possible]
        self.chains.reach(variable, PRESENCE, None, events, (bring.probability,))
        self.presences[bring.cause].append(variable)

    def _count_to_one(self) -> None:
        """Count the causes, each step making up for the weight that its cause shared out."""
        before: list[str] = []
        for number, cause in enumerate(self.network.causes, 1):
            last = number == len(self.network.causes)
            step = "trouble" if last else f"trouble-{number}"
            self._count(step, before, cause)
            before = [step]

    def _count(self, step: str, before: Sequence[str], cause: Cause) -> None:
        roots = cause_roots(cause)
        counted = [*before, cause.id]
        most = prod((max(factors) for _, factors in cause.factors), start=cause.probability)

        def chances(pick: tuple[int, ...]) -> list[float]:
            states = dict(zip(roots, pick[len(counted) :], strict=True))
            kept = (1.0 + cause_weight(cause, states)) / (1.0 + most)
            row = [0.0, 0.0, 1.0 - kept]
            row[min(sum(pick[: len(counted)]), 2)] += kept
            return row

        parents = [*counted, *(self.network.roots[r].id for r in roots)]
        self.chains.add(step, COUNTS, parents, chances)

    def _finding(self, finding: Finding) -> None:
        """Join leak and sources step by step, then let the findings above gate it."""
        sources = [
            *((event, link) for link in finding.links for event in self._presences(link)),
            *((self._abnormal(link.source), link) for link in finding.follows),
        ]
        names = ["leak", *(event[0] for event, _ in sources)]
        steps = [f"{finding.id}.{k}.{name}" for k, name in enumerate(names)]
        gated = bool(finding.when or finding.hidden_by or finding.needs)
        if not gated:
            steps[-1] = finding.id
        self.chains.reach(steps[0], finding.answers, None, (), finding.leak)
        for before, step, (event, link) in zip(steps, steps[1:], sources, strict=False):
            when = self.chains.all_of(f"{step}.when", self._events(link.when))
            self.chains.reach(step, finding.answers, before, [event, *when], link.levels)
        if gated:
            self._gate(finding, steps[-1])

    def _gate(self, finding: Finding, reached: str) -> None:
        """Hide and withhold: from the level reached to the answer that is seen."""
        clear = [self._normal(f) for f in finding.hidden_by if f not in finding.needs]
        shown = self.chains.all_of(f"{finding.id}.shown", [*self._events(finding.when), *clear])
        needs = [self._normal(f) for f in finding.needs]
        takeable = self.chains.all_of(f"{finding.id}.takeable", needs)
        states = (*finding.answers, CANNOT) if needs else finding.answers

        def chances(pick: tuple[int, ...]) -> list[float]:
            holding = held([*takeable, *shown], pick[1:])
            answer = pick[0] if all(holding) else 0
            if not all(holding[: len(takeable)]):
                answer = len(finding.answers)
            return [float(k == answer) for k in range(len(states))]

        parents = [reached, *(parent for parent, _ in (*takeable, *shown))]
        self.chains.add(finding.id, states, parents, chances)

    def _presences(self, link: Link) -> list[Event]:
        return [(variable, PRESENT) for variable in self.presences[link.source]]

    def _events(self, condition: Condition) -> list[Event]:
        return [(self.network.roots[root].id, allowed) for root, allowed in condition]

    def _abnormal(self, index: int) -> Event:
        """Return the event that a finding shows one of its levels; ``cannot`` is none."""
        finding = self.network.findings[index]
        levels = (True,) * (len(finding.answers) - 1)
        return (finding.id, (False, *levels, *(False,) * bool(finding.needs)))

    def _normal(self, index: int) -> Event:
        variable, abnormal = self._abnormal(index)
        return (variable, tuple(not state for state in abnormal))
