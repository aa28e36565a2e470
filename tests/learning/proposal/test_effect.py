"""The effect of one number to the first order is the exact one where the move is short."""

from math import log

import msgspec
import pytest

from faultnet.advice.ranking import likeliest
from faultnet.advice.subject import Subject, make_subject
from faultnet.learning.closed import Confirmation
from faultnet.learning.proposal.effect import effects_of, in_order
from faultnet.learning.proposal.looked import looked_at, spread
from faultnet.learning.proposal.offer import offers_of
from faultnet.learning.proposal.tried import trial_of, tried
from faultnet.model.evidence import Answer, Round
from faultnet.network.places import Place
from faultnet.review.sensitivity.common import Common
from faultnet.sharing.sharing import Here
from tests.learning.proposal.cases import closed_cases
from tests.learning.proposal.conftest import SYSTEM, proposed
from tests.learning.proposal.test_offer import shown


@pytest.fixture(scope="module")
def subject(before):
    return make_subject(before.knowledge, SYSTEM)


@pytest.fixture(scope="module")
def looked(subject):
    told = [looked_at(subject, case) for case in closed_cases(subject, 40)]
    return [each for each in told if each is not None]


def log_of(subject, case):
    chances = {c.id: c.probability for c in likeliest(subject, case.evidence).causes}
    return sum(log(chances[cause]) for cause in case.causes)


def test_a_short_move_is_told_exactly(subject, looked, knowledge):
    (often,) = shown(knowledge, "pipe-cracked", "no-pressure")
    (offer,) = offers_of(knowledge, SYSTEM, [proposed(often, 0.66, width=0.005)]).offered
    assert offer.written[0].value == 0.66
    effects, left = effects_of(knowledge, SYSTEM, [offer], looked, Here())
    common = Common(subject)
    network = subject.network
    finding = subject.findings["no-pressure"]
    source = subject.causes["pipe-cracked"]
    at = next(k for k, x in enumerate(network.findings[finding].links) if x.source == source)
    moved = Subject(
        subject.knowledge, subject.system, common.moved({Place("link", finding, at): 0.66})
    )
    exact = sum(log_of(moved, case) - log_of(subject, case) for case in looked)
    assert left == 0
    assert exact != 0.0
    assert effects[offer.id].gain == pytest.approx(exact, rel=0.05, abs=1e-4)


def test_how_common_moves_all_chances_through_the_factor_s(subject, looked, knowledge):
    number = knowledge.causes["pipe-cracked"].how_common
    near = proposed(number, 0.0021, "how-common", width=0.01)
    (offer,) = offers_of(knowledge, SYSTEM, [near]).offered
    effects, _ = effects_of(knowledge, SYSTEM, [offer], looked, Here())
    common = Common(subject)
    place = Place("cause", subject.causes["pipe-cracked"])
    moved = Subject(subject.knowledge, subject.system, common.moved({place: 0.0021}))
    exact = sum(log_of(moved, case) - log_of(subject, case) for case in looked)
    assert effects[offer.id].gain == pytest.approx(exact, rel=0.05, abs=1e-4)


def test_sections_in_their_order_and_most_first(looked, knowledge):
    (often,) = shown(knowledge, "pipe-cracked", "no-pressure")
    numbers = [
        proposed(often, 0.2),
        proposed(knowledge.checks["listen"].work.minutes, 3.0, "minutes"),
        proposed(knowledge.checks["hold-test"].work.minutes, 30.0, "minutes"),
        proposed(knowledge.causes["pipe-cracked"].how_common, 0.01, "how-common"),
    ]
    offers = offers_of(knowledge, SYSTEM, numbers).offered
    effects, _ = effects_of(knowledge, SYSTEM, offers, looked[:5], Here())
    assert [each.id for each in in_order(offers, effects)] == [
        "pipe-cracked/how-common",
        "hold-test/minutes",
        "listen/minutes",
        "pipe-cracked/shows/no-pressure",
    ]
    assert effects["hold-test/minutes"].minutes == pytest.approx(27.0 * 71)


def test_the_same_knowledge_changes_nothing(looked, knowledge):
    found = trial_of(list(tried(knowledge, knowledge, SYSTEM, looked[:4], Here())))
    assert found.cases == 4
    assert found.loss[0] == found.loss[1] > 0.0
    assert (found.firsts, found.steps) == ((), ())


def test_cases_are_taken_from_all_along():
    assert spread(list(range(100)), 4) == [0, 25, 50, 75]
    assert spread([1, 2], 4) == [1, 2]


def test_what_all_but_names_the_cause_is_left_out(subject, knowledge):
    (case,) = closed_cases(subject, 1)
    name = next(f.id for f in knowledge.findings.values() if f.found_cause == "pipe-cracked")
    evidence = msgspec.structs.replace(
        case.evidence,
        rounds=(
            Round((Answer(name, "yes"), Answer("no-water", "yes")), repairs=("prime-again",)),
            Round(),
        ),
    )
    seen = looked_at(
        subject,
        msgspec.structs.replace(case, evidence=evidence, confirmed=(Confirmation("pipe-cracked"),)),
    )
    assert seen.evidence.rounds == (Round((Answer("no-water", "yes"),)),)
    assert looked_at(subject, msgspec.structs.replace(case, confirmed=())) is None
