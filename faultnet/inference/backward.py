"""The way back through a sweep: the weight of every cause, root and finding at once.

Going back, each step hands on the adjoint (what the rest of the sweep makes of each
cell), and the weight of a variable's state is the product of what came before and
what comes after, summed. All terms are zero or more.
"""

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.leaves import Brought, Copy, Leaf, Scenario
from faultnet.inference.plan import Step
from faultnet.inference.rows import RowBatch
from faultnet.inference.sweep import Frame, Sweep, at_state

Array = npt.NDArray[np.float64]


class Masses(msgspec.Struct, eq=False):
    """Unnormalised weights by cause, root and draw (draw weights by value index)."""

    total: float = 0.0
    causes: dict[int, float] = {}
    roots: dict[int, Array] = {}
    draws: dict[int, Array] = {}


class Backward:
    """Runs a sweep forward, keeping what it passes, then backward; one row only."""

    def __init__(self, sweep: Sweep, rows: RowBatch) -> None:
        """``rows`` must hold one row."""
        self.sweep = sweep
        self.rows = rows
        self.masses = Masses()

    def run(self, accepted: tuple[int, ...]) -> Masses:
        """Return the weights; ``accepted`` are the tally states that the evidence allows."""
        steps = self.sweep.plan.steps
        before = []
        array = self.sweep.forward_start(self.rows)
        for step in steps:
            before.append(array)
            array = self.sweep.step(step, array, self.rows)
        adjoint = np.zeros_like(array)
        adjoint[:, list(accepted)] = 1.0 if self.rows.scale is None else self.rows.scale[0]
        self.masses.total = float((array * adjoint).sum())
        for step, passed in zip(reversed(steps), reversed(before), strict=True):
            adjoint = self._back(step, passed, adjoint)
        return self.masses

    def _back(self, step: Step, passed: Array, adjoint: Array) -> Array:
        take = {
            "cause": self._cause,
            "block": self._block,
            "open-root": self._open_root,
            "open-draw": self._open_draw,
            "gate": self._gate,
            "close-draw": self._close_draw,
            "close-root": self._close_root,
        }
        return take[step.kind](step, passed, adjoint)

    def _gate(self, step: Step, _passed: Array, adjoint: Array) -> Array:
        table, (before, letters, after) = self.sweep.gate_operands(step)
        return np.asarray(np.einsum(f"{after},{letters}->{before}", adjoint, table))

    def _open_draw(self, step: Step, _passed: Array, adjoint: Array) -> Array:
        axis = self.sweep.inputs.first_draw + step.what
        return at_state(adjoint, 2 + sum(a < axis for a in step.axes), 0)

    def _close_root(self, step: Step, passed: Array, adjoint: Array) -> Array:
        place = self.sweep.place(step)
        return np.repeat(np.expand_dims(adjoint, place), passed.shape[place], axis=place)

    def _close_draw(self, step: Step, passed: Array, adjoint: Array) -> Array:
        place = self.sweep.place(step)
        weights = self.sweep.draw_weights(step.what, self.rows)[0]
        shape = [1] * passed.ndim
        shape[place] = len(weights)
        result = np.asarray(np.expand_dims(adjoint, place) * weights.reshape(shape))
        self.masses.draws[step.what] = _by_state(passed * result, place)
        return result

    def _open_root(self, step: Step, passed: Array, adjoint: Array) -> Array:
        place = 2 + sum(a < step.what for a in step.axes)
        weights = self.sweep.root_weights(step.what, self.rows)[0]
        shape = [1] * adjoint.ndim
        shape[place] = len(weights)
        shared = adjoint * weights.reshape(shape)
        self.masses.roots[step.what] = _by_state(np.expand_dims(passed, place) * shared, place)
        return np.asarray(shared.sum(axis=place))

    def _cause(self, step: Step, passed: Array, adjoint: Array) -> Array:
        frame = self.sweep.frame(step.leaves[0], step.axes, self.rows)
        leaf = frame.leaf
        result = adjoint * frame.spread(leaf.absent)
        mass = 0.0
        for scenario in leaf.scenarios:
            wanted = adjoint
            for brought in reversed(scenario.brought):
                if brought.loud:
                    wanted = self._unbring(brought, scenario, frame, wanted)
            wanted = wanted.copy()
            self._unshow(scenario.own, frame, wanted)
            wanted *= frame.spread(self.sweep.scenario_weight(leaf, scenario, self.rows))
            if scenario.counts:
                wanted = self.sweep.uncounted(wanted)
            if scenario.own.alive >> self.sweep.inputs.now & 1:
                mass += float((passed * wanted).sum())
            result += wanted
        self.masses.causes[leaf.cause] = mass
        return result

    def _unbring(self, brought: Brought, scenario: Scenario, frame: Frame, adjoint: Array) -> Array:
        result = adjoint * frame.spread(brought.absent)
        for probability, copy in brought.ways:
            wanted = adjoint.copy()
            self._unshow(copy, frame, wanted)
            wanted *= frame.spread(probability[None] * frame.copy_weight(copy))
            result += self.sweep.uncounted(wanted) if scenario.counts_brought else wanted
        return result

    @staticmethod
    def _unshow(copy: Copy, frame: Frame, array: Array) -> None:
        """Apply the adjoint of a copy's effects, last one first, in place."""
        for effect in reversed(copy.effects):
            place = frame.place(effect)
            moves = frame.moves(effect, array.shape[place], None)
            for source, stays, targets in reversed(moves):
                here = at_state(array, place, source)
                here *= at_state(stays, place, 0)
                for target, chance in targets:
                    here += at_state(array, place, target) * at_state(chance, place, 0)

    def _block(self, step: Step, passed: Array, adjoint: Array) -> Array:
        """Weights of a block's causes from the block's own small arrays."""
        tally = self.sweep.inputs.tally
        scope = set(step.leaves[0].roots)
        others = tuple(1 + k for k, a in enumerate(step.axes) if a not in scope)
        states = range(tally.cap + 1)
        pairs = {
            (s, t): (passed[:, s] * adjoint[:, t]).sum(axis=others) for s in states for t in states
        }
        own = [self.sweep.quiet_weights(leaf, self.rows) for leaf in step.leaves]
        counts = self._quiet_masses(step.leaves, own, pairs)
        spread = self.sweep.frame(step.leaves[0], step.axes, self.rows).spread
        result = np.zeros_like(passed)
        for state in states:
            for count, weight in enumerate(counts):
                target = tally.target(state, count)
                if target is not None:
                    result[:, state] += adjoint[:, target] * spread(weight)[:, 0]
        return result

    def _quiet_masses(
        self,
        leaves: tuple[Leaf, ...],
        own: list[list[Array]],
        pairs: dict[tuple[int, int], Array],
    ) -> list[Array]:
        """Enter the weight of every cause of a block; return the counts of the whole block."""
        tally = self.sweep.inputs.tally
        behind = [self.sweep.no_causes(leaves)]
        for weights in reversed(own):
            behind.append(tally.added(weights, behind[-1]))
        ahead = self.sweep.no_causes(leaves)
        for k, leaf in enumerate(leaves):
            rest = tally.added(ahead, behind[len(own) - 1 - k])
            self.masses.causes[leaf.cause] = self._quiet_mass(leaf, rest, pairs)
            ahead = tally.added(ahead, own[k])
        return ahead

    def _quiet_mass(
        self, leaf: Leaf, rest: list[Array], pairs: dict[tuple[int, int], Array]
    ) -> float:
        tally = self.sweep.inputs.tally
        total = 0.0
        for scenario in leaf.scenarios:
            if not scenario.own.alive >> self.sweep.inputs.now & 1:
                continue
            weight = self.sweep.scenario_weight(leaf, scenario, self.rows)
            for (state, reached), pair in pairs.items():
                for count, other in enumerate(rest):
                    if tally.target(state, count + int(scenario.counts)) == reached:
                        total += float((pair * (other * weight)).sum())
        return total


def _by_state(array: Array, place: int) -> Array:
    axes = tuple(k for k in range(array.ndim) if k != place)
    return np.asarray(array.sum(axis=axes))
