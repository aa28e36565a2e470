"""Learning tried out by time: learnt from what came before, measured on what came after."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import pairwise

import msgspec

from faultnet.advice.subject import Subject
from faultnet.learning.estimate.estimate import estimate, learnt
from faultnet.learning.measures.measured import Asked, Systems
from faultnet.learning.measures.paired import Pair, paired
from faultnet.learning.proposal.chosen import Within
from faultnet.learning.source import Part, Source
from faultnet.learning.span import Span
from faultnet.sharing.sharing import Sharing

LEAST = 20
"""Earlier cases of a system that it is learnt from; with fewer it stays as it is written."""

Counts = Counter[tuple[str, str]]
"""Cases by the day on which they were closed, and by system."""


class Fold(msgspec.Struct, frozen=True):
    """A stretch of days, both counted: how many earlier cases were learnt from, what it did.

    The first of the pair are the numbers as written, the other those that were learnt.
    """

    since: str
    until: str
    learnt_from: int
    pair: Pair


def folds(
    subjects: Mapping[str, Subject] | Systems,
    source: Source,
    sharing: Sharing,
    count: int,
    asked: Asked | None = None,
) -> Iterator[Fold]:
    """Yield so many stretches in their order, each learnt on all that was closed before it.

    The first stretch is learnt from and never measured. How common causes are, strengths and
    the like are learnt; minutes stay as written. Raises what the sharing or a part raises.
    """
    asked = asked or Asked()
    counts = sum(sharing.each(_Counting(asked.among), source.parts()), Counts())
    stretches = _stretches(counts, count + 1)
    for before, stretch in pairwise(stretches):
        earlier = _systems(counts, before.until)
        better = {
            name: _learnt(
                subjects[name], Within(source, name, Span(asked.among.since, before.until)), sharing
            )
            for name, cases in earlier.items()
            if cases >= LEAST
        }
        used = sum(cases for cases in earlier.values() if cases >= LEAST)
        among = msgspec.structs.replace(asked.among, since=stretch.since, until=stretch.until)
        wanted = msgspec.structs.replace(asked, among=among)
        pair = paired(subjects, Better(better, subjects), source, sharing, wanted)
        yield Fold(stretch.since, stretch.until, used, pair)


class Better(msgspec.Struct, frozen=True):
    """Systems of which some were learnt."""

    learnt: Mapping[str, Subject]
    written: Systems

    def __getitem__(self, system: str) -> Subject:
        """Return a system; raise as the written ones do."""
        return self.learnt[system] if system in self.learnt else self.written[system]


def _learnt(subject: Subject, source: Source, sharing: Sharing) -> Subject:
    return learnt(subject, estimate(subject, source, sharing).numbers)


def _systems(counts: Counts, until: str) -> dict[str, int]:
    found: Counter[str] = Counter()
    for (day, system), cases in sorted(counts.items()):
        if day <= until:
            found[system] += cases
    return dict(found)


def _stretches(counts: Counts, wanted: int) -> list[Span]:
    """Return stretches of whole days with about as many cases each, fewer where days are few."""
    days: Counter[str] = Counter()
    for (day, _), cases in counts.items():
        days[day] += cases
    total, seen, found, open_ = days.total(), 0, list[Span](), list[str]()
    for day in sorted(days):
        open_.append(day)
        seen += days[day]
        if seen * wanted >= total * (len(found) + 1):
            found.append(Span(open_[0], open_[-1]))
            open_ = []
    return found


class _Counting(msgspec.Struct, frozen=True):
    """Counts the cases of a part that are asked about."""

    among: Span

    def __call__(self, part: Part) -> Counts:
        cases = filter(self.among.holds, part.read().cases)
        return Counter((case.closed[:10], case.system) for case in cases)
