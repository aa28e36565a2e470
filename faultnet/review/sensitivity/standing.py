"""Where the causes of one case stand, and how that moves with each number of the network.

The weight of a cause is P(evidence and it is there). It is linear in each chance that
stands in one place, so its slope gives the whole line ("one-way sensitivity functions";
Castillo, Gutierrez and Hadi 1997; Coupe and van der Gaag 2002; both from memory). All
slopes come of one sweep forward and back.

Which causes could come first is bounded: moving one such chance by a factor on its odds
moves the odds between two causes by no more than that factor (Chan and Darwiche 2005,
from memory). So causes further behind than ``reach`` need no look.
"""

from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.grounds import grounds
from faultnet.advice.ranking import believe
from faultnet.advice.subject import Subject
from faultnet.inference.gates import LEAK
from faultnet.inference.observed import Observed
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.inference.slopes import Slopes, slopes
from faultnet.model.evidence import Evidence
from faultnet.network.build import UNLISTED
from faultnet.network.places import Place

Array = npt.NDArray[np.float64]

REACH = 10.0
"""Moves of up to this factor on the odds are looked at."""
WORK = 2**22
"""Cells that the sweeps of one case may pass through; beyond, fewer causes are looked at."""
FEWEST = 4
"""Causes looked at, however large the sweep."""


class Standing(msgspec.Struct, frozen=True, dict=True):
    """The causes that could come first, likeliest first, with their weights.

    ``alike`` says which of them are the first one or look like it; ``reach`` is the factor
    on odds up to which no other cause can come first.
    """

    subject: Subject
    evidence: Evidence
    query: Query
    causes: tuple[str, ...]
    alike: tuple[bool, ...]
    chances: tuple[float, ...]
    reach: float

    @property
    def observed(self) -> Observed:
        """The evidence as the engine takes it."""
        return self.query.observed

    @cached_property
    def slopes(self) -> Slopes:
        """Slopes of P(evidence), and of P(evidence and no such cause) for each of them."""
        absent = [Row(absent=(self.subject.causes[c],)) for c in self.causes]
        return slopes(self.query, [Row(), *absent])

    @cached_property
    def total(self) -> float:
        """P(evidence)."""
        return float(self.slopes.totals[0])

    @cached_property
    def weights(self) -> Array:
        """P(evidence and cause), by cause."""
        return self.by_cause(self.slopes.totals)

    @cached_property
    def rivals(self) -> npt.NDArray[np.bool_]:
        """Which causes are neither first nor look like it."""
        return ~np.array(self.alike, dtype=bool)

    @staticmethod
    def by_cause(rows: Array) -> Array:
        """What the rows say of the causes: all less what is without each of them."""
        return np.asarray(rows[0] - rows[1:])

    def slope(self, place: Place) -> Array | None:
        """By row, how weights grow with the number at a place; None where they do not.

        The factor s is held, and the other shares of a layout as they are written: its
        weights are then those of rows not yet brought to one, which parts no two causes.
        """
        found = self.slopes
        if place.kind in {"cause", "factor"}:
            return self._tilt(place)
        if place.kind == "bring":
            return found.brings.get((place.of, place.at))
        if place.kind == "link":
            return found.links.get((place.of, place.at, place.level))
        if place.kind in {"leak", "rule"}:
            rule = LEAK if place.kind == "leak" else place.at
            return found.gates.get((place.of, rule, place.level))
        if place.kind == "layout":
            return self._root(place.of, place.level)
        return self._root(place.of, 1) - self._root(place.of, 0)

    def _tilt(self, place: Place) -> Array | None:
        """The slope in a base probability, or in a factor on odds."""
        network = self.subject.network
        cause, ends = network.causes[place.of], self.slopes.causes.get(place.of)
        if ends is None:
            return None
        if place.kind == "cause":
            p = cause.probability
            spread = p if network.faults == "one" else p * (1.0 - p)
            return ends.tilt(network, cause, self.query.known) / spread
        root, factors = cause.factors[place.at]
        state = (root, place.level)
        return ends.tilt(network, cause, self.query.known, state) / factors[place.level]

    def _root(self, root: int, state: int) -> Array:
        return self.slopes.roots.get((root, state), np.zeros(len(self.causes) + 1))

    def linear(self, place: Place) -> bool:
        """Whether the weights are linear in the number at a place, for any value of it."""
        if place.kind == "link":
            return len(self.slopes.uses.get((place.of, place.at), ())) == 1
        if place.kind in {"leak", "rule"}:
            return self.slopes.draws.get(place.of, 0) == 1
        return place.kind in {"bring", "layout", "circumstance"}


def stand(subject: Subject, evidence: Evidence, reach: float = REACH, work: int = WORK) -> Standing:
    """Return where the causes stand.

    Raises ``UnknownNameError``, ``UnfitReadingError``, ``ImpossibleEvidenceError`` and
    ``TooLargeError``.
    """
    query = grounds(subject, evidence).query
    chances = believe(subject, query).causes
    order = sorted((c for c in chances if c != UNLISTED), key=lambda c: (-chances[c], c))
    near = [c for c in order if chances[c] * reach > chances[order[0]]]
    most = max(FEWEST, work // max(1, query.plan.work))
    looked_at = near[:most]
    if len(near) > most:
        reach = chances[order[0]] / chances[near[most]]
    alike = tuple(subject.alike(order[0], c) for c in looked_at)
    told = tuple(chances[c] for c in looked_at)
    return Standing(subject, evidence, query, tuple(looked_at), alike, told, reach)
