"""Estimates against what must hold of them: the posterior grows, any sharing gives the same."""

import math

import msgspec
import pytest

from faultnet.advice.authored import authored
from faultnet.learning.closed import ClosedCase, Confirmation
from faultnet.learning.estimate.estimate import Rounds, estimate, learnt
from faultnet.learning.estimate.priors import ALL, HOW_COMMON, Priors
from faultnet.learning.source import CasesAtHand
from faultnet.model.evidence import Answer, Evidence, Round
from faultnet.network.places import put
from faultnet.sharing.sharing import Here
from tests.learning.estimate.small import closed_case, looked_at, small

replace = msgspec.structs.replace
FEW = Rounds(most=6, gain=-math.inf)


def cases_of(network, count, seed=3, make=closed_case):
    return CasesAtHand(tuple(make(small(), network, seed, k) for k in range(count)))


def other_network():
    """The small network with strengths and chances moved."""
    values = {}
    for k, each in enumerate(authored(small())):
        for place in each.places:
            if place.kind in {"link", "leak", "rule", "circumstance"} and place.level == 0:
                values[place] = each.value * (0.6 if k % 2 else 0.9)
    return put(small().network, values)


@pytest.mark.parametrize("make", [closed_case, looked_at])
def test_the_posterior_never_falls(make):
    found = estimate(small(), cases_of(other_network(), 40, make=make), rounds=FEW)
    assert len(found.log_posterior) == 7
    steps = zip(found.log_posterior, found.log_posterior[1:], strict=False)
    assert all(after >= before - 1e-9 for before, after in steps)
    assert found.log_posterior[-1] > found.log_posterior[0] + 0.5


def test_it_is_the_same_bit_for_bit_however_many_share_the_work():
    cases = cases_of(other_network(), 40).cases
    source = Parts(tuple(CasesAtHand(cases[k : k + 2]) for k in range(0, 40, 2)))
    rounds = Rounds(most=1)
    alone, shared = (estimate(small(), source, Here(n), rounds=rounds) for n in (1, 2))
    assert alone == shared
    assert alone.used == 40


class Parts(msgspec.Struct, frozen=True):
    """A source of given parts."""

    all: tuple[CasesAtHand, ...]

    def parts(self):
        return self.all


def test_without_cases_nothing_is_proposed():
    found = estimate(small(), CasesAtHand(()))
    assert (found.numbers, found.used) == ((), 0)
    assert found.unsettled == len(authored(small()))


def test_the_likeliest_numbers_without_cases_are_the_authored_ones():
    """With no case, and after one round, the network is where it was."""
    far = Rounds(most=1, gain=-math.inf, least=-math.inf)
    nothing = ClosedCase("none", "small-pump", "", "", "referred", Evidence())
    found = estimate(small(), CasesAtHand((nothing,)), rounds=far)
    for each in found.numbers:
        assert each.value == pytest.approx(each.number.value, rel=0.02)


def test_only_what_is_wanted_is_learnt():
    cases = cases_of(other_network(), 40)
    found = estimate(small(), cases, kinds=HOW_COMMON, rounds=Rounds(most=2, least=1.0))
    assert {each.kind for each in found.numbers} == {"how-common"}


def test_numbers_stand_in_the_files_as_they_are_proposed():
    """The network of the learnt system has them, and the factor s anew."""
    found = estimate(small(), cases_of(other_network(), 60), rounds=Rounds(most=2, least=0.0))
    system = learnt(small(), found.numbers)
    by_number = {each.number: each.value for each in found.numbers}
    common = {}
    for each in authored(small()):
        for place in each.places:
            if place.kind == "link" and each.number in by_number:
                link = system.network.findings[place.of].links[place.at]
                assert link.levels[place.level] == by_number[each.number]
            if place.kind == "cause":
                common[place.of] = by_number.get(each.number, each.value)
    scales = {system.network.causes[k].probability / value for k, value in common.items()}
    assert max(scales) == pytest.approx(min(scales))
    assert max(scales) < 1.0


def test_a_learnt_system_gives_cases_the_probability_that_was_reached():
    """What is proposed, put in the files, is the network of the last pass."""
    source = cases_of(other_network(), 60)
    every = Rounds(most=3, gain=-math.inf, least=-math.inf)
    found = estimate(small(), source, rounds=every)
    system = learnt(small(), found.numbers)
    vague = Priors(*(1e-9,) * 7)
    again = estimate(system, source, kinds=frozenset(), priors=vague, rounds=Rounds(most=0))
    first = estimate(small(), source, kinds=frozenset(), priors=vague, rounds=Rounds(most=0))
    gained = again.log_posterior[0] - first.log_posterior[0]
    assert gained > found.log_posterior[-1] - found.log_posterior[0]


def test_confirmed_causes_count():
    told = Evidence((Round((Answer("no-water", "yes"),)),))
    named = tuple(
        ClosedCase(f"c{k}", "small-pump", "", "", "mended", told, (Confirmation("tank-air-lost"),))
        for k in range(50)
    )
    found = estimate(
        small(), CasesAtHand(named), kinds=HOW_COMMON, rounds=Rounds(most=3, least=1.0)
    )
    common = {each.of: each for each in found.numbers}
    assert common["tank-air-lost"].speak_for == pytest.approx(50.0)
    assert common["tank-air-lost"].value > 0.45
    assert common["tank-air-lost"].number.value == pytest.approx(0.3)
    assert len(common["tank-air-lost"].cases) == 5


def test_what_cannot_be_used_is_set_aside_and_named():
    told = Evidence((Round((Answer("no-water", "yes"),)),))
    good = ClosedCase("good", "small-pump", "", "", "referred", told)
    cases = (
        good,
        replace(good, id="looked", ending="no-fault"),
        replace(good, id="shut", ending="no-access"),
        replace(good, id="unknown", evidence=Evidence((Round((Answer("no-such", "yes"),)),))),
        replace(good, id="cause", confirmed=(Confirmation("no-such-cause"),)),
        replace(good, id="layout", evidence=Evidence(layout={"tank": "square"})),
    )
    found = estimate(small(), CasesAtHand(cases), rounds=Rounds(most=0))
    assert found.used == 1
    assert [(each.case, each.code) for each in found.set_aside] == [
        ("looked", "nothing-to-learn"),
        ("shut", "nothing-to-learn"),
        ("unknown", "does-not-fit"),
        ("cause", "does-not-fit"),
        ("layout", "does-not-fit"),
    ]


def test_all_kinds_are_learnt_from_the_small_system():
    found = estimate(small(), cases_of(other_network(), 40), rounds=Rounds(most=1, least=-1e9))
    assert {each.kind for each in found.numbers} >= ALL - {"factor", "leads-to"}
    assert all(each.interval.low < each.value < each.interval.high for each in found.numbers)


def test_a_number_that_is_worth_many_cases_needs_many():
    """How common a cause is stands for 100 calls: 40 do not speak of it, for all they hold."""
    cases = cases_of(other_network(), 40)
    found = estimate(small(), cases, kinds=HOW_COMMON, rounds=Rounds(most=1))
    assert (found.numbers, found.unsettled) == ((), 5)


def test_what_is_found_can_be_written_as_json():
    cases = cases_of(other_network(), 10)
    found = estimate(small(), cases, rounds=Rounds(most=1, least=-1e9))
    again = msgspec.json.decode(msgspec.json.encode(found), type=type(found))
    assert again == found


def test_a_case_of_too_many_answers_is_met_without_the_dearest(monkeypatch):
    cases = cases_of(other_network(), 20)
    whole = estimate(small(), cases, rounds=Rounds(most=0))
    monkeypatch.setattr("faultnet.learning.estimate.passing.WORK", 40)
    lighter = estimate(small(), cases, rounds=Rounds(most=0))
    assert whole.lightened == 0
    assert lighter.used == whole.used == 20
    assert 0 < lighter.lightened <= 20
    assert not lighter.set_aside
    # Less is known of every case, so that each is likelier.
    assert lighter.log_posterior[0] > whole.log_posterior[0]
