"""Learning tried out by time: what is measured was never learnt from."""

from collections import Counter
from datetime import date, timedelta

import msgspec
import pytest

from faultnet.advice.subject import Subject
from faultnet.learning.measures.folds import _stretches, folds
from faultnet.learning.measures.measured import Asked, measured
from faultnet.learning.measures.paired import paired
from faultnet.learning.source import CasesAtHand
from faultnet.learning.span import Span
from faultnet.sharing.sharing import Here
from tests.learning.measures.cases import Parts, imagined, like
from tests.learning.measures.test_measured import written

CRACKED = "pipe-cracked"


def otherwise(subject):
    """The system where a pipe cracks far more often than is written."""
    causes = tuple(
        msgspec.structs.replace(cause, probability=0.5) if cause.id == CRACKED else cause
        for cause in subject.network.causes
    )
    network = msgspec.structs.replace(subject.network, causes=causes)
    return Subject(subject.knowledge, subject.system, network)


@pytest.fixture(scope="module")
def cases(subjects):
    """A case a day."""
    drawn = imagined(otherwise(subjects["jet-pump"]), 9, 110)
    first = date(2025, 1, 1)
    return [
        msgspec.structs.replace(case, closed=f"{first + timedelta(days=k)}T12:00:00Z")
        for k, case in enumerate(drawn)
    ]


@pytest.fixture(scope="module")
def found(subjects, cases):
    return list(folds(subjects, Parts(cases, 20), Here(), 1))


def test_each_stretch_is_learnt_on_all_that_came_before(found):
    assert [(fold.since, fold.until, fold.learnt_from) for fold in found] == [
        ("2025-02-25", "2025-04-20", 55)
    ]
    for fold in found:
        assert fold.pair.one.whole.visits.cases == fold.pair.other.whole.visits.cases == 55


def test_stretches_are_of_whole_days_and_hold_every_case():
    counts = Counter({(f"2025-01-{day:02}", "jet-pump"): day for day in range(1, 31)})
    stretches = _stretches(counts, 4)
    assert len(stretches) == 4
    assert (stretches[0].since, stretches[-1].until) == ("2025-01-01", "2025-01-30")
    held = [
        sum(n for (day, _), n in counts.items() if span.since <= day <= span.until)
        for span in stretches
    ]
    assert sum(held) == counts.total()
    assert max(held) - min(held) <= 2 * 30


def test_what_was_learnt_is_better_on_what_came_after(found):
    for fold in found:
        assert fold.pair.at_call.log_loss.value < 0.0
        assert fold.pair.at_call.brier.value < 0.0


def test_what_the_other_adds_is_the_difference_of_both(subjects, cases):
    subject = subjects["jet-pump"]
    pair = paired(subject, otherwise(subject), Parts(cases[:30], 7), Here())
    one, other = (sums.whole.before_repair for sums in (pair.one, pair.other))
    for name in ("log_loss", "brier"):
        moved = getattr(pair.before_repair, name)
        assert moved.count == 30
        difference = getattr(other, name).value - getattr(one, name).value
        assert moved.value == pytest.approx(difference, abs=1e-12)
    assert pair.before_repair.three.total == other.best.three.hits - one.best.three.hits


def test_each_side_is_what_it_is_alone(subjects, cases):
    subject = subjects["jet-pump"]
    source = Parts([*cases[:10], like(system="ram-pump")], 4)
    pair = paired(subject, otherwise(subject), source, Here())
    assert written(pair.one) == written(measured(subject, source, Here()))
    assert written(pair.other) == written(measured(otherwise(subject), source, Here()))
    assert pair.at_call.log_loss.count == 10


def test_few_cases_before_teach_nothing(subjects, cases):
    asked = Asked(Span(until="2025-01-20"))
    (fold,) = folds(subjects, CasesAtHand(tuple(cases)), Here(), 1, asked)
    assert fold.learnt_from == 0
    assert fold.pair.at_call.log_loss.total == 0.0


def test_cases_of_one_day_cannot_be_parted(subjects):
    source = CasesAtHand(tuple(like(id=f"case-{k}") for k in range(9)))
    assert list(folds(subjects, source, Here(), 3)) == []
