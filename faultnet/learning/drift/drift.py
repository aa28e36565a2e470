"""What drifts: causes that become commoner or rarer, or that have a season of their own."""

import math
from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from faultnet.learning.drift.counts import Counting, Monthly, Weigh, confirmed, counting
from faultnet.learning.drift.course import Course, course_of
from faultnet.learning.drift.recent import Recent, recent_weight
from faultnet.learning.source import Source
from faultnet.model.knowledge import Knowledge
from faultnet.network.build import UNLISTED, YES_NO
from faultnet.sharing.sharing import Sharing

Floats = NDArray[np.float64]
Kind = Literal["trend", "season"]

FALSE_ALARMS = 0.1
"""The share of what is told that may be chance; where nothing drifts, how often anything is."""
FEWEST = 10.0
"""Cases of a cause before it is looked at."""
FOR_TREND = 12
"""Months from the first case to the last before a trend is looked for."""
FOR_SEASON = 24
"""Months before a season is looked for: in less, season and trend look the same."""
FAR = 1.645
"""Standard deviations on either side of 90 per cent."""
HALF = 0.5
"""A circumstance explains a course when no more than half of it is left, as a logarithm."""
GOES_WITH = 0.5
"""How closely a circumstance must keep time with a season to be named (correlation)."""


class Drift(msgspec.Struct, frozen=True):
    """One cause that drifts.

    ``factor`` is per year for a trend; for a season it is how much commoner the cause is in
    ``month`` (1 is January), its likeliest one, than over the year. ``p`` is the chance of such
    counts without any drift. ``left`` is the factor that remains once the circumstances that
    were told are known; those in ``explained_by`` are in the files already and explain it.
    ``goes_with`` names circumstances that keep time with a season and are not linked to the
    cause.
    """

    cause: str
    title: str
    kind: Kind
    factor: float
    low: float
    high: float
    p: float
    cases: float
    left: float
    month: int = 0
    explained_by: tuple[str, ...] = ()
    goes_with: tuple[str, ...] = ()


class Drifts(msgspec.Struct, frozen=True):
    """What drifts, the surest first, out of how many tests; and how soon the old fades.

    At most a share ``false_alarms`` of it is to be expected to be chance. ``months`` is the
    time from the first case to the last.
    """

    found: tuple[Drift, ...]
    tests: int
    false_alarms: float
    cases: int
    months: int
    recent: Recent
    left_out: dict[str, int]


def learn_drift(
    knowledge: Knowledge,
    source: Source,
    sharing: Sharing,
    false_alarms: float = FALSE_ALARMS,
    weigh: Weigh = confirmed,
) -> Drifts:
    """Return what drifts; ``weigh`` says what was there, by default what was seen.

    Raises what the sharing or a part raises.
    """
    counts = counting(knowledge, weigh)
    monthly = count_months(counts, source, sharing)
    return drifts_of(knowledge, counts, monthly, false_alarms)


def count_months(counts: Counting, source: Source, sharing: Sharing) -> Monthly:
    """Return the sums over all parts, added in their order."""
    monthly = Monthly()
    for part in sharing.each(counts, source.parts()):
        monthly = monthly.add(part)
    return monthly


def drifts_of(
    knowledge: Knowledge, counts: Counting, monthly: Monthly, false_alarms: float = FALSE_ALARMS
) -> Drifts:
    """Return what drifts by sums over months."""
    tables = _Tables(monthly, counts)
    drifts = [drift for cause in tables.causes for drift in tables.look(cause, knowledge)]
    return Drifts(
        found=surest(drifts, false_alarms),
        tests=len(drifts),
        false_alarms=false_alarms,
        cases=monthly.cases.total(),
        months=len(monthly.months),
        recent=recent_weight(*tables.whole()),
        left_out=dict(sorted(monthly.left_out.items())),
    )


def surest(drifts: Sequence[Drift], share: float) -> tuple[Drift, ...]:
    """Return those that are told where at most a share of it may be chance.

    Benjamini & Hochberg (1995), Journal of the Royal Statistical Society B 57:289-300: the k
    smallest chances are told for the largest k whose chance is at most share * k / tests.
    """
    by_chance = sorted(drifts, key=lambda d: (d.p, d.cause, d.kind))
    told = [k for k, d in enumerate(by_chance, start=1) if d.p <= share * k / len(drifts)]
    return tuple(by_chance[: max(told, default=0)])


class _Tables:
    """The sums laid out by cause and month."""

    def __init__(self, monthly: Monthly, counts: Counting) -> None:
        self.monthly = monthly
        self.months = np.array(monthly.months, dtype=float)
        self.size = len(monthly.months)
        self.causes = sorted({cause for cause, _ in monthly.by_layout})
        self.circumstances = sorted(
            {
                root.id
                for network in counts.networks.values()
                for root in network.roots
                if root.states == YES_NO
            }
        )

    def seen(self, cause: str) -> Floats:
        """How often the cause was seen, by month."""
        return self._row(self.monthly.seen, cause)

    def due(self, cause: str) -> Floats:
        """How often the files would have had it, with all that was told known."""
        return self._row(self.monthly.by_all, cause)

    def whole(self) -> tuple[Floats, Floats]:
        """What was seen, and what was due by the files and the season, by cause and month."""
        shape = len(self.causes), self.size
        seen, due = np.zeros(shape), np.zeros(shape)
        for row, cause in enumerate(self.causes):
            seen[row], due[row] = self.seen(cause), self.due(cause)
            if self._enough(cause) and self.size >= FOR_SEASON:
                course = course_of(self.months, seen[row], due[row], wave=True)
                due[row] *= [course.factor(int(month)) for month in self.months]
        return seen, due

    def _enough(self, cause: str) -> bool:
        possible = self._row(self.monthly.by_layout, cause) > 0.0
        return bool(self.seen(cause)[possible].sum() >= FEWEST) and self.size >= FOR_TREND

    def look(self, cause: str, knowledge: Knowledge) -> list[Drift]:
        """Return a trend and a season of a cause, however sure; none where cases are few."""
        if not self._enough(cause):
            return []
        seen = self.seen(cause)
        wave = self.size >= FOR_SEASON
        alone = self._row(self.monthly.by_layout, cause)
        course = course_of(self.months, seen, alone, wave=wave)
        left = course_of(self.months, seen, self.due(cause), wave=wave)
        linked = self._linked(cause, knowledge)
        entry = knowledge.causes.get(cause)
        title = entry.title if entry else "Something not in these files"
        drifts = [_trend(cause, title, course, left, (float(seen.sum()), linked))]
        if wave:
            keeps = tuple(c for c in self._keeping_time(course) if c not in linked)
            season = _season(cause, title, course, left, (float(seen.sum()), linked))
            drifts.append(msgspec.structs.replace(season, goes_with=keeps))
        return drifts

    def _linked(self, cause: str, knowledge: Knowledge) -> tuple[str, ...]:
        """Circumstances that were told and that the files link to the cause."""
        if cause == UNLISTED or cause not in knowledge.causes:
            return ()
        about = {factor.about for factor in knowledge.causes[cause].likelier_when}
        told = {name for name, _ in self.monthly.told}
        return tuple(sorted(about & told & set(self.circumstances)))

    def _keeping_time(self, course: Course) -> list[str]:
        """Circumstances that were told oftener in the months in which a cause is commoner."""
        heights = np.array([math.log(course.factor(int(month))) for month in self.months])
        cases = np.array([float(self.monthly.cases[m]) for m in self.monthly.months])
        found = []
        for name in self.circumstances:
            told = np.array([float(self.monthly.told[name, m]) for m in self.monthly.months])
            if told.sum() >= FEWEST and _together(told, heights, cases) > GOES_WITH:
                found.append(name)
        return found

    def _row(self, sums: dict[tuple[str, int], float], cause: str) -> Floats:
        return np.array([sums.get((cause, month), 0.0) for month in self.monthly.months])


def _trend(
    cause: str, title: str, course: Course, left: Course, of: tuple[float, tuple[str, ...]]
) -> Drift:
    cases, linked = of
    off = FAR * course.trend_off
    return Drift(
        cause=cause,
        title=title,
        kind="trend",
        factor=math.exp(course.trend),
        low=math.exp(course.trend - off),
        high=math.exp(course.trend + off),
        p=course.p_trend,
        cases=cases,
        left=math.exp(left.trend),
        explained_by=linked if _explained(course.trend, left.trend) else (),
    )


def _season(
    cause: str, title: str, course: Course, left: Course, of: tuple[float, tuple[str, ...]]
) -> Drift:
    cases, linked = of
    peak = course.peak
    low, high = course.interval(peak, FAR)
    remains = left.factor(peak)
    return Drift(
        cause=cause,
        title=title,
        kind="season",
        factor=course.factor(peak),
        low=low,
        high=high,
        p=course.p_wave,
        cases=cases,
        left=remains,
        month=peak + 1,
        explained_by=linked if _explained(math.log(course.factor(peak)), math.log(remains)) else (),
    )


def _explained(before: float, left: float) -> bool:
    return abs(left) <= HALF * abs(before)


def _together(told: Floats, heights: Floats, cases: Floats) -> float:
    """The correlation of a share with heights, months weighing as their cases; 0 for none."""
    some = cases > 0.0
    shares, heights, weights = told[some] / cases[some], heights[some], cases[some]
    shares = shares - np.average(shares, weights=weights)
    heights = heights - np.average(heights, weights=weights)
    both = math.sqrt(float((weights * shares**2).sum() * (weights * heights**2).sum()))
    return float((weights * shares * heights).sum()) / both if both > 0.0 else 0.0
