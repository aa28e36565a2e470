"""How far one number may move in one case."""

from collections.abc import Iterable
from math import inf

import msgspec

from faultnet.advice.authored import Authored
from faultnet.review.sensitivity.doubt import distance


class Flip(msgspec.Struct, frozen=True):
    """The value of a number at which another cause comes first, and which."""

    value: float
    first: str


class Margin(msgspec.Struct, frozen=True):
    """How far a number may move: down to ``low`` and up to ``high``, where there is such a value.

    ``slope`` is how the chance of the first cause grows with the number, exactly. ``chance``
    is how likely the first cause changes if the number is as far off as its like are. A
    flip is ``exact``, or taken with the factor s held or along the tangent.
    """

    number: Authored
    slope: float
    low: Flip | None
    high: Flip | None
    chance: float
    exact: bool = True

    @property
    def nearest(self) -> float:
        """How far the nearest flip is."""
        return inf if self.nearest_flip is None else self._far(self.nearest_flip)

    @property
    def nearest_flip(self) -> Flip | None:
        """The flip that takes the smaller move."""
        return min((f for f in (self.low, self.high) if f is not None), key=self._far, default=None)

    def _far(self, flip: Flip) -> float:
        return distance(self.number.kind, self.number.value, flip.value)


def in_order(margins: Iterable[Margin]) -> list[Margin]:
    """Return margins, those first that likeliest change the first cause."""
    return sorted(margins, key=lambda m: (-m.chance, m.nearest, -abs(m.slope)))
