"""Step after step: offered, set up, done, asked; put off where it does not fit."""

import math

import pytest

from faultnet.advice.step import Advice, Step
from faultnet.cases import events as e
from faultnet.visit.steps import duration
from faultnet.visit.turn import Turn
from tests.visit.press import labels, press, text


def step(name, kind="check"):
    return Step(name, kind, name.title(), 1.0, 0.0, 1.0, 2.0, "technician")


def offered(visit, *names, further=()):
    """Return the visit with this advice, whatever the evidence; further steps come later."""

    def advice(_, without=frozenset()):
        shown = [n for n in (*names, *(further if without else ())) if n not in without]
        steps = (*(step(n) for n in shown), step("specialist", "specialist"))
        return Advice("small-pump", "minutes", (), steps, 0.0)

    visit.talk.counsel.advice = advice
    return visit


@pytest.fixture
def at_steps(begun):
    return press(begun.after(e.Told("no-water", "yes")), "")


def doing(visit, name):
    return visit.after(e.StepBegun(name))


def test_the_best_step_is_offered_with_its_reason_and_what_to_do(at_steps):
    best = at_steps.talk.counsel.advice(at_steps.at.evidence).steps[0]
    turn = at_steps.turn
    assert turn.kind == "step"
    assert turn.title == best.title
    assert best.reason in text(turn)
    for caution in best.cautions:
        assert caution in text(turn)


def test_put_off_shows_the_next_best_and_comes_back_only_at_the_end(begun):
    visit = offered(begun, "listen", "ask-around").after(e.Passed("seen"))
    seen = []
    for _ in range(4):
        seen.append(visit.turn.title)
        visit = press(visit, "s", "s")
    assert seen == ["Listen", "Ask-Around", "Specialist", "Listen"]
    assert visit.turn.heading.startswith("Put off before")


def test_a_step_that_was_done_is_not_offered_again_in_the_round(begun):
    visit = offered(begun, "listen", "knock-on-tank").after(e.Passed("seen"))
    visit = press(visit.after(e.StepDone("listen")), "?", "?", "?")
    assert visit.turn.title == "Knock-On-Tank"


def test_checks_beyond_those_in_the_advice_come_before_the_specialist(begun):
    visit = offered(begun, "listen", further=("knock-on-tank",)).after(e.Passed("seen"))
    seen = []
    for _ in range(4):
        seen.append(visit.turn.title)
        visit = press(visit, "s", "s")
    assert seen == ["Listen", "Knock-On-Tank", "Specialist", "Listen"]


def test_advice_without_a_check_does_not_name_it(at_steps):
    counsel, evidence = at_steps.talk.counsel, at_steps.at.evidence
    first = next(s for s in counsel.advice(evidence).steps if s.kind == "check")
    without = counsel.advice(evidence, frozenset({first.id}))
    assert first.id not in {s.id for s in without.steps}


def test_set_ups_come_one_after_another_in_the_order_they_need(at_steps):
    visit = doing(at_steps, "look-at-prime")
    assert visit.turn.kind == "set-up"
    assert visit.turn.title == "Power locked out"
    assert "Hang your lock on." in text(visit.turn)
    assert "Prove it dead." in text(visit.turn)
    visit = press(visit, "d")
    assert visit.turn.title == "Pressure let off"
    visit = press(visit, "d")
    assert visit.turn.kind == "do"
    assert visit.at.evidence.set_ups == ("power-locked-out", "pressure-bled")


def test_set_ups_are_shared_and_those_in_the_way_are_undone(at_steps):
    visit = press(doing(at_steps, "look-at-prime"), "d", "d", "d", "1")
    assert doing(visit, "renew-valve").turn.kind == "do"
    undo = doing(visit, "hold-test")
    assert undo.turn.title == "Undo: Pressure let off"
    undo = press(undo, "d")
    assert undo.turn.title == "Undo: Power locked out"
    undo = press(undo, "d")
    assert undo.turn.title == "House valve shut"
    assert press(undo, "d").at.evidence.set_ups == ("house-valve-shut",)


def test_a_step_can_be_left_while_it_is_set_up_and_what_is_made_stays(at_steps):
    visit = press(doing(at_steps, "look-at-prime"), "d", "s", "s")
    assert visit.turn.kind == "step"
    assert visit.turn.title != "Look at the prime"
    assert visit.at.evidence.set_ups == ("power-locked-out",)


def test_somebody_qualified_is_called_in(at_steps, small):
    visit = doing(at_steps, "measure-supply")
    assert visit.turn.title == "Call in somebody qualified"
    visit = press(visit, "d")
    assert visit.turn.kind == "do"
    assert visit.at.made == ()


def test_questions_come_one_at_a_time_and_hidden_ones_not_at_all(at_steps):
    visit = at_steps.after(e.StepDone("listen"))
    assert visit.turn.heading == "Listen, 3 to go"
    assert visit.turn.title == "Does the motor make no sound?"
    assert press(visit, "n").turn.title == "Does it run on and on?"
    assert press(visit, "y").turn.kind == "step"


def test_what_this_person_said_before_is_not_asked_again(at_steps):
    visit = at_steps.after(e.StepDone("ask-around"))
    assert visit.turn.title == "Was there frost?"
    assert press(visit, "y").at.evidence.circumstances == {"after-freeze": True}


def test_a_question_can_be_left_with_its_step(at_steps):
    visit = press(at_steps.after(e.StepDone("listen")), "n", "s", "s")
    assert visit.turn.kind == "step"
    assert visit.turn.title != "Listen"
    assert visit.at.said("motor-silent") == "no"


def test_a_found_cause_is_asked_as_seen(at_steps):
    visit = at_steps.after(e.StepDone("measure-supply"))
    titles = [visit.turn.title]
    visit = press(visit, "?")
    titles.append(visit.turn.title)
    assert "Is this what you see: Power is off?" in titles


def test_a_number_may_be_given_in_place_of_an_answer(at_steps):
    visit = at_steps.after(e.StepDone("hold-test"))
    reply = visit.turn.reply("m")
    assert reply is not None
    asked = visit.view(reply.view)
    assert asked.typed is not None
    event = visit.typed(asked.typed.what, "50 3.1bar 15")
    assert isinstance(event, e.Measured)
    assert event.parts["start"] == 50.0
    # 1 bar is 14.50377 psi: NIST Special Publication 811, appendix B.
    assert math.isclose(event.parts["end"], 3.1 * 14.50377, rel_tol=1e-6)
    after = visit.after(event)
    assert after.at.now.taken[0].parts == event.parts
    assert after.turn.kind == "step"


@pytest.mark.parametrize(
    "wrong", ["50 44", "50 44 x", "50 44 2", "900 44 15", "50,1 44 15", "- - -"]
)
def test_a_number_that_cannot_be_is_asked_again(at_steps, wrong):
    visit = at_steps.after(e.StepDone("hold-test"))
    again = visit.typed("reading:hold", wrong)
    assert isinstance(again, Turn)
    assert again.typed is not None
    assert [line.kind for line in again.lines][-1] == "caution"


def test_the_specialist_ends_it(begun):
    visit = offered(begun).after(e.Passed("seen"))
    assert labels(visit.turn)[0] == "hand over"
    visit = press(visit, "", "")
    assert visit.turn.kind == "leave-safe"
    visit = press(visit, "d")
    assert visit.over
    assert visit.at.ended == "referred"


def test_durations_in_words():
    assert duration(3, 0, 0) == "About 3 min."
    assert duration(3, 15, 2) == "About 20 min: 3 of work, 2 to set up and put back, 15 of waiting."
    assert duration(0, 0, 0) == "About 0 min."


def test_why_shows_causes_and_changes_nothing(at_steps):
    shown = at_steps.view("why")
    ranking = at_steps.talk.counsel.ranking(at_steps.at.evidence)
    assert ranking.causes[0].title in text(shown)
    assert at_steps.view("back") == at_steps.turn


def test_procedures_can_be_read(at_steps):
    listed = at_steps.view("how")
    assert labels(listed)[0] == "Fill the pump"
    one = at_steps.view(listed.replies[0].view)
    assert "Pour slowly. (5 minutes)" in text(one)
    assert "Stop when: The level runs away." in text(one)
