"""The knowledge that comes along: some of its numbers, moved in some of its cases."""

import pytest

from faultnet.advice.authored import authored
from faultnet.advice.ranking import believe
from faultnet.advice.subject import make_subject
from faultnet.authoring.examples import read_examples
from faultnet.authoring.shipped import shipped_folder
from faultnet.authoring.store import load
from faultnet.inference.query import Query
from faultnet.network.places import places, put
from faultnet.review.sensitivity.common import Common
from faultnet.review.sensitivity.margins import Margins
from faultnet.review.sensitivity.standing import stand

SAMPLE = 6
STEP = 1e-4


@pytest.fixture(scope="module")
def knowledge():
    return load(shipped_folder())


@pytest.fixture(scope="module")
def examples(knowledge):
    found, _ = read_examples(shipped_folder(), knowledge)
    return found


@pytest.mark.parametrize("system", ["jet-pump-cistern", "jet-pump-shallow-well", "cistern-booster"])
def test_every_number_stands_at_its_place_in_the_network(knowledge, system):
    common = Common(make_subject(knowledge, system))
    there = {
        place: number.value
        for place, number in places(knowledge, common.subject.system)
        if place.kind not in {"layout", "circumstance"}
    }
    assert len(there) > 1000
    assert put(common.network, there) == common.network
    for place, value in list(there.items())[::37]:
        assert put(common.network, {place: value + 0.001}) != common.network


def test_some_numbers_of_a_case_against_ranking_anew(knowledge, examples):
    example = min(examples, key=lambda e: (len(e.evidence.now.answers) != 3, e.id))
    common = Common(make_subject(knowledge, example.system))
    standing = stand(common.subject, example.evidence)
    asked = Margins(standing, common)
    found = [m for m in asked.all_of(authored(common.subject)) if m.number.places]
    assert len(found) > 100
    first = standing.causes[0]
    for margin in found[:: len(found) // SAMPLE]:
        value = margin.number.value
        high, low = (
            believe(
                common.subject,
                Query(
                    common.moved(dict.fromkeys(margin.number.places, value * (1.0 + h))),
                    standing.observed,
                ),
            ).causes[first]
            for h in (STEP, -STEP)
        )
        wanted = (high - low) / (2 * STEP * value)
        assert margin.slope == pytest.approx(wanted, rel=1e-4, abs=1e-7), margin.number.about
