"""Recorded cases as sites: what was recorded is said again."""

import pytest
from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.reading.written import write_cases
from faultnet.learning.trials.as_closed import as_closed
from faultnet.learning.trials.call import run_call
from faultnet.learning.trials.customs import Customs
from faultnet.learning.trials.policies.named import policy_of
from faultnet.learning.trials.recorded import NothingToReplayError, recorded
from faultnet.learning.trials.replayed import CannotReplayError, begin_again, unfit
from faultnet.learning.trials.trial import Trial
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.sharing.sharing import Here

SAID = (
    Answer("no-water", "yes", "caller"),
    Answer("hiss", "no"),
    Answer("wet-floor", "yes"),
)


@pytest.fixture
def case():
    opened = "2026-03-02T08:00:00+00:00"
    evidence = Evidence((Round(SAID, repairs=("mend-pipe",)), Round((Answer("no-water", "no"),))))
    confirmed = (Confirmation("pipe-split"),)
    return ClosedCase("one", "mill-house", opened, opened, "mended", evidence, confirmed)


def test_what_was_recorded_is_said_again(house, case):
    for number in range(30):
        begun = begin_again(house, house, case, 1, number)
        assert begun.complaints == ("no-water",)
        assert begun.causes == ("pipe-split",)
        assert begun.evidence.now.answers == SAID[:1]
        assert begun.site.answer("hiss", "technician") == "no"
        assert begun.site.answer("wet-floor", "technician") == "yes"


def test_what_was_not_recorded_is_drawn(house, case):
    seen = [
        begin_again(house, house, case, 1, n).site.answer("split-seen", "technician")
        for n in range(200)
    ]
    assert 0.9 < seen.count("yes") / len(seen) < 1.0


def test_it_is_over_once_what_was_confirmed_is_mended(house, case):
    site = begin_again(house, house, case, 1, 0).site
    assert site.lasts() == ("no-water",)
    site.mend("lift-lever")
    assert site.lasts() == ("no-water",)
    while not site.mend("mend-pipe"):
        pass
    assert site.lasts() == () or "joint-leaks" in site.at_fault()


def test_after_other_repairs_the_record_is_silent(house, case):
    site = begin_again(house, house, case, 1, 0).site
    site.mend("lift-lever")
    said = {site.answer("no-water", "technician")}
    assert said == {"yes"} or site.world.thrown[house.findings["no-water"]] == ()


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"confirmed": ()}, "Nobody saw"),
        ({"system": "another"}, "not about"),
        ({"confirmed": (Confirmation("gone"),)}, "no cause `gone`"),
        ({"evidence": Evidence()}, "Nothing was complained of"),
    ],
)
def test_why_a_case_cannot_be_replayed(house, case, change, reason):
    other = replace(case, **change)
    assert reason in unfit(house, other)
    with pytest.raises(CannotReplayError, match=reason):
        begin_again(house, house, other, 1, 0)


def test_cases_that_cannot_are_set_aside_with_the_reason(house, case, tmp_path):
    path = tmp_path / "cases.jsonl"
    write_cases(path, [case, replace(case, id="two", confirmed=())])
    cases, aside = recorded(str(path), house)
    assert [c.id for c in cases] == ["one"]
    assert [(a.case, a.code) for a in aside] == [("two", "cannot-replay")]
    write_cases(path, [replace(case, confirmed=())])
    with pytest.raises(NothingToReplayError, match="Nobody saw"):
        recorded(str(path), house)


def test_calls_put_out_as_cases_are_replayed(house):
    customs = Customs(phone=False)
    done = [run_call(policy_of("one-step"), house, house, 2, n, customs) for n in range(40)]
    cases = tuple(as_closed(o, house, house, 2) for o in done)
    assert all(c.confirmed for c in cases)
    fit = tuple(c for c in cases if not unfit(house, c))
    assert len(fit) > 30
    trial = Trial(house, house, ("one-step", "all-knowing"), 100, 2, customs, fit)
    assert trial.count == len(fit)
    again = [call for block in trial.done(Here()) for call in block]
    for record, (tool, known) in zip(fit, again, strict=True):
        assert set(known.causes) == {c.cause for c in record.confirmed}
        assert known.minutes <= tool.minutes or known.specialist


def test_minutes_of_cases_are_as_written_on_average(house):
    done = [run_call(policy_of("per-minute"), house, house, 2, n) for n in range(150)]
    cases = [as_closed(o, house, house, 2) for o in done]
    noted = sum(s.minutes for c in cases for s in c.steps)
    assert noted == pytest.approx(sum(s.minutes for o in done for s in o.steps), rel=0.06)


def test_a_cause_without_a_name_here_is_told_in_words(house):
    outcome = next(
        o
        for o in (run_call(policy_of("all-knowing"), house, house, 2, n) for n in range(60))
        if o.specialist and o.left == ("unlisted",) and not o.found
    )
    (confirmed,) = as_closed(outcome, house, house, 2).confirmed
    assert (confirmed.cause, confirmed.text) == ("unlisted", "Something not in these files")
