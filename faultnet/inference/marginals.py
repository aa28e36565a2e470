"""Sums of a table over some of its axes, several at once."""

from collections.abc import Sequence
from math import prod

import numpy as np
import numpy.typing as npt

from faultnet.network.tables import Array

MATRIX_LIMIT = 2**17
"""Cells of the largest matrix of zeros and ones that is made."""
CALL = 4000
"""What a sum costs beside its cells, in cells."""
PRODUCT = 0.3
"""What a product of matrices costs per cell and column, in cells summed."""

Group = tuple[int, ...]


class Marginals:
    """Groups of axes of a table laid out as (rows, cells); each is summed to a few columns.

    ``shape`` are the axes that the cells stand for. Each group is a tuple of them in
    ascending order; its joint states take the columns ``at[k]``. A small table is
    multiplied by a matrix of zeros and ones. A large one is first summed over either half
    of its axes, and most groups are read off what is left.
    """

    def __init__(self, rows: int, shape: Sequence[int], groups: Sequence[Group]) -> None:
        """Work out which cells go into which column, and what is cheapest for ``rows``."""
        self.shape = tuple(shape)
        self.groups = groups
        self.at: list[slice] = []
        self.count = 0
        for group in groups:
            size = prod(self.shape[a] for a in group)
            self.at.append(slice(self.count, self.count + size))
            self.count += size
        self.matrix: Array | None = None
        self.halves: list[tuple[int, Marginals, npt.NDArray[np.intp]]] = []
        self.whole: list[tuple[Group, slice]] = []
        cells = prod(self.shape)
        self._split(rows)
        sums = (2 * bool(self.halves) + len(self.whole)) * (CALL + rows * cells)
        if cells * self.count <= min(MATRIX_LIMIT, sums / (PRODUCT * rows)):
            self.matrix = self._matrix()
            self.halves, self.whole = [], []

    def __call__(self, table: Array) -> Array:
        """Return the sums, shape (rows, columns)."""
        if self.matrix is not None:
            return np.asarray(table @ self.matrix)
        result = np.empty((len(table), self.count))
        if self.halves:
            both = table.reshape(len(table), *self.sizes)
            for axis, half, columns in self.halves:
                result[:, columns] = half(np.add.reduce(both, axis=axis))
        axes = table.reshape(len(table), *self.shape)
        for rest, at in self.whole:
            part = np.add.reduce(axes, axis=rest) if rest else table
            result[:, at] = part.reshape(len(table), -1)
        return result

    def _split(self, rows: int) -> None:
        """Part the axes in two halves, and the groups into those within one and the others."""
        ways = range(1, len(self.shape))
        cut = min(ways, default=0, key=lambda k: prod(self.shape[:k]) + prod(self.shape[k:]))
        self.sizes = (prod(self.shape[:cut]), prod(self.shape[cut:]))
        count = len(self.shape)
        for axis, low, high in ((2, 0, cut), (1, cut, count)):
            inside = [
                (tuple(a - low for a in group), at)
                for group, at in zip(self.groups, self.at, strict=True)
                if cut and low <= group[0] and group[-1] < high
            ]
            if inside:
                half = Marginals(rows, self.shape[low:high], [group for group, _ in inside])
                columns = np.concatenate([np.arange(at.start, at.stop) for _, at in inside])
                self.halves.append((axis, half, columns))
        self.whole = [
            (tuple(a + 1 for a in range(count) if a not in group), at)
            for group, at in zip(self.groups, self.at, strict=True)
            if not cut or group[0] < cut <= group[-1]
        ]
        if len(self.whole) == len(self.groups):
            self.halves = []

    def _matrix(self) -> Array:
        cells = prod(self.shape)
        matrix = np.zeros((cells, self.count))
        places = np.indices(self.shape).reshape(len(self.shape), cells)
        for group, at in zip(self.groups, self.at, strict=True):
            column = np.full(cells, at.start)
            step = 1
            for axis in reversed(group):
                column += places[axis] * step
                step *= self.shape[axis]
            matrix[np.arange(cells), column] = 1.0
        return matrix
