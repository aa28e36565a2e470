"""Answers that cannot all be true, and more of them than can be reckoned with."""

from dataclasses import replace

import pytest

from faultnet.advice.grounds import grounds
from faultnet.cases import events as e
from faultnet.inference.engine import TooLargeError
from faultnet.visit.counsel import Counsel
from faultnet.visit.talk import Talk
from tests.visit.press import key_of, labels, pick, press, text


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
    label = "leave out: Clicks on and off"
    assert [each for each in labels(visit.turn) if each.startswith("leave out")] == [label]
    visit = pick(visit, label)
    assert visit.at.said("clicks") == ""
    assert visit.at.said("no-water") == "yes"


def test_too_much_asks_for_what_is_installed_and_that_makes_it_small(begun):
    about = begun.talk.subject.weightiest[0]
    told = begun.after(e.Told("clicks", "yes")).after(e.Passed("seen"))
    small = told.after(e.Told(about, told.view(f"correct:{about}").replies[0].view.split("=")[1]))
    work = [grounds(v.talk.subject, v.at.evidence).query.plan.work for v in (told, small)]
    assert work[1] < work[0]
    visit = replace(told, talk=Talk(told.talk.subject, Counsel(*who_in(told), most=work[1])))
    assert visit.turn.kind == "too-large"
    view = visit.turn.replies[0].view
    assert view == f"correct:{about}"
    change = visit.view(visit.view(view).replies[0].view)
    assert "cannot be reckoned" in text(change)
    assert visit.after(change.reply("y").event).turn.kind != "too-large"


def who_in(visit):
    return visit.talk.subject, visit.talk.counsel.who


def told_all(visit):
    for about in visit.talk.subject.weightiest:
        value = visit.view(f"correct:{about}").replies[0].view.split("=")[1]
        visit = visit.after(e.Told(about, value))
    return visit


def test_too_much_with_nothing_to_leave_out_can_be_undone(begun):
    visit = refusing(told_all(begun)).after(e.Passed("seen"))
    assert labels(visit.turn) == []
    assert "Undo the last answer." in text(visit.turn)
    assert press(visit, "u").turn.kind == "seen"
