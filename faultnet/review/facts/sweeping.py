"""Every answer weighed against every cause, in one exact sweep over a network."""

from collections.abc import Sequence
from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.inference.downsets import ALWAYS, Expander, Terms, plus
from faultnet.inference.observed import Observed
from faultnet.inference.what_ifs import RowMasses, WhatIfs, answers, what_ifs
from faultnet.network.network import Network

Array = npt.NDArray[np.float64]


class Sweeping(msgspec.Struct, frozen=True, dict=True):
    """A network of which nothing is known but what it takes as known itself.

    Every member raises ``TooLargeError``.
    """

    network: Network

    @cached_property
    def expander(self) -> Expander:
        """What writes answers as terms."""
        return Expander(self._what_ifs.query)

    def weigh(self, terms: Sequence[Terms]) -> RowMasses:
        """Return P(terms), and P(terms and cause) by cause, come of itself."""
        masses = answers(self._what_ifs, [ALWAYS, *terms])
        total = float(masses.totals[0])
        return RowMasses(masses.totals[1:] / total, masses.causes[1:] / total)

    def abnormal(self, finding: int) -> Terms:
        """Return the terms of any answer of a finding that is not normal, ``cannot`` apart."""
        total: Terms = {}
        for level in range(1, len(self.network.findings[finding].answers)):
            total = plus(total, self.expander.answer(finding, level))
        return total

    @cached_property
    def _what_ifs(self) -> WhatIfs:
        findings = range(len(self.network.findings))
        return what_ifs(self.network, Observed(), findings)


def shares(weights: Array, total: Array | float) -> Array:
    """Return weights as shares of a total, none where it is nothing."""
    total = np.asarray(total)
    return np.asarray(np.divide(weights, total, out=np.zeros_like(weights), where=total > LEAST))


LEAST = 1e-12
"""Sums of rows with signs below this have too few digits left to be divided by."""
