"""What drifts: causes that become commoner or rarer, or that have a season of their own."""

import math
from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from faultnet.learning.drift.course import Course, course_of
from faultnet.learning.drift.recent import Recent, recent_weight
from faultnet.learning.drift.tables import Tables
from faultnet.learning.seen import Seen, Weigh, confirmed, count, counting, month_of
from faultnet.learning.source import Source
from faultnet.model.cause import Cause
from faultnet.model.knowledge import Knowledge
from faultnet.sharing.sharing import Sharing

Floats = NDArray[np.float64]
Kind = Literal["trend", "season"]

NO_DATE = "no date that can be read"
FALSE_ALARMS = 0.1
"""The share of what is told that may be chance; where nothing drifts, how often anything is."""
FAR = 1.645
"""Standard deviations on either side of 90 per cent."""
HALF = 0.5
"""A circumstance explains a course when no more than half of it is left, as a logarithm."""


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
    counts = counting(knowledge, month_of, NO_DATE, weigh)
    return drifts_of(knowledge, count(counts, source, sharing), false_alarms)


def drifts_of(knowledge: Knowledge, sums: Seen, false_alarms: float = FALSE_ALARMS) -> Drifts:
    """Return what drifts by sums over months."""
    tables = Tables(sums)
    drifts = [drift for cause in tables.causes for drift in look(tables, cause, knowledge)]
    return Drifts(
        found=surest(drifts, false_alarms),
        tests=len(drifts),
        false_alarms=false_alarms,
        cases=sums.cases.total(),
        months=tables.size,
        recent=_recent(tables),
        left_out=dict(sorted(sums.left_out.items())),
    )


def surest(drifts: Sequence[Drift], share: float) -> tuple[Drift, ...]:
    """Return those that are told where at most a share of it may be chance.

    Benjamini & Hochberg (1995), Journal of the Royal Statistical Society B 57:289-300: the k
    smallest chances are told for the largest k whose chance is at most share * k / tests.
    """
    by_chance = sorted(drifts, key=lambda d: (d.p, d.cause, d.kind))
    told = [k for k, d in enumerate(by_chance, start=1) if d.p <= share * k / len(drifts)]
    return tuple(by_chance[: max(told, default=0)])


def look(tables: Tables, cause: str, knowledge: Knowledge) -> list[Drift]:
    """Return a trend and a season of a cause, however sure; none where cases are few."""
    if not tables.enough(cause):
        return []
    seen = tables.seen(cause)
    wave = tables.for_season
    course = course_of(tables.months, seen, tables.alone(cause), wave=wave)
    left = course_of(tables.months, seen, tables.due(cause), wave=wave)
    entry = knowledge.causes.get(cause)
    linked = _linked(tables, entry)
    title = entry.title if entry else "Something not in these files"
    of = float(seen.sum()), linked
    if not wave:
        return [_trend(cause, title, course, left, of)]
    season = _season(cause, title, course, left, of)
    keeps = tuple(c for c in tables.keeping_time(course) if c not in linked)
    season = msgspec.structs.replace(season, goes_with=keeps)
    return [_trend(cause, title, course, left, of), season]


def _linked(tables: Tables, cause: Cause | None) -> tuple[str, ...]:
    """Circumstances that were told and that the files link to the cause."""
    about = {factor.about for factor in cause.likelier_when} if cause else set()
    return tuple(name for name in tables.told if name in about)


def _recent(tables: Tables) -> Recent:
    """How soon the old fades, once the files and the seasons are allowed for."""
    shape = len(tables.causes), tables.size
    seen, due = np.zeros(shape), np.zeros(shape)
    for row, cause in enumerate(tables.causes):
        seen[row], due[row] = tables.seen(cause), tables.due(cause)
        if tables.enough(cause) and tables.for_season:
            course = course_of(tables.months, seen[row], due[row], wave=True)
            due[row] *= [course.factor(int(month)) for month in tables.months]
    return recent_weight(seen, due)


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
