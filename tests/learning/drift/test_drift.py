"""What drifts, of imagined cases whose course is known."""

import math
from pathlib import Path

import msgspec
import numpy as np
import pytest

from faultnet.learning.drift.drift import Drift, learn_drift, surest
from faultnet.learning.drift.words import said, summary
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here
from tests.learning.drift.made import case, cases, wave
from tests.learning.in_parts import InParts

FOLDER = Path(__file__).parents[2] / "authoring/knowledge"


def drifts(knowledge, found):
    return learn_drift(knowledge, CasesAtHand(tuple(found)), Here())


def of(found, cause, kind):
    return [d for d in found.found if (d.cause, d.kind) == (cause, kind)]


def test_a_trend_is_told_with_its_size(knowledge):
    found = drifts(knowledge, cases(1, lambda year, _: 0.1 * 1.5**year))
    (trend,) = of(found, "foot-valve-leaks", "trend")
    assert trend.low < 1.5 < trend.high
    assert trend.factor > 1.2
    assert not of(found, "foot-valve-leaks", "season")
    assert "Foot valve leaks: commoner by" in said(trend)
    assert said(trend).endswith("Let recent cases count for more.")


def test_a_season_is_told_with_its_month(knowledge):
    found = drifts(knowledge, cases(2, lambda _, month: 0.15 * wave(month, 8, 1.0)))
    (season,) = of(found, "foot-valve-leaks", "season")
    assert season.month in (7, 8, 9)
    assert season.factor > 1.5
    assert season.explained_by == ()
    assert "one may be missing" in said(season)


def freezing(seed, linked):
    """Cases of which a cause comes with frost; frost comes in winter."""
    rng = np.random.default_rng(seed)
    found = []
    for number in range(48 * 40):
        year, month = 2020 + number // 480, number // 40 % 12 + 1
        frost = bool(rng.random() < min(0.6, 0.12 * wave(month, 1, 1.6)))
        odds = 0.05 * (20.0 if linked else 3.0) if frost else 0.05
        cause = ("pipe-cracked" if linked else "prime-lost") if rng.random() < odds else "other"
        cause = "foot-valve-leaks" if cause == "other" else cause
        found.append(case(number, year, month, cause, after_freeze=frost))
    return found


def test_a_season_that_a_circumstance_explains_is_told_so(knowledge):
    found = drifts(knowledge, freezing(3, linked=True))
    (season,) = of(found, "pipe-cracked", "season")
    assert season.month in (12, 1, 2)
    assert season.explained_by == ("after-freeze",)
    assert season.left < math.sqrt(season.factor)
    assert "The files know why: after-freeze." in said(season)


def test_a_circumstance_that_keeps_time_and_is_not_linked_is_named(knowledge):
    found = drifts(knowledge, freezing(4, linked=False))
    (season,) = of(found, "prime-lost", "season")
    assert season.goes_with == ("after-freeze",)
    assert "look whether it belongs under `likelier-when`" in said(season)


def test_where_nothing_drifts_nothing_is_told_as_a_rule(knowledge):
    told = [
        bool(drifts(knowledge, cases(seed, lambda *_: 0.3, years=2, monthly=10)).found)
        for seed in range(40)
    ]
    # 40 x 0.1 = 4; three standard deviations of the binomial are 5.7.
    assert sum(told) <= 9


def test_recent_cases_count_for_more_where_things_drift(knowledge):
    steady = drifts(knowledge, cases(6, lambda *_: 0.3))
    moved = drifts(knowledge, cases(6, lambda year, _: (0.05, 0.1, 0.4, 0.7)[year]))
    assert math.isinf(steady.recent.half_life)
    assert moved.recent.half_life <= 2.0
    assert "all count the same" in summary(steady)[-1]
    assert "count half after" in summary(moved)[-1]


def test_what_cannot_be_dated_or_was_not_seen_is_counted(knowledge):
    whole = cases(7, lambda *_: 0.3, years=1, monthly=2)
    odd = [
        case(90, 2020, 1),
        msgspec.structs.replace(whole[0], opened="last spring"),
        msgspec.structs.replace(whole[0], system="boat"),
    ]
    found = drifts(knowledge, [*whole, *odd])
    assert found.cases == 24
    assert found.left_out == {
        "a system that is not in the files": 1,
        "no date that can be read": 1,
        "nobody saw what it was": 1,
    }


def test_no_cases_say_so(knowledge):
    assert "Too few cases or months" in summary(drifts(knowledge, []))[0]


@pytest.mark.parametrize("workers", [1, 2])
def test_workers_change_no_bit(knowledge, workers):
    source = InParts(cases(8, lambda *_: 0.3, years=2, monthly=8), 12)
    once = learn_drift(knowledge, source, Here())
    assert learn_drift(knowledge, source, Here(workers)) == once


def test_the_procedure_of_benjamini_and_hochberg():
    # Benjamini & Hochberg (1995), their example of 15 tests, from memory: at 0.05 the four
    # smallest are told.
    chances = (
        *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344),
        *(0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000),
    )
    drifts = [
        Drift(f"c{k:02d}", "", "trend", 1.0, 1.0, 1.0, p, 10.0, 1.0) for k, p in enumerate(chances)
    ]
    assert [d.p for d in surest(drifts, 0.05)] == list(chances[:4])
