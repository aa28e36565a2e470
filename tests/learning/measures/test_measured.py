"""Cases measured: added up part by part, bit for bit; what cannot be used is counted and named."""

from math import isclose

import msgspec
import pytest

from faultnet.advice.grounds import grounds
from faultnet.learning.closed import Confirmation, StepTaken
from faultnet.learning.measures import reach
from faultnet.learning.measures.grid import off, off_by_chance
from faultnet.learning.measures.measured import Asked, measured
from faultnet.learning.measures.periods import by_period
from faultnet.learning.measures.sums import Sums
from faultnet.learning.source import CasesAtHand, SetAside
from faultnet.learning.span import Span
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from faultnet.network.build import UNLISTED
from faultnet.sharing.sharing import Here
from tests.learning.measures.cases import FOOT_VALVE, Parts, Spoilt, imagined, like


def written(sums):
    """All that sums hold, to the last digit."""
    return msgspec.json.encode(sums, enc_hook=lambda array: array.tolist())


@pytest.fixture(scope="module")
def calls(subjects):
    return imagined(subjects["jet-pump"], 3, 96)


@pytest.fixture(scope="module")
def found(subjects, calls):
    return measured(subjects, Parts(calls, 12), Here())


def one(subjects, case, **asked):
    return measured(subjects, CasesAtHand((case,)), Here(), Asked(**asked))


def test_the_same_bit_for_bit_whoever_works_it_out(subjects, calls, found):
    assert written(measured(subjects, Parts(calls, 12), Here(2))) == written(found)
    assert found.read == found.whole.visits.cases == 96


def test_sums_stay_as_large_as_they_are(subjects, calls, found):
    few = measured(subjects, Parts(calls[:48], 12), Here())
    assert len(written(found)) < 1.1 * len(written(few))


def test_chances_drawn_from_the_network_are_right_as_often_as_they_say(found):
    """Within five standard deviations of what is expected if every chance is right."""
    ranked, grid = found.whole.at_call, found.details.at_call.causes
    told, came = float(grid.sums.sum()), int(grid.hits.sum())
    assert came > 96
    assert abs(told - came) < 5 * ranked.brier_expected.total**0.5
    assert off(grid.equal_counts()) < 5 * off_by_chance(grid.equal_counts())
    for score, expected in (
        (ranked.brier, ranked.brier_expected),
        (ranked.log_loss, ranked.log_loss_expected),
    ):
        low, high = score.interval
        assert abs(score.value - expected.value) < 2.5 * (high - low)
    assert ranked.unlisted.hits <= 12 + ranked.unlisted_told.total * 2


def test_a_case_adds_to_each_group_of_its_own(subjects):
    cases = (FOOT_VALVE, like(id="case-2", region="Weir Lane", closed="2026-05-01T10:00:00Z"))
    sums = measured(subjects, CasesAtHand(cases), Here())
    assert {name: group.visits.cases for name, group in sums.months.of.items()} == {
        "2026-02": 1,
        "2026-05": 1,
    }
    assert list(by_period(sums.months, "quarter")) == ["2026-Q1", "2026-Q2"]
    assert by_period(sums.months, "year")["2026"].visits.cases == 2
    assert sums.systems.of["jet-pump"].at_call.cases == 2
    assert list(sums.regions.of) == ["Weir Lane"]


def test_causes_are_ranked_by_what_was_known(subjects):
    whole = one(subjects, FOOT_VALVE).whole
    assert (whole.at_call.cases, whole.before_repair.cases) == (1, 1)
    assert whole.before_repair.first.value > whole.at_call.first.value
    assert whole.before_repair.best.one.hits == 1
    assert whole.at_call.best.one.hits == 0


def test_of_several_causes_the_first_and_the_last_are_told_apart(subjects):
    both = (Confirmation("foot-valve-leaks"), Confirmation("prime-lost"))
    ranked = one(subjects, like(confirmed=both)).whole.before_repair
    assert ranked.several == 1
    assert (ranked.best.one.hits, ranked.every.one.hits) == (1, 0)
    assert ranked.one_log_loss.count == 0


def test_a_cause_that_is_not_in_the_files_is_held_against_its_chance(subjects):
    ranked = one(subjects, like(confirmed=(Confirmation(UNLISTED, text="Mouse"),))).whole.at_call
    assert (ranked.unlisted.hits, ranked.listed.hits) == (1, 0)
    assert 0.0 < ranked.unlisted_told.value < 1.0


def test_what_the_layout_rules_out_is_counted(subjects):
    above = Evidence(
        (Round((Answer("no-pressure", "yes", "caller"),)),), {"source-level": "above-pump"}
    )
    assert one(subjects, like(evidence=above)).whole.before_repair.ruled_out == 1


def test_without_a_cause_that_was_seen_visits_alone_are_counted(subjects):
    sums = one(subjects, like(confirmed=()))
    assert sums.unconfirmed == 1
    assert sums.whole.at_call.cases == 0
    assert sums.whole.visits.cases == 1


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"system": "ram-pump"}, "unknown-id"),
        ({"confirmed": (Confirmation("gremlin"),)}, "unknown-id"),
        ({"evidence": Evidence((Round((Answer("colour", "red", "caller"),)),))}, "unknown-id"),
        ({"evidence": Evidence((Round(taken=(Taken("hold", {"start": 1.0}),)),))}, "unfit-reading"),
        ({"closed": "2026-02-31T10:00:00Z"}, "no-time"),
        ({"closed": "soon"}, "no-time"),
    ],
)
def test_what_cannot_be_used_is_counted_and_named(subjects, changes, code):
    sums = one(subjects, like(**changes))
    assert sums.set_aside.counts == {code: 1}
    assert sums.set_aside.named[code][0].case == "case-1"
    assert sums.set_aside.named[code][0].reason
    assert sums.whole.visits.cases == 0
    assert sums.read == 1


def test_a_case_of_another_system_is_named_where_one_is_given(subjects):
    sums = measured(subjects["jet-pump"], CasesAtHand((like(system="ram-pump"),)), Here())
    assert sums.set_aside.counts == {"other-system": 1}


def test_what_could_not_be_read_is_counted_too(subjects):
    torn = SetAside("cases.jsonl:7", "not-json", "it is torn", "", 3)
    sums = measured(subjects, Spoilt(torn), Here())
    assert sums.read == 4
    assert sums.set_aside.counts == {"not-json": 3}
    assert sums.set_aside.named["not-json"] == (torn,)


def test_few_of_many_set_aside_are_named_and_all_are_counted(subjects):
    torn = [SetAside(f"line {k}", "not-json", "it is torn") for k in range(200)]
    sums = measured(subjects, Spoilt(*torn), Here())
    assert sums.set_aside.counts["not-json"] == 200
    assert len(sums.set_aside.named["not-json"]) == 50


def test_cases_that_were_learnt_from_are_left_out_and_counted(subjects):
    learnt = (Span(until="2026-02-03", system="jet-pump"),)
    sums = one(subjects, FOOT_VALVE, learnt=learnt)
    assert (sums.read, sums.learnt, sums.whole.visits.cases) == (1, 1, 0)
    sums = one(subjects, FOOT_VALVE, learnt=learnt, also_learnt=True)
    assert (sums.learnt, sums.whole.visits.cases) == (1, 1)
    assert one(subjects, FOOT_VALVE, learnt=(Span(until="2026-02-02"),)).learnt == 0
    assert one(subjects, FOOT_VALVE, learnt=(Span(system="ram-pump"),)).learnt == 0


def test_cases_of_other_days_are_not_asked_about(subjects):
    assert one(subjects, FOOT_VALVE, among=Span("2026-02-04")).outside == 1
    assert one(subjects, FOOT_VALVE, among=Span("2026-02-03", "2026-02-03")).outside == 0


def test_nothing_read_is_nothing_measured(subjects):
    assert written(measured(subjects, Parts([], 5), Here())) == written(Sums())


def test_minutes_are_held_against_those_in_the_files(subjects):
    steps = one(subjects, FOOT_VALVE).details.steps
    check, repair = steps.minutes.of["check"], steps.minutes.of["repair"]
    assert (check.predicted.value, check.noted.value) == (5.0, 8.0)
    assert isclose(repair.ratio, 90 / 75)
    assert isclose(repair.ratio_below(0.5), 90 / 75, rel_tol=0.011)
    assert steps.each.of["look-at-prime"].too_long.value == 3.0


def test_times_that_say_nothing_are_counted(subjects):
    steps = (
        StepTaken("look-at-prime", "check"),
        StepTaken("look-at-prime", "check", 0, -3.0),
        StepTaken("look-at-prime", "check", 0, 3.0, broken_off=True),
        StepTaken("stare", "check", 0, 3.0),
    )
    found = one(subjects, like(steps=steps)).details.steps
    assert sum(found.not_used.values()) == 4
    assert len(found.not_used) == 4
    assert found.minutes.of == {}


@pytest.mark.parametrize(
    ("changes", "fixed"),
    [
        ({}, (1, 1)),
        ({"trips": 2}, (0, 1)),
        ({"trips": 0}, (0, 0)),
        ({"ending": "referred"}, (0, 1)),
        ({"followed_by": "case-9"}, (0, 1)),
    ],
)
def test_mended_at_the_first_visit(subjects, changes, fixed):
    visits = one(subjects, like(**changes)).whole.visits
    assert (visits.first_visit.hits, visits.first_visit.of) == fixed
    assert visits.by_phone.hits == (changes.get("trips") == 0)


def test_steps_to_the_cause_end_before_the_repair_that_showed_it(subjects):
    visits = one(subjects, FOOT_VALVE).whole.visits
    assert (visits.steps_to_cause.value, visits.minutes_to_cause.value) == (1.0, 8.0)
    steps = (*FOOT_VALVE.steps, StepTaken("hold-test", "check", 1, 15.0))
    late = like(steps=steps, confirmed=(Confirmation("pipe-cracked", 1),))
    visits = one(subjects, late).whole.visits
    assert (visits.steps_to_cause.value, visits.minutes_to_cause.value) == (3.0, 113.0)


def test_whole_visits_are_priced_where_it_is_asked_for(subjects):
    visit = one(subjects, FOOT_VALVE, visits=True).details.visit
    assert visit.noted.value == 98.0
    assert visit.predicted.value > 30.0
    assert one(subjects, FOOT_VALVE).details.visit.noted.count == 0


def test_where_answers_are_too_much_at_once_some_are_left_out_and_it_is_told(subjects, monkeypatch):
    subject = subjects["jet-pump"]
    said = Evidence(
        (Round((Answer("no-pressure", "yes", "caller"), Answer("no-water", "yes", "caller"))),)
    )
    whole = grounds(subject, said).query.plan.work
    assert reach.in_reach(subject, said) == (said, 0)
    monkeypatch.setattr(reach, "CELLS", whole - 1)
    within, left_out = reach.in_reach(subject, said)
    assert left_out == 2 - len(within.now.answers) > 0
    assert grounds(subject, within).query.plan.work < whole
    assert one(subjects, like(evidence=said)).whole.at_call.shortened == 1
    monkeypatch.setattr(reach, "CELLS", 0)
    assert one(subjects, like(evidence=said)).set_aside.counts == {"too-large": 1}
