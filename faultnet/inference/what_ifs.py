"""Many rows with the weight of every cause in each: what every answer would make of it.

A row differs from the evidence alone at a few causes, so most of its sweep is that of
the evidence. That one is run once, forward and backward, and kept step by step. A
chunk of rows leaves it at the first step that one of its rows changes and, on the way
back, at the last one; outside this window one of the two factors of every weight is
the kept one. Rows that change the same are swept once. All terms are zero or more.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.downsets import Expander, Terms
from faultnet.inference.engine import ImpossibleEvidenceError
from faultnet.inference.kernel import Kernel, Wanted, dot, taken_apart
from faultnet.inference.observed import Observed
from faultnet.inference.plan import Step
from faultnet.inference.query import Query
from faultnet.inference.rows import Factors, Row, RowBatch
from faultnet.network.network import Network

Array = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

CHUNK = 2**16
"""Cells of a chunk's largest array; rows are taken in as many chunks as that needs."""
LEAST = 16
"""Rows of a chunk at least, however large the arrays."""
WIDE = 0.3
"""Rows whose window is wider than this share of the steps are taken in chunks of their own."""


class RowMasses(msgspec.Struct, eq=False):
    """P(evidence and row), and the weight of every cause with it, by row."""

    totals: Array
    causes: Array

    def at(self, places: Sequence[int], scale: Array) -> "RowMasses":
        """Return rows by place, each times a number."""
        at = np.asarray(places, dtype=np.intp)
        return RowMasses(self.totals[at] * scale, self.causes[at] * scale[:, None])


class WhatIfs:
    """The sweep of a query, kept step by step, to weigh rows against.

    Rows may limit findings, mask roots, tip chances and leave causes out; they mend
    nothing. With ``some``, at least one cause is known to be there of itself although the
    query does not count causes: the case that there is none is taken off, which spares
    every array half its cells.
    """

    def __init__(self, query: Query, *, some: bool = False) -> None:
        """Run the evidence alone; raises ``TooLargeError``, ``ImpossibleEvidenceError``."""
        self.some = some
        query.refuse(max(query.plan.cells, query.plan.work // 4))
        if query.statuses.impossible:
            raise ImpossibleEvidenceError
        self.query = query
        steps = query.plan.steps
        self.steps: list[Step] = taken_apart(steps) if query.tally.cap else steps
        self.kernel = Kernel(self.steps, query.inputs)
        self.plain = Factors(RowBatch(1))
        self.before = [self.kernel.start()]
        for step in self.steps:
            self.before.append(self.kernel.forward(step, self.before[-1], self.plain))
        last = self.before[-1]
        goal = np.zeros_like(last)
        goal[list(query.accepted)] = 1.0
        self.after = [goal]
        self.wanted: list[Wanted] = []
        for step in reversed(self.steps):
            adjoint, wanted = self.kernel.backward(step, self.after[-1], self.plain)
            self.after.append(adjoint)
            self.wanted.append(wanted)
        self.after.reverse()
        self.wanted.reverse()
        self.alone = self._empty(1)
        self.alone.totals[:] = dot(last, goal)
        for k in range(len(self.steps)):
            self._enter(
                k, self.before[k], self.after[k + 1], self.wanted[k], self.plain, self.alone
            )

        if not (self.alone.causes if some else self.alone.totals).any():
            raise ImpossibleEvidenceError

    def masses(self, rows: Sequence[Row]) -> RowMasses:
        """Return the weights of every row."""
        batch = self.query.row_maker.batch(rows)
        first, place = self._distinct(batch)
        different = batch.spread(first)
        distinct = self._swept(different)
        if self.some:
            distinct = self._without_none(distinct, different)
        scale = np.ones(batch.size) if batch.scale is None else batch.scale
        return distinct.at(place, scale * (self.query.constant * self.kernel.scale))

    def _without_none(self, masses: RowMasses, batch: RowBatch) -> RowMasses:
        """Take off the case that there is no cause; rows whose masks agree share it."""
        masked = RowBatch(batch.size, root_masks=batch.root_masks, draw_masks=batch.draw_masks)
        first, place = self._distinct(masked)
        masses.totals -= self.kernel.nothing(Factors(masked, first))[place]
        return masses

    def _swept(self, batch: RowBatch) -> RowMasses:
        result = self._empty(batch.size)
        starts, ends = self._windows(batch)
        for chunk in self._chunks(starts, ends):
            start, end = int(starts[chunk].min()), int(ends[chunk].max())
            part = self._weigh(Factors(batch, chunk), start, end)
            result.totals[chunk] = part.totals
            result.causes[chunk] = part.causes
        return result

    def _weigh(self, factors: Factors, start: int, end: int) -> RowMasses:
        """Weigh rows that change nothing before step ``start`` nor after step ``end``."""
        result = self._empty(factors.size)
        if end < 0:
            result.totals[:] = self.alone.totals
            result.causes[:] = self.alone.causes
            return result
        passed = []
        array = self.before[start]
        for k in range(start, len(self.steps)):
            if k > end:
                self._enter(k, array, self.after[k + 1], self.wanted[k], factors, result)
            else:
                passed.append(array)
            array = self.kernel.forward(self.steps[k], array, factors)
        result.totals[:] = dot(array, self.after[-1])
        adjoint = self.after[end + 1]
        for k in range(end, -1, -1):
            before = passed[k - start] if k >= start else self.before[k]
            earlier, wanted = self.kernel.backward(self.steps[k], adjoint, factors)
            self._enter(k, before, adjoint, wanted, factors, result)
            adjoint = earlier
        return result

    def _enter(
        self,
        k: int,
        before: Array,
        after: Array,
        wanted: Wanted,
        factors: Factors,
        into: RowMasses,
    ) -> None:
        """Enter the weights that a step tells of."""
        step = self.steps[k]
        for cause, want in wanted:
            into.causes[:, cause] += dot(before, want)
        if step.kind == "block":
            self._enter_block(step, before * after, factors, into)

    def _enter_block(self, step: Step, rest: Array, factors: Factors, into: RowMasses) -> None:
        """Enter the weights of the causes of a block; ``rest`` is all that stands around it."""
        scope = set(step.leaves[0].roots)
        others = (0, *(k for k, a in enumerate(step.axes, 1) if a not in scope))
        rest = rest.sum(axis=others, keepdims=True)
        shares = self.kernel.shares(step, factors)
        for each in shares:
            rest = rest * each.weights[0]
        axes = tuple(range(rest.ndim - 1))
        for each in shares:
            cause, whole, there = each.cause, each.weights[0], each.there[0]
            if isinstance(whole, float) and isinstance(there, float):
                share: float | Array = there / whole if whole else 0.0
            else:
                share = np.divide(
                    there,
                    whole,
                    out=np.zeros(np.broadcast(there, whole).shape),
                    where=np.asarray(whole) > 0.0,
                )
            into.causes[:, cause] += (rest * share).sum(axis=axes)

    def _empty(self, rows: int) -> RowMasses:
        return RowMasses(np.zeros(rows), np.zeros((rows, len(self.query.network.causes))))

    def _distinct(self, batch: RowBatch) -> tuple[list[int], list[int]]:
        """Rows that differ, by place, and for each row which of them it is."""
        parts = [*batch.root_masks.values(), *batch.draw_masks.values()]
        columns = [*batch.weights.values(), *batch.tipped.values()]
        columns += [factor for kept in batch.conditional.values() for _, factor in kept]
        parts += [np.ones((1, batch.size)), *(column[None] for column in columns)]
        key = np.ascontiguousarray(np.concatenate(parts).T)
        seen: dict[bytes, int] = {}
        first: list[int] = []
        place = []
        for k in range(batch.size):
            at = seen.setdefault(key[k].tobytes(), len(first))
            if at == len(first):
                first.append(k)
            place.append(at)
        return first, place

    def _windows(self, batch: RowBatch) -> tuple[Places, Places]:
        """The first and the last step that each row changes; end -1 where none."""
        changed = np.zeros((batch.size, len(self.query.network.causes)), dtype=bool)
        for weights in (batch.weights, batch.tipped):
            for cause, weight in weights.items():
                changed[:, cause] |= weight != 1.0
        for cause, kept in batch.conditional.items():
            for _, factor in kept:
                changed[:, cause] |= factor != 1.0
        first, last = self._steps_of_causes
        beyond = len(self.steps)
        starts = np.where(changed, first, beyond).min(axis=1)
        ends = np.where(changed, last, -1).max(axis=1)
        for k, step in enumerate(self.steps):
            masks = {"close-draw": batch.draw_masks, "open-root": batch.root_masks}.get(step.kind)
            mask = None if masks is None else masks.get(step.what)
            if mask is not None:
                touched = (mask != 1.0).any(axis=0)
                starts[touched] = np.minimum(starts[touched], k)
                ends[touched] = np.maximum(ends[touched], k)
        return starts, ends

    @cached_property
    def _steps_of_causes(self) -> tuple[Places, Places]:
        """The first and the last step that each cause has a part in."""
        first = np.full(len(self.query.network.causes), len(self.steps))
        last = np.full(len(self.query.network.causes), -1)
        for k, step in enumerate(self.steps):
            for leaf in step.leaves:
                copies = [c.cause for s in leaf.scenarios for b in s.brought for _, c in b.ways]
                for cause in (leaf.cause, *copies):
                    first[cause] = min(first[cause], k)
                    last[cause] = k
        return first, last

    def _chunks(self, starts: Places, ends: Places) -> Iterable[Places]:
        """Rows with windows alike, a chunk at a time."""
        size = max(LEAST, CHUNK // max(1, self.query.plan.cells * (self.query.tally.cap + 1)))
        wide = (ends - starts) > WIDE * len(self.steps)
        order = np.lexsort((starts, wide))
        for kind in (order[~wide[order]], order[wide[order]]):
            for k in range(0, len(kind), size):
                yield kind[k : k + size]


def what_ifs(network: Network, observed: Observed, candidates: Iterable[int]) -> WhatIfs:
    """Return the evidence ready for what-ifs about findings, all causes weighed.

    Raises ``TooLargeError`` and ``ImpossibleEvidenceError``.
    """
    some = network.faults == "several" and observed.rounds == 1
    lean = msgspec.structs.replace(network, faults="any") if some else network
    return WhatIfs(Query(lean, observed, candidates=candidates), some=some)


def answers(what_ifs: WhatIfs, wanted: Sequence[Terms]) -> RowMasses:
    """Return what hypothetical answers would make of the causes; told by subtracting."""
    expander = Expander(what_ifs.query)
    parts = [expander.rows(terms) for terms in wanted]
    rows = {row: None for part in parts for row, _ in part}
    place = {row: k for k, row in enumerate(rows)}
    masses = what_ifs.masses(list(rows))
    at = np.array([place[row] for part in parts for row, _ in part], dtype=np.intp)
    signs = np.array([sign for part in parts for _, sign in part])
    lengths = np.array([len(part) for part in parts])
    possible = np.flatnonzero(lengths)
    result = RowMasses(np.zeros(len(parts)), np.zeros((len(parts), masses.causes.shape[1])))
    if possible.size:
        starts = (np.cumsum(lengths) - lengths)[possible]
        result.totals[possible] = np.add.reduceat(masses.totals[at] * signs, starts)
        causes = masses.causes[at] * signs[:, None]
        result.causes[possible] = np.add.reduceat(causes, starts, axis=0)
    return result
