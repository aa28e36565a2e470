"""What is seen: a short list that changes with what is known, or typed words."""

import pytest

from faultnet.cases.events import Opened, Told
from faultnet.visit.seen import SHOWN, by_use
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit
from tests.visit.press import key_of, labels, opened, pick, press


def test_what_the_house_can_tell_comes_first(begun):
    order = by_use(begun.talk, begun.at)
    house = [bool(begun.talk.finding(f).ask_caller) for f in order]
    assert house == sorted(house, reverse=True)


@pytest.fixture
def pump(shipped) -> Visit:
    return opened(shipped, Opened("jet-pump-cistern"))


def places(visit: Visit, *findings: str) -> list[int]:
    order = by_use(visit.talk, visit.at)
    return [order.index(finding) for finding in findings]


def test_the_order_changes_with_what_is_known(pump):
    # A pump that clicks on and off points to the tank: what parts tank faults moves up.
    clicks = pump.after(Told("short-cycles-drawing", "yes"))
    before, after = places(pump, "starts-at-every-draw"), places(clicks, "starts-at-every-draw")
    assert after < before
    # Air at the taps points to the suction line: what has to do with its prime moves up.
    air = pump.after(Told("air-at-taps", "yes"))
    assert places(air, "prime-lost-overnight") < places(pump, "prime-lost-overnight")


def test_what_is_told_leaves_the_list_and_what_follows_from_it_comes_last(pump):
    silent = pump.after(Told("motor-silent", "yes"))
    assert "motor-silent" not in by_use(silent.talk, silent.at)
    house = [f for f in by_use(silent.talk, silent.at) if pump.talk.finding(f).ask_caller]
    assert {"no-water", "gauge-at-zero"} == set(house[-2:])


def test_what_cannot_show_is_not_offered(begun):
    silent = begun.after(Told("motor-silent", "yes"))
    assert not {"clicks", "never-stops", "gauge-falls"} & set(by_use(silent.talk, silent.at))
    plain = begun.after(Told("tank", "plain"))
    assert "tank-heavy" not in by_use(plain.talk, plain.at)


def test_a_pick_is_asked_in_full_and_then_the_list_comes_again(begun):
    visit = pick(begun, "No water")
    assert visit.turn.title == "Does no water come?"
    visit = press(visit, "y")
    assert visit.turn.kind == "seen"
    assert visit.turn.heading == "So far: No water"


def test_graded_answers_by_number(begun):
    visit = pick(begun, "Prime level falls")
    assert labels(visit.turn)[:3] == ["no", "slowly", "quickly"]
    assert press(visit, "3").at.said("prime-falls") == "quickly"
    assert press(visit, "y").at.said("prime-falls") == "yes"


def test_cannot_is_offered_where_it_is_an_answer(begun):
    visit = pick(begun, "Gauge falls")
    assert press(visit, "c").at.said("gauge-falls") == "cannot"
    assert pick(begun, "No water").turn.reply("c") is None


def test_dont_know_goes_on_to_steps(begun):
    assert press(begun, "?").turn.kind == "step"
    assert press(begun, "").turn.kind == "step"


def test_words_find_and_what_is_found_is_asked(begun):
    found = begun.typed("search", "dry tap")
    assert isinstance(found, Turn)
    reply = found.reply(key_of(found, "No water"))
    assert reply is not None
    assert begun.after(reply.event).turn.title == "Does no water come?"


def test_words_that_mean_nothing_are_answered_so(begun):
    found = begun.typed("search", "xyzzy plugh")
    assert isinstance(found, Turn)
    assert "xyzzy plugh" in found.title
    assert [each.view for each in found.replies] == ["search", "back"]


def test_no_words_go_back(begun):
    assert begun.typed("search", "  ") == begun.turn


def test_more_shows_the_rest_and_comes_round(pump):
    visit = press(pump, "n", "s", "s")
    first = labels(visit.turn)[:SHOWN]
    reply = visit.turn.reply("m")
    assert reply is not None
    second = visit.view(reply.view)
    assert not set(first) & set(labels(second)[:SHOWN])
    far = visit.view("seen:100000")
    assert labels(far)[:SHOWN] == first
