"""The steps of a sweep over many rows at once, forward and backward, rows last.

Arrays have axes (tally, open roots and draws in order, rows). Rows stand last so that
every operation runs over long stretches of memory; a single row broadcasts. Weights
that hang on nothing are plain numbers, those that hang on the row alone vectors, and
only those that hang on open roots have the axes of the array.
"""

from math import prod
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from faultnet.inference.plan import Step
from faultnet.inference.query import Query
from faultnet.inference.rows import RowBatch
from faultnet.inference.shifts import ONE, Weight, at_state, is_one, shown, unshown
from faultnet.inference.taken import Choice, Option, TakenMaker, Way, by_odds

Array: TypeAlias = npt.NDArray[np.float64]
Wanted: TypeAlias = list[tuple[int, Array]]
"""Per cause that is there now: what its weight is, cell by cell, of what came before."""


class Factors:
    """The weights of a batch of rows, by cause."""

    def __init__(self, rows: RowBatch) -> None:
        """Rows that leave a cause alone altogether are told from the others once."""
        self.rows = rows
        self.by_cause = np.ascontiguousarray(rows.weights.T)
        self.changed = (self.by_cause != 1.0).any(axis=1)
        self.shares: dict[int, list[tuple[int, Weight, Weight]]] = {}


class Kernel:
    """The steps of one query's plan as operations on arrays of rows."""

    def __init__(self, query: Query) -> None:
        """Nothing is computed yet."""
        self.query = query
        steps = query.plan.steps
        self.steps = taken_apart(steps) if query.tally.cap else steps
        self.inputs = query.sweep.inputs
        self.tally = query.tally
        self.causes = TakenMaker(self.inputs)
        self.scale = self._common()

    def start(self) -> Array:
        """The array before the first step."""
        array = np.zeros((self.tally.cap + 1, 1))
        array[0] = 1.0
        return array

    def forward(self, step: Step, array: Array, factors: Factors) -> Array:
        """The array after a step."""
        take = {
            "cause": self._cause,
            "block": self._block,
            "open-root": self._open_root,
            "open-draw": self._open_draw,
            "gate": self._gate,
            "close-draw": self._close_draw,
            "close-root": self._close_root,
        }
        return take[step.kind](step, array, factors)

    def backward(self, step: Step, adjoint: Array, factors: Factors) -> tuple[Array, Wanted]:
        """The adjoint before a step, and what its causes are wanted for."""
        if step.kind == "cause":
            return self._cause_back(step, adjoint, factors)
        take = {
            "block": self._block,
            "open-root": self._open_root_back,
            "open-draw": self._open_draw_back,
            "gate": self._gate_back,
            "close-draw": self._close_draw_back,
            "close-root": self._close_root_back,
        }
        return take[step.kind](step, adjoint, factors), []

    # causes

    def _cause(self, step: Step, array: Array, factors: Factors) -> Array:
        taken = self.causes.taken(step)[0]
        result = None
        for option in taken.options:
            moved = shown(option.own.shifts, array)
            if option.counts:
                moved = self._counted(moved)
            for choice in option.brought:
                if choice.loud:
                    moved = self._bring(choice, option, moved, factors, step)
            moved = _times(moved, self.weight(option, factors, step))
            result = moved if result is None else _plus(result, moved)
        rest = array if is_one(taken.absent) else array * taken.absent
        return rest if result is None else _plus(result, rest, keep=True)

    def _bring(
        self, choice: Choice, option: Option, array: Array, factors: Factors, step: Step
    ) -> Array:
        result = array * choice.absent
        for way in choice.ways:
            moved = shown(way.shifts, array)
            if option.counts_brought:
                moved = self._counted(moved)
            result = _plus(_times(moved, self._way(way, factors, step)), result)
        return result

    def _cause_back(self, step: Step, adjoint: Array, factors: Factors) -> tuple[Array, Wanted]:
        taken = self.causes.taken(step)[0]
        result = None if is_one(taken.absent) else adjoint * taken.absent
        found: Wanted = []
        for option in taken.options:
            wanted = adjoint
            for choice in reversed(option.brought):
                if choice.loud:
                    wanted = self._unbring(choice, option, wanted, factors, step)
            if option.counts:
                wanted = self._uncounted(wanted)
            wanted = unshown(option.own.shifts, wanted)
            wanted = _times(wanted, self.weight(option, factors, step))
            if option.own.copy.alive >> self.inputs.now & 1:
                found.append((taken.leaf.cause, wanted))
            result = adjoint + wanted if result is None else _plus(result, wanted, keep=True)
        return adjoint if result is None else result, found

    def _unbring(
        self, choice: Choice, option: Option, adjoint: Array, factors: Factors, step: Step
    ) -> Array:
        result = adjoint * choice.absent
        for way in choice.ways:
            wanted = self._uncounted(adjoint) if option.counts_brought else adjoint
            wanted = unshown(way.shifts, wanted)
            result = _plus(_times(wanted, self._way(way, factors, step)), result)
        return result

    def weight(self, option: Option, factors: Factors, step: Step) -> Weight:
        """Weight of an option before effects on axes, to stand over an array of rows."""
        weight = self._way(option.own, factors, step)
        tipped = factors.rows.tipped.get(option.own.copy.cause) if option.counts else None
        if tipped is not None:
            weight = weight * tipped
        for choice in option.brought:
            if not choice.loud:
                ways = [self._way(way, factors, step) for way in choice.ways]
                weight = weight * sum(ways, start=choice.absent)
        return weight

    def _way(self, way: Way, factors: Factors, step: Step) -> Weight:
        copy = way.copy
        if not copy.alive >> self.inputs.now & 1:
            return way.weight
        weight = way.weight
        if factors.changed[copy.cause]:
            weight = weight * factors.by_cause[copy.cause]
        for condition, factor in factors.rows.conditional.get(copy.cause, ()):
            holds = self.inputs.scope(way.roots).indicator(condition)
            there = self.causes.over(way.roots, step, holds)
            weight = weight * (1.0 + there * (factor - 1.0))
        return weight

    def _common(self) -> float:
        """The chance that all causes are absent whose absence hangs on nothing.

        They are taken by their odds instead, which spares every array a multiplication.
        """
        leaves = [leaf for step in self.steps for leaf in step.leaves]
        return prod(float(leaf.absent.item()) for leaf in leaves if by_odds(leaf))

    def _counted(self, array: Array) -> Array:
        if not self.tally.cap:
            return array
        result = np.zeros_like(array)
        for state in range(self.tally.cap + 1):
            target = self.tally.target(state, 1)
            if target is not None:
                result[target] += array[state]
        return result

    def _uncounted(self, adjoint: Array) -> Array:
        if not self.tally.cap:
            return adjoint
        result = np.zeros_like(adjoint)
        for state in range(self.tally.cap + 1):
            target = self.tally.target(state, 1)
            if target is not None:
                result[state] = adjoint[target]
        return result

    # no cause at all

    def nothing(self, rows: RowBatch) -> Array:
        """Weights of the rows with no cause at all: leaks and rules alone, (rows,)."""
        array = self.start()
        factors = Factors(rows)
        for step in self.steps:
            if step.kind in {"cause", "block"}:
                for taken in self.causes.taken(step):
                    array = array if is_one(taken.absent) else array * taken.absent
            elif step.kind == "open-draw":
                array = np.expand_dims(array, self._new_draw(step)[0])
            elif step.kind == "gate":
                table, (before, letters, after) = self._gate_operands(step)
                ground = table[..., :1, :]
                array = np.einsum(f"{before},{letters}->{after}", array, ground)
            else:
                array = self.forward(step, array, factors)
        return np.broadcast_to(array[0], (rows.size,))

    # blocks: causes without effects

    def shares(self, step: Step, factors: Factors) -> list[tuple[int, Weight, Weight]]:
        """Per cause of a block its whole weight, and that of being there now; kept."""
        kept = factors.shares.get(id(step))
        if kept is not None:
            return kept
        found: list[tuple[int, Weight, Weight]] = factors.shares.setdefault(id(step), [])
        for taken in self.causes.taken(step):
            whole: Weight = taken.absent
            there: Weight = 0.0
            for option in taken.options:
                weight = self.weight(option, factors, step)
                whole = whole + weight
                if option.own.copy.alive >> self.inputs.now & 1:
                    there = there + weight
            found.append((taken.leaf.cause, whole, there))
        return found

    def _block(self, step: Step, array: Array, factors: Factors) -> Array:
        assert not self.tally.cap, "blocks are taken apart where causes are counted"
        product: Weight = ONE
        for _, whole, _ in self.shares(step, factors):
            product = product * whole
        return np.asarray(array * product)

    # roots, draws and gates

    def _open_root(self, step: Step, array: Array, factors: Factors) -> Array:
        place = 1 + sum(a < step.what for a in step.axes)
        weights = self.root_weights(step.what, factors)
        return np.expand_dims(array, place) * _stand(weights, place, array.ndim + 1)

    def _open_root_back(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        place = 1 + sum(a < step.what for a in step.axes)
        weights = self.root_weights(step.what, factors)
        return np.asarray((adjoint * _stand(weights, place, adjoint.ndim)).sum(axis=place))

    def root_weights(self, root: int, factors: Factors) -> Array:
        """Prior, likelihood and mask of a root, (rows or 1, states)."""
        return self.query.sweep.root_weights(root, factors.rows)

    def _open_draw(self, step: Step, array: Array, _factors: Factors) -> Array:
        place, size = self._new_draw(step)
        shape = list(array.shape)
        shape.insert(place, size)
        result = np.zeros(shape)
        result[(slice(None),) * place + (0,)] = array
        return result

    def _open_draw_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        place, _ = self._new_draw(step)
        return np.ascontiguousarray(at_state(adjoint, place, 0))

    def _new_draw(self, step: Step) -> tuple[int, int]:
        axis = self.inputs.first_draw + step.what
        return 1 + sum(a < axis for a in step.axes), self.inputs.sizes[axis]

    def _gate(self, step: Step, array: Array, _factors: Factors) -> Array:
        table, (before, letters, after) = self._gate_operands(step)
        return np.asarray(np.einsum(f"{before},{letters}->{after}", array, table))

    def _gate_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        table, (before, letters, after) = self._gate_operands(step)
        return np.asarray(np.einsum(f"{after},{letters}->{before}", adjoint, table))

    def _gate_operands(self, step: Step) -> tuple[Array, tuple[str, str, str]]:
        table, (before, letters, after) = self.query.sweep.gate_operands(step)
        return table, (before[1:] + before[0], letters, after[1:] + after[0])

    def _close_draw(self, step: Step, array: Array, factors: Factors) -> Array:
        place = self.query.sweep.place(step) - 1
        weights = self.query.sweep.draw_weights(step.what, factors.rows)
        parts = (
            at_state(array, place, k) * _one(weights[:, k])
            for k in range(weights.shape[1])
            if weights[:, k].any()
        )
        result = next(parts, None)
        if result is None:
            return np.zeros((*array.shape[:place], *array.shape[place + 1 :]))
        for part in parts:
            result = _plus(result, part)
        return result

    def _close_draw_back(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        place = self.query.sweep.place(step) - 1
        weights = self.query.sweep.draw_weights(step.what, factors.rows)
        return np.asarray(np.expand_dims(adjoint, place) * _stand(weights, place, adjoint.ndim + 1))

    def _close_root(self, step: Step, array: Array, _factors: Factors) -> Array:
        return np.asarray(array.sum(axis=self.query.sweep.place(step) - 1))

    def _close_root_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        place = self.query.sweep.place(step) - 1
        return np.repeat(np.expand_dims(adjoint, place), self.inputs.sizes[step.what], axis=place)


def taken_apart(steps: list[Step]) -> list[Step]:
    """Return steps with every cause of a block in a step of its own."""
    apart = []
    for step in steps:
        if step.kind == "block":
            apart += [Step("cause", step.axes, step.what, (leaf,)) for leaf in step.leaves]
        else:
            apart.append(step)
    return apart


def dot(passed: Array, wanted: Array) -> Array:
    """Sum over all but the rows of two arrays, either of which may hold a single row."""
    one, other = passed.reshape(-1, passed.shape[-1]), wanted.reshape(-1, wanted.shape[-1])
    if other.shape[1] == 1:
        return np.asarray(other[:, 0] @ one)
    if one.shape[1] == 1:
        return np.asarray(one[:, 0] @ other)
    return np.asarray(np.einsum("cr,cr->r", one, other))


def _plus(one: Array, other: Array, *, keep: bool = False) -> Array:
    """The sum of two arrays; the first may be written over, the other unless ``keep``."""
    if one.shape[-1] >= other.shape[-1]:
        one += other
        return one
    if keep:
        return one + other
    other += one
    return other


def _times(array: Array, weight: Weight) -> Array:
    """An array, which may be written over, times a weight."""
    if not isinstance(weight, float) and weight.shape[-1] > array.shape[-1]:
        return np.asarray(array * weight)
    array *= weight
    return array


def _one(values: Array) -> Weight:
    return float(values[0]) if values.size == 1 else values


def _stand(weights: Array, place: int, ndim: int) -> Array:
    """Reshape (rows, states) weights to stand at an array axis, rows last."""
    shape = [1] * ndim
    shape[-1], shape[place] = weights.shape
    return np.ascontiguousarray(weights.T).reshape(shape)
