"""Words that moved as a whole."""

import pytest

from faultnet.learning.estimate.word_drift import word_drifts
from faultnet.learning.proposed import Interval, Proposed
from faultnet.model.origin import Number, Origin


def proposed(word, before, after, line):
    number = Number(before, Origin("a.yaml", line, 1), ("judgement",), word)
    return Proposed(number, "strength", "of", "about", after, Interval(0.0, 1.0), 10.0)


def test_a_word_whose_numbers_all_moved_is_told():
    moves = [proposed("often", 0.65, after, k) for k, after in enumerate((0.5, 0.52, 0.48, 0.55))]
    assert word_drifts(moves) == ()
    (found,) = word_drifts([*moves, proposed("often", 0.65, 0.45, 9)])
    assert (found.word, found.numbers) == ("often", 5)
    assert found.comes_to == pytest.approx(0.5, abs=0.01)


def test_a_word_whose_numbers_moved_either_way_is_not():
    moves = [
        proposed("often", 0.65, after, k) for k, after in enumerate((0.5, 0.8, 0.6, 0.7, 0.66))
    ]
    assert word_drifts(moves) == ()


def test_numbers_without_a_word_are_left_out():
    assert word_drifts([proposed("", 0.65, 0.3, k) for k in range(8)]) == ()
