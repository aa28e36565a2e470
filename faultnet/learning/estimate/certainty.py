"""How sure each number is once the cases were met: by how many cases' worth."""

from functools import cached_property

import msgspec
import numpy as np

from faultnet.learning.estimate.passing import Deep
from faultnet.learning.estimate.scores import Scorer
from faultnet.learning.estimate.slots import Array

LEAST_TOLD = 1e-9
"""What tells less than this tells nothing."""


class Certainty(msgspec.Struct, frozen=True, dict=True):
    """Deviations of the unknowns, from what ``cases`` told and the authored numbers.

    What cases tell of each number is worked out exactly (Louis); how much of it two numbers
    share is taken from how their scores go together, case by case. So many numbers go
    together by chance alone in few cases: that is taken off as numbers by cases.
    """

    scorer: Scorer
    deep: Deep
    cases: float

    @cached_property
    def told(self) -> Array:
        """What the cases tell of each unknown, the others known."""
        return np.asarray(np.maximum(self.deep.told, 0.0))

    @cached_property
    def spread(self) -> Array:
        """Covariances of the unknowns, each by its log-odds or its logarithm."""
        own = np.sqrt(np.maximum(np.diag(self.deep.both), LEAST_TOLD))
        alike = self.deep.both / np.outer(own, own)
        alike *= self.cases / (self.cases + len(alike))
        np.fill_diagonal(alike, 1.0)
        deviation = np.sqrt(self.told)
        deviation[list(self.scorer.unknowns.rests)] = 0.0
        tells = alike * np.outer(deviation, deviation)
        return np.asarray(np.linalg.inv(tells + self._prior))

    @cached_property
    def _prior(self) -> Array:
        """What the authored numbers tell; levels of a throw, and states of a root, together."""
        unknowns = self.scorer.unknowns
        result = np.diag(np.maximum(self.scorer.worth(), LEAST_TOLD))
        for k, beside in unknowns.beside.items():
            for other in beside:
                if other != k and not {k, other} & unknowns.rests:
                    worth = unknowns.all[k].worth
                    result[k, other] = -worth * self.scorer.value(k) * self.scorer.value(other)
        return result

    def variance(self, slopes: Array) -> float:
        """Return the variance of what grows with the unknowns by some slopes."""
        return float(slopes @ self.spread @ slopes)
