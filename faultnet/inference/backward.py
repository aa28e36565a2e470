"""The way back through a sweep: the weight of every cause and root at once.

Going back, each step hands on the adjoint (what the rest of the sweep makes of each
cell), and the weight of a variable's state is the product of what came before and
what comes after, summed. All terms are zero or more.
"""

from collections.abc import Sequence

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.kernel import Kernel, Share, dot
from faultnet.inference.plan import Step
from faultnet.inference.rows import Factors, RowBatch
from faultnet.inference.shifts import Weight

Array = npt.NDArray[np.float64]
Pairs = dict[tuple[int, int], Weight]
"""What came before at one tally state times what comes after at another."""


class Masses(msgspec.Struct, eq=False):
    """Unnormalised weights by cause and root (by state)."""

    total: float = 0.0
    causes: dict[int, float] = {}
    roots: dict[int, Array] = {}


class Backward:
    """Runs a sweep forward, keeping what it passes, then backward; one row only."""

    def __init__(self, kernel: Kernel) -> None:
        self.kernel = kernel
        self.factors = Factors(RowBatch(1))
        self.masses = Masses()

    def run(self, accepted: Sequence[int], unit: float) -> Masses:
        """Return the weights; ``accepted`` are the tally states that the evidence allows.

        All are taken times a ``unit``.
        """
        before = [self.kernel.start()]
        for step in self.kernel.steps:
            before.append(self.kernel.forward(step, before[-1], self.factors))
        adjoint = np.zeros_like(before[-1])
        adjoint[list(accepted)] = self.kernel.scale * unit
        self.masses.total = float((before.pop() * adjoint).sum())
        for step in reversed(self.kernel.steps):
            adjoint = self._back(step, before.pop(), adjoint)
        return self.masses

    def _back(self, step: Step, passed: Array, adjoint: Array) -> Array:
        if step.kind == "open-root":
            self._root(step, passed, adjoint)
        elif step.kind == "block":
            self._block(step, passed, adjoint)
        earlier, wanted = self.kernel.backward(step, adjoint, self.factors)
        causes = self.masses.causes
        for cause, want in wanted:
            causes[cause] = causes.get(cause, 0.0) + float(dot(passed, want)[0])
        for leaf in step.leaves:
            causes.setdefault(leaf.cause, 0.0)
        return earlier

    def _root(self, step: Step, passed: Array, adjoint: Array) -> None:
        """Enter the weights of the states of a root."""
        place = self.kernel.axes.new_root(step)
        shared = adjoint * self.kernel.axes.root_weights(step, self.factors)
        both = np.expand_dims(passed, place) * shared
        others = tuple(axis for axis in range(both.ndim) if axis != place)
        self.masses.roots[step.what] = np.asarray(both.sum(axis=others))

    def _block(self, step: Step, passed: Array, adjoint: Array) -> None:
        """Enter the weights of the causes of a block.

        Each stands between what the causes before and behind it come to.
        """
        kernel, tally = self.kernel, self.kernel.tally
        shares = kernel.shares(step, self.factors)
        pairs = self._pairs(step, passed, adjoint)
        behind = [kernel.counts([])]
        for share in reversed(shares):
            behind.append(tally.joined(share.weights, behind[-1]))
        ahead = kernel.counts([])
        for k, share in enumerate(shares):
            rest = tally.joined(ahead, behind[len(shares) - 1 - k])
            self.masses.causes[share.cause] = self._between(share, rest, pairs)
            ahead = tally.joined(ahead, share.weights)

    def _pairs(self, step: Step, passed: Array, adjoint: Array) -> Pairs:
        """By tally state before and after, over the roots that the block depends on."""
        scope = set(step.leaves[0].roots)
        others = tuple(1 + k for k, axis in enumerate(step.axes) if axis not in scope)
        pairs: Pairs = {}
        for state in range(len(passed)):
            for reached in range(state, len(adjoint)):
                both = passed[state : state + 1] * adjoint[reached : reached + 1]
                if not scope:
                    pairs[state, reached] = float(both.sum())
                else:
                    pairs[state, reached] = both.sum(axis=others, keepdims=True) if others else both
        return pairs

    def _between(self, share: Share, rest: Sequence[Weight], pairs: Pairs) -> float:
        """The weight of a cause that is there now, among the rest of its block."""
        tally, total = self.kernel.tally, 0.0
        for count, others, both in tally.ways:
            for state in range(tally.cap + 1):
                reached = tally.target(state, both)
                if reached is not None:
                    weight = pairs[state, reached] * share.there[count] * rest[others]
                    total += weight if isinstance(weight, float) else float(weight.sum())
        return total
