"""Counts laid out by month, and what keeps time with them."""

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from faultnet.learning.drift.course import Course
from faultnet.learning.seen import Seen

Floats = NDArray[np.float64]

FEWEST = 10.0
"""Cases of a cause, or of a circumstance, before it is looked at."""
FOR_TREND = 12
"""Months from the first case to the last before a trend is looked for."""
FOR_SEASON = 24
"""Months before a season is looked for: in less, season and trend look the same."""
GOES_WITH = 0.5
"""How closely a circumstance must keep time with a season to be named (correlation)."""


class Tables:
    """The sums laid out by month; ``months`` are numbered from the year 0."""

    def __init__(self, sums: Seen) -> None:
        self.sums = sums
        self.slots = months_between(sums.cases)
        self.months = np.array([_number(slot) for slot in self.slots], dtype=float)
        self.size = len(self.slots)
        self.causes = sorted({cause for cause, _ in sums.by_layout})
        self.told = sorted({name for name, _ in sums.held})

    @property
    def for_season(self) -> bool:
        """Whether the time is long enough to tell a season from a trend."""
        return self.size >= FOR_SEASON

    def seen(self, cause: str) -> Floats:
        """How often the cause was seen, by month."""
        return self._row(self.sums.seen, cause)

    def alone(self, cause: str) -> Floats:
        """How often the files would have had it, as far as the installations go."""
        return self._row(self.sums.by_layout, cause)

    def due(self, cause: str) -> Floats:
        """How often the files would have had it, with all that was told known."""
        return self._row(self.sums.by_all, cause)

    def enough(self, cause: str) -> bool:
        """Whether there are cases and months enough to look at a cause."""
        possible = self.alone(cause) > 0.0
        return bool(self.seen(cause)[possible].sum() >= FEWEST) and self.size >= FOR_TREND

    def keeping_time(self, course: Course) -> list[str]:
        """Circumstances that were told oftener in the months in which a cause is commoner."""
        heights = np.array([math.log(course.factor(int(month))) for month in self.months])
        cases = np.array([float(self.sums.cases[slot]) for slot in self.slots])
        found = []
        for name in self.told:
            held = np.array([float(self.sums.held[name, slot]) for slot in self.slots])
            if held.sum() >= FEWEST and _together(held, heights, cases) > GOES_WITH:
                found.append(name)
        return found

    def _row(self, sums: dict[tuple[str, str], float], cause: str) -> Floats:
        return np.array([sums.get((cause, slot), 0.0) for slot in self.slots])


def months_between(some: Iterable[str]) -> list[str]:
    """Return all months from the first to the last of some."""
    numbers = [_number(slot) for slot in some]
    whole = range(min(numbers), max(numbers) + 1) if numbers else ()
    return [f"{month // 12:04d}-{month % 12 + 1:02d}" for month in whole]


def _number(slot: str) -> int:
    year, _, month = slot.partition("-")
    return 12 * int(year) + int(month) - 1


def _together(told: Floats, heights: Floats, cases: Floats) -> float:
    """The correlation of a share with heights, months weighing as their cases; 0 for none."""
    some = cases > 0.0
    shares, heights, weights = told[some] / cases[some], heights[some], cases[some]
    shares = shares - np.average(shares, weights=weights)
    heights = heights - np.average(heights, weights=weights)
    both = math.sqrt(float((weights * shares**2).sum() * (weights * heights**2).sum()))
    return float((weights * shares * heights).sum()) / both if both > 0.0 else 0.0
