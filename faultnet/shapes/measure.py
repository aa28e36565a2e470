"""How well the tool did on closed cases: `measure`."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import msgspec

from faultnet.shapes.figures import (
    MeanShape,
    ReliabilityShape,
    ShareShape,
    mean_shape,
    number,
    reliability_shape,
    share_shape,
)

if TYPE_CHECKING:
    from faultnet.learning.aside import Aside
    from faultnet.learning.measures.grid import Grid
    from faultnet.learning.measures.periods import Period
    from faultnet.learning.measures.ranked import Ranked, Top
    from faultnet.learning.measures.sums import Details, Group, Sums
    from faultnet.learning.measures.times import Step, Times
    from faultnet.learning.measures.visits import Visits

FEW = 30
"""Fewer cases than this are too few to say anything of a month, a system or a region."""


class TopShape(msgspec.Struct, frozen=True):
    """How often a confirmed cause stood among the first one, three or five."""

    one: ShareShape
    three: ShareShape
    five: ShareShape


class RankedShape(msgspec.Struct, frozen=True):
    """How good the probabilities were.

    ``best`` is about the confirmed cause that stood first, ``every`` about the last of them,
    ``unseen`` is ``best`` where no check had found the cause.
    ``log_loss`` and ``brier`` are sums over all causes, each there or not; ``.._expected`` what
    they would be if every probability were right. ``one_..`` are over cases with one confirmed
    cause, the probabilities taken as shares of one.
    """

    cases: int
    several: int
    best: TopShape
    every: TopShape
    unseen: TopShape
    log_loss: MeanShape
    log_loss_expected: MeanShape
    brier: MeanShape
    brier_expected: MeanShape
    one_log_loss: MeanShape
    one_brier: MeanShape
    first: MeanShape
    listed: ShareShape
    unlisted_told: MeanShape
    unlisted: ShareShape
    ruled_out: int
    seen: int
    shortened: int


class MomentShape(msgspec.Struct, frozen=True):
    """Reliability of the probabilities of all causes, and of the one that stood first."""

    causes: ReliabilityShape
    first: ReliabilityShape


class VisitsShape(msgspec.Struct, frozen=True):
    """What cases came to; ``followed`` counts those that were come back to."""

    cases: int
    by_phone: ShareShape
    first_visit: ShareShape
    trips: MeanShape
    followed: int
    steps_to_cause: MeanShape
    minutes_to_cause: MeanShape


class TimesShape(msgspec.Struct, frozen=True):
    """Minutes predicted and noted; ``ratio`` is all that were noted over all predicted.

    ``ratio_10`` .. are the ratios that 10, 50 and 90 % of the steps stay below; ``below_10`` ..
    the shares that stay below what 10, 50 and 90 % were expected to.
    """

    predicted: MeanShape
    noted: MeanShape
    too_long: MeanShape
    ratio: float | None
    ratio_10: float | None
    ratio_50: float | None
    ratio_90: float | None
    below_10: ShareShape
    below_50: ShareShape
    below_90: ShareShape


class StepTimesShape(msgspec.Struct, frozen=True):
    """A step: its minutes as authored, and how many more went by."""

    id: str
    predicted: MeanShape
    too_long: MeanShape


class GroupShape(msgspec.Struct, frozen=True):
    """The cases of a period, a system or a region; with ``too_few`` nothing more is said."""

    name: str
    cases: int
    too_few: bool
    at_call: RankedShape | None
    before_repair: RankedShape | None
    visits: VisitsShape | None


class SetAsideShape(msgspec.Struct, frozen=True):
    """A case that was not used, and why."""

    place: str
    code: str
    reason: str
    case: str


class AsideShape(msgspec.Struct, frozen=True):
    """How many were not used for each reason; the first of each are named."""

    counts: dict[str, int]
    named: tuple[SetAsideShape, ...]


class MeasureShape(msgspec.Struct, frozen=True):
    """How well the tool did: over all cases, by period, by system, by region."""

    knowledge: str
    read: int
    unconfirmed: int
    learnt: int
    also_learnt: bool
    outside: int
    at_call: RankedShape
    before_repair: RankedShape
    visits: VisitsShape
    reliability_at_call: MomentShape
    reliability_before_repair: MomentShape
    parts: ReliabilityShape
    minutes: dict[str, TimesShape]
    steps: tuple[StepTimesShape, ...]
    minutes_not_used: dict[str, int]
    by: str
    periods: tuple[GroupShape, ...]
    systems: tuple[GroupShape, ...]
    regions: tuple[GroupShape, ...]
    set_aside: AsideShape


def measure_shape(
    knowledge: str, sums: "Sums", period: "Period", *, also_learnt: bool
) -> MeasureShape:
    """Return all measures; ``knowledge`` is the version of the files."""
    from faultnet.learning.measures.periods import by_period

    whole, details = sums.whole, sums.details
    return MeasureShape(
        knowledge,
        sums.read,
        sums.unconfirmed,
        sums.learnt,
        also_learnt,
        sums.outside,
        ranked_shape(whole.at_call),
        ranked_shape(whole.before_repair),
        visits_shape(whole.visits),
        _moment(details.at_call.causes, details.at_call.first),
        _moment(details.before_repair.causes, details.before_repair.first),
        reliability_shape(details.parts),
        _minutes(details),
        tuple(_step(name, step) for name, step in sorted(details.steps.each.of.items())),
        dict(sorted(details.steps.not_used.items())),
        period,
        _groups(by_period(sums.months, period)),
        _groups(dict(sorted(sums.systems.of.items()))),
        _groups(dict(sorted(sums.regions.of.items()))),
        aside_shape(sums.set_aside),
    )


def ranked_shape(ranked: "Ranked") -> RankedShape:
    """Return how good the probabilities were."""
    return RankedShape(
        ranked.cases,
        ranked.several,
        _top(ranked.best),
        _top(ranked.every),
        _top(ranked.unseen),
        mean_shape(ranked.log_loss),
        mean_shape(ranked.log_loss_expected),
        mean_shape(ranked.brier),
        mean_shape(ranked.brier_expected),
        mean_shape(ranked.one_log_loss),
        mean_shape(ranked.one_brier),
        mean_shape(ranked.first),
        share_shape(ranked.listed),
        mean_shape(ranked.unlisted_told),
        share_shape(ranked.unlisted),
        ranked.ruled_out,
        ranked.seen,
        ranked.shortened,
    )


def visits_shape(visits: "Visits") -> VisitsShape:
    """Return what cases came to."""
    return VisitsShape(
        visits.cases,
        share_shape(visits.by_phone),
        share_shape(visits.first_visit),
        mean_shape(visits.trips),
        visits.followed,
        mean_shape(visits.steps_to_cause),
        mean_shape(visits.minutes_to_cause),
    )


def times_shape(times: "Times") -> TimesShape:
    """Return minutes predicted and noted."""
    low, half, high = (number(times.ratio_below(part)) for part in (0.1, 0.5, 0.9))
    return TimesShape(
        mean_shape(times.predicted),
        mean_shape(times.noted),
        mean_shape(times.too_long),
        number(times.ratio),
        low,
        half,
        high,
        share_shape(times.below_10),
        share_shape(times.below_50),
        share_shape(times.below_90),
    )


def _minutes(details: "Details") -> dict[str, TimesShape]:
    """Minutes by kind of step, and of whole visits."""
    kinds = dict(sorted(details.steps.minutes.of.items()))
    if details.visit.noted.count:
        kinds["visit"] = details.visit
    return {kind: times_shape(times) for kind, times in kinds.items()}


def _moment(causes: "Grid", first: "Grid") -> MomentShape:
    return MomentShape(reliability_shape(causes), reliability_shape(first))


def _groups(groups: "Mapping[str, Group]") -> tuple[GroupShape, ...]:
    return tuple(_group(name, group) for name, group in groups.items())


def _group(name: str, group: "Group") -> GroupShape:
    few = group.visits.cases < FEW
    return GroupShape(
        name,
        group.visits.cases,
        few,
        None if few else ranked_shape(group.at_call),
        None if few else ranked_shape(group.before_repair),
        None if few else visits_shape(group.visits),
    )


def _step(name: str, step: "Step") -> StepTimesShape:
    return StepTimesShape(name, mean_shape(step.predicted), mean_shape(step.too_long))


def aside_shape(aside: "Aside") -> AsideShape:
    """Return what was not used."""
    named = [
        SetAsideShape(each.place, each.code, each.reason, each.case)
        for code in sorted(aside.named)
        for each in aside.named[code]
    ]
    return AsideShape(dict(sorted(aside.counts.items())), tuple(named))


def _top(top: "Top") -> TopShape:
    return TopShape(share_shape(top.one), share_shape(top.three), share_shape(top.five))
