"""How far each number may move before another cause comes first, in one case."""

from collections.abc import Iterable
from functools import cached_property

import msgspec
import numpy as np
import numpy.typing as npt

from faultnet.advice.authored import Authored
from faultnet.inference.query import Query
from faultnet.inference.rows import Row
from faultnet.network.places import Place, put_cause
from faultnet.review.sensitivity.common import TIED, Common
from faultnet.review.sensitivity.doubt import beyond, deviation, distance, spot, value_at
from faultnet.review.sensitivity.flips import Crossing, Curve, crossings, first_crossing, lead
from faultnet.review.sensitivity.margin import Flip, Margin, in_order
from faultnet.review.sensitivity.said import Polynomial, polynomial, said, weighed
from faultnet.review.sensitivity.standing import Standing

Array = npt.NDArray[np.float64]

SPOTS = 5
"""Places looked at to either side on a curve that costs next to nothing."""
SUREST = 1.0 - 1e-12
"""The largest base probability."""
CLOSE = 0.02
"""How close to where a flip is thought to be it is looked for first, as a share of the move."""
DEAR_SPOTS = 3
"""Places looked at to either side on a curve that is weighed anew each time."""


class Margins(msgspec.Struct, frozen=True, dict=True):
    """The numbers of a system, asked how far each may move in one case."""

    standing: Standing
    common: Common

    def all_of(self, numbers: Iterable[Authored]) -> list[Margin]:
        """Return the numbers that move anything, those first that likeliest change the first.

        What is no straight line in a number is taken with s held, or along its tangent.
        """
        found = [margin for number in numbers if (margin := self._margin(number)) is not None]
        return in_order([*found, *self._said()])

    def _said(self) -> list[Margin]:
        """The margins of what speakers' words are worth, and of repairs that fail."""
        standing, found = self.standing, []
        for number, degree in said(standing.subject, standing.evidence).items():
            curve = polynomial(standing, number, degree, self.common.beside)

            def weights(value: float, curve: Polynomial = curve) -> Array:
                return standing.by_cause(curve.at(value))

            low, high = self._looked_for(number, weights, SPOTS)
            slope = self._share(curve.slope(number.value))
            if slope or low or high:
                found.append(self._made(number, slope, low, high, exact=True))
        return found

    def exact(self, margin: Margin) -> Margin:
        """Return a margin with flips followed on the exact curve, every value weighed anew."""
        if margin.exact:
            return margin
        number = margin.number
        low, high = (
            self._near(number, flip, end)
            for flip, end in zip((margin.low, margin.high), self.ends(number), strict=True)
        )
        return self._made(number, margin.slope, low, high, exact=True)

    def _near(self, number: Authored, flip: Flip | None, end: float) -> Crossing | None:
        """The flip to one side, looked for close to where it is thought to be first."""
        start, last = (spot(number.kind, x) for x in (number.value, end))
        spots = np.linspace(start, last, DEAR_SPOTS)
        if flip is not None:
            guess = spot(number.kind, flip.value)
            around = guess + np.array([-CLOSE, CLOSE]) * (guess - start)
            found = self._along(number, around)
            if found is not None:
                return found
        elif len(number.places) == 1 and number.places[0].kind in TIED:
            return None
        return self._along(number, spots)

    def _along(self, number: Authored, spots: Array) -> Crossing | None:
        """The first crossing along some places, every value weighed anew; the first is behind."""
        if lead(self.weighed(number, value_at(number.kind, spots[0])), self.standing.rivals) > 0.0:
            return None
        return first_crossing(
            lambda value: self.weighed(number, value),
            self.standing.rivals,
            spots,
            lambda place: value_at(number.kind, place),
        )

    def followed(self, number: Authored, slope: float = 0.0) -> Margin:
        """Return the margin of a number, every value weighed anew."""
        start = spot(number.kind, number.value)
        low, high = (
            self._along(number, np.linspace(start, spot(number.kind, end), DEAR_SPOTS))
            for end in self.ends(number)
        )
        return self._made(number, slope, low, high, exact=True)

    def weighed(self, number: Authored, value: float) -> Array:
        """Return the weights of the causes with a number put to another value."""
        standing = self.standing
        if not number.places:
            return standing.by_cause(weighed(standing, number, value, self.common.beside))
        network = self.common.moved(dict.fromkeys(number.places, value))
        query = Query(network, standing.observed)
        if query.statuses.impossible:
            return np.zeros(len(standing.causes))
        absent = [Row(absent=(standing.subject.causes[c],)) for c in standing.causes]
        return standing.by_cause(query.weigh([Row(), *absent]))

    def slope(self, number: Authored) -> float | None:
        """Return how the chance of the first cause grows with a number; None where it does not."""
        slopes = self.slopes(number)
        return None if slopes is None else float(slopes[0])

    def slopes(self, number: Authored) -> Array | None:
        """Return how the chance of each cause grows with a number; None where none does."""
        active = self._active(number)
        if not active:
            return None
        rows = sum((slope for _, slope in active), np.zeros(len(self.standing.causes) + 1))
        s_slope = sum(self.common.s_slope(place) for place, _ in active)
        return self._shares(rows) + (self._by_s * s_slope if s_slope else 0.0)

    def _share(self, rows: Array) -> float:
        """How the chance of the first cause grows, from slopes of weights by row."""
        return float(self._shares(rows)[0])

    def _shares(self, rows: Array) -> Array:
        """How the chances of the causes grow, from slopes of weights by row."""
        chances = self.standing.weights / self.standing.total
        return np.asarray((self.standing.by_cause(rows) - chances * rows[0]) / self.standing.total)

    @cached_property
    def _by_s(self) -> Array:
        """How the chances of the causes grow with s: all base probabilities at once."""
        total = np.zeros(len(self.standing.causes))
        for index, cause in enumerate(self.common.network.causes):
            slope = self.standing.slope(Place("cause", index))
            if slope is not None:
                total += cause.probability * self._shares(slope)
        return total

    def _active(self, number: Authored) -> list[tuple[Place, Array]]:
        """The places of a number that the evidence speaks about, with slopes by row."""
        found = []
        for place in number.places:
            slope = self.standing.slope(place)
            if slope is None:
                slope = np.zeros(len(self.standing.causes) + 1)
            if slope.any() or self.common.s_slope(place):
                found.append((place, slope * self._unit(place)))
        return found

    def _unit(self, place: Place) -> float:
        """How a number of the network grows with the number authored for it."""
        if place.kind == "cause":
            return self.common.s
        return 1.0 / self.common.total(place) if place.kind == "layout" else 1.0

    def _margin(self, number: Authored) -> Margin | None:
        active = self._active(number)
        slope = self.slope(number)
        if slope is None:
            return None
        place = active[0][0]
        alone = len(active) == 1
        curve = self._curve(place) if alone else None
        if curve is not None:
            low, high = self._looked_for(number, curve, self._spots(place))
        else:
            rows = sum((each for _, each in active), np.zeros(len(self.standing.causes) + 1))
            low, high = self._on_line(number, self.standing.by_cause(rows))
        exact = alone and place.kind not in TIED and (curve or self.standing.linear(place))
        return self._made(number, slope, low, high, exact=bool(exact))

    def _spots(self, place: Place) -> int:
        """Places to look at: the ends where the odds between two causes only rise or fall."""
        return SPOTS if self.standing.slopes.causes[place.of].roots else 2

    def _curve(self, place: Place) -> Curve | None:
        """The weights by how common a cause is, s held, or by a factor on its odds."""
        standing = self.standing
        ends = standing.slopes.causes.get(place.of) if place.kind in {"cause", "factor"} else None
        if ends is None:
            return None
        network, known = standing.subject.network, standing.query.known
        cause = network.causes[place.of]

        def curve(value: float) -> Array:
            number = min(self.common.s * value, SUREST) if place.kind == "cause" else value
            return standing.by_cause(ends.weigh(network, put_cause(cause, place, number), known))

        return curve

    def _on_line(self, number: Authored, slopes: Array) -> tuple[Crossing | None, Crossing | None]:
        standing = self.standing
        ends = self.ends(number)
        return crossings(standing.weights, slopes, standing.rivals, number.value, ends)

    def _looked_for(
        self, number: Authored, curve: Curve, spots: int
    ) -> tuple[Crossing | None, Crossing | None]:
        start = spot(number.kind, number.value)

        def at(place: float) -> float:
            return value_at(number.kind, place)

        low, high = (
            first_crossing(
                curve, self.standing.rivals, np.linspace(start, spot(number.kind, end), spots), at
            )
            for end in self.ends(number)
        )
        return low, high

    def ends(self, number: Authored) -> tuple[float, float]:
        """Return the values between which a number is moved: by the reach on its odds."""
        start, far = spot(number.kind, number.value), np.log(self.standing.reach)
        low, high = (value_at(number.kind, start + side * far) for side in (-1.0, 1.0))
        return low, min(high, self._most(number))

    def _most(self, number: Authored) -> float:
        """The largest value that other answers to the same finding leave room for."""
        network = self.common.network
        room = [1.0] if number.kind == "chance" else [np.inf]
        for place in number.places:
            if place.kind in {"leak", "link", "rule"}:
                finding = network.findings[place.of]
                links = finding.links if place.kind == "link" else finding.follows
                levels = finding.leak if place.kind == "leak" else links[place.at].levels
                room.append(1.0 - sum(levels) + levels[place.level])
        return min(room)

    def _made(
        self,
        number: Authored,
        slope: float,
        low: Crossing | None,
        high: Crossing | None,
        *,
        exact: bool,
    ) -> Margin:
        off, chance = deviation(number.number), 0.0
        flips = []
        for found in (low, high):
            flips.append(
                None if found is None else Flip(found.value, self.standing.causes[found.cause])
            )
            if found is not None:
                chance += beyond(distance(number.kind, number.value, found.value), off)
        return Margin(number, slope, flips[0], flips[1], min(chance, 1.0), exact)
