"""Numbers are offered together where they stand together; danger is told and not offered."""

import pytest

from faultnet.learning.proposal.effect import Effect
from faultnet.learning.proposal.offer import offers_of
from faultnet.learning.proposal.told import effect_told, moves, place, reasons
from tests.learning.proposal.conftest import SYSTEM, proposed

TWO_OF_NINE = (
    "what was confirmed becomes 1.49 times as likely in 2 of 9 cases looked at; another cause "
    "comes first in one"
)


def shown(knowledge, cause, finding):
    return next(s for s in knowledge.causes[cause].shows if s.finding == finding).strength


def test_in_words(knowledge):
    (often,) = shown(knowledge, "pipe-cracked", "no-pressure")
    (offer,) = offers_of(knowledge, SYSTEM, [proposed(often, 0.5213)]).offered
    assert offer.id == "pipe-cracked/shows/no-pressure"
    assert list(moves(offer)) == [
        "often (0.65) in the file, 0.52 (0.417 to 0.626) by 140 cases, 71 for, 69 against"
    ]
    assert list(reasons(offer)) == [
        "the file (judgement) counts for 10 cases. The cases alone say 0.521.",
        "some of the cases: weir-lane-1, weir-lane-2",
    ]
    assert place(offer) == "knowledge/parts/suction.yaml:32"
    assert offer.clear


def test_what_bears_on_a_danger_is_told_and_never_offered(knowledge):
    numbers = [
        *shown(knowledge, "pipe-cracked", "tingle"),
        *knowledge.findings["tingle"].shows_anyway,
    ]
    found = offers_of(knowledge, SYSTEM, [proposed(n, 0.3) for n in numbers])
    assert found.offered == ()
    assert [each.withheld for each in found.withheld] == [
        "it bears on an answer that is a danger"
    ] * 2


def test_waiting_with_a_caution_is_never_offered(knowledge):
    work = knowledge.checks["look-at-prime"].work
    assert work.cautions
    minutes = [proposed(work.minutes, 12.0, "minutes"), proposed(work.waiting, 3.0, "minutes")]
    found = offers_of(knowledge, SYSTEM, minutes)
    assert [each.id for each in found.offered] == ["look-at-prime/minutes"]
    assert [each.id for each in found.withheld] == ["look-at-prime/waiting"]


def test_answers_of_one_link_stay_below_one(knowledge):
    slowly, quickly = shown(knowledge, "foot-valve-leaks", "prime-falls")
    found = offers_of(knowledge, SYSTEM, [proposed(slowly, 0.8), proposed(quickly, 0.4)])
    (offer,) = found.offered
    assert [w.label for w in offer.written] == ["slowly", "quickly"]
    assert sum(w.value for w in offer.written) <= 1.0
    assert "1 at most" in offer.notes[0]


def test_shares_of_a_layout_make_room_for_each_other(knowledge):
    below = knowledge.systems[SYSTEM].layout["source-level"]["below-pump"]
    (offer,) = offers_of(knowledge, SYSTEM, [proposed(below, 0.7, "layout")]).offered
    assert [w.value for w in offer.written] == [0.7, pytest.approx(0.3)]
    assert "to make room" in list(moves(offer))[1]


def test_what_says_the_same_is_counted_and_what_stands_nowhere_named(knowledge):
    how_common = knowledge.causes["prime-lost"].how_common
    nowhere = proposed(knowledge.words.repair_succeeds, 0.5)
    found = offers_of(knowledge, SYSTEM, [proposed(how_common, 0.01, "how-common"), nowhere])
    assert (found.offered, found.same, found.homeless) == ((), 1, (nowhere,))


def test_only_what_was_asked_for(knowledge):
    how_common = knowledge.causes["prime-lost"].how_common
    number = proposed(how_common, 0.05, "how-common")
    assert offers_of(knowledge, SYSTEM, [number], ["minutes"]).offered == ()
    assert len(offers_of(knowledge, SYSTEM, [number], ["how-common"]).offered) == 1


@pytest.mark.parametrize(
    ("effect", "told"),
    [
        (Effect(), "moves nothing in the 9 cases looked at"),
        (Effect(14, minutes=31.0), "31 minutes more over the 14 times that it was done"),
        (
            Effect(4, 0.0, 0.1),
            "what was confirmed becomes hardly likelier in 4 of 9 cases looked at",
        ),
        (
            Effect(2, 0.8, 0.8, 1),
            TWO_OF_NINE,
        ),
    ],
)
def test_effect_in_words(effect, told):
    assert effect_told(effect, 9) == told
