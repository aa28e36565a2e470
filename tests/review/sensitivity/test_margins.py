"""Slopes against differences, flips against ranking anew: the files changed, all else the same."""

import msgspec
import pytest

from faultnet.advice.authored import authored, words
from faultnet.advice.ranking import rank
from faultnet.advice.subject import make_subject
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.model.knowledge import Knowledge
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand

STEP = 1e-4
NEAR = 1e-5


def answers(by, **said):
    return tuple(Answer(k.replace("_", "-"), v, by) for k, v in said.items())


EVIDENCE = {
    "nothing": Evidence(),
    "technician": Evidence((Round(answers("technician", prime_falls="slowly", no_water="yes")),)),
    "caller": Evidence(
        (Round(answers("caller", no_pressure="yes", no_sound="no", no_water="yes")),),
        {"source-level": "below-pump"},
        {"after-freeze": True},
    ),
    "own word": Evidence((Round(answers("caller", gauge_falls="yes", no_pressure="no")),)),
    "two rounds": Evidence(
        (
            Round(answers("technician", prime_falls="slowly"), repairs=("prime-again",)),
            Round(answers("caller", prime_falls="quickly", no_water="no")),
        )
    ),
}


def changed(knowledge, numbers, value):
    """Return the knowledge with numbers changed wherever they stand, as plain values."""
    places = {n.origin for n in numbers}

    def put(entry):
        if isinstance(entry, dict):
            if {"value", "origin", "provenance"} <= entry.keys():
                if msgspec.convert(entry["origin"], type(numbers[0].origin)) in places:
                    return {**entry, "value": value}
                return entry
            return {key: put(each) for key, each in entry.items()}
        return [put(each) for each in entry] if isinstance(entry, (list, tuple)) else entry

    # another version, as the network of the same one is kept
    plain = {**put(msgspec.to_builtins(knowledge)), "version": f"{places}{value!r}"}
    return msgspec.convert(plain, Knowledge)


def ranked(knowledge, evidence, numbers=(), value=0.0):
    """Return the probability of every listed cause, likeliest first."""
    other = changed(knowledge, numbers, value) if numbers else knowledge
    ranking = rank(make_subject(other, "jet-pump"), evidence)
    return {cause.id: cause.probability for cause in ranking.causes}


def margins(knowledge, evidence, reach=1e4):
    subject = make_subject(knowledge, "jet-pump")
    asked = Margins(stand(subject, evidence, reach), Common(subject))
    return subject, asked, asked.all_of(authored(subject))


@pytest.fixture(params=EVIDENCE, scope="module")
def case(request, knowledge):
    evidence = EVIDENCE[request.param]
    return knowledge, evidence, *margins(knowledge, evidence)


def test_the_factor_s_moves_with_how_common(knowledge):
    subject = make_subject(knowledge, "jet-pump")
    common = Common(subject)
    assert 0.1 < common.s < 0.95
    for number in authored(subject):
        slope = sum(common.s_slope(place) for place in number.places)
        high, low = (
            Common(
                make_subject(changed(knowledge, [number.number], number.value + h), "jet-pump")
            ).s
            for h in (STEP, -STEP)
        )
        assert slope == pytest.approx((high - low) / (2 * STEP), rel=1e-5, abs=1e-8), number.about


def test_every_slope_is_what_ranking_anew_comes_to(case):
    knowledge, evidence, _, asked, found = case
    first = asked.standing.causes[0]
    assert len(found) >= 5
    for margin in found:
        number = margin.number
        high, low = (
            ranked(knowledge, evidence, [number.number], number.value + h)[first]
            for h in (STEP, -STEP)
        )
        wanted = (high - low) / (2 * STEP)
        assert margin.slope == pytest.approx(wanted, rel=1e-4, abs=1e-7), number.about


def test_numbers_that_are_left_out_move_nothing(case):
    knowledge, evidence, subject, _, found = case
    told = {margin.number.number for margin in found}
    before = ranked(knowledge, evidence)
    for number in authored(subject):
        if number.number not in told:
            after = ranked(knowledge, evidence, [number.number], number.value * 0.9)
            assert after == pytest.approx(before, abs=1e-9), number.about


def test_another_cause_comes_first_just_past_each_flip_and_not_before(case):
    knowledge, evidence, subject, asked, found = case
    first = asked.standing.causes[0]
    for margin in (asked.exact(m) for m in found):
        for flip, side in ((margin.low, -1.0), (margin.high, 1.0)):
            if flip is None:
                continue
            numbers = [margin.number.number]
            short = flip.value - side * NEAR * flip.value
            past = flip.value + side * NEAR * flip.value
            assert subject.alike(next(iter(ranked(knowledge, evidence, numbers, short))), first)
            assert next(iter(ranked(knowledge, evidence, numbers, past))) == flip.first
    assert any(m.low or m.high for m in found)


def test_where_there_is_no_flip_the_ends_change_nothing(case):
    knowledge, evidence, subject, asked, found = case
    first = asked.standing.causes[0]
    for margin in found:
        low, high = asked.ends(margin.number)
        for flip, end in ((margin.low, low), (margin.high, high)):
            if flip is None and margin.exact:
                inside = 0.999 * end + 0.001 * margin.number.value
                after = ranked(knowledge, evidence, [margin.number.number], inside)
                assert subject.alike(next(iter(after)), first), margin.number.about


def test_a_word_is_moved_wherever_it_is_written(knowledge):
    evidence = EVIDENCE["technician"]
    subject, asked, _ = margins(knowledge, evidence)
    numbers = authored(subject)
    found = [asked.followed(word) for word in words(numbers, knowledge)]
    assert any(m.low or m.high for m in found)
    for margin in found:
        word = margin.number.number
        written = [n.number for n in numbers if n.number.word in margin.number.about.split(", ")[0]]
        uses = [n for n in written if f"the word {n.word}," in margin.number.about]
        assert len(uses) >= 1
        for flip, side in ((margin.low, -1.0), (margin.high, 1.0)):
            if flip is not None:
                past = flip.value * (1.0 + side * NEAR)
                assert next(iter(ranked(knowledge, evidence, [word, *uses], past))) == flip.first
