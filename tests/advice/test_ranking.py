"""The ranking on the shipped knowledge."""

import msgspec
import pytest

from faultnet.advice.observe import observe
from faultnet.advice.possibilities import UnfitReadingError
from faultnet.advice.ranking import believe, rank
from faultnet.advice.subject import UnknownNameError
from faultnet.inference.query import Query
from faultnet.model.evidence import Answer, Evidence, Round, Taken
from tests.advice.say import say


def test_each_cause_is_as_common_as_authored_when_nothing_is_known_and_nothing_just_happened(
    subject,
):
    """Without odds factors P(cause | call) = how common, however the causes combine."""
    bare = msgspec.structs.replace(
        subject.network,
        causes=tuple(
            msgspec.structs.replace(c, factors=(), brings=()) for c in subject.network.causes
        ),
    )
    masses = Query(bare, observe(subject, Evidence())).masses()
    for index, cause in enumerate(bare.causes):
        if cause.when or cause.id == "unlisted":
            continue
        authored = subject.knowledge.causes[cause.id].how_common.value
        assert masses.causes[index] / masses.total == pytest.approx(authored, rel=1e-6)


def test_probabilities_are_probabilities(subject):
    ranking = rank(subject, say(no_water="yes", by="caller"))
    assert all(0.0 <= c.probability <= 1.0 for c in ranking.causes)
    assert 0.0 < ranking.unlisted < 1.0
    assert 0.0 < ranking.more_than_one < 1.0
    assert 0.0 < ranking.evidence_probability < 1.0
    chances = [c.probability for c in ranking.causes]
    assert chances == sorted(chances, reverse=True)


def test_a_group_is_at_least_its_likeliest_member_and_at_most_their_sum(subject):
    ranking = rank(subject, say(prime_level_falls="yes"))
    by_id = {c.id: c.probability for c in ranking.causes}
    for group in ranking.groups:
        members = [by_id[c] for c in group.causes]
        assert max(members) - 1e-9 <= group.probability <= sum(members) + 1e-9


def test_the_order_of_answers_does_not_matter(subject):
    one = rank(subject, say(prime_level_falls="yes", air_at_taps="yes"))
    other = rank(subject, say(air_at_taps="yes", prime_level_falls="yes"))
    assert [c.id for c in one.causes] == [c.id for c in other.causes]
    assert one.evidence_probability == pytest.approx(other.evidence_probability, rel=1e-12)


def test_evidence_never_leaks_between_queries(subject):
    before = rank(subject, say(short_cycles_drawing="yes"))
    rank(subject, say(no_pressure_build="yes", prime_level_falls="yes"))
    after = rank(subject, say(short_cycles_drawing="yes"))
    assert before == after


def test_a_callers_word_moves_less_than_a_technicians(subject):
    base = {c.id: c.probability for c in rank(subject, Evidence()).causes}
    told = rank(subject, say(starts_with_no_use="yes", by="caller"))
    heard = {c.id: c.probability for c in told.causes}
    seen = {c.id: c.probability for c in rank(subject, say(starts_with_no_use="yes")).causes}
    cause = "toilet-or-fixture-leak"
    assert base[cause] < heard[cause] < seen[cause]


def test_the_surer_speaker_counts_and_the_same_speaker_replaces(subject):
    both = Evidence(
        (
            Round(
                (
                    Answer("air-at-taps", "yes", "technician"),
                    Answer("air-at-taps", "no", "caller"),
                )
            ),
        )
    )
    assert rank(subject, both).causes == rank(subject, say(air_at_taps="yes")).causes
    replaced = Evidence((Round((Answer("air-at-taps", "yes"), Answer("air-at-taps", "no"))),))
    assert rank(subject, replaced).causes == rank(subject, say(air_at_taps="no")).causes


def test_unmentioned_is_unknown_never_no(subject):
    unknown = rank(subject, say(no_pressure_build="yes"))
    denied = rank(subject, say(no_pressure_build="yes", circumstances={"after-work": False}))
    assert unknown.causes != denied.causes


def test_frost_makes_two_cold_weather_faults_likelier_together(subject):
    """Unknown circumstances tie causes together: seeing one frost fault raises the other."""
    base = {c.id: c.probability for c in rank(subject, Evidence()).causes}
    seen = rank(subject, say(found_casing_cracked="yes"))
    after = {c.id: c.probability for c in seen.causes}
    assert after["frozen-switch-tube"] > base["frozen-switch-tube"]


def test_impossible_evidence_names_an_irreducible_set(subject):
    evidence = say(motor_silent="yes", air_at_taps="yes", motor_hums="yes")
    ranking = rank(subject, evidence)
    assert ranking.evidence_probability == 0.0
    assert {s.about for s in ranking.conflict} == {"motor-silent", "motor-hums"}
    assert all(":" in s.line for s in ranking.conflict)


@pytest.mark.parametrize(
    ("evidence", "kind"),
    [
        (say(motor_silnt="yes"), "finding"),
        (say(motor_silent="maybe"), "answer"),
        (say(layout={"tonk": "plain"}), "layout"),
        (say(layout={"tank": "plane"}), "value"),
        (say(circumstances={"after-wark": True}), "circumstance"),
        (say(motor_silent="yes", by="plumber"), "speaker"),
    ],
)
def test_unknown_names_say_what_may_have_been_meant(subject, evidence, kind):
    with pytest.raises(UnknownNameError, match=kind):
        rank(subject, evidence)


def hold(start, end, minutes=15.0):
    parts = {"start": start, "end": end, "minutes": minutes}
    return Evidence((Round((), (Taken("hold", parts),)),))


def test_a_fall_of_one_psi_is_noise_and_a_fall_of_ten_is_a_fall(subject):
    base = believe(subject, Query(subject.network, observe(subject, Evidence())))
    cause = "foot-valve-leaks-slowly"
    small = believe(subject, Query(subject.network, observe(subject, hold(50.0, 49.0))))
    large = believe(subject, Query(subject.network, observe(subject, hold(50.0, 40.0))))
    assert small.causes[cause] <= base.causes[cause]
    assert large.causes[cause] > 2 * base.causes[cause]


@pytest.mark.parametrize("taken", [hold(50.0, 44.0, 1.0), hold(5000.0, 44.0)])
def test_a_reading_that_cannot_be_or_says_nothing_is_refused(subject, taken):
    with pytest.raises(UnfitReadingError):
        rank(subject, taken)


def test_a_mended_cause_that_ends_the_complaint_was_it(subject):
    """Yes, then no after mending S: something in S made it, and nothing left does."""
    first = Round((Answer("gauge-falls-isolated", "yes"),), repairs=("clean-foot-valve",))
    gone = Evidence((first, Round((Answer("gauge-falls-isolated", "no"),))))
    stays = Evidence((first, Round((Answer("gauge-falls-isolated", "yes"),))))
    ended = {c.id: c.probability for c in rank(subject, gone).causes}
    still = {c.id: c.probability for c in rank(subject, stays).causes}
    before = {c.id: c.probability for c in rank(subject, say(gauge_falls_isolated="yes")).causes}
    assert ended["foot-valve-leaks-slowly"] < 0.2 * before["foot-valve-leaks-slowly"]
    assert still["inline-check-valve-leaks"] > before["inline-check-valve-leaks"]
    assert still["foot-valve-leaks-slowly"] < before["foot-valve-leaks-slowly"]
