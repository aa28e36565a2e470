"""The course of a count over months: a trend per year and a wave per year, tested and shrunk.

The count of a month is Poisson with the mean: what was expected, times a level, times a trend
per year, times one wave per year. The tests compare the likelihood with and without the trend,
and with and without the wave; counts that vary more than Poisson lower both in proportion.
What is told of a trend and of a wave is shrunk: the larger they are, the less likely they were
before any case was seen.
"""

import math

import msgspec
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

TREND_OFF = math.log(1.3)
"""A factor per year that is one standard deviation off before any case was seen. Judgement."""
WAVE_OFF = math.log(2.0)
"""The same of the height of the wave. Judgement."""
STEPS = 60
"""Steps of Newton at most; a few are enough where a course can be found at all."""


class Course(msgspec.Struct, frozen=True):
    """The logarithms of a factor per year and of a wave, with their covariance, and two tests.

    ``p_trend`` and ``p_wave`` are the chances of such counts or stranger ones where there is
    no trend, no wave. ``spread`` is the variance over that of Poisson, at least 1.
    """

    trend: float
    trend_off: float
    wave: tuple[float, float]
    wave_covariance: tuple[tuple[float, float], tuple[float, float]]
    p_trend: float
    p_wave: float
    spread: float

    def factor(self, month: int) -> float:
        """Return how much commoner it is in a month (0 is January) than over a year."""
        return math.exp(self._height(month)) / self._mean()

    def interval(self, month: int, far: float) -> tuple[float, float]:
        """Return the factor so many standard deviations below and above."""
        angle = np.array(_angle(month))
        off = far * math.sqrt(float(angle @ np.array(self.wave_covariance) @ angle))
        factor = self.factor(month)
        return factor * math.exp(-off), factor * math.exp(off)

    @property
    def peak(self) -> int:
        """The month in which it is commonest."""
        return max(range(12), key=self.factor)

    def _height(self, month: int) -> float:
        cosine, sine = _angle(month)
        return self.wave[0] * cosine + self.wave[1] * sine

    def _mean(self) -> float:
        return sum(math.exp(self._height(month)) for month in range(12)) / 12.0


def course_of(months: Floats, counts: Floats, expected: Floats, *, wave: bool) -> Course:
    """Return the course of counts; months with nothing expected say nothing.

    Without ``wave`` only the trend is looked at, as too few years say nothing of a season.
    All arrays have one entry a month.
    """
    some = expected > 0.0
    seen = _Seen(months[some], counts[some], expected[some])
    columns = [0, 1, 2, 3] if wave else [0, 1]
    whole, _ = seen.fit(columns)
    spread = seen.spread(whole)
    fitted, covariance = seen.fit(columns, shrunk=True, spread=spread)
    without_wave = [c for c in columns if c < 2]
    without_trend = [c for c in columns if c != 1]
    flat = ((0.0, 0.0), (0.0, 0.0))
    return Course(
        trend=float(fitted[1]),
        trend_off=math.sqrt(covariance[1][1]),
        wave=(float(fitted[2]), float(fitted[3])),
        wave_covariance=_square(covariance) if wave else flat,
        p_trend=_tail(seen.gain(whole, without_trend) / spread, 1),
        p_wave=_tail(seen.gain(whole, without_wave) / spread, 2) if wave else 1.0,
        spread=spread,
    )


class _Seen:
    """Counts by month with what the course is made of: level, years, and a wave."""

    def __init__(self, months: Floats, counts: Floats, expected: Floats) -> None:
        self.counts = counts
        self.expected = expected
        middle = float(np.average(months, weights=expected))
        waves = np.array([_angle(int(month)) for month in months])
        self.columns = np.column_stack([np.ones(months.size), (months - middle) / 12.0, waves])

    def fit(
        self, columns: list[int], *, shrunk: bool = False, spread: float = 1.0
    ) -> tuple[Floats, Floats]:
        """Return the best course and its covariance; columns that are left out are 0."""
        offs = np.array([np.inf, TREND_OFF, WAVE_OFF, WAVE_OFF])[columns]
        pull = spread / offs**2 if shrunk else np.full(len(columns), 1e-9)
        some = self.columns[:, columns]
        at = np.zeros(len(columns))
        at[0] = math.log(max(self.counts.sum(), 0.5) / self.expected.sum())
        precision = np.eye(len(columns))
        for _ in range(STEPS):
            mean = self.expected * np.exp(np.clip(some @ at, -30.0, 30.0))
            precision = (some * mean[:, None]).T @ some + np.diag(pull)
            step = np.linalg.solve(precision, some.T @ (self.counts - mean) - pull * at)
            at = at + step / max(1.0, float(np.abs(step).max()))
            if float(np.abs(step).max()) < 1e-10:
                break
        course, covariance = np.zeros(4), np.zeros((4, 4))
        course[columns] = at
        covariance[np.ix_(columns, columns)] = spread * np.linalg.inv(precision)
        return course, covariance

    def spread(self, course: Floats) -> float:
        """The variance over that of Poisson, at least 1 (Pearson)."""
        mean = self._mean(course)
        free = max(mean.size - np.count_nonzero(course), 1)
        return max(1.0, float(((self.counts - mean) ** 2 / mean).sum() / free))

    def gain(self, whole: Floats, columns: list[int]) -> float:
        """Twice the logarithm of how much likelier the counts are than with less."""
        less, _ = self.fit(columns)
        return max(0.0, 2.0 * (self._log(whole) - self._log(less)))

    def _mean(self, course: Floats) -> Floats:
        mean: Floats = self.expected * np.exp(np.clip(self.columns @ course, -30.0, 30.0))
        return mean

    def _log(self, course: Floats) -> float:
        mean = self._mean(course)
        return float((self.counts * np.log(mean) - mean).sum())


def _angle(month: int) -> tuple[float, float]:
    turn = 2.0 * math.pi * (month % 12) / 12.0
    return math.cos(turn), math.sin(turn)


def _square(covariance: Floats) -> tuple[tuple[float, float], tuple[float, float]]:
    (a, b), (c, d) = covariance[2:, 2:].tolist()
    return (a, b), (c, d)


def _tail(value: float, free: int) -> float:
    """The chance that chi-square with one or two degrees of freedom is larger."""
    return math.erfc(math.sqrt(value / 2.0)) if free == 1 else math.exp(-value / 2.0)
