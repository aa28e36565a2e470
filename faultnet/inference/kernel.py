"""The sweep: one pass over the causes that sums everything out without subtracting.

Steps are operations on arrays of many rows, forward and backward. Arrays have axes (tally,
open roots and draws in order, rows). Rows stand last so that every operation runs over long
stretches of memory; a single row broadcasts. The tally counts causes that were there before
any repair, up to a cap. Weights that hang on nothing are plain numbers, those that hang on
the row alone vectors, and only those that hang on open roots have the axes of the array.
Every step is linear with weights of zero or more, so no digits are lost.
"""

from collections.abc import Sequence
from functools import reduce
from math import prod
from operator import add
from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.axes import Axes
from faultnet.inference.inputs import Inputs
from faultnet.inference.plan import Step
from faultnet.inference.rows import Factors
from faultnet.inference.shifts import Shift, Weight, both, either, is_one, shown, unshown
from faultnet.inference.taken import Choice, Option, Taken, TakenMaker, Way, unit_of
from faultnet.inference.tally import added

Array: TypeAlias = npt.NDArray[np.float64]
Wanted: TypeAlias = list[tuple[int, Array]]
"""Per cause that is there now: what its weight is, cell by cell, of what came before."""


class Share(msgspec.Struct, frozen=True, eq=False):
    """A cause of a block: by how many it adds to the tally, its weight, and if it is there now."""

    cause: int
    weights: list[Weight]
    there: list[Weight]


class Kernel:
    """The steps of a plan as operations on arrays of rows."""

    def __init__(self, steps: list[Step], inputs: Inputs) -> None:
        """Nothing is computed yet."""
        self.steps = steps
        self.inputs = inputs
        self.tally = inputs.tally
        self.axes = Axes(inputs)
        self.causes = TakenMaker(inputs)
        leaves = [leaf for step in steps for leaf in step.leaves]
        self.scale = prod(unit_of(leaf) for leaf in leaves)

    def weigh(self, factors: Factors) -> Array:
        """The weight of each row by tally state, shape (tally, rows)."""
        array = self.start(factors.size)
        for step in self.steps:
            array = self.forward(step, array, factors)
        return _times(_times(array, factors.scale), self.scale)

    def start(self, rows: int = 1) -> Array:
        """The array before the first step: nothing open, no cause counted."""
        array = np.zeros((self.tally.cap + 1, rows))
        array[0] = 1.0
        return array

    def forward(self, step: Step, array: Array, factors: Factors) -> Array:
        """The array after a step."""
        if step.kind == "cause":
            return self._cause(step, array, factors)
        if step.kind == "block":
            return self._block(step, array, factors)
        return self.axes.forward(step, array, factors)

    def backward(self, step: Step, adjoint: Array, factors: Factors) -> tuple[Array, Wanted]:
        """The adjoint before a step, and what its causes are wanted for."""
        if step.kind == "cause":
            return self._cause_back(step, adjoint, factors)
        if step.kind == "block":
            return self._block_back(step, adjoint, factors), []
        return self.axes.backward(step, adjoint, factors), []

    # causes

    def _cause(self, step: Step, array: Array, factors: Factors) -> Array:
        taken = self.causes.taken(step)[0]
        result = _times(array, taken.absent)
        for option in taken.options:
            moved = self.tally.counted(array) if option.counts else array
            moved = shown(self._shifts(option.own, factors, step), moved)
            for choice in option.brought:
                if choice.loud:
                    moved = self.bring(choice, option, moved, factors, step)
            result = added(result, moved * self.weight(option, factors, step))
        return result

    def bring(
        self, choice: Choice, option: Option, array: Array, factors: Factors, step: Step
    ) -> Array:
        """The array after another cause may have come along."""
        result = _times(array, choice.absent)
        for way in choice.ways:
            moved = self.tally.counted(array) if option.counts_brought else array
            moved = shown(self._shifts(way, factors, step), moved)
            result = added(result, moved * self.way(way, factors, step))
        return result

    def _cause_back(self, step: Step, adjoint: Array, factors: Factors) -> tuple[Array, Wanted]:
        taken = self.causes.taken(step)[0]
        result = _times(adjoint, taken.absent)
        found: Wanted = []
        for option in taken.options:
            wanted = self.tally.lifted(adjoint) if option.counts else adjoint
            for choice in reversed(option.brought):
                if choice.loud:
                    wanted = self.unbring(choice, option, wanted, factors, step)
            wanted = unshown(self._shifts(option.own, factors, step), wanted)
            wanted = wanted * self.weight(option, factors, step)
            if option.counts:
                wanted = self.tally.uncounted(wanted, len(adjoint))
            if option.own.copy.alive >> self.inputs.now & 1:
                found.append((taken.leaf.cause, wanted))
            result = result + wanted
        return result, found

    def unbring(
        self, choice: Choice, option: Option, adjoint: Array, factors: Factors, step: Step
    ) -> Array:
        """The adjoint before another cause may have come along."""
        result = _times(adjoint, choice.absent)
        for way in choice.ways:
            wanted = self.tally.lifted(adjoint) if option.counts_brought else adjoint
            wanted = unshown(self._shifts(way, factors, step), wanted)
            wanted = wanted * self.way(way, factors, step)
            if option.counts_brought:
                wanted = self.tally.uncounted(wanted, len(adjoint))
            result = result + wanted
        return result

    def _shifts(self, way: Way, factors: Factors, step: Step) -> list[Shift]:
        """The effects of a copy, those that end for good as the rows mend the cause."""
        if not way.ending:
            return way.shifts
        mended = factors.mended(way.copy.cause)
        ending = [self.causes.shift(effect, way.roots, step, mended) for effect in way.ending]
        return way.shifts + ending

    def weight(self, option: Option, factors: Factors, step: Step) -> Weight:
        """Weight of an option before effects on axes, to stand over an array of rows."""
        weight = self.way(option.own, factors, step)
        if option.counts:
            weight = both(weight, factors.tipped(option.own.copy.cause))
        for choice in option.brought:
            if not choice.loud:
                ways = [self.way(way, factors, step) for way in choice.ways]
                weight = weight * sum(ways, start=choice.absent)
        return weight

    def way(self, way: Way, factors: Factors, step: Step) -> Weight:
        """Weight of a copy that keeps quiet where the evidence and the row want it to."""
        cause = way.copy.cause
        weight = way.weight
        if not way.copy.alive >> self.inputs.now & 1:
            return weight
        plain = factors.cause(cause)
        if plain is not None:
            weight = weight * plain
        for condition, factor in factors.conditional(cause):
            holds = self.inputs.scope(way.roots).indicator(condition)
            there = self.causes.over(way.roots, step, holds)
            weight = weight * (1.0 + there * (factor - 1.0))
        return weight

    # blocks: causes without effects

    def shares(self, step: Step, factors: Factors) -> list[Share]:
        """The weights of the causes of a block; worked out once."""
        kept = factors.shares.get(id(step))
        if kept is None:
            kept = [self._share(taken, step, factors) for taken in self.causes.taken(step)]
            factors.shares[id(step)] = kept
        return kept

    def _share(self, taken: Taken, step: Step, factors: Factors) -> Share:
        weights: list[Weight] = [taken.absent, *(0.0 for _ in range(self.tally.cap))]
        there: list[Weight] = [0.0] * (self.tally.cap + 1)
        for option in taken.options:
            target = self.tally.target(0, int(option.counts))
            if target is not None:
                weight = self.weight(option, factors, step)
                weights[target] = either(weights[target], weight)
                if option.own.copy.alive >> self.inputs.now & 1:
                    there[target] = either(there[target], weight)
        return Share(taken.leaf.cause, weights, there)

    def counts(self, shares: Sequence[Share]) -> list[Weight]:
        """Weights that some causes are 0, 1, ... on the tally together."""
        counts: list[Weight] = [1.0, *(0.0 for _ in range(self.tally.cap))]
        for share in shares:
            counts = self.tally.joined(counts, share.weights)
        return counts

    def _block(self, step: Step, array: Array, factors: Factors) -> Array:
        counts = self.counts(self.shares(step, factors))
        parts: list[list[Array]] = [[] for _ in array]
        for state, more, target in self.tally.ways:
            parts[target].append(array[state : state + 1] * counts[more])
        return np.concatenate([reduce(add, each) for each in parts])

    def _block_back(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        counts = self.counts(self.shares(step, factors))
        parts: list[list[Array]] = [[] for _ in adjoint]
        for state, more, target in self.tally.ways:
            parts[state].append(adjoint[target : target + 1] * counts[more])
        return np.concatenate([reduce(add, each) for each in parts])

    # no cause at all

    def nothing(self, factors: Factors) -> Array:
        """Weights of the rows with no cause at all, but for the ``scale``, shape (rows,)."""
        array = self.start()
        for step in self.steps:
            if step.leaves:
                for taken in self.causes.taken(step):
                    array = _times(array, taken.absent)
            elif step.kind == "open-draw":
                array = np.expand_dims(array, self.axes.new_draw(step))
            elif step.kind == "gate":
                table, (before, letters, after) = self.axes.gate_operands(step)
                ground = table[..., :1, :]
                array = np.einsum(f"{before},{letters}->{after}", array, ground)
            else:
                array = self.axes.forward(step, array, factors)
        return np.broadcast_to(array[0], (factors.size,))


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


def _times(array: Array, weight: Weight) -> Array:
    return array if is_one(weight) else array * weight
