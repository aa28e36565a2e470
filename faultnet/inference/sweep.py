"""The sweep: one pass over the causes that sums everything out without subtracting.

The array has axes (rows, tally, open roots in order, open draws in order). The tally
counts causes that were there before any repair, up to a cap. Every step is linear
with weights of zero or more, so no digits are lost.
"""

from collections.abc import Callable, Sequence

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.gates import Gate
from faultnet.inference.leaves import Brought, Copy, Effect, Leaf, Scenario
from faultnet.inference.plan import Plan, Step
from faultnet.inference.rows import RowBatch, Scope

Array = npt.NDArray[np.float64]

_LETTERS = "cdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXY"
"""Names of open axes in einsum; a, b and Z are taken."""


class Tally(msgspec.Struct, frozen=True):
    """How causes are counted: states 0 to ``cap``; beyond it, kept at the cap or dropped."""

    cap: int
    saturates: bool

    def target(self, state: int, more: int) -> int | None:
        """The state after some more causes; None when that is dropped."""
        if state + more <= self.cap:
            return state + more
        return self.cap if self.saturates else None

    def added(self, one: list[Array], other: list[Array]) -> list[Array]:
        """Weights by count of two independent groups together."""
        if self.saturates and self.cap == 1:
            return [one[0] * other[0], one[0] * other[1] + one[1] * (other[0] + other[1])]
        result: list[Array] = [one[0] * other[0]]
        result += [np.zeros_like(result[0]) for _ in range(self.cap)]
        for state, weight in enumerate(one):
            for more, factor in enumerate(other):
                target = self.target(state, more)
                if target is not None and (state or more):
                    result[target] = result[target] + weight * factor
        return result


ANY = Tally(0, saturates=True)
ONE = Tally(1, saturates=False)
SOME = Tally(1, saturates=True)
COUNT_TWO = Tally(2, saturates=True)


class Inputs(msgspec.Struct, eq=False):
    """Everything a sweep reads besides its plan.

    With ``alone`` no cause that was there from the start brings another one along.
    """

    sizes: dict[int, int]
    first_draw: int
    priors: dict[int, Array]
    gates: list[Gate]
    likelihoods: list[Array]
    scope: Callable[[tuple[int, ...]], Scope]
    tally: Tally
    now: int
    alone: bool = False


class Sweep:
    """Runs a plan forward over rows; backward over a single row."""

    def __init__(self, plan: Plan, inputs: Inputs) -> None:
        """Keep the plan; nothing is computed yet."""
        self.plan = plan
        self.inputs = inputs

    def forward(self, rows: RowBatch) -> Array:
        """Return the weight of each row by tally state, shape (rows, tally)."""
        array = self.forward_start(rows)
        for step in self.plan.steps:
            array = self.step(step, array, rows)
        return array if rows.scale is None else array * rows.scale[:, None]

    def forward_start(self, rows: RowBatch) -> Array:
        """The array before the first step: nothing open, no cause counted."""
        array = _zeros([rows.size, self.inputs.tally.cap + 1])
        array[:, 0] = 1.0
        return array

    def step(self, step: Step, array: Array, rows: RowBatch) -> Array:
        """Return the array after one step, a fresh one."""
        take = {
            "cause": self._cause,
            "block": self._block,
            "open-root": self._open_root,
            "open-draw": self._open_draw,
            "gate": self._gate,
            "close-draw": self._close_draw,
            "close-root": self._close_root,
        }
        return take[step.kind](step, array, rows)

    def place(self, step: Step) -> int:
        """The array axis of the root or draw that a closing step is about."""
        first = self.inputs.first_draw if step.kind.endswith("draw") else 0
        return 2 + step.axes.index(first + step.what)

    def root_weights(self, root: int, rows: RowBatch) -> Array:
        """Prior, likelihood and mask of a root, shape (rows or 1, states)."""
        mask = rows.root_masks.get(root)
        prior = self.inputs.priors[root][None, :]
        return prior if mask is None else prior * mask

    def draw_weights(self, draw: int, rows: RowBatch) -> Array:
        """Likelihood and mask of a draw's values, shape (rows or 1, values)."""
        mask = rows.draw_masks.get(draw)
        likelihood = self.inputs.likelihoods[draw][None, :]
        return likelihood if mask is None else likelihood * mask

    def _open_root(self, step: Step, array: Array, rows: RowBatch) -> Array:
        place = 2 + sum(a < step.what for a in step.axes)
        weights = self.root_weights(step.what, rows)
        return np.expand_dims(array, place) * _at(weights, place, array.ndim + 1)

    def _open_draw(self, step: Step, array: Array, _rows: RowBatch) -> Array:
        axis = self.inputs.first_draw + step.what
        place = 2 + sum(a < axis for a in step.axes)
        shape = list(array.shape)
        shape.insert(place, self.inputs.sizes[axis])
        result = _zeros(shape)
        result[(slice(None),) * place + (0,)] = array
        return result

    def _gate(self, step: Step, array: Array, _rows: RowBatch) -> Array:
        table, letters = self.gate_operands(step)
        return np.asarray(np.einsum(f"{letters[0]},{letters[1]}->{letters[2]}", array, table))

    def gate_operands(self, step: Step) -> tuple[Array, tuple[str, str, str]]:
        """The table of a gate step and the einsum letters of array, table and result."""
        gate = self.inputs.gates[step.what]
        first = self.inputs.first_draw
        letter = dict(zip(step.axes, _LETTERS, strict=False))
        before = "ab" + "".join(letter[a] for a in step.axes)
        own = letter[first + gate.draw]
        parents = "".join(letter[first + p] for p in gate.parents)
        roots = "".join(letter[r] for r in gate.roots)
        return gate.table, (before, f"{parents}{roots}{own}Z", before.replace(own, "Z"))

    def _close_draw(self, step: Step, array: Array, rows: RowBatch) -> Array:
        place = self.place(step)
        weights = _at(self.draw_weights(step.what, rows), place, array.ndim)
        return np.asarray((array * weights).sum(axis=place))

    def _close_root(self, step: Step, array: Array, _rows: RowBatch) -> Array:
        return np.asarray(array.sum(axis=self.place(step)))

    def _cause(self, step: Step, array: Array, rows: RowBatch) -> Array:
        frame = self.frame(step.leaves[0], step.axes, rows)
        result = array * frame.spread(frame.leaf.absent)
        for scenario in frame.leaf.scenarios:
            some = self.with_some(array) if scenario.counts else array
            moved = some * frame.spread(self.scenario_weight(frame.leaf, scenario, rows))
            self._show(scenario.own, frame, moved)
            for brought in scenario.brought:
                if brought.loud:
                    moved = self._bring(brought, scenario, frame, moved)
            result[:, -moved.shape[1] :] += moved
        return result

    def _bring(self, brought: Brought, scenario: Scenario, frame: "Frame", array: Array) -> Array:
        result = array * frame.spread(brought.absent)
        for probability, copy in self.ways(brought, scenario):
            more = self._one_more(array) if scenario.counts_brought else array
            moved = more * frame.spread(probability[None] * frame.copy_weight(copy))
            self._show(copy, frame, moved)
            result += moved
        return result

    def ways(self, brought: Brought, scenario: Scenario) -> list[tuple[Array, Copy]]:
        """The ways in which a cause may have been brought along."""
        return [] if self.inputs.alone and scenario.counts else brought.ways

    def frame(self, leaf: Leaf, axes: tuple[int, ...], rows: RowBatch) -> "Frame":
        """What a cause is taken in: its leaf, the open axes and the rows."""
        scope = set(leaf.roots)
        shape = tuple(self.inputs.sizes[a] if a in scope else 1 for a in axes)
        return Frame(self.inputs, leaf, axes, rows, shape)

    def with_some(self, array: Array) -> Array:
        """The array with one more cause on the tally, without the state that has none."""
        tally = self.inputs.tally
        if not tally.cap:
            return array
        if not tally.saturates:
            return array[:, :-1]
        if tally.cap == 1:
            return array[:, :1] + array[:, 1:]
        return np.concatenate([array[:, :-2], array[:, -2:-1] + array[:, -1:]], axis=1)

    def _one_more(self, array: Array) -> Array:
        """An array that lacks the state of no cause, with one more on the tally."""
        result = np.zeros_like(array)
        result[:, 1:] = array[:, :-1]
        if self.inputs.tally.saturates:
            result[:, -1] += array[:, -1]
        return result

    def uncounted(self, adjoint: Array) -> Array:
        """The adjoint of one more cause on the tally."""
        tally = self.inputs.tally
        if not tally.cap:
            return adjoint
        result = np.zeros_like(adjoint)
        for state in range(tally.cap + 1):
            target = tally.target(state, 1)
            if target is not None:
                result[:, state] = adjoint[:, target]
        return result

    def scenario_weight(self, leaf: Leaf, scenario: Scenario, rows: RowBatch) -> Array:
        """Weight of a scenario by row and scope, before effects on axes."""
        frame = self.frame(leaf, (), rows)
        weight = scenario.weight[None] * frame.copy_weight(scenario.own)
        tipped = rows.tipped.get(leaf.cause) if scenario.counts else None
        if tipped is not None:
            weight = weight * tipped.reshape(-1, *(1,) * (weight.ndim - 1))
        for brought in scenario.brought:
            if not brought.loud:
                total = brought.absent[None]
                for probability, copy in self.ways(brought, scenario):
                    total = total + probability[None] * frame.copy_weight(copy)
                weight = weight * total
        return weight

    @staticmethod
    def _show(copy: Copy, frame: "Frame", array: Array) -> None:
        """Show the effects of a copy on the array, in place."""
        for effect in copy.effects:
            place = frame.place(effect)
            mended = frame.mended(copy, effect)
            for source, stays, moves in frame.moves(effect, array.shape[place], mended):
                here = at_state(array, place, source)
                for target, chance in moves:
                    there = at_state(array, place, target)
                    there += here * at_state(chance, place, 0)
                here *= at_state(stays, place, 0)

    def _block(self, step: Step, array: Array, rows: RowBatch) -> Array:
        spread = self.frame(step.leaves[0], step.axes, rows).spread
        return self.tallied(array, [spread(c) for c in self.block_counts(step.leaves, rows)])

    def block_counts(self, leaves: Sequence[Leaf], rows: RowBatch) -> list[Array]:
        """Weights that a block holds 0, 1, ... causes, up to the cap, by row and scope."""
        counts = self.no_causes(leaves)
        for leaf in leaves:
            counts = self.inputs.tally.added(counts, self.quiet_weights(leaf, rows))
        return counts

    def no_causes(self, leaves: Sequence[Leaf]) -> list[Array]:
        """The counts of an empty block."""
        shape = (1, *self.inputs.scope(leaves[0].roots).shape)
        return [np.ones(shape)] + [np.zeros(shape)] * self.inputs.tally.cap

    def quiet_weights(self, leaf: Leaf, rows: RowBatch) -> list[Array]:
        """Weights of a quiet cause by how many it adds to the tally."""
        weights = [leaf.absent[None]]
        weights += [np.zeros_like(weights[0]) for _ in range(self.inputs.tally.cap)]
        for scenario in leaf.scenarios:
            target = self.inputs.tally.target(0, int(scenario.counts))
            if target is not None:
                weight = self.scenario_weight(leaf, scenario, rows)
                weights[target] = weights[target] + weight
        return weights

    def tallied(self, array: Array, counts: list[Array]) -> Array:
        """Add a block's count to the tally."""
        tally = self.inputs.tally
        if tally.cap == 0:
            return array * counts[0]
        result = np.zeros_like(array)
        for state in range(tally.cap + 1):
            for count, weight in enumerate(counts):
                target = tally.target(state, count)
                if target is not None:
                    result[:, target] += array[:, state] * weight[:, 0]
        return result


def _zeros(shape: Sequence[int]) -> Array:
    """An array of zeros whose rows lie side by side in memory: the inner loops run over them."""
    return np.moveaxis(np.zeros((*shape[1:], shape[0])), -1, 0)


def _at(weights: Array, place: int, ndim: int) -> Array:
    """Reshape (rows, states) weights to stand at an array axis."""
    shape = [1] * ndim
    shape[0], shape[place] = weights.shape
    return weights.reshape(shape)


def at_state(array: Array, place: int, state: int) -> Array:
    """A view of an array at one state of an axis."""
    return array[(slice(None),) * place + (state,)]


class Frame(msgspec.Struct, frozen=True):
    """A cause in the array: which axes are open, and how its weights spread over them.

    ``shape`` holds, by open axis, the states of a root that the cause depends on, else one.
    """

    inputs: Inputs
    leaf: Leaf
    axes: tuple[int, ...]
    rows: RowBatch
    shape: tuple[int, ...]

    def spread(self, values: Array) -> Array:
        """Reshape (rows, *scope) or (*scope) values to stand over the array."""
        lead = values.shape[0] if values.ndim > len(self.leaf.roots) else 1
        return values.reshape(lead, 1, *self.shape)

    def copy_weight(self, copy: Copy) -> Array:
        """Weight of a copy that keeps quiet where the evidence and the row want it to."""
        weight = self.rows.weight(copy, self.inputs.now, self.inputs.scope(self.leaf.roots))
        return copy.damp[None] if weight is None else copy.damp[None] * weight

    def place(self, effect: Effect) -> int:
        """The array axis that an effect is on."""
        return 2 + self.axes.index(self.inputs.first_draw + effect.draw)

    def mended(self, copy: Copy, effect: Effect) -> Array | None:
        """By row, one where the draw may be shown by this copy; None where it always may."""
        if not effect.ending:
            return None
        return self.rows.mended.get(copy.cause, np.zeros(1))

    def moves(
        self, effect: Effect, states: int, mended: Array | None
    ) -> list[tuple[int, Array, list[tuple[int, Array]]]]:
        """Per raw state, highest first: what stays, and the moves with their chances.

        A copy that is not mended shows nothing on an ending draw: what it would have
        moved or confirmed is lost. A state that surely stays is left out.
        """
        quiet = self.spread(effect.quiet)
        keep = 1.0 if mended is None else mended.reshape(-1, *(1,) * (quiet.ndim - 1))
        result = []
        for source in range(states - 1, -1, -1):
            if mended is None and all(target == source for target, _ in effect.shows[source]):
                continue
            stays, moves = quiet, []
            for target, chance in effect.shows[source]:
                if target == source:
                    stays = stays + self.spread(chance) * keep
                else:
                    moves.append((target, self.spread(chance) * keep))
            result.append((source, stays, moves))
        return result
