"""How far the log-odds of a cause must move to be likeliest, one number at a time."""

from math import exp

import numpy as np
import numpy.typing as npt

from faultnet.learning.estimate.slots import Array

STEPS = 60
"""Steps at most; a handful does."""
NEAR = 1e-12
"""How little the last step moves."""
FAR = 40.0
"""Log-odds so far off are as good as never, or always: nothing speaks against it."""
LONGEST = 2.0
"""A longer step is cut short: far from the top, the curve is flatter than it is near it."""


class Tilted:
    """Counts of a cause by cell, there and not there, with its log-odds in each."""

    def __init__(self, present: Array, absent: Array, odds: Array) -> None:
        """All have the same shape; the log-odds move along."""
        self.present, self.whole, self.odds = present, present + absent, odds

    def move(
        self,
        cells: npt.NDArray[np.bool_] | slice,
        base: tuple[float, float, float] = (0.0, 0.0, 0.0),
        normal: tuple[float, float] = (0.0, 0.0),
    ) -> float:
        """Move the log-odds of some cells to where counts and prior are likeliest.

        ``base`` holds what speaks for the cause beside the cells, what against it, and the
        log-odds there; ``normal`` how far a number is from where it is likeliest, and by
        how much that counts. Returns how far; nothing where nothing speaks.
        """
        present, whole, odds = self.present[cells], self.whole[cells], self.odds[cells]
        up, down, at = base
        off, weight = normal
        moved = 0.0
        for _ in range(STEPS):
            chances = 1.0 / (1.0 + np.exp(-odds - moved))
            chance = 1.0 / (1.0 + exp(-at - moved))
            slope = float((present - whole * chances).sum()) + up - (up + down) * chance
            slope -= weight * (off + moved)
            bend = float((whole * chances * (1.0 - chances)).sum())
            bend += (up + down) * chance * (1.0 - chance) + weight
            if bend <= 0.0:
                break
            step = max(-LONGEST, min(LONGEST, slope / bend))
            moved += step
            if abs(step) < NEAR or abs(moved) > FAR:
                break
        self.odds[cells] = odds + moved
        return moved
