"""Numbers of regions that differ from what all share by more than chance."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

import msgspec
import numpy as np

from faultnet.authoring.names import kebab
from faultnet.learning.minutes.minutes import count_times, entry_of
from faultnet.learning.minutes.spread import Prior, mean_of
from faultnet.learning.minutes.times import Times
from faultnet.learning.proposed import Interval, Kind, Proposed
from faultnet.learning.regions.shrinkage import (
    Drawn,
    Floats,
    Rates,
    Shares,
    rates_of,
    shares_of,
    sizes_of,
)
from faultnet.learning.seen import Seen, Weigh, confirmed, count, counting, region_of
from faultnet.learning.source import Source
from faultnet.model.knowledge import Knowledge
from faultnet.model.origin import Number
from faultnet.model.region import Region
from faultnet.sharing.sharing import Sharing

NO_REGION = "no region"
FAR = 1.645
"""Standard deviations on either side of ``HOLDS``."""
HOLDS = 0.9
SUREST = 0.95
"""No cause is made commoner than this."""


class Regional(msgspec.Struct, frozen=True):
    """A number that is another in a region; ``shared`` is what all regions share."""

    region: str
    proposed: Proposed
    shared: float


class LearntRegions(msgspec.Struct, frozen=True):
    """Numbers that lie apart from what is shared, region by region.

    ``looked_at`` counts all that were looked at. ``rates``, ``shares`` and ``sizes`` say how
    widely regions scatter: cases that a shared number is worth for a cause and for a
    circumstance, and the standard deviation of the logarithm of minutes.
    """

    numbers: tuple[Regional, ...]
    looked_at: int
    rates: float
    shares: float
    sizes: float
    cases: int
    left_out: dict[str, int]

    def of(self, region: str) -> tuple[Regional, ...]:
        """Return the numbers of one region."""
        return tuple(each for each in self.numbers if each.region == region)


def learn_regions(
    knowledge: Knowledge, source: Source, sharing: Sharing, weigh: Weigh = confirmed
) -> LearntRegions:
    """Return what is another in some region.

    Where the cases come from one region alone (a firm that shares its knowledge with others),
    it is held against the numbers of the files; else against what all regions share.

    Raises ``ValueError`` for knowledge of a region, and what the sharing or a part raises.
    """
    if knowledge.region:
        raise ValueError(f"the knowledge is that of {knowledge.region}, not what all share")
    seen = count(counting(knowledge, region_of, NO_REGION, weigh), source, sharing)
    return regions_of(knowledge, seen, count_times(knowledge, source, sharing))


def regions_of(knowledge: Knowledge, seen: Seen, times: Times) -> LearntRegions:
    """Return what is another in some region, by sums over regions and counted times."""
    looking = _Looking(knowledge, seen, times)
    rates, causes = looking.causes()
    shares, circumstances = looking.circumstances()
    scatter, minutes = looking.minutes()
    numbers = [*causes, *circumstances, *minutes]
    apart = [each for each in numbers if not _within(each)]
    return LearntRegions(
        tuple(sorted(apart, key=lambda n: (n.region, n.proposed.kind, n.proposed.of))),
        len(numbers),
        rates.concentration,
        shares.concentration,
        scatter,
        seen.cases.total(),
        dict(sorted(seen.left_out.items())),
    )


class _Looking:
    """The sums of all regions side by side."""

    def __init__(self, knowledge: Knowledge, seen: Seen, times: Times) -> None:
        self.knowledge = knowledge
        self.seen = seen
        self.times = times
        self.regions = sorted(seen.cases)

    def causes(self) -> tuple[Rates, list[Regional]]:
        """How common the causes are: how often they were seen, by how often they were due."""
        names = sorted({name for name, _ in self.seen.by_all} & self.knowledge.causes.keys())
        events, due = self._table(names, self.seen.seen), self._table(names, self.seen.by_all)
        rates = rates_of(events, due, 1.0 if len(self.regions) == 1 else None)
        found = []
        for row, column in self._cells(due):
            y, x = float(events[row, column]), float(due[row, column])
            number = self.knowledge.causes[names[row]].how_common

            def often(rate: float, number: Number = number) -> float:
                return min(rate * number.value, max(SUREST, number.value))

            drawn = _through(rates.drawn(row, y, x, HOLDS), often)
            about = self._about("how-common", self.regions[column], names[row], number)
            cases = self.seen.cases[self.regions[column]]
            evidence = (y, cases - y), rates.concentration, often(y / x)
            found.append(self._regional(about, drawn, often(rates.centres[row]), evidence))
        return rates, found

    def circumstances(self) -> tuple[Shares, list[Regional]]:
        """How often circumstances held where it was told whether they did."""
        names = sorted({name for name, _ in self.seen.known} & self.knowledge.circumstances.keys())
        yes, cases = self._table(names, self.seen.held), self._table(names, self.seen.known)
        shares = shares_of(yes, cases)
        if len(self.regions) == 1:
            priors = tuple(self.knowledge.circumstances[name].prior.value for name in names)
            shares = Shares(priors, shares.concentration)
        found = []
        for row, column in self._cells(cases):
            y, n = float(yes[row, column]), float(cases[row, column])
            number = self.knowledge.circumstances[names[row]].prior
            about = self._about("circumstance", self.regions[column], names[row], number)
            drawn = shares.drawn(row, y, n, HOLDS)
            evidence = (y, n - y), shares.concentration, y / n
            found.append(self._regional(about, drawn, shares.centres[row], evidence))
        return shares, found

    def minutes(self) -> tuple[float, list[Regional]]:
        """The minutes that steps take."""
        steps, regions = self.times.steps(), self.times.regions()
        sizes, offs = (np.zeros((len(steps), len(regions))) for _ in range(2))
        offs += math.inf
        for row, step in enumerate(steps):
            for column, region in enumerate(regions):
                tally = self.times.tally(step, region)
                if tally.done:
                    alone = mean_of(tally, Prior(1.0, 0.0), HOLDS)
                    sizes[row, column] = math.log(alone.value)
                    offs[row, column] = (math.log(alone.high) - math.log(alone.low)) / (2.0 * FAR)
        drawing = sizes_of(sizes, offs)
        found = []
        for row, column in self._cells(1.0 / offs):
            entry = entry_of(self.knowledge, steps[row])
            about = self._about("minutes", regions[column], entry.id, entry.work.minutes)
            drawn = drawing.drawn(row, float(sizes[row, column]), float(offs[row, column]), FAR)
            count = float(sum(self.times.tally(steps[row], regions[column]).done.values()))
            worth = count * (offs[row, column] / max(drawing.scatter, 1e-6)) ** 2
            evidence = (count, 0.0), float(worth), math.exp(sizes[row, column])
            shared = math.exp(drawing.centres[row])
            found.append(self._regional(about, _through(drawn, math.exp), shared, evidence))
        return drawing.scatter, found

    def _about(
        self, kind: Kind, region: str, name: str, shared: Number
    ) -> tuple[Kind, str, str, Number]:
        """What a number is about; one that the region has already is the one to change."""
        own = self.knowledge.regions.get(kebab(region))
        return kind, region, name, _own(own, kind).get(name, shared) if own else shared

    def _regional(
        self,
        about: tuple[Kind, str, str, Number],
        drawn: Drawn,
        shared: float,
        evidence: tuple[tuple[float, float], float, float],
    ) -> Regional:
        kind, region, name, number = about
        (speak_for, against), worth, alone = evidence
        proposed = Proposed(
            number=number,
            kind=kind,
            of=name,
            about=f"{kind} in {region}",
            value=drawn.value,
            interval=Interval(drawn.low, drawn.high, HOLDS),
            prior=worth,
            alone=alone,
            speak_for=speak_for,
            against=against,
            cases=self.seen.named.get((name, region), ()),
        )
        return Regional(region, proposed, shared)

    def _table(self, names: Sequence[str], sums: Mapping[tuple[str, str], float]) -> Floats:
        rows = [[float(sums.get((name, r), 0.0)) for r in self.regions] for name in names]
        return np.array(rows).reshape(len(names), len(self.regions))

    @staticmethod
    def _cells(exposed: Floats) -> Iterator[tuple[int, int]]:
        """Yield the rows and columns of which there is anything to say."""
        rows, columns = np.nonzero(exposed > 0.0)
        yield from zip(rows.tolist(), columns.tolist(), strict=True)


def _own(region: Region, kind: Kind) -> dict[str, Number]:
    kinds = {
        "how-common": region.how_common,
        "minutes": region.minutes,
        "circumstance": region.circumstances,
    }
    return kinds[kind]


def _through(drawn: Drawn, made: Callable[[float], float]) -> Drawn:
    return Drawn(made(drawn.value), made(drawn.low), made(drawn.high))


def _within(each: Regional) -> bool:
    return each.proposed.interval.low <= each.shared <= each.proposed.interval.high
