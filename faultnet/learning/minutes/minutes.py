"""Proposed minutes of checks and repairs, from the times that steps took."""

import msgspec

from faultnet.learning.minutes.spread import Mean, Prior, Tally, mean_of
from faultnet.learning.minutes.times import Counting, Step, Times, waits
from faultnet.learning.proposed import Interval, Proposed
from faultnet.learning.source import Source
from faultnet.model.check import Check
from faultnet.model.knowledge import Knowledge
from faultnet.model.repair import Repair
from faultnet.sharing.sharing import Sharing
from faultnet.sharing.sums import added_up

PRIOR = 10.0
"""Cases that the authored minutes are worth. Judgement."""
HOLDS = 0.9
"""The probability with which an interval holds."""


class Stray(msgspec.Struct, frozen=True):
    """How many of the times of a step are probably off a clock that ran on, or started late."""

    step: str
    times: int
    stray: float


class LearntMinutes(msgspec.Struct, frozen=True):
    """What the times say: numbers, how many there were, and what was not used and why."""

    proposed: tuple[Proposed, ...]
    cases: int
    times: int
    stray: tuple[Stray, ...]
    not_used: dict[str, int]


def learn_minutes(
    knowledge: Knowledge,
    source: Source,
    sharing: Sharing,
    prior: float = PRIOR,
    holds: float = HOLDS,
) -> LearntMinutes:
    """Return the minutes that the cases propose; an authored number is worth ``prior`` cases.

    The minutes are those of hands-on work, as the planner prices them: the mean over such
    steps. Raises what the sharing or a part raises, ``ValueError`` for a prior of nothing.
    """
    return minutes_of(knowledge, count_times(knowledge, source, sharing), prior, holds)


def count_times(knowledge: Knowledge, source: Source, sharing: Sharing) -> Times:
    """Return the times of all parts."""
    parts = source.parts()
    return added_up(sharing, Counting(waits(knowledge)), parts, Times.add) if parts else Times()


def minutes_of(
    knowledge: Knowledge, times: Times, prior: float = PRIOR, holds: float = HOLDS
) -> LearntMinutes:
    """Return the minutes that counted times propose."""
    if prior <= 0.0:
        raise ValueError(f"an authored number is worth more than {prior:g} cases")
    proposed = []
    stray = []
    for step in times.steps():
        tally = times.tally(step)
        entry = entry_of(knowledge, step)
        found = mean_of(tally, Prior(entry.work.minutes.value, prior), holds)
        proposed.append(_proposed(entry, times.named[step], tally, (found, prior, holds)))
        if found.stray >= 0.5:
            stray.append(Stray(entry.id, sum(tally.done.values()), found.stray))
    return LearntMinutes(
        tuple(proposed),
        times.cases,
        times.done.total() + times.broken_off.total(),
        tuple(stray),
        dict(sorted(times.not_used.items())),
    )


def entry_of(knowledge: Knowledge, step: Step) -> Check | Repair:
    """Return the check or repair that a step is."""
    kind, name = step
    return knowledge.checks[name] if kind == "check" else knowledge.repairs[name]


def _proposed(
    entry: Check | Repair,
    cases: tuple[str, ...],
    tally: Tally,
    by: tuple[Mean, float, float],
) -> Proposed:
    found, prior, holds = by
    authored = entry.work.minutes
    alone = mean_of(tally, Prior(authored.value, 0.0), holds).value if tally.done else None
    times = sum(tally.done.values()) + sum(tally.broken_off.values())
    return Proposed(
        number=authored,
        kind="minutes",
        of=entry.id,
        about="minutes",
        value=found.value,
        interval=Interval(found.low, found.high, holds),
        prior=prior,
        alone=alone,
        speak_for=times - found.stray,
        against=found.stray,
        cases=cases,
    )
