"""What would hold up a phone is refused, and the turn says what makes it small."""

from faultnet.pocket.talk.answering import Talking
from tests.pocket.phone import Phone
from tests.pocket.walker import Asking, Clock


def test_a_phone_refuses_what_it_would_compute_for_too_long(small, monkeypatch):
    monkeypatch.setattr("faultnet.pocket.talk.carried.MOST_WORK", 1)
    phone = Phone(Asking(Talking(small, Clock())), "anna@0123456789ab", "small-pump")
    phone.press("n", "1", "s")
    assert phone.turn["kind"] == "too-large"
    assert any(label.startswith("tell: ") for label in phone.labels)
    assert phone.shown["ranking"] is phone.shown["step"] is None


def test_nothing_beyond_the_smaller_limit_is_thought_about_beforehand(small, monkeypatch):
    monkeypatch.setattr("faultnet.pocket.talk.foresee.WORK", 1)
    phone = Phone(Asking(Talking(small, Clock())), "anna@0123456789ab", "small-pump")
    phone.press("n", "1", "s").pick("No water").press("y", "", "")
    monkeypatch.setattr("faultnet.visit.counsel.rank", lambda *_: 1 / 0)
    told = phone.ask("foresee", **phone.given(), number=0)
    assert "trouble" not in told
    assert told["of"]
