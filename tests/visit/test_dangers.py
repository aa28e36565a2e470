"""Danger comes before everything, and nothing goes on until it is made safe."""

from faultnet.cases.events import Event, MadeSafe, Told
from faultnet.visit.turn import Turn
from tests.visit.press import labels, pick, press, text


def test_danger_is_asked_first_and_what_no_fault_makes_leads(fresh):
    turn = fresh.turn
    assert turn.kind == "dangers"
    assert labels(turn)[:2] == ["Somebody in the pit", "Tingle or shock"]
    assert "The pump never stops" not in labels(turn)


def test_none_of_them_answers_no_to_each(fresh):
    visit = press(fresh, "n")
    assert visit.at.said("tingle") == "no"
    assert visit.at.said("someone-in-pit") == "no"
    assert visit.turn.heading.startswith("The installation")


def test_one_by_one_with_the_whole_question(fresh):
    visit = press(fresh, "?")
    assert visit.turn.title == "Is anybody in a pit?"
    visit = press(visit, "n")
    assert visit.turn.title == "Has anybody felt a shock?"
    visit = press(visit, "?")
    assert visit.at.said("tingle") == ""
    assert visit.turn.heading.startswith("The installation")


def test_a_full_stop_goes_on_by_the_typed_word_alone(fresh):
    visit = pick(fresh, "Tingle or shock")
    assert visit.turn.kind == "danger"
    assert "Nobody touches anything." in text(visit.turn)
    assert "An electrician." in text(visit.turn)
    assert visit.turn.replies == ()
    assert visit.turn.typed is not None
    for wrong in ("", "y", "yes", "unsafe", "saf"):
        again = visit.typed(visit.turn.typed.what, wrong)
        assert isinstance(again, Turn)
        assert again.kind == "danger"
        assert again.typed == visit.turn.typed
        assert again.bar == visit.turn.bar
    event = visit.typed(visit.turn.typed.what, " Safe ")
    assert event == MadeSafe("tingle")
    assert isinstance(event, Event)
    visit = visit.after(event)
    assert visit.turn.kind == "dangers"
    assert labels(visit.turn)[0] == "Somebody in the pit"
    assert "Tingle or shock" not in labels(visit.turn)


def test_a_slip_can_be_undone(fresh):
    visit = pick(fresh, "Tingle or shock")
    assert press(visit, "u").turn == fresh.turn


def test_make_safe_takes_one_key_and_then_goes_on(begun):
    visit = pick(begun, "The pump never stops", "y")
    assert visit.turn.kind == "danger"
    assert "Switch it off at the panel." in text(visit.turn)
    visit = press(visit, "y")
    assert visit.turn.kind == "seen"
    assert "The pump never stops" in visit.turn.heading


def test_a_danger_stops_in_the_middle_of_a_step_and_in_the_end(begun):
    visit = press(begun.after(Told("no-water", "yes")), "")
    assert visit.turn.kind == "step"
    for stage in (visit, press(visit, "p")):
        assert stage.turn.kind in {"step", "paused"}
    stopped = visit.after(Told("tingle", "yes"))
    assert stopped.turn.kind == "danger"
    ending = stopped.view("ways")
    leaving = stopped.after(ending.replies[0].event)
    assert leaving.turn.kind == "danger"


def test_dealt_with_in_one_round_it_still_stops_in_the_next(begun):
    visit = pick(begun, "The pump never stops", "y", "y")
    visit = visit.after(Told("never-stops", "yes"))
    assert visit.turn.kind == "seen"
    from faultnet.cases.events import RepairDone

    visit = press(visit.after(RepairDone("renew-valve")), "y")
    assert visit.turn.kind == "danger"
