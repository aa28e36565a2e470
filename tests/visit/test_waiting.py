"""A wait outside a procedure has something to look at; a step that is put off has a reason."""

from faultnet.cases import events as e
from tests.visit.press import press, text


def test_a_wait_offers_looks_that_disturb_nothing(begun):
    visit = press(begun.after(e.Told("no-water", "yes")), "").after(e.StepBegun("hold-test"))
    visit = press(visit, "d")
    assert visit.turn.kind == "do"
    assert "While you wait, 15 min: " in text(visit.turn)
    looked = press(visit, "a")
    assert looked.turn.kind == "question"
    back = press(looked, "?")
    assert back.turn.kind == "do"
    assert back.turn.title == "Hold test"


def test_nothing_is_offered_where_nothing_waits(begun):
    visit = begun.after(e.StepBegun("knock-on-tank"))
    assert visit.turn.reply("a") is None


def test_a_reason_lasts_for_the_visit_and_later_does_not(begun):
    visit = press(begun, "").after(e.StepSkipped("hold-test", "no-tool"))
    visit = visit.after(e.StepSkipped("listen", "later")).after(e.StepSkipped("ask-around"))
    assert visit.at.put_off == ("hold-test", "listen", "ask-around")
    after = visit.after(e.RepairDone("restore-power"))
    assert after.at.put_off == ("hold-test",)


def test_a_reason_may_be_given_in_words(begun):
    visit = press(begun, "")
    step = visit.turn.reply("s").view.partition(":")[2]
    event = visit.typed(f"why-not:{step}", " the dog is loose ")
    assert event == e.StepSkipped(step, "later", "the dog is loose")
    assert visit.typed(f"why-not:{step}", "") == visit.turn
