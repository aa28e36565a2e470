"""Two people on one visit: each has a step of their own, and what differs is asked again."""

import pytest

from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.visit.visit import visit_of
from tests.visit.press import ANNA, press, text

BERTA = Writer("berta@there")


def other(visit, *events):
    """Return the entries of somebody else who has seen a visit and then writes alone."""
    seen = visit.entries
    for event in events:
        seen = (*seen, BERTA.entry(visit.id, event, seen))
    return seen[len(visit.entries) :]


def test_what_was_told_differently_is_asked_until_somebody_settles_it(begun):
    theirs = other(begun, e.Told("clicks", "no"))
    visit = begun.after(e.Told("clicks", "yes")).having(theirs)
    turn = visit.turn
    assert turn.kind == "question"
    assert turn.heading == "Two people say different things"
    assert "anna@here (technician): yes" in text(turn)
    assert "berta@there (technician): no" in text(turn)
    settled = press(visit, "n")
    assert settled.at.case.conflicts == ()
    assert settled.at.said("clicks") == "no"
    assert settled.turn.kind == "seen"


def test_who_does_not_know_is_not_asked_again_and_it_stays_shown(begun):
    visit = begun.after(e.Told("clicks", "yes")).having(other(begun, e.Told("clicks", "no")))
    visit = press(visit, "?")
    assert visit.turn.kind == "seen"
    assert len(visit.at.case.conflicts) == 1


def test_the_layout_too(begun):
    theirs = other(begun, e.Told("check-valve", "in-line"))
    visit = begun.after(e.Told("check-valve", "foot")).having(theirs)
    assert visit.turn.title == "Is the check a foot valve, or in the line?"
    assert press(visit, "2").at.evidence.layout == {"check-valve": "in-line"}


def test_a_danger_of_another_stops_at_once(begun):
    visit = begun.having(other(begun, e.Told("tingle", "yes")))
    assert visit.turn.kind == "danger"


def test_each_has_a_step_of_their_own(begun):
    begun = press(begun.after(e.Told("no-water", "yes")), "")
    theirs = other(begun, e.StepBegun("look-at-prime"))
    mine = begun.after(e.StepDone("listen"))
    visit = mine.having(theirs)
    assert (visit.at.step, visit.at.doing) == ("listen", True)
    hers = visit_of(visit.talk.subject, visit.entries, BERTA)
    assert (hers.at.step, hers.at.doing) == ("look-at-prime", False)


def test_whoever_is_new_goes_on_where_the_last_one_was(begun):
    visit = press(begun.after(e.Told("no-water", "yes")), "").after(e.StepDone("listen"))
    hers = visit_of(visit.talk.subject, visit.entries, BERTA)
    assert hers.turn == visit.turn


def test_undo_takes_ones_own(begun):
    visit = begun.after(e.Told("no-water", "yes"))
    visit = visit.having(other(visit, e.Told("clicks", "yes")))
    assert visit.last.author == ANNA.author
    visit = press(visit, "u")
    assert visit.at.said("no-water") == ""
    assert visit.at.said("clicks") == "yes"


@pytest.mark.parametrize("end", ["declined", "no-access"])
def test_when_another_closes_it_it_is_over(begun, end):
    visit = begun.having(other(begun, e.Ended(end)))
    assert visit.over
    assert visit.turn.kind == "ended"
    assert visit.having(other(visit, e.Reopened())).turn == begun.turn


def test_reopened_after_proof_it_has_to_be_proved_again(begun):
    visit = begun.after(e.Told("no-water", "yes")).after(e.RepairDone("renew-valve"))
    visit = visit.after(e.Told("no-water", "no")).after(e.Proved("yes")).after(e.Ended("mended"))
    assert visit.turn.kind == "ended"
    assert visit.after(e.Reopened()).turn.kind == "proof"
