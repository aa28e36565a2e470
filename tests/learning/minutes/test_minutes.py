"""Minutes learnt from closed cases: the same for any parts, nothing dropped without a word."""

from pathlib import Path

import pytest

from faultnet.learning.closed import ClosedCase, StepTaken
from faultnet.learning.minutes.minutes import learn_minutes
from faultnet.learning.source import CasesAtHand
from faultnet.model.evidence import Evidence
from faultnet.sharing.sharing import Here
from tests.learning.in_parts import InParts

FOLDER = Path(__file__).parents[2] / "authoring/knowledge"


def case(number, *steps):
    day = f"2026-01-{number % 28 + 1:02d}T09:00:00Z"
    return ClosedCase(f"c{number}", "jet-pump", day, day, "mended", Evidence(), steps=steps)


def timed(step, *minutes, kind="check"):
    return tuple(case(k, StepTaken(step, kind, 0, each)) for k, each in enumerate(minutes))


def learnt(knowledge, cases, **terms):
    return learn_minutes(knowledge, CasesAtHand(cases), Here(), **terms)


def only(knowledge, cases, **terms):
    (proposed,) = learnt(knowledge, cases, **terms).proposed
    return proposed


def test_a_repair_that_takes_longer_is_proposed_so(knowledge):
    proposed = only(
        knowledge, timed("renew-foot-valve", *[120.0, 140.0, 150.0] * 10, kind="repair")
    )
    assert (proposed.of, proposed.kind, proposed.number.value) == (
        "renew-foot-valve",
        "minutes",
        75,
    )
    assert 75 < proposed.value < proposed.alone < 150
    assert proposed.interval.low < proposed.value < proposed.interval.high
    assert (proposed.speak_for, len(proposed.cases)) == (pytest.approx(30, abs=0.5), 8)


def test_the_wait_is_no_work(knowledge):
    proposed = only(knowledge, timed("hold-test", *[21.0] * 40))
    assert proposed.alone == pytest.approx(6.0, rel=0.05)


def test_what_is_no_time_is_counted_and_told(knowledge):
    steps = (
        StepTaken("listen", "check", 0, None),
        StepTaken("listen", "check", 0, 0.0),
        StepTaken("listen", "check", 0, -3.0),
        StepTaken("listen", "check", 0, float("nan")),
        StepTaken("listen", "check", 0, 1e6),
        StepTaken("listne", "check", 0, 5.0),
        StepTaken("hold-test", "check", 0, 15.0),
    )
    found = learnt(knowledge, (case(1, *steps),))
    assert (found.proposed, found.times, found.cases) == ((), 0, 1)
    assert found.not_used == {
        "a step that is not in the files": 1,
        "no number of minutes": 2,
        "no time noted": 1,
        "not longer than the wait": 1,
        "over a week": 1,
        "under a quarter of a minute": 1,
    }


def test_clocks_that_ran_on_are_told(knowledge):
    found = learnt(knowledge, timed("listen", *[2.0] * 30, 700.0, 900.0))
    (stray,) = found.stray
    assert (stray.step, stray.times, stray.stray) == ("listen", 32, pytest.approx(2.0, abs=0.3))
    assert found.proposed[0].against == stray.stray


@pytest.mark.parametrize("size", [1, 3, 20])
def test_parts_and_workers_change_no_bit(knowledge, size):
    cases = timed("listen", *[1.0, 2.0, 2.5, 4.0] * 5) + timed("look-at-prime", *[9.0, 11.0] * 6)
    whole = learnt(knowledge, cases)
    assert learn_minutes(knowledge, InParts(cases, size), Here()) == whole
    if size == 1:
        assert learn_minutes(knowledge, InParts(cases, size), Here(2)) == whole


def test_a_prior_worth_nothing_is_refused(knowledge):
    with pytest.raises(ValueError, match="worth more than 0 cases"):
        learnt(knowledge, timed("listen", 2.0), prior=0.0)
