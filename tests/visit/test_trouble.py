"""Answers that cannot all be true, and more of them than can be reckoned with."""

import pytest

from faultnet.cases import events as e
from faultnet.inference.engine import TooLargeError
from tests.visit.press import key_of, labels, press


@pytest.fixture
def conflicting(begun):
    """A silent motor that clicks: the one hides the other."""
    return begun.after(e.Told("motor-silent", "yes")).after(e.Told("clicks", "yes"))


def test_a_conflict_is_shown_and_one_answer_can_be_taken_back(conflicting):
    turn = conflicting.turn
    assert turn.kind == "conflict"
    assert set(labels(turn)) == {"Motor silent: yes", "Clicks on and off: yes"}
    visit = press(conflicting, key_of(turn, "Motor silent: yes"))
    assert visit.turn.kind == "seen"
    assert visit.at.said("motor-silent") == ""
    assert visit.at.said("clicks") == "yes"


def test_a_conflict_can_be_undone(conflicting):
    assert press(conflicting, "u").turn.kind == "seen"


def test_a_conflict_in_the_middle_of_the_steps(conflicting):
    assert conflicting.after(e.Passed("seen")).turn.kind == "conflict"


def test_views_of_a_conflict_show_it_as_well(conflicting):
    assert conflicting.view("why").kind == "conflict"


def refusing(visit, *leave_out):
    def refuse(*_):
        raise TooLargeError(10**9, 10**7, leave_out)

    visit.talk.counsel.advice = refuse
    return visit


def test_too_much_names_what_to_leave_out(begun):
    told = begun.after(e.Told("no-water", "yes")).after(e.Told("clicks", "yes"))
    visit = refusing(told, "clicks", "prime-falls").after(e.Passed("seen"))
    assert visit.turn.kind == "too-large"
    assert labels(visit.turn) == ["Clicks on and off"]
    visit = press(visit, "1")
    assert visit.at.said("clicks") == ""
    assert visit.at.said("no-water") == "yes"


def test_too_much_with_nothing_to_leave_out_can_be_undone(begun):
    visit = refusing(begun).after(e.Passed("seen"))
    assert labels(visit.turn) == []
    assert press(visit, "u").turn.kind == "seen"
