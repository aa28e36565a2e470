"""From the likeliest network to the numbers of the files, each with what speaks for it."""

from functools import cached_property
from math import sqrt

import msgspec
import numpy as np

from faultnet.advice.subject import some_cause
from faultnet.learning.estimate.certainty import Certainty
from faultnet.learning.estimate.fitted import Calls, Fitter
from faultnet.learning.estimate.passing import Deep, Passing
from faultnet.learning.estimate.range_of import range_of_chance, range_of_factor
from faultnet.learning.estimate.scores import Scorer
from faultnet.learning.estimate.slots import Array
from faultnet.learning.estimate.unknowns import THROWN, Unknown
from faultnet.learning.proposed import Interval, Proposed
from faultnet.network.network import Network

WORTH = 20.0
"""A number that is worth more cases is proposed on as much more of them."""
TINY = 1e-9
"""What stands for nothing where something is divided by it."""


class Telling(msgspec.Struct, frozen=True, dict=True):
    """Tells what came of the cases. ``deep`` was taken of ``sampled`` of them."""

    passing: Passing
    fitter: Fitter
    calls: Calls
    deep: Deep | None
    sampled: float
    holds: float
    least: float

    def numbers(self) -> tuple[tuple[Proposed, ...], int]:
        """Return the numbers that enough cases speak of, and how many others there are."""
        found = [self._told(k, unknown) for k, unknown in enumerate(self.passing.unknowns.all)]
        settled = tuple(each for each in found if each is not None)
        return settled, len(found) - len(settled)

    def _told(self, k: int, unknown: Unknown) -> Proposed | None:
        value, cases = self._scorer.value(k), self._cases(k)
        if cases - unknown.worth < self.least * max(1.0, unknown.worth / WORTH):
            return None
        times = self._times(unknown)
        alone = self._alone.get(k)
        speak_for, against = self._counted(unknown)
        interval = self._interval(k, unknown, value * times, cases)
        return Proposed(
            unknown.authored.number,
            unknown.kind,
            self._of(unknown),
            unknown.authored.about,
            value * times,
            interval,
            unknown.worth,
            None if alone is None else alone * times,
            speak_for,
            against,
            self._deep.named.get(k, ()),
        )

    @property
    def _network(self) -> Network:
        return self.passing.network

    @property
    def _deep(self) -> Deep:
        assert self.deep is not None
        return self.deep

    @cached_property
    def _scorer(self) -> Scorer:
        assert self.passing.calling is not None
        return Scorer(self.passing.unknowns, self._network, self.passing.calling)

    @cached_property
    def _alone(self) -> dict[int, float]:
        """What the cases alone say, as far as they say anything."""
        alone = msgspec.structs.replace(self.fitter, trust=0.0)
        return alone.values(self._network, self.calls)

    @cached_property
    def _certainty(self) -> Certainty:
        more = self.calls.met.cases / self.sampled
        deep = Deep(self._deep.told * more, self._deep.both * more, {})
        return Certainty(self._scorer, deep, self.calls.met.cases)

    # from the network to the files

    @cached_property
    def _some(self) -> float:
        """What base chances are divided by to be as the files have them: the factor s."""
        unknowns = self.passing.unknowns
        if self._network.faults == "one":
            now, before = self._network.causes, unknowns.network.causes
            return sum(c.probability for c in now) / sum(c.probability for c in before)
        authored = unknowns.subject.knowledge.causes
        first = unknowns.network.causes[0]
        unscaled = first.id in authored and first.probability == authored[first.id].how_common.value
        if unscaled and sum(c.probability for c in self._network.causes) <= 1.0:
            return 1.0
        return some_cause(self._network, unknowns.subject.system)(1.0)

    def _times(self, unknown: Unknown) -> float:
        """What a chance of the network is multiplied with to be as the files have it."""
        if unknown.kind == "how-common":
            return 1.0 / self._some
        if unknown.kind == "layout":
            root = self._network.roots[unknown.place.of].id
            shares = self.passing.unknowns.subject.system.layout[root]
            return sum(number.value for number in shares.values())
        return 1.0

    def _of(self, unknown: Unknown) -> str:
        if unknown.place.kind in {"link", "rule", "leak"}:
            return self._network.findings[unknown.place.of].id
        if unknown.place.kind in {"layout", "circumstance"}:
            return self._network.roots[unknown.place.of].id
        return self._network.causes[unknown.place.of].id

    # how sure it is

    def _cases(self, k: int) -> float:
        """How many cases, as good as seen whole, a number rests on, those of the file too."""
        unknown = self.passing.unknowns.all[k]
        variance = float(self._variance[k])
        if unknown.kind == "factor":
            return 4.0 / variance
        value = self._scorer.value(k) / (self._some if unknown.kind == "how-common" else 1.0)
        cases = 1.0 / (variance * value * max(1.0 - value, TINY))
        return min(cases, unknown.worth + self._tried(unknown))

    @cached_property
    def _variance(self) -> Array:
        """The variance of the log-odds of each number as the files have it."""
        unknowns = self.passing.unknowns
        result = np.diag(self._certainty.spread).copy()
        for k, unknown in enumerate(unknowns.all):
            if unknown.kind == "how-common":
                result[k] = self._certainty.variance(self._by_call(k))
            elif len(unknowns.beside.get(k, ())) > 1:
                result[k] = self._certainty.variance(self._of_whole(k))
        return result

    def _of_whole(self, k: int) -> Array:
        """How the log-odds of a share grow with all unknowns, as others share the same whole."""
        unknowns = self.passing.unknowns
        slopes = np.zeros(len(unknowns.all))
        for other in unknowns.beside[k]:
            if other not in unknowns.rests:
                slopes[other] = float(other == k) - self._scorer.value(other)
        return slopes / max(1.0 - self._scorer.value(k), TINY)

    def _by_call(self, k: int) -> Array:
        """How the log-odds of how common a cause is, per call, grow with all others.

        The log-odds of what it is per site grow by one, and s with each.
        """
        slopes = np.zeros(len(self.passing.unknowns.all))
        value = self._scorer.value(k)
        one = self._network.faults == "one"
        slopes[k] = 1.0 if one else 1.0 - value
        if self._some < 1.0 or one:
            slopes -= self._s_by
        return slopes / max(1.0 - value / self._some, TINY)

    @cached_property
    def _s_by(self) -> Array:
        """How the logarithm of s grows with the unknowns; as it would with no layout."""
        slopes = np.zeros(len(self.passing.unknowns.all))
        causes = self._network.causes
        whole = sum(cause.probability for cause in causes)
        none = float(np.prod([1.0 - cause.probability for cause in causes]))
        for cause, k in self.passing.unknowns.bases.items():
            chance = causes[cause].probability
            if self._network.faults == "one":
                slopes[k] = chance / whole
            else:
                slopes[k] = chance * none / (1.0 - none)
        return slopes

    def _interval(self, k: int, unknown: Unknown, value: float, cases: float) -> Interval:
        if unknown.kind == "factor":
            return range_of_factor(value, sqrt(self._variance[k]), self.holds)
        times = self._times(unknown) if unknown.kind == "layout" else 1.0
        found = range_of_chance(min(value / times, 1.0), cases, self.holds)
        return Interval(found.low * times, found.high * times, self.holds)

    # what speaks for it

    def _tried(self, unknown: Unknown) -> float:
        return sum(self._counted(unknown))

    def _counted(self, unknown: Unknown) -> tuple[float, float]:
        """How often a thing came true that a number is about, and how often not."""
        slots, met = self.passing.unknowns.slots, self.calls.met
        place = unknown.place
        if place.kind in THROWN:
            rows = [slots.row(each) for each in unknown.authored.places]
            came = float(met.came[rows].sum())
            return came, float(met.tried[slots.throw_of[rows]].sum()) - came
        if place.kind in {"layout", "circumstance"}:
            own = met.roots[slots.states[place.of]]
            there = float(own[1 if place.kind == "circumstance" else place.level])
            return there, float(own.sum()) - there
        cells = slots.cells[place.of]
        if place.kind == "cause":
            there = float(met.present[cells].sum())
            return there, met.cases - there
        root = self._network.causes[place.of].factors[place.at][0]
        held = slots.with_state(place.of, root, place.level)
        return float(met.present[cells][held].sum()), float(met.absent[cells][held].sum())
