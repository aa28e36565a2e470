"""How a sweep counts causes: along the first axis of its arrays.

An array may lack the lowest states, where they cannot be; its last state is always the cap.
"""

from collections.abc import Sequence
from functools import cached_property
from typing import TypeAlias

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.shifts import Weight, both, either

Array: TypeAlias = npt.NDArray[np.float64]


class Tally(msgspec.Struct, frozen=True, dict=True):
    """States 0 to ``cap``; beyond it, kept at the cap or dropped."""

    cap: int
    saturates: bool

    def target(self, state: int, more: int) -> int | None:
        """The state after some more causes; None when that is dropped."""
        if state + more <= self.cap:
            return state + more
        return self.cap if self.saturates else None

    @cached_property
    def ways(self) -> list[tuple[int, int, int]]:
        """Every state, how many more causes, and the state then, where it is not dropped."""
        states = range(self.cap + 1)
        found = ((state, more, self.target(state, more)) for state in states for more in states)
        return [(state, more, target) for state, more, target in found if target is not None]

    def joined(self, one: Sequence[Weight], other: Sequence[Weight]) -> list[Weight]:
        """Weights by count of two independent groups together."""
        result: list[Weight] = [0.0] * (self.cap + 1)
        for state, more, target in self.ways:
            result[target] = either(result[target], both(one[state], other[more]))
        return result

    def counted(self, array: Array) -> Array:
        """The array with one more cause, without the lowest state if it can lack that."""
        count = len(array)
        if count == 1:
            return array
        if not self.saturates:
            return array[:-1]
        if count == 2:
            return np.asarray(array[:1] + array[1:])
        return np.concatenate([array[:-2], array[-2:-1] + array[-1:]])

    def lifted(self, adjoint: Array) -> Array:
        """The adjoint at the states that ``counted`` leaves."""
        return adjoint if len(adjoint) == 1 else adjoint[1:]

    def uncounted(self, adjoint: Array, count: int) -> Array:
        """The adjoint, over ``count`` states, of one more cause; it comes ``lifted``."""
        if len(adjoint) == count:
            return adjoint
        last = adjoint[-1:] if self.saturates else np.zeros_like(adjoint[-1:])
        return np.concatenate([adjoint, last])


ANY = Tally(0, saturates=True)
ONE = Tally(1, saturates=False)
SOME = Tally(1, saturates=True)
COUNT_TWO = Tally(2, saturates=True)


def added(one: Array, other: Array) -> Array:
    """The sum of two arrays, of which the second may lack the lowest states."""
    count = len(other)
    if count == len(one):
        return np.asarray(one + other)
    top = one[-count:] + other
    rest = one[:-count]
    if rest.shape[-1] != top.shape[-1]:
        rest = np.broadcast_to(rest, (*rest.shape[:-1], top.shape[-1]))
    return np.concatenate([rest, top])
