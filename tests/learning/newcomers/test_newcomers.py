"""Causes that the files lack, of imagined sightings in which one is hidden."""

from pathlib import Path

import numpy as np
import pytest
import yaml
from scipy import special

from faultnet.authoring.adding.addition import changes_of, new_problems
from faultnet.authoring.problem import errors
from faultnet.authoring.whole import whole_of
from faultnet.learning.newcomers.draft import TO_NAME, draft, said
from faultnet.learning.newcomers.groups import FEWEST, _log_gammas
from faultnet.learning.newcomers.newcomers import learn_newcomers
from faultnet.learning.newcomers.sightings import words_of
from faultnet.learning.source import CasesAtHand
from faultnet.sharing.sharing import Here
from tests.learning.in_parts import InParts
from tests.learning.newcomers.made import SHOWN, cases

FOLDER = Path(__file__).parents[2] / "authoring/knowledge"


def learnt(knowledge, found, **terms):
    return learn_newcomers(knowledge, CasesAtHand(found), Here(), **terms)


def snail(knowledge, seed=1, snails=30):
    (newcomer,) = learnt(knowledge, cases(seed, snails=snails)).found
    return newcomer


def test_what_recurs_and_shows_alike_is_found(knowledge):
    found = learnt(knowledge, cases(1, snails=30))
    (newcomer,) = found.found
    assert set(newcomer.words) >= {"snail", "jet"}
    assert newcomer.sightings == 30
    assert (found.unlisted, found.looked_at) == (150, 150)
    assert newcomer.share == pytest.approx(30 / 550)
    assert newcomer.interval.low < 30 / 550 < newcomer.interval.high
    assert newcomer.marks[0].name == "no-pressure"
    assert newcomer.marks[0].oftener
    assert sum(newcomer.months.values()) == 30


def test_its_strength_is_that_of_those_asked(knowledge):
    (strength,) = [s for s in snail(knowledge).strengths if s.finding == "no-pressure"]
    assert strength.interval.low < SHOWN["no-pressure"] < strength.interval.high
    assert strength.interval.low < strength.by_answer["yes"] < strength.interval.high
    assert 10 < strength.asked < 30


def test_sightings_with_nothing_in_common_are_told_at_the_stated_rate(knowledge):
    found = [cases(seed, others=60, listed=5) for seed in range(20)]
    told = sum(bool(learnt(knowledge, each, rate=0.1).found) for each in found)
    # 20 x 0.1 = 2; three standard deviations of the binomial are 4.
    assert told <= 6


def test_texts_that_recur_without_findings_of_their_own_are_listed(knowledge):
    found = learnt(knowledge, cases(3))
    assert not found.found
    assert {"pipe", "rat"} <= {word for word, _ in found.recurring}


def test_a_few_are_no_group(knowledge):
    found = learnt(knowledge, cases(4, snails=FEWEST - 1))
    assert not found.found
    assert "snail" not in {word for word, _ in found.recurring}


@pytest.mark.parametrize("size", [7, 100])
def test_parts_and_workers_change_no_bit(knowledge, size):
    found = cases(5, snails=20, listed=100)
    whole = learnt(knowledge, found)
    source = InParts(found, size)
    assert learn_newcomers(knowledge, source, Here()) == whole
    assert learn_newcomers(knowledge, source, Here(2)) == whole


def test_of_very_many_some_are_drawn_by_lot(knowledge, monkeypatch):
    monkeypatch.setattr("faultnet.learning.newcomers.sightings.KEPT", 100)
    whole = cases(6, snails=40)
    found = learnt(knowledge, whole)
    assert (found.unlisted, found.looked_at) == (160, 100)
    assert found.found[0].share == pytest.approx(40 / 560, rel=0.3)
    assert learn_newcomers(knowledge, InParts(whole, 30), Here()) == found


def test_no_cases_have_no_newcomers(knowledge):
    assert learnt(knowledge, ()).found == ()
    assert learnt(knowledge, cases(7, others=0)).found == ()


def test_the_draft_is_finished_with_a_repair_and_added(knowledge):
    text = draft(snail(knowledge), knowledge)
    answers = yaml.safe_load(text)
    whole = whole_of(FOLDER)
    _, before = whole.judged()
    told = errors(new_problems(before, whole, changes_of("cause", answers, whole, knowledge)))
    assert [(p.code, TO_NAME in p.message) for p in told] == [("unknown-id", True)]
    finished = yaml.safe_load(text.replace(TO_NAME, "prime-again"))
    changes = changes_of("cause", finished, whole, knowledge)
    assert not errors(new_problems(before, whole, changes))


def test_what_is_found_is_said_in_words(knowledge):
    told = said(snail(knowledge), knowledge)
    assert "30 sightings from 2024-" in told
    assert "Marked by: No pressure in" in told


def test_words_of_a_text():
    assert words_of("The SNAILS were in 2 jets, and a jet's nozzle!") == {"snail", "jet", "nozzle"}
    assert words_of("") == frozenset()


def test_the_gamma_function_agrees_with_a_reference():
    # Reference: scipy.special.gammaln.
    at = np.arange(3001) + 0.5
    assert _log_gammas(at) == pytest.approx(special.gammaln(at), rel=1e-11)
