"""The times of a part of the cases, counted; counts of parts add up exactly, in any order."""

import math
from collections import Counter
from collections.abc import Mapping

import msgspec

from faultnet.learning.closed import StepKind, StepTaken
from faultnet.learning.minutes.spread import LONGEST, SHORTEST, Tally, rung_of
from faultnet.learning.source import Part
from faultnet.model.knowledge import Knowledge

NAMED = 8
"""Cases that are named for each step."""

Step = tuple[StepKind, str]
"""What kind of step, and its id; the specialist's is that of the system."""

NONE = "no time noted"
NOT_MINUTES = "no number of minutes"
TOO_SHORT = "under a quarter of a minute"
TOO_LONG = "over a week"
WAIT_LEFT_OUT = "not longer than the wait"
NOT_IN_FILES = "a step that is not in the files"


class Times(msgspec.Struct, frozen=True):
    """Counts of times by step and region, cases to name, and why others were not used."""

    cases: int = 0
    done: Counter[tuple[Step, str, int]] = msgspec.field(default_factory=Counter)
    broken_off: Counter[tuple[Step, str, int]] = msgspec.field(default_factory=Counter)
    named: dict[Step, tuple[str, ...]] = {}
    not_used: Counter[str] = msgspec.field(default_factory=Counter)

    def add(self, other: "Times") -> "Times":
        """Return both together; the cases of this one are named first."""
        named = {
            step: (*self.named.get(step, ()), *other.named.get(step, ()))[:NAMED]
            for step in (*self.named, *other.named)
        }
        return Times(
            self.cases + other.cases,
            self.done + other.done,
            self.broken_off + other.broken_off,
            named,
            self.not_used + other.not_used,
        )

    def tally(self, step: Step, region: str | None = None) -> Tally:
        """Return the times of a step, of all regions or of one."""
        return Tally(_of(self.done, step, region), _of(self.broken_off, step, region))

    def steps(self) -> list[Step]:
        """The steps that were timed, in the order of their ids."""
        return sorted({step for step, _, _ in (*self.done, *self.broken_off)})

    def regions(self) -> list[str]:
        """The regions that were named."""
        return sorted({region for _, region, _ in self.done if region})


class Counting(msgspec.Struct, frozen=True):
    """Counts the times of a part; ``waits`` are the authored minutes of waiting by step.

    The clock runs on while something fills or settles: the wait is taken off, as the files
    say hands-on and waiting apart.
    """

    waits: dict[Step, float]

    def __call__(self, part: Part) -> Times:
        """Return the times of a part."""
        times = Times(named={})
        cases = part.read().cases
        for case in cases:
            for taken in case.steps:
                self._count(times, taken, case.id, case.region)
        return msgspec.structs.replace(times, cases=len(cases))

    def _count(self, times: Times, taken: StepTaken, case: str, region: str) -> None:
        step = (taken.kind, taken.step)
        wait = self.waits.get(step)
        if reason := unfit(taken.minutes, wait):
            times.not_used[reason] += 1
            return
        counts = times.broken_off if taken.broken_off else times.done
        counts[step, region, rung_of((taken.minutes or 0.0) - (wait or 0.0))] += 1
        named = times.named.get(step, ())
        if len(named) < NAMED and case not in named:
            times.named[step] = (*named, case)


def unfit(minutes: float | None, wait: float | None) -> str:
    """Return why the minutes that went by say nothing, or an empty text."""
    if minutes is None:
        return NONE
    if wait is None:
        return NOT_IN_FILES
    if not math.isfinite(minutes) or minutes < 0.0:
        return NOT_MINUTES
    if minutes < SHORTEST:
        return TOO_SHORT
    if minutes > LONGEST:
        return TOO_LONG
    return WAIT_LEFT_OUT if minutes - wait < SHORTEST else ""


def waits(knowledge: Knowledge) -> dict[Step, float]:
    """Return the authored minutes of waiting of each step that is in the files."""
    found: dict[Step, float] = {
        **{("check", each.id): each.work.waiting.value for each in knowledge.checks.values()},
        **{("repair", each.id): each.work.waiting.value for each in knowledge.repairs.values()},
    }
    return found


def _of(
    counts: Mapping[tuple[Step, str, int], int], step: Step, region: str | None
) -> dict[int, int]:
    found: Counter[int] = Counter()
    for (timed, where, rung), count in counts.items():
        if timed == step and region in (None, where):
            found[rung] += count
    return dict(found)
