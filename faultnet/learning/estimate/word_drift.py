"""Words of likelihood whose numbers moved the same way wherever they were written."""

from collections import defaultdict
from collections.abc import Iterable
from math import exp, log, sqrt

import msgspec

from faultnet.learning.proposed import Proposed

FEW = 5
"""Numbers at least that have to be written with a word before it is told of."""
SURE = 2.0
"""Deviations that it must have moved by."""
EDGE = 1e-6
"""Chances are kept so far from nought and one."""


class WordDrift(msgspec.Struct, frozen=True):
    """A word, what it stands for, and what the numbers written with it come to by the cases."""

    word: str
    stands_for: float
    comes_to: float
    numbers: int


def word_drifts(numbers: Iterable[Proposed]) -> tuple[WordDrift, ...]:
    """Return the words that stand for something else than the cases say, as a whole.

    That is the middle of how far their numbers moved, each by its log-odds, where it is more than
    ``SURE`` deviations of that middle.
    """
    moved: dict[tuple[str, float], list[float]] = defaultdict(list)
    for each in numbers:
        if each.number.word and each.kind != "factor":
            move = _log_odds(each.value) - _log_odds(each.number.value)
            moved[each.number.word, each.number.value].append(move)
    found = []
    for (word, value), moves in sorted(moved.items()):
        middle = sum(moves) / len(moves)
        square = sum((move - middle) ** 2 for move in moves) / max(1, len(moves) - 1)
        if len(moves) >= FEW and abs(middle) > SURE * sqrt(square / len(moves)):
            odds = exp(_log_odds(value) + middle)
            found.append(WordDrift(word, value, odds / (1.0 + odds), len(moves)))
    return tuple(found)


def _log_odds(chance: float) -> float:
    held = min(max(chance, EDGE), 1.0 - EDGE)
    return log(held / (1.0 - held))
