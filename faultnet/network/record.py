"""The network of record: one round of a network, written out as plain tables.

Every gate is divorced into a chain, so that no table has more than three parents but
those over the roots of one cause. The variables are called after what they are:

``root``, ``cause``, ``finding``
    as in the network. A cause is absent or present; a finding with needs has the
    further state ``cannot``.
``cause.of-itself``
    where others bring the cause along: that it came of itself. The cause is then
    present when any of its presences is; ``cause-1`` and so on count up to it.
``cause.with.other``
    that the other, a presence itself, brought the cause along. A brought cause is a
    presence of its own: it shows the findings of its cause by throws of its own, and
    brings others along in turn (``third.with.cause.with.other``).
``finding.0.leak``, ``finding.1.source``, ``finding.2.source``
    the level that the finding has reached with its leak and the sources so far. The
    last of them is the finding itself where nothing can hide or withhold it.
``finding.1.when``, ``finding.shown``, ``finding.takeable``
    that several conditions all hold (``finding.shown-1`` and so on lead up to it).
``trouble``
    how many causes came of themselves; ``trouble-1`` and so on count up to it. To be
    conditioned on: see ``TROUBLE``.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import product
from typing import TYPE_CHECKING

from faultnet.model.finding import CANNOT
from faultnet.network.chains import Chains, Event, held
from faultnet.network.network import (
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

if TYPE_CHECKING:
    from pgmpy.models import DiscreteBayesianNetwork

PRESENCE = ("absent", "present")
"""The states of a cause."""

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
    return Tables(network.id, tuple(_Recorder(network).variables()))


def record_network(network: Network) -> "DiscreteBayesianNetwork":
    """Return the network of record as a model of pgmpy.

    Raises ``ValueError`` where two things of the network share an id.
    """
    from faultnet.network.pgmpy_model import pgmpy_model

    return pgmpy_model(record_tables(network))


def record_beliefs(
    network: Network, evidence: Mapping[str, Mapping[str, float]], targets: Sequence[str]
) -> dict[str, dict[str, float]]:
    """Return P(state | evidence, trouble) of each target; slow, worked out by pgmpy.

    ``evidence`` holds a likelihood by state for each variable, zero where left out.
    Raises ``ValueError`` for evidence that is impossible, ``KeyError`` for what is not
    in the network.
    """
    from faultnet.network.pgmpy_model import pgmpy_beliefs

    known = {variable: {state: 1.0} for variable, state in TROUBLE[network.faults].items()}
    return pgmpy_beliefs(record_tables(network), {**evidence, **known}, targets)


class _Recorder:
    """Writes one network out, variable by variable."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.chains = Chains()
        self.presences: list[list[str]] = [[] for _ in network.causes]
        brings = [b for c in network.causes for b in c.brings if network.faults != "one"]
        self.brought = {bring.cause for bring in brings}

    def variables(self) -> Iterable[Variable]:
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
        """The variable that says whether a cause came of itself."""
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
        self._presence(index, self._own(index))

    def _presence(self, index: int, variable: str) -> None:
        """Note a presence of a cause, and add all that it brings along."""
        self.presences[index].append(variable)
        if self.network.faults == "one":
            return
        for bring in self.network.causes[index].brings:
            self._bring(bring, variable)

    def _bring(self, bring: Bring, by: str) -> None:
        brought = self.network.causes[bring.cause]
        variable = f"{brought.id}.with.{by}"
        possible = self.chains.all_of(f"{variable}.when", self._events(brought.when))
        events = [(by, PRESENT), *possible]
        self.chains.reach(variable, PRESENCE, None, events, (bring.probability,))
        self._presence(bring.cause, variable)

    def _count_to_one(self) -> None:
        """Count the causes; what makes up for the weights is lost to ``otherwise``."""
        before: list[str] = []
        for index, cause in enumerate(self.network.causes):
            last = index == len(self.network.causes) - 1
            step = "trouble" if last else f"trouble-{index + 1}"
            roots = cause_roots(cause)
            parents = [*before, cause.id, *(self.network.roots[r].id for r in roots)]
            self.chains.add(step, COUNTS, parents, self._counted(cause, bool(before)))
            before = [step]

    def _counted(self, cause: Cause, later: bool) -> Callable[[tuple[int, ...]], list[float]]:
        roots = cause_roots(cause)
        sizes = [range(len(self.network.roots[r].states)) for r in roots]
        picks = [dict(zip(roots, pick, strict=True)) for pick in product(*sizes)]
        most = max(cause_weight(cause, states) for states in picks)

        def chances(pick: tuple[int, ...]) -> list[float]:
            count = sum(pick[: 1 + later])
            states = dict(zip(roots, pick[1 + later :], strict=True))
            kept = (1.0 + cause_weight(cause, states)) / (1.0 + most)
            row = [0.0, 0.0, 1.0 - kept]
            row[min(count, 2)] += kept
            return row

        return chances

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
        """That a finding shows one of its levels; ``cannot`` is none."""
        finding = self.network.findings[index]
        levels = (True,) * (len(finding.answers) - 1)
        return (finding.id, (False, *levels, *(False,) * bool(finding.needs)))

    def _normal(self, index: int) -> Event:
        variable, abnormal = self._abnormal(index)
        return (variable, tuple(not state for state in abnormal))
