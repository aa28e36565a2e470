"""Where conditions hold, over the joint states of a few unknown roots."""

import numpy as np
import numpy.typing as npt

from faultnet.network.network import Condition, Network

Array = npt.NDArray[np.float64]


class Scope:
    """Indicators of conditions over a few unknown roots."""

    def __init__(self, network: Network, roots: tuple[int, ...], known: dict[int, int]) -> None:
        """``roots`` are unknown and in order; ``known`` maps the others to states."""
        self.shape = tuple(len(network.roots[r].states) for r in roots)
        self.roots = roots
        self.known = known
        self._indicators: dict[Condition, Array] = {}

    def indicator(self, condition: Condition) -> Array:
        """One where a condition holds, else zero; shape of the scope; worked out once."""
        kept = self._indicators.get(condition)
        if kept is None:
            kept = self._indicators[condition] = self._indicator(condition)
        return kept

    def _indicator(self, condition: Condition) -> Array:
        array = np.ones(self.shape)
        for root, allowed in condition:
            if root in self.known:
                array = array * float(allowed[self.known[root]])
                continue
            place = self.roots.index(root)
            shape = [1] * len(self.shape)
            shape[place] = len(allowed)
            array = array * np.array(allowed, dtype=float).reshape(shape)
        return array
