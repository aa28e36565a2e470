"""How likely it is that no cause is there at all, before anything is said or shown."""

from collections.abc import Iterable, Sequence
from math import prod

import numpy as np
import numpy.typing as npt

from faultnet.network.network import Condition, Network

Array = npt.NDArray[np.float64]


class Alone:
    """The causes of a network without findings, factors and chains, no circumstance holding.

    All states of the roots that causes hang on are laid out side by side: ``cells`` of them.
    """

    def __init__(self, network: Network, circumstances: Iterable[str]) -> None:
        """Gather the causes by the condition that they hang on."""
        self.network = network
        self.never = set(circumstances)
        self.groups: dict[Condition, list[int]] = {}
        for index, cause in enumerate(network.causes):
            self.groups.setdefault(cause.when, []).append(index)
        self.roots = sorted({root for condition in self.groups for root, _ in condition})
        self.cells = prod(len(network.roots[r].states) for r in self.roots)

    def some(self, chances: Sequence[float]) -> float:
        """Return P(at least one cause), each present with a chance of its own."""
        weights = np.ones((1,) * len(self.roots))
        for root in self.roots:
            weights = weights * self._along(root, self._prior(root))
        for condition, members in self.groups.items():
            some = 1.0 - prod(1.0 - chances[c] for c in members)
            holds = np.ones((1,) * len(self.roots))
            for root, allowed in condition:
                holds = holds * self._along(root, allowed)
            weights = weights * (1.0 - some * holds)
        return float(1.0 - weights.sum())

    def _prior(self, root: int) -> Sequence[float]:
        entry = self.network.roots[root]
        return (1.0, 0.0) if entry.id in self.never else entry.prior

    def _along(self, root: int, values: Sequence[float]) -> Array:
        shape = [1] * len(self.roots)
        shape[self.roots.index(root)] = len(values)
        return np.array(values, dtype=float).reshape(shape)
