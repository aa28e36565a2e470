"""Roots, draws and gates in a sweep: axes are opened, joined by tables, and summed out.

Arrays have axes (tally, open roots and draws in order, rows).
"""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from faultnet.inference.inputs import Inputs
from faultnet.inference.plan import Step
from faultnet.inference.rows import Factors
from faultnet.inference.shifts import Weight, at_state, is_one, stacked

Array: TypeAlias = npt.NDArray[np.float64]

_LETTERS = "cdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXY"
"""Names of open axes in einsum; a, b and Z are taken."""


class Axes:
    """The steps about axes as operations on arrays of rows."""

    def __init__(self, inputs: Inputs) -> None:
        self.inputs = inputs
        self._ahead = {
            "open-root": self._open_root,
            "open-draw": self._open_draw,
            "gate": self._gate,
            "close-draw": self._close_draw,
            "close-root": self._close_root,
        }
        self._back = {
            "open-root": self._open_root_back,
            "open-draw": self._open_draw_back,
            "gate": self._gate_back,
            "close-draw": self._close_draw_back,
            "close-root": self._close_root_back,
        }
        self._letters: dict[int, tuple[str, str, str]] = {}

    def forward(self, step: Step, array: Array, factors: Factors) -> Array:
        """The array after a step."""
        return self._ahead[step.kind](step, array, factors)

    def backward(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        """The adjoint before a step."""
        return self._back[step.kind](step, adjoint, factors)

    def root_weights(self, step: Step, factors: Factors) -> Array:
        """Prior, likelihood and mask of the root that is opened, over the array with it."""
        weights = _masked(self.inputs.priors[step.what], factors.root_mask(step.what))
        return stacked(weights, self.new_root(step), len(step.axes) + 3)

    def new_root(self, step: Step) -> int:
        """The array axis of the root that is opened."""
        return 1 + sum(a < step.what for a in step.axes)

    def new_draw(self, step: Step) -> int:
        """The array axis of the draw that is opened."""
        axis = self.inputs.first_draw + step.what
        return 1 + sum(a < axis for a in step.axes)

    def gate_operands(self, step: Step) -> tuple[Array, tuple[str, str, str]]:
        """The table of a gate step and the einsum letters of array, table and result."""
        letters = self._letters.get(id(step))
        if letters is None:
            letters = self._letters[id(step)] = self._letters_of(step)
        return self.inputs.gates[step.what].table, letters

    def _letters_of(self, step: Step) -> tuple[str, str, str]:
        gate, first = self.inputs.gates[step.what], self.inputs.first_draw
        letter = dict(zip(step.axes, _LETTERS, strict=False))
        before = "a" + "".join(letter[a] for a in step.axes) + "b"
        own = letter[first + gate.draw]
        parents = "".join(letter[first + p] for p in gate.parents)
        roots = "".join(letter[r] for r in gate.roots)
        return before, f"{parents}{roots}{own}Z", before.replace(own, "Z")

    def _open_root(self, step: Step, array: Array, factors: Factors) -> Array:
        return np.expand_dims(array, self.new_root(step)) * self.root_weights(step, factors)

    def _open_root_back(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        weighed = adjoint * self.root_weights(step, factors)
        return np.asarray(weighed.sum(axis=self.new_root(step)))

    def _open_draw(self, step: Step, array: Array, _factors: Factors) -> Array:
        place = self.new_draw(step)
        shape = list(array.shape)
        shape.insert(place, self.inputs.sizes[self.inputs.first_draw + step.what])
        result = np.zeros(shape)
        result[(slice(None),) * place + (0,)] = array
        return result

    def _open_draw_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        return at_state(adjoint, self.new_draw(step), 0)

    def _gate(self, step: Step, array: Array, _factors: Factors) -> Array:
        table, (before, letters, after) = self.gate_operands(step)
        return np.asarray(np.einsum(f"{before},{letters}->{after}", array, table))

    def _gate_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        table, (before, letters, after) = self.gate_operands(step)
        return np.asarray(np.einsum(f"{after},{letters}->{before}", adjoint, table))

    def _close_draw(self, step: Step, array: Array, factors: Factors) -> Array:
        place = self._old_draw(step)
        result = None
        for value, weight in enumerate(self._draw_weights(step, factors)):
            if isinstance(weight, float) and not weight:
                continue
            part = at_state(array, place, value)
            part = part if is_one(weight) else part * weight
            result = part if result is None else result + part
        return at_state(array, place, 0) * 0.0 if result is None else result

    def _close_draw_back(self, step: Step, adjoint: Array, factors: Factors) -> Array:
        place = self._old_draw(step)
        weights = stacked(self._draw_weights(step, factors), place, adjoint.ndim + 1)
        return np.expand_dims(adjoint, place) * weights

    def _draw_weights(self, step: Step, factors: Factors) -> list[Weight]:
        """Likelihood and mask of the values of a draw."""
        return _masked(self.inputs.likelihoods[step.what], factors.draw_mask(step.what))

    def _old_draw(self, step: Step) -> int:
        return 1 + step.axes.index(self.inputs.first_draw + step.what)

    def _close_root(self, step: Step, array: Array, _factors: Factors) -> Array:
        return np.asarray(array.sum(axis=1 + step.axes.index(step.what)))

    def _close_root_back(self, step: Step, adjoint: Array, _factors: Factors) -> Array:
        place = 1 + step.axes.index(step.what)
        return np.repeat(np.expand_dims(adjoint, place), self.inputs.sizes[step.what], axis=place)


def _masked(weights: Sequence[float], mask: Sequence[Array] | None) -> list[Weight]:
    if mask is None:
        return list(weights)
    return [weight * allowed for weight, allowed in zip(weights, mask, strict=True)]
