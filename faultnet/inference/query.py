"""One query made ready: evidence compiled into draws, gates, leaves and a plan."""

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import TypeVar

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.backward import Backward, Masses
from faultnet.inference.draws import Draw, build_draws
from faultnet.inference.engine import ImpossibleEvidenceError, TooLargeError
from faultnet.inference.gates import build_gate
from faultnet.inference.inputs import Inputs
from faultnet.inference.kernel import Kernel
from faultnet.inference.leaves import LeafMaker, Setting
from faultnet.inference.observed import Observed
from faultnet.inference.plan import Plan, Planner
from faultnet.inference.row_maker import RowMaker
from faultnet.inference.rows import Factors, Row, RowBatch
from faultnet.inference.scope import Scope
from faultnet.inference.status import OFF, Statuses
from faultnet.inference.tally import ANY, COUNT_TWO, ONE, SOME
from faultnet.inference.timeline import Timeline
from faultnet.network.network import Network, seen

Array = npt.NDArray[np.float64]
T = TypeVar("T")

CELL_LIMIT = 2**25
"""Cells of the largest array; 2**25 doubles are 256 MiB."""
CHUNK_CELLS = 2**19
"""Rows are worked through in chunks of about this many cells."""

_TALLIES = {"any": ANY, "one": ONE, "several": SOME}


class Query:
    """Evidence on a network, ready to be swept.

    ``candidates`` are findings that rows may limit in the open round. Draws of the
    findings in ``ending`` are to end for good in rows that mend something: no cause that
    is left shows them, nor does their leak, unless they are made safe. Only causes in
    ``late`` can be mended. Without ``counting``, what is taken as known about the number
    of causes is left out, and with it every cause that the evidence and the rows say
    nothing about.
    """

    def __init__(
        self,
        network: Network,
        observed: Observed,
        *,
        candidates: Iterable[int] = (),
        ending: Iterable[int] = (),
        late: Iterable[int] = (),
        count_two: bool = False,
        counting: bool = True,
    ) -> None:
        """Compile; raises ``TooLargeError`` before anything large is made."""
        self.network = network
        self.observed = observed
        self.counting = counting
        self.late = frozenset(late)
        self.tally = COUNT_TWO if count_two else _TALLIES[network.faults] if counting else ANY
        self.known, self.constant = _known_roots(network, observed)
        self.statuses = Statuses(network, observed, self.known)
        wanted = _with_parents(network, candidates)
        self._track_where_drawn(wanted)
        self.draws = build_draws(network, observed, self.statuses)
        ending_draws = self._ending_draws(set(ending))
        free = wanted - {d.finding for d in self.draws if observed.now in d.rounds}
        setting = Setting(
            self.known, frozenset(free), frozenset(ending_draws), self.late, count_two
        )
        maker = LeafMaker(network, self.draws, Timeline(observed), setting)
        for index, masks in maker.masks().items():
            self.draws[index].close_states(masks)
        silent = {i for i in ending_draws if self.draws[i].finding not in observed.made_safe}
        self.gates = [
            build_gate(network, self.draws, i, self.known, i in silent)
            for i in range(len(self.draws))
        ]
        self._apply_settled()
        causes = range(len(network.causes)) if counting else maker.relevant()
        self.leaves = [maker.leaf(c) for c in causes]
        self.plan = self._plan()
        self.row_maker = RowMaker(network, self.draws, observed.now, self.known)
        self._scopes: dict[tuple[int, ...], Scope] = {}
        self._masses: Masses | None = None

    @property
    def accepted(self) -> tuple[int, ...]:
        """Tally states that agree with what is taken as known."""
        return tuple(range(min(1, self.tally.cap), self.tally.cap + 1))

    @cached_property
    def kernel(self) -> Kernel:
        """The sweep of this query's plan."""
        return Kernel(self.plan.steps, self.inputs)

    @cached_property
    def inputs(self) -> Inputs:
        """What a sweep reads besides its steps."""
        return Inputs(
            sizes=self._sizes(widest=False),
            first_draw=len(self.network.roots),
            priors=[self._root_weights(root) for root in range(len(self.network.roots))],
            gates=self.gates,
            likelihoods=[self._likelihood(draw) for draw in self.draws],
            scope=self._scope,
            tally=self.tally,
            now=self.observed.now,
        )

    def masses(self) -> Masses:
        """Weights of everything, scaled so that ``total`` is P(evidence)."""
        if self._masses is None:
            self._masses = self._weighed_back()
        return self._masses

    def _weighed_back(self) -> Masses:
        if self.statuses.impossible:
            raise ImpossibleEvidenceError
        self.refuse(max(self.plan.cells, self.plan.work // 4))
        masses = Backward(self.kernel).run(self.accepted, self.constant)
        if masses.total <= 0.0:
            raise ImpossibleEvidenceError
        return masses

    def possible(self) -> bool:
        """Whether the evidence has a probability above zero."""
        if self.statuses.impossible:
            return False
        return bool(self.tally_weights()[list(self.accepted)].sum() > 0.0)

    def tally_weights(self) -> Array:
        """P(evidence and tally state), by tally state."""
        self.refuse(self.plan.cells)
        return np.asarray(self.kernel.weigh(Factors(RowBatch(1)))[:, 0] * self.constant)

    def weigh_one(self) -> float:
        """P(evidence and just one cause was there from the start, none brought along).

        Raises ``TooLargeError``.
        """
        self.refuse(self.plan.cells)
        inputs = msgspec.structs.replace(self.inputs, tally=ONE, alone=True)
        weights = Kernel(self.plan.steps, inputs).weigh(Factors(RowBatch(1)))
        return float(weights[1, 0] * self.constant)

    def can_be(self, cause: int) -> bool:
        """Whether a cause may be there under what is known of the roots."""
        if any(work.cause == cause for work in self.observed.brought_in):
            return True
        when = self.network.causes[cause].when
        return all(allowed[self.known[root]] for root, allowed in when if root in self.known)

    def weigh_present(self, cause: int) -> float:
        """P(evidence and the cause is there now), come of itself or brought; no subtraction.

        The cause is given a finding that shows it and nothing else, and that is seen: a
        query of its own. Raises ``TooLargeError``.
        """
        findings = (*self.network.findings, seen(cause, self.network.causes[cause]))
        network = msgspec.structs.replace(self.network, findings=findings)
        told = {**self.observed.findings, (len(findings) - 1, self.observed.now): (0.0, 1.0)}
        # Where it is there, something has been from the start: nothing needs to be counted.
        counting = self.network.faults == "one" or self.observed.rounds > 1
        query = Query(
            network, msgspec.structs.replace(self.observed, findings=told), counting=counting
        )
        return 0.0 if query.statuses.impossible else float(query.weigh([Row()])[0])

    def weigh(self, rows: Sequence[Row]) -> Array:
        """P(evidence and row) for each row."""
        return np.asarray(self.weigh_by_tally(rows)[:, list(self.accepted)].sum(axis=1))

    def weigh_by_tally(self, rows: Sequence[Row]) -> Array:
        """P(evidence and row and tally state), by row and tally state."""
        return self._swept(rows, self.row_maker.factors)

    def weigh_crossed(
        self, rows: Sequence[Row], others: Sequence[Row], pairs: Sequence[tuple[int, int]]
    ) -> Array:
        """P(evidence and row) for each pair of a row and the causes of another one, by place."""
        weights = self._swept(pairs, lambda part: self.row_maker.crossed(rows, others, part))
        return np.asarray(weights[:, list(self.accepted)].sum(axis=1))

    def _swept(self, asked: Sequence[T], factors: Callable[[Sequence[T]], Factors]) -> Array:
        self.refuse(self.plan.cells)
        chunk = max(1, CHUNK_CELLS // max(1, self.plan.cells))
        parts = [
            self.kernel.weigh(factors(asked[k : k + chunk])) for k in range(0, len(asked), chunk)
        ]
        none = np.zeros((self.tally.cap + 1, 0))
        return np.asarray(np.concatenate([none, *parts], axis=1).T * self.constant)

    def refuse(self, cells: int, limit: float | None = None) -> None:
        """Raise ``TooLargeError`` when a computation would need more cells than a limit."""
        limit = CELL_LIMIT if limit is None else limit
        if cells > limit:
            dear = [self.network.findings[d.finding].id for d in self.draws if d.tracked]
            raise TooLargeError(cells, int(limit), dear)

    def _plan(self) -> Plan:
        planner = Planner(self._sizes(widest=True), len(self.network.roots))
        return planner.plan(self.leaves, self.draws, self.gates)

    def _sizes(self, *, widest: bool) -> dict[int, int]:
        roots = enumerate(self.network.roots)
        sizes = {r: len(root.states) for r, root in roots if r not in self.known}
        for index, draw in enumerate(self.draws):
            size = max(len(draw.raw), len(draw.values)) if widest else len(draw.raw)
            sizes[len(self.network.roots) + index] = size
        return sizes

    def _scope(self, roots: tuple[int, ...]) -> Scope:
        scope = self._scopes.get(roots)
        if scope is None:
            scope = self._scopes[roots] = Scope(self.network, roots, self.known)
        return scope

    def _root_weights(self, root: int) -> list[float]:
        entry = self.network.roots[root]
        likelihood = self.observed.roots.get(root, (1.0,) * len(entry.states))
        return [p * x for p, x in zip(entry.prior, likelihood, strict=True)]

    def _likelihood(self, draw: Draw) -> list[float]:
        result = [1.0] * len(draw.values)
        for place, round_ in enumerate(draw.tracked):
            likelihood = self.statuses.likelihood.get((draw.finding, round_))
            if likelihood is not None:
                picks = (likelihood[value[place]] for value in draw.values)
                result = [x * pick for x, pick in zip(result, picks, strict=True)]
        return result

    def _apply_settled(self) -> None:
        """Multiply in the likelihoods of settled findings, and gates without a choice."""
        for gate in self.gates:
            if gate.constant is not None:
                self.constant *= gate.constant
        for (finding, round_), status in self.statuses.of.items():
            likelihood = self.statuses.likelihood.get((finding, round_))
            if status == OFF and likelihood is not None:
                self.constant *= likelihood[0]

    def _track_where_drawn(self, findings: set[int]) -> None:
        """Track candidates whose present answer shares a draw with an earlier one."""
        now = self.observed.now
        drawn = {f for f, r in self.statuses.of if r != now}
        again = {f for f in findings & drawn if (f, now) not in self.statuses.of}
        self.statuses.track(again, now)

    def _ending_draws(self, findings: set[int]) -> set[int]:
        """Open-round draws of the findings, and of what they follow from."""
        waiting = list(findings)
        while waiting:
            for source in self.statuses.follows(self.network.findings[waiting.pop()]):
                if source not in findings:
                    findings.add(source)
                    waiting.append(source)
        now = self.observed.now
        return {i for i, d in enumerate(self.draws) if d.finding in findings and now in d.tracked}


def _known_roots(network: Network, observed: Observed) -> tuple[dict[int, int], float]:
    """Roots with one possible state, and the weight of those states."""
    known: dict[int, int] = {}
    constant = 1.0
    for index, root in enumerate(network.roots):
        likelihood = observed.roots.get(index, (1.0,) * len(root.states))
        possible = [k for k, p in enumerate(likelihood) if p * root.prior[k] > 0.0]
        if len(possible) == 1:
            known[index] = possible[0]
            constant *= root.prior[possible[0]] * likelihood[possible[0]]
        elif not possible:
            constant = 0.0
            known[index] = 0
    return known, constant


def _with_parents(network: Network, findings: Iterable[int]) -> set[int]:
    """Findings with everything that their gates read."""
    result = set(findings)
    waiting = list(result)
    while waiting:
        finding = network.findings[waiting.pop()]
        parents = [link.source for link in finding.follows]
        for parent in (*parents, *finding.hidden_by, *finding.needs):
            if parent not in result:
                result.add(parent)
                waiting.append(parent)
    return result
