"""From the numbers of a reading to the likelihood of each answer.

An answer weighs the chance that the true value lies in its range; see ``possibilities``.
"""

import math
from collections.abc import Mapping

from faultnet.advice.possibilities import (
    Parts,
    Possibility,
    Spread,
    UnfitReadingError,
    possibilities,
)
from faultnet.model.reading import FALL, FALL_PARTS, NONE, Reading, Span
from faultnet.model.system import System
from faultnet.reckon.between import Between
from faultnet.reckon.worked import COMPUTATIONS

SURE = 1e-12
"""Within a family nothing counts less than this beside another outcome."""

Likelihood = tuple[float, ...]


def outcomes(
    reading: Reading, system: System, parts: Parts, layout: Mapping[str, str]
) -> dict[str, float]:
    """Return the chance of the numbers for each answer of a reading.

    Raises ``UnfitReadingError`` for parts that are missing, unknown or impossible.
    """
    possible = possibilities(reading, system, parts, layout)
    return {
        span.answer: sum(each.weight * _chance(span, each) for each in possible)
        for span in reading.answers
    }


def likelihoods(
    reading: Reading, chances: Mapping[str, float], answers: Mapping[str, tuple[str, ...]]
) -> dict[str, Likelihood]:
    """Return for each finding of a reading the likelihood of its answers, in their order.

    Of a family one finding at most shows, so each is weighed against none of them.
    """
    if len(reading.findings) == 1:
        only = reading.findings[0]
        return {only: tuple(chances.get(answer, 0.0) for answer in answers[only])}
    none = max(chances[NONE], SURE)
    ratios = {finding: chances[finding] / none for finding in reading.findings}
    return {
        finding: (1.0 / max(1.0, ratio), ratio / max(1.0, ratio))
        for finding, ratio in ratios.items()
    }


def figures(
    reading: Reading, system: System, parts: Parts, layout: Mapping[str, str]
) -> tuple[tuple[str, Between, str], ...]:
    """Return what is worked out of the numbers: title, range as read, and unit.

    A computation that needs more than is known is left out.
    """
    found = []
    for name in (reading.value, *reading.shows):
        if name in reading.takes:
            continue
        spread = Spread(reading, system, parts, layout, name)
        if spread.asked().keys() - layout.keys():
            continue
        try:
            each = [p.value for p in spread.all()]
        except UnfitReadingError:
            continue
        title = "a fall of" if name == FALL else COMPUTATIONS[name].title
        unit = reading.takes[FALL_PARTS[0]] if name == FALL else COMPUTATIONS[name].unit
        found.append((title, Between(min(each), max(each)), unit))
    return tuple(found)


def _chance(span: Span, each: Possibility) -> float:
    """The chance that the true value lies in a range; an exact value on an edge counts half."""
    low = -1.0 if span.over is None else _normal(span.over.value - each.value, each.deviation)
    high = 1.0 if span.under is None else _normal(span.under.value - each.value, each.deviation)
    return max(high - low, 0.0) / 2.0


def _normal(distance: float, deviation: float) -> float:
    if deviation > 0.0:
        return math.erf(distance / deviation / math.sqrt(2.0))
    return float((distance > 0.0) - (distance < 0.0))
