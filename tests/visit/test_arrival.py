"""Arrival: the account of the phone, the state as found, what was tried, what to take along."""

import pytest
from msgspec.structs import replace

from faultnet.cases import events as e
from faultnet.cases.entry import Writer
from faultnet.visit.turn import Turn
from faultnet.visit.visit import visit_of
from tests.visit.press import ANNA, key_of, labels, opened, press, text, written

BRUNO = Writer("bruno@pump")


@pytest.fixture
def arrived(shipped):
    """A visit at the shipped system, dangers denied: the first look is due."""
    return press(opened(shipped, e.Opened("jet-pump-cistern")), "n")


def test_the_state_as_found_comes_before_anything_is_touched(arrived):
    assert arrived.turn.kind == "as-found"
    assert arrived.turn.title.startswith("What does the gauge")
    read = arrived.typed("look:gauge", "3 bar")
    assert isinstance(read, e.AsFound)
    # 1 bar is 14.50377 psi: NIST Special Publication 811, appendix B.
    assert read.value == pytest.approx(3 * 14.50377, rel=1e-6)
    visit = arrived.after(read)
    assert visit.turn.title.startswith("Listen at the pump")
    visit = press(visit, key_of(visit.turn, "It hums and does not turn"))
    assert visit.at.said("motor-hums") == "yes"
    assert visit.at.complaints == ("motor-hums",)


@pytest.mark.parametrize("wrong", ["x", "-3", "900", "10 ft", "nan", "5 5"])
def test_a_gauge_that_cannot_be_is_asked_again(arrived, wrong):
    again = arrived.typed("look:gauge", wrong)
    assert isinstance(again, Turn)
    assert again.typed is not None
    assert "no reading" in text(again)
    assert arrived.typed("look:gauge", " ") == arrived.turn


def test_the_looks_can_be_skipped_and_are_over_once_something_was_touched(arrived):
    assert press(arrived, "s").turn.heading.startswith("The installation")
    assert arrived.after(e.SetUpMade(("house-valve-shut",))).turn.kind != "as-found"
    assert arrived.after(e.StepDone("hold-test")).turn.kind != "as-found"
    unseen = press(arrived, "?", "?", "?", "?")
    assert unseen.turn.heading.startswith("The installation")
    assert unseen.at.now.answers == arrived.at.now.answers


def test_a_lever_is_not_asked_about_where_there_is_none(arrived):
    visit = press(arrived.after(e.Told("switch", "plain")), "?", "?")
    assert "3 of 3" in visit.turn.heading
    assert press(visit, "?").turn.kind == "question"


def test_a_caller_is_not_sent_to_look(shipped):
    visit = opened(shipped, e.Opened("jet-pump-cistern", speaker="caller"))
    assert press(visit, "n").turn.kind != "as-found"


def test_what_the_phone_told_is_read_first_and_dangers_are_looked_for_again(small):
    called = written(
        e.Opened("small-pump", speaker="caller"),
        e.Denied(("tingle", "someone-in-pit")),
        e.Told("no-water", "yes"),
        e.Told("clicks", "no"),
        e.Told("after-freeze", "yes"),
        e.Tried("restore-power", outcome="nothing"),
        e.Note("Gate code is with the miller (invented)."),
    )
    taken_up = BRUNO.entry(called[0].log, e.Joined(), called)
    visit = visit_of(small, (*called, taken_up), BRUNO)
    assert visit.turn.kind == "handed-over"
    told = text(visit.turn)
    for words in ("No water: yes", "frost", "Restore the power: no change", "Gate code"):
        assert words.lower() in told.lower()
    assert "Told as not so: " in told
    assert "Clicks on and off" in told
    visit = press(visit, "")
    assert visit.turn.kind == "dangers"
    assert press(visit, "n").turn.kind == "question"
    # Whoever is on the phone goes on without it.
    assert visit_of(small, called, ANNA).turn.kind != "handed-over"


def test_what_happened_before_and_what_was_tried_can_be_told(begun):
    before = begun.view("before")
    reply = before.reply(key_of(before, "Frost just before"))
    assert reply is not None
    assert begun.after(reply.event).at.evidence.circumstances == {"after-freeze": True}
    tried = begun.view("tried:0")
    assert labels(tried)[0] == "Restore the power"
    visit = press(begun, "b", "t", "1", "1")
    assert visit.at.tried == (e.Tried("restore-power", outcome="nothing"),)
    assert "Restore the power: no change" in text(visit.view("before"))
    assert visit.typed("tried", " a new foot valve ") == e.Tried(text="a new foot valve")
    offered = visit.after(e.Told("motor-silent", "yes")).after(e.Passed("seen"))
    while offered.turn.title != "Restore the power":
        offered = press(offered, "s", "s")
    assert "Tried before you came. Restore the power: no change." in text(offered.turn)


def test_the_list_of_what_to_take_along_comes_once_and_can_be_read_again(fresh):
    visit = press(fresh.after(e.Told("no-water", "yes")), "n", "s", "")
    assert visit.turn.kind == "take-along"
    told = text(visit.turn)
    assert "foot valve" in told
    assert "wrench" in told
    visit = press(visit, "")
    assert visit.turn.kind == "step"
    assert text(visit.view("take-along")) == told


def test_a_second_pair_of_hands_is_named_where_a_first_step_takes_it(small):
    known = small.knowledge
    two = replace(known.set_ups["pressure-bled"].hands, value=2.0)
    bled = replace(known.set_ups["pressure-bled"], hands=two)
    set_ups = {**known.set_ups, "pressure-bled": bled}
    subject = replace(small, knowledge=replace(known, set_ups=set_ups))
    visit = opened(subject, e.Opened("small-pump"), e.Told("prime-falls", "quickly"))
    shown = text(visit.view("take-along"))
    assert "A second pair of hands. Pressure let off: 2 people." in shown
