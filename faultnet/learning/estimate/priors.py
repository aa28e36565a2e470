"""What an authored number is worth beside closed cases, and which kinds of number are learnt."""

from typing import TypeAlias

import msgspec

from faultnet.learning.proposed import Kind
from faultnet.model.origin import Number

Kinds: TypeAlias = frozenset[Kind]

HOW_COMMON: Kinds = frozenset({"how-common"})
"""What a firm can learn soonest."""
ALL: Kinds = frozenset(
    {"how-common", "factor", "strength", "leak", "leads-to", "layout", "circumstance"}
)
"""Every kind of number that the network rests on."""


class Priors(msgspec.Struct, frozen=True):
    """How many cases an authored number stands for; judgement, all of it.

    ``how_common`` counts calls; so do ``leak``, ``layout`` and ``circumstance``. ``strength``
    and ``leads_to`` count cases in which the cause is there, and ``factor`` such with the
    circumstance. Each is meant for a number that is a judgement; ``by_provenance`` says how many
    times that a number is worth that comes from elsewhere. ``noted`` is the chance that a
    cause is named by somebody who mends it and notes down what was wrong.
    """

    how_common: float = 100.0
    factor: float = 10.0
    strength: float = 10.0
    leak: float = 50.0
    leads_to: float = 10.0
    layout: float = 50.0
    circumstance: float = 50.0
    memory: float = 1.5
    practice: float = 2.0
    source: float = 5.0
    noted: float = 0.95

    def worth(self, kind: Kind, number: Number) -> float:
        """Return how many cases a number is worth."""
        worth: float = getattr(self, kind.replace("-", "_"))
        return worth * max(map(self._times, number.provenance), default=1.0)

    def _times(self, provenance: str) -> float:
        times = {"judgement": 1.0, "memory": self.memory, "practice": self.practice}
        return times.get(provenance, self.source)
