"""Two people on one visit who did different things: whoever looks is asked how it is."""

import re

from faultnet.cases import events as e
from faultnet.visit.visit import visit_of
from tests.visit.press import labels, press, text
from tests.visit.test_differing import BERTA, other

NO_WATER = e.Told("no-water", "yes")


def test_both_mended_and_both_count(begun):
    begun = begun.after(NO_WATER)
    visit = begun.after(e.RepairDone("renew-valve")).having(
        other(begun, e.RepairDone("restore-power"))
    )
    assert visit.turn.kind == "apart"
    assert visit.turn.title == "Was all of this done?"
    assert "Both of them mended something" in text(visit.turn)
    for who in ("anna@here", "berta@there"):
        line = rf"{who} \(technician\), \d{{4}}-\d\d-\d\d \d\d:\d\d \(UTC\): Done: "
        assert re.search(line, text(visit.turn))
    assert len(labels(visit.turn)) == 3
    both = press(visit, "y")
    assert both.turn.kind != "apart"
    assert len(both.at.evidence.rounds) == 3
    hers = visit_of(visit.talk.subject, visit.entries, BERTA)
    assert (hers.turn.lines, hers.turn.replies) == (visit.turn.lines, visit.turn.replies)


def test_one_repair_was_not_done(begun):
    begun = begun.after(NO_WATER)
    visit = begun.after(e.RepairDone("renew-valve")).having(
        other(begun, e.RepairDone("restore-power"))
    )
    one = next(each for each in visit.turn.replies if "berta" in each.label)
    left = press(visit, one.key)
    assert [r.repairs for r in left.at.evidence.rounds[:-1]] == [("renew-valve",)]
    assert left.turn.kind != "apart"


def test_closed_while_another_went_on(begun):
    visit = begun.after(NO_WATER).having(other(begun, e.Ended("declined")))
    assert visit.over
    assert visit.turn.kind == "apart"
    assert visit.turn.title == "Is the case closed?"
    assert [each.key for each in visit.turn.bar] == ["u", "q"]
    assert press(visit, "y").turn.kind == "ended"
    goes_on = press(visit, "n")
    assert not goes_on.over
    assert goes_on.at.said("no-water") == "yes"


def test_closed_in_two_ways(begun):
    visit = begun.after(e.Ended("no-access")).having(other(begun, e.Ended("declined")))
    now = visit.at.ended
    (way,) = [each for each in visit.turn.replies if each.label.startswith("closed in")]
    settled = press(visit, way.key)
    assert settled.turn.kind == "ended"
    assert {now, settled.at.ended} == {"no-access", "declined"}


def test_a_danger_that_the_closer_had_not_heard_of_is_shown(begun):
    visit = begun.after(e.Ended("declined")).having(other(begun, e.Told("tingle", "yes")))
    assert visit.turn.kind == "apart"
    assert visit.turn.lines[0].kind == "danger"
    assert press(visit, "n").turn.kind == "danger"


def test_what_was_taken_back_may_count_again(begun):
    begun = begun.after(NO_WATER)
    told = begun.entries[-1]
    theirs = other(begun, e.StepDone("listen"))
    visit = begun.after(e.Undone(told.id)).having(theirs)
    assert visit.turn.title == "Was it right to take it back?"
    assert "Taken back: No water: yes" in text(visit.turn)
    assert press(visit, "n").at.said("no-water") == "yes"
    stays = press(visit, "y")
    assert stays.at.said("no-water") == ""
    assert stays.turn.kind != "apart"
