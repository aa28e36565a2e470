"""A second opinion: no ranking is shown before a suspect has been named, in each round."""

import pytest

from faultnet.cases import events as e
from tests.visit.press import key_of, labels, opened, press, text


@pytest.fixture
def blind(small):
    first = (e.Opened("small-pump"), e.OwnViewFirst())
    visit = press(opened(small, *first).after(e.Told("no-water", "yes")), "n", "s")
    return press(visit.after(e.Passed("take-along")), "")


def test_a_suspect_is_asked_for_and_nothing_shows_the_ranking(blind):
    assert blind.turn.kind == "suspect"
    assert labels(blind.turn) == ["Everything", "something else, in words"]
    assert blind.view("why").kind == "suspect"
    causes = blind.view("suspect:small:0")
    titles = labels(causes)[:4]
    assert titles == sorted(titles)
    assert "%" not in text(causes) + "".join(labels(causes))


def test_it_is_compared_once_and_then_the_steps_come(blind):
    visit = press(blind, "1", key_of(blind.view("suspect:small:0"), "Power is off"))
    assert visit.at.suspect == e.Suspected("no-power")
    assert visit.turn.kind == "compared"
    ranking = visit.talk.counsel.ranking(visit.at.evidence)
    place = [c.id for c in ranking.causes].index("no-power")
    told = text(visit.turn)
    assert f"{ranking.causes[place].probability:.0%}, place {place + 1} of 4" in told
    assert f"First here: {ranking.causes[0].title}" in told
    visit = press(visit, "")
    assert visit.turn.kind == "step"
    assert visit.view("why").kind == "why"


def test_a_suspect_in_words_is_held_against_what_is_not_listed(blind):
    event = blind.typed("suspect", " mice in the switch ")
    assert event == e.Suspected("", "mice in the switch")
    told = text(blind.after(event).turn)
    assert "You: mice in the switch." in told
    assert blind.typed("suspect", " ") == blind.turn


def test_a_new_round_asks_anew(blind):
    visit = press(blind.after(e.Suspected("no-power")), "").after(e.RepairDone("renew-valve"))
    assert visit.at.suspect is None
    visit = press(visit, "y")
    assert visit.turn.kind == "suspect"
