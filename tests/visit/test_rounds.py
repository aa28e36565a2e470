"""After a repair: put back, try, ask again, prove, leave safe; or go on with a new round."""

import pytest

from faultnet.cases import events as e
from faultnet.visit.set_ups import undo_order
from tests.visit.press import key_of, labels, press, text


@pytest.fixture
def repaired(begun):
    """A valve renewed because no water came and the pump never stopped."""
    visit = begun.after(e.Told("no-water", "yes")).after(e.Told("never-stops", "yes"))
    visit = press(visit, "y", "").after(e.StepBegun("renew-valve"))
    visit = press(visit, "d", "d")
    assert visit.turn.kind == "do"
    assert "Take the old one out." in text(visit.turn)
    return press(visit, "y")


def test_what_was_set_up_is_undone_before_it_is_tried(repaired):
    turn = repaired.turn
    assert turn.kind == "put-back"
    items = [line.text for line in turn.lines if line.kind == "item"]
    assert items == ["Pressure let off", "Power locked out"]
    assert "Nobody drinks the water" in text(turn)
    visit = press(repaired, "d")
    assert visit.at.evidence.set_ups == ()
    assert visit.turn.title == "Does no water come?"


def test_some_may_stay_and_are_told_in_the_end(repaired):
    visit = press(repaired, "k", "n", "n", "y", "")
    assert visit.turn.kind == "leave-safe"
    assert "Undo: Pressure let off." in text(visit.turn)


def test_all_complaints_gone_is_proved_and_left_safe(repaired):
    visit = press(repaired, "d", "n", "n")
    assert visit.turn.kind == "proof"
    assert "Hold test passed." in text(visit.turn)
    assert "18 min" in text(visit.turn)
    visit = press(visit, "y")
    assert visit.turn.kind == "sheet"
    visit = press(visit, "")
    assert visit.turn.kind == "leave-safe"
    visit = press(visit, "d")
    assert visit.over
    assert visit.at.ended == "mended"
    assert visit.turn.bar == ()
    summary = text(visit.turn)
    assert "Mended and proved" in summary
    assert "No water: yes" in summary
    assert "Done: Renew the valve" in summary
    assert "Valve leaks (" in summary


def test_a_proof_that_comes_later_is_kept_in_sight(repaired):
    visit = press(repaired, "d", "n", "n", "l", "", "d")
    assert visit.at.ended == "mended-proof-open"
    assert "Still to be proved: Hold test passed." in text(visit.turn)


def test_not_mended_goes_on_in_the_new_round(repaired):
    visit = press(repaired, "d", "y")
    assert visit.turn.title == "Does it run on and on?"
    visit = press(visit, "n")
    assert visit.turn.kind == "step"
    first, second = visit.at.evidence.rounds
    assert first.repairs == ("renew-valve",)
    assert [a.answer for a in second.answers] == ["yes", "no"]
    assert visit.turn.title != "Renew the valve"


def test_a_complaint_that_is_a_danger_stops_again(repaired):
    visit = press(repaired, "d", "n", "y")
    assert visit.turn.kind == "danger"
    assert press(visit, "y").turn.kind == "step"


def test_where_nobody_can_tell_the_whole_is_asked(repaired):
    visit = press(repaired, "d", "?", "?")
    assert visit.turn.kind == "works"
    assert press(visit, "y").turn.kind == "proof"
    assert press(visit, "n").turn.kind == "step"
    assert press(visit, "?").turn.kind == "step"


def test_a_repair_without_any_complaint_is_asked_about_as_a_whole(begun):
    visit = press(begun, "").after(e.RepairDone("restore-power"))
    assert visit.turn.title == "What had been wrong?"
    visit = press(visit, "?")
    assert visit.turn.kind == "works"
    visit = press(visit, "y")
    assert visit.turn.kind == "proof"
    assert "The signs of the trouble stay away" in text(visit.turn)


def test_a_failed_proof_asks_what_it_showed_and_goes_on(repaired):
    visit = press(repaired, "d", "n", "n", "n")
    assert visit.turn.kind == "seen"
    assert visit.turn.title == "What did the proof show?"
    visit = press(visit, key_of(visit.turn, "Gauge falls"), "y", "")
    assert visit.turn.kind == "step"


def test_two_repairs_in_a_row(repaired):
    visit = press(repaired, "d", "y", "n").after(e.RepairDone("restore-power"))
    assert visit.turn.title == "What had been wrong?"
    visit = press(visit, "1")
    assert visit.turn.title == "Does no water come?"
    visit = press(visit, "n", "n", "y", "", "d")
    assert visit.at.ended == "mended"
    assert len(visit.at.evidence.rounds) == 3
    assert "Done: Renew the valve; the trouble stayed" in text(visit.turn)
    assert "Done: Restore the power\n" in text(visit.turn)
    assert "After repair 1:" in text(visit.turn)


def test_a_repair_can_be_undone(repaired):
    assert press(repaired, "u").turn.kind == "do"


def test_a_visit_can_end_in_other_ways(begun):
    visit = press(begun, "")
    ways = visit.view("ways")
    assert "Part on order" in labels(ways)
    reply = ways.reply(key_of(ways, "Part on order"))
    assert reply is not None
    visit = visit.after(reply.event)
    assert press(visit, "u").turn.kind == "step"
    visit = press(visit, "")
    assert visit.turn.kind == "leave-safe"
    assert "off at the panel with a note" in text(visit.turn)
    assert press(visit, "u").turn.kind == "sheet"
    assert press(visit, "d").at.ended == "part-on-order"


def test_a_pause_keeps_the_place(repaired):
    paused = press(repaired, "p")
    assert paused.turn.kind == "paused"
    assert press(paused, "").turn == repaired.turn


def test_nothing_is_undone_that_another_still_needs(small):
    made = ("power-locked-out", "house-valve-shut", "pressure-bled")
    order = undo_order(small.knowledge, made)
    assert order.index("pressure-bled") < order.index("power-locked-out")
    assert sorted(order) == sorted(made)
    assert undo_order(small.knowledge, ("gone", "power-locked-out"))[-1] in {
        "gone",
        "power-locked-out",
    }
