"""Earlier answers are corrected, and what that changes is seen before it is written down."""

from faultnet.cases import events as e
from tests.visit.press import key_of, labels, press, text


def test_every_answer_of_the_round_can_be_looked_at(begun):
    visit = begun.after(e.Told("no-water", "yes")).after(e.Told("tank", "plain"))
    shown = visit.view("look-back:0")
    assert "No water: yes" in labels(shown)
    assert any("tank" in label.lower() for label in labels(shown))
    assert visit.view("look-back:999").replies == shown.replies


def test_nothing_is_there_to_correct_at_first(fresh):
    assert fresh.view("look-back:0").title == "Nothing was answered yet."


def test_a_correction_shows_what_it_changes_and_waits_for_a_yes(begun):
    visit = press(begun.after(e.Told("no-water", "yes")), "")
    shown = visit.view("look-back:0")
    again = visit.view("correct:no-water")
    assert shown.reply(key_of(shown, "No water: yes")).view == "correct:no-water"
    assert "Answered: yes." in text(again)
    changed = visit.view(again.reply("n").view)
    assert changed.kind == "change"
    assert "Valve leaks: " in text(changed)
    assert ", then " in text(changed)
    assert visit.at.said("no-water") == "yes"
    after = visit.after(changed.reply("y").event)
    assert after.at.said("no-water") == "no"
    assert after.at.complaints == ()
    ranking = after.talk.counsel.ranking(after.at.evidence)
    valve = next(c for c in ranking.causes if c.id == "valve-leaks")
    assert f"then {valve.probability:.0%}" in text(changed)


def test_an_answer_can_be_left_out(begun):
    visit = press(begun.after(e.Told("no-water", "yes")), "")
    again = visit.view("correct:no-water")
    after = visit.after(again.reply("?").event)
    assert after.at.said("no-water") == ""


def test_a_sign_that_is_gone_after_a_repair_is_no_mistake(begun):
    visit = begun.after(e.Told("no-water", "yes")).after(e.RepairDone("renew-valve"))
    assert visit.after(e.Told("no-water", "no")).at.complaints == ("no-water",)


def test_what_does_not_go_together_is_said(begun):
    visit = press(begun.after(e.Told("motor-silent", "yes")), "")
    changed = visit.view("change:clicks=yes")
    assert "does not go together" in text(changed)
    assert changed.reply("y") is not None
