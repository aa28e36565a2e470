"""Chances given what one neighbour shares, taken to what another one shares."""

from collections.abc import Sequence
from math import prod

import numpy as np
import numpy.typing as npt

from faultnet.network.tables import Array

MATRIX_CELLS = 2**10
"""Up to so many cells, one matrix with zeros in it is quicker than several without."""


class Carry:
    """Takes chances given one set of variables to chances given another.

    Both lie in one clique: ``source`` are the variables the chances are given, ``target``
    those they are to be given. What is summed over is what the target lacks.
    """

    def __init__(self, source: Sequence[int], target: Sequence[int], sizes: Sequence[int]) -> None:
        """Work out how arrays are turned."""
        both = [v for v in target if v in source]
        lost = [v for v in source if v not in target]
        new = [v for v in target if v not in source]
        self.lost, self.both = bool(lost), bool(both)
        self.source_shape = [sizes[v] for v in source]
        self.target_shape = [sizes[v] for v in target]
        if not lost:
            places = np.arange(prod(self.source_shape)).reshape(self.source_shape)
            turned = places.transpose([source.index(v) for v in both])
            shape = [sizes[v] if v in both else 1 for v in target]
            self.picks = np.broadcast_to(turned.reshape(shape), self.target_shape).ravel()
            return
        self.counts = [prod(sizes[v] for v in part) for part in (both, new, lost)]
        self.turn_given = [*(target.index(v) for v in (*both, *new)), len(target)]
        self.turn_source = [*(source.index(v) for v in (*both, *lost)), len(source)]
        self.turn_back = [*((*both, *new).index(v) for v in target), len(target)]
        self.turned_shape = [sizes[v] for v in (*both, *new)]
        self.matrix_shape = prod(self.target_shape), prod(self.source_shape)
        self.places = self._places(source, target, lost) if self._small and both else None

    def __call__(self, given: Array, chances: Array) -> Array:
        """Return (target, rows) from P(lost | target) and chances (source, rows)."""
        if not self.lost:
            return np.asarray(chances[self.picks])
        if not self.both:
            return np.asarray(given @ chances)
        if self.places is not None:
            matrix = np.zeros(self.matrix_shape)
            matrix.ravel()[self.places] = given.ravel()
            return np.asarray(matrix @ chances)
        both, new, lost = self.counts
        one = given.reshape(*self.target_shape, lost).transpose(self.turn_given)
        other = chances.reshape(*self.source_shape, -1).transpose(self.turn_source)
        joined = one.reshape(both, new, lost) @ other.reshape(both, lost, -1)
        back = joined.reshape(*self.turned_shape, -1).transpose(self.turn_back)
        return back.reshape(prod(self.target_shape), -1)

    @property
    def _small(self) -> bool:
        return prod(self.matrix_shape) <= MATRIX_CELLS

    def _places(
        self, source: Sequence[int], target: Sequence[int], lost: Sequence[int]
    ) -> npt.NDArray[np.intp]:
        """Where P(lost | target) stands in a matrix of target by source."""
        axes = [*target, *lost]
        shape = [*self.target_shape, *(self.source_shape[source.index(v)] for v in lost)]
        states = dict(zip(axes, np.indices(shape).reshape(len(axes), -1), strict=True))
        row = np.ravel_multi_index([states[v] for v in target], self.target_shape)
        column = np.ravel_multi_index([states[v] for v in source], self.source_shape)
        return np.asarray(row * self.matrix_shape[1] + column)
