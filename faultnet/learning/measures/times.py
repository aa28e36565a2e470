"""Minutes that were predicted beside those that went by."""

import math
from collections import Counter
from collections.abc import Mapping
from typing import Generic, TypeVar

import msgspec
import numpy as np

from faultnet.learning.closed import ClosedCase, StepTaken
from faultnet.learning.measures.figures import Mean, Share, Summed, mean, share
from faultnet.learning.measures.grid import Counts
from faultnet.learning.minutes.spread import SPREAD
from faultnet.learning.minutes.times import unfit
from faultnet.model.knowledge import Knowledge
from faultnet.model.system import System

T = TypeVar("T", bound=Summed)

BROKEN_OFF = "broken off"
NORMAL_90 = 1.2815515655446004
"""The standard normal below which 90 % lie."""
RUNG = 0.02
"""How far apart the logarithms of ratios are that are counted apart."""
RUNGS = 301
"""Ratios from a twentieth to twenty; what is beyond counts at the end."""


class ByName(msgspec.Struct, Generic[T], frozen=True):
    """Sums by name, in the order in which the names came first."""

    of: Mapping[str, T] = {}

    def __add__(self, other: "ByName[T]") -> "ByName[T]":
        """Return both together."""
        more = {
            name: self.of[name] + each if name in self.of else each
            for name, each in other.of.items()
        }
        return ByName({**self.of, **more})


class Times(Summed, frozen=True):
    """Sums over steps: the minutes predicted, those noted, how many times as long it took.

    ``below_..`` count times below the tenth, the half and nine tenths of what a mean with the
    usual spread makes one expect.
    """

    predicted: Mean = Mean()
    noted: Mean = Mean()
    too_long: Mean = Mean()
    below_10: Share = Share()
    below_50: Share = Share()
    below_90: Share = Share()
    rungs: Counts = msgspec.field(default_factory=lambda: np.zeros(RUNGS, np.int64))

    @property
    def ratio(self) -> float:
        """All minutes that were noted over all that were predicted."""
        return self.noted.total / self.predicted.total if self.predicted.total else math.nan

    def ratio_below(self, part: float) -> float:
        """Return the ratio of noted to predicted that such a part of the steps stays below."""
        count = int(self.rungs.sum())
        if not count:
            return math.nan
        rung = int(np.searchsorted(np.cumsum(self.rungs), part * count, side="left"))
        return math.exp((rung - RUNGS // 2) * RUNG)


class Step(Summed, frozen=True):
    """One step: the minutes that were noted beyond those predicted, and the predicted."""

    predicted: Mean = Mean()
    too_long: Mean = Mean()


def timed(hands_on: float, waiting: float, noted: float) -> Times:
    """Return one step, or visit, that was to take so many minutes and took those noted."""
    predicted = hands_on + waiting
    middle = hands_on * math.exp(-SPREAD * SPREAD / 2.0)
    ends = (waiting + middle * math.exp(z * SPREAD) for z in (-NORMAL_90, 0.0, NORMAL_90))
    low, half, high = (share(noted <= end) for end in ends)
    rungs = np.zeros(RUNGS, np.int64)
    if predicted > 0.0 and noted > 0.0:
        rung = round(math.log(noted / predicted) / RUNG) + RUNGS // 2
        rungs[min(max(rung, 0), RUNGS - 1)] = 1
    return Times(mean(predicted), mean(noted), mean(noted - predicted), low, half, high, rungs)


class Steps(Summed, frozen=True):
    """The steps of cases: their minutes by kind and by step, and why others say nothing."""

    minutes: ByName[Times] = ByName()
    each: ByName[Step] = ByName()
    not_used: Counter[str] = msgspec.field(default_factory=Counter)


def step_times(knowledge: Knowledge, system: System, case: ClosedCase) -> Steps:
    """Return what the minutes of the steps of a case say."""
    steps = Steps()
    for taken in case.steps:
        foreseen = _foreseen(knowledge, system, taken)
        reason = unfit(taken.minutes, foreseen and foreseen[1])
        if taken.broken_off:
            reason = BROKEN_OFF
        if reason or foreseen is None or taken.minutes is None:
            steps += Steps(not_used=Counter({reason: 1}))
        else:
            times, predicted = timed(*foreseen, taken.minutes), sum(foreseen)
            step = Step(mean(predicted), mean(taken.minutes - predicted))
            steps += Steps(ByName({taken.kind: times}), ByName({taken.step: step}))
    return steps


def _foreseen(knowledge: Knowledge, system: System, taken: StepTaken) -> tuple[float, float] | None:
    """Minutes of work and of waiting as authored; None for what the files do not hold."""
    if taken.kind == "specialist":
        return system.specialist.minutes.value, 0.0
    entries = knowledge.checks if taken.kind == "check" else knowledge.repairs
    if taken.step not in entries:
        return None
    work = entries[taken.step].work
    return work.minutes.value, work.waiting.value
