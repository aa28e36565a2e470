"""How the factor s moves with how common causes are, and with the shares of a layout.

Base probabilities are s times what is authored, with s = P(at least one cause); see
``advice.subject``. So whoever makes one cause commoner moves s, and with it all causes. By
the rule for implicit functions ds/dv = (d some / dv) / (1 - d some / ds).
"""

from functools import cached_property

import msgspec

from faultnet.advice.subject import Subject, scale
from faultnet.network.alone import Alone
from faultnet.network.build import build_network, scaled
from faultnet.network.network import Network
from faultnet.network.places import Place, put
from faultnet.review.sensitivity.moved import Moved

TIED = frozenset({"cause", "layout"})
"""Kinds of number that s hangs on."""


class Common(msgspec.Struct, frozen=True, dict=True):
    """A system's numbers as authored, before s."""

    subject: Subject

    @cached_property
    def network(self) -> Network:
        """The network with base probabilities as authored."""
        return build_network(self.subject.knowledge, self.subject.system)

    @cached_property
    def s(self) -> float:
        """The factor s; 1 where there is none."""
        return scale(self.network, self.subject.system)

    @cached_property
    def beside(self) -> Moved:
        """The knowledge, ready to have numbers moved that stand beside the network."""
        return Moved(self.subject.knowledge)

    def moved(self, values: dict[Place, float]) -> Network:
        """Return the network of a call with numbers put in place, s worked out anew."""
        network = put(self.network, values)
        tied = any(place.kind in TIED for place in values)
        return scaled(network, scale(network, self.subject.system) if tied else self.s)

    def s_slope(self, place: Place) -> float:
        """Return how s grows with the number at a place."""
        if self.s == 1.0 or place.kind not in TIED:
            return 0.0
        return self._some_slope(place) / (1.0 - self._some_by_s)

    @cached_property
    def _chances(self) -> list[float]:
        return [self.s * cause.probability for cause in self.network.causes]

    @cached_property
    def _alone(self) -> Alone:
        return Alone(self.network, self.subject.system.circumstances)

    @cached_property
    def _by_chance(self) -> list[float]:
        """How P(at least one) grows with the chance of each cause: it is linear in each."""
        return [
            self._alone.some([1.0 if k == c else p for k, p in enumerate(self._chances)])
            - self._alone.some([0.0 if k == c else p for k, p in enumerate(self._chances)])
            for c in range(len(self._chances))
        ]

    @cached_property
    def _some_by_s(self) -> float:
        causes = zip(self.network.causes, self._by_chance, strict=True)
        return sum(cause.probability * slope for cause, slope in causes)

    def _some_slope(self, place: Place) -> float:
        if place.kind == "cause":
            return self.s * self._by_chance[place.of]
        sure = {
            Place("layout", place.of, 0, k): float(k == place.level)
            for k in range(len(self.network.roots[place.of].states))
        }
        there = Alone(put(self.network, sure), self.subject.system.circumstances)
        return (there.some(self._chances) - self.s) / self.total(place)

    def total(self, place: Place) -> float:
        """What the shares of a layout come to as authored."""
        layout = self.network.roots[place.of].id
        return sum(number.value for number in self.subject.system.layout[layout].values())
