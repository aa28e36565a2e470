"""A procedure walked step by step: timer, stop, back, leave, numbers, undo."""

import pytest

from faultnet.cases import events as e
from faultnet.cases.entry import Writer, seconds_of
from faultnet.cases.fits import fits
from faultnet.model.evidence import Taken
from faultnet.visit.said import said
from faultnet.visit.visit import visit_of
from tests.visit.press import labels, press, text, written

GAUGE = "reading-the-gauge"
BEFORE = (e.Opened("small-pump"), e.Denied(("tingle", "someone-in-pit", "never-stops")))


def walking(small, *events, author="anna@here"):
    """Return a visit in which a procedure was begun, after more events."""
    entries = written(*BEFORE, e.ProcedureBegun(GAUGE), *events)
    return visit_of(small, entries, Writer(author))


@pytest.fixture
def begun(small):
    return walking(small)


def test_it_is_begun_from_where_it_is_read(fresh):
    visit = press(fresh, "n", "s")
    listed = visit.view("how")
    shown = visit.view(next(r.view for r in listed.replies if GAUGE in r.view))
    visit = visit.after(shown.reply("w").event)
    assert visit.turn.kind == "walk"
    assert visit.turn.heading == "Read the gauge twice: step 1 of 5"


def test_how_to_can_be_asked_wherever_a_step_stands(small, fresh):
    visit = press(fresh, "n", "s", "?", "")
    assert visit.turn.kind == "step"
    assert visit.view(visit.turn.reply("h").view).kind == "how"


def test_each_step_tells_caution_limit_stop_and_what_to_look_at(begun):
    assert "Never the valve at the pump." in text(begun.turn)
    assert "Stop when: It will not shut." in text(begun.turn)
    waiting = press(begun, "", "")
    assert "Limit: 15 minutes." in text(waiting.turn)
    assert "Meanwhile: Look under the tank." in text(waiting.turn)


def test_enter_goes_on_to_the_end_and_back_to_the_visit(begun):
    assert labels(press(begun, "", "", "", "").turn)[0] == "done: that was the last step"
    visit = press(begun, "", "", "", "", "")
    assert visit.at.walk.procedure == ""
    assert visit.turn.kind == "question"


def test_back_goes_back_one_and_not_before_the_first(begun):
    assert begun.turn.reply("b") is None
    assert press(begun, "", "", "b").at.walk.step == 1


def test_the_stop_condition_ends_it_and_tells_how_to_leave(begun):
    visit = press(begun, "", "", "x")
    assert visit.turn.title == "The gauge is at nothing. That is answer enough."
    assert "House valve open again." in text(visit.turn)
    assert "Stopped: Read the gauge twice, step 3: The gauge is at nothing" in said(
        visit.talk.subject, visit.events[-1]
    )
    assert press(visit, "b").turn.kind == "walk"
    assert press(visit, "").at.walk.procedure == ""


def test_a_step_without_stop_condition_cannot_stop(begun):
    assert press(begun, "").turn.reply("x") is None


def test_it_is_left_with_a_reason_alone(begun):
    asked = begun.view("leave")
    assert "House valve open again." in text(asked)
    assert begun.typed("leave", "  ") is begun.turn
    event = begun.typed("leave", " rain ")
    assert event == e.ProcedureLeft(GAUGE, 0, "rain")
    assert begun.after(event).at.walk.procedure == ""


def test_the_timer_runs_from_its_entry(begun):
    waiting = press(begun, "", "")
    assert waiting.turn.until == 0.0
    assert waiting.turn.reply("t").label == "timer 15 min"
    started = press(waiting, "t")
    assert started.turn.until == seconds_of(started.entries[-1].at) + 900.0
    again = visit_of(started.talk.subject, started.entries, started.writer)
    assert again.turn.until == started.turn.until
    assert press(started, "").turn.until == 0.0
    assert press(started, "u").turn.until == 0.0
    assert press(started, "", "u").turn.until == started.turn.until


def test_only_a_limit_in_minutes_has_a_timer(begun):
    assert begun.turn.reply("t") is None


def test_two_readings_are_one_in_the_case(begun):
    visit = press(begun, "")
    visit = visit.after(visit.typed("part", "3.4bar"))
    assert visit.at.walk.step == 2
    assert visit.at.now.taken == ()
    visit = press(visit, "")
    assert "Read before: start 49.3" in text(visit.view("part"))
    event = visit.typed("part", "44 15")
    assert event.parts == {"start": pytest.approx(49.31, abs=0.01), "end": 44.0, "minutes": 15.0}
    visit = visit.after(event)
    assert visit.at.now.taken == (Taken("hold", event.parts),)
    assert visit.at.walk.step == 4
    assert press(visit, "u").at.walk.step == 3


@pytest.mark.parametrize("typed", ["50 44", "fifty", "50min", "900", "-3"])
def test_a_number_that_cannot_be_is_asked_again(begun, typed):
    visit = press(begun, "")
    turn = visit.typed("part", typed)
    assert turn.kind == "reading"
    assert any(line.kind == "caution" for line in turn.lines)


def test_too_short_a_wait_is_refused_with_the_reason(begun):
    visit = press(begun, "")
    visit = press(visit.after(visit.typed("part", "50")), "")
    assert "10" in text(visit.typed("part", "44 2"))


def test_undo_leads_back_step_by_step(begun):
    visit = press(begun, "", "", "u")
    assert visit.at.walk.step == 1
    assert press(visit, "u", "u").at.walk.procedure == ""


def test_a_danger_comes_first_and_then_it_goes_on(begun):
    visit = press(begun, "", "").after(e.Told("tingle", "yes"))
    assert visit.turn.kind == "danger"
    assert visit.after(e.MadeSafe("tingle")).at.walk.step == 2


def test_what_is_seen_meanwhile_can_be_told(begun):
    visit = press(begun, "", "")
    assert visit.view(visit.turn.reply("a").view).typed.what == "search"
    visit = visit.after(e.Picked("clicks"))
    assert visit.turn.kind == "question"
    assert press(visit, "n").turn.kind == "walk"


def test_ending_in_the_middle_tells_how_to_leave(begun):
    assert "House valve open again." in text(press(begun.after(e.Ending("no-access")), "").turn)


def test_a_procedure_is_its_authors_own(small):
    visit = walking(small)
    berta = Writer("berta@there")
    joined = berta.entry(visit.id, e.Joined(), visit.entries)
    noted = berta.entry(visit.id, e.ProcedureStepDone(GAUGE, 0), (*visit.entries, joined))
    assert visit.having((joined, noted)).at.walk.step == 0
    assert visit_of(small, (*visit.entries, joined, noted), berta).at.walk.step == 1


def test_an_event_at_another_step_changes_nothing(begun):
    assert begun.after(e.ProcedureStepDone(GAUGE, 3)).at.walk == begun.at.walk
    assert begun.after(e.TimerStarted(GAUGE, 2)).at.walk == begun.at.walk
    assert begun.after(e.ProcedureLeft("priming", 0, "x")).at.walk == begun.at.walk


@pytest.mark.parametrize(
    "event",
    [
        e.ProcedureBegun("gone"),
        e.ProcedureStepDone(GAUGE, 5),
        e.ProcedureBack(GAUGE, -1),
        e.PartRead("gone", {"start": 1.0}),
        e.PartRead("hold", {"gone": 1.0}),
        e.PartRead("hold", {"start": float("nan")}),
    ],
)
def test_what_no_longer_fits(small, event):
    assert not fits(small, event)


def test_the_procedures_of_the_step_at_hand_come_first(small, begun):
    assert labels(begun.view("how"))[0] == "Fill the pump"
    repairing = visit_of(small, written(*BEFORE, e.StepBegun("renew-valve")), Writer("anna@here"))
    assert labels(repairing.view("how"))[:2] == ["Read the gauge twice", "Fill the pump"]
