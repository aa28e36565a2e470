"""After a repair: what had been wrong, and the neighbours in the chain of faults."""

import pytest

from faultnet.cases import events as e
from faultnet.cases.fits import found_finding
from faultnet.visit.chain import looked_for
from faultnet.visit.said import said as event_said
from tests.visit.press import key_of, opened, press, text

CISTERN = (e.Opened("jet-pump-cistern"), e.Passed("as-found"), e.Passed("layout"))


@pytest.fixture
def mended(shipped):
    """A foot valve cleaned because the pump started with no use."""
    told = (e.Told("check-valve", "foot"), e.Told("starts-with-no-use", "yes"))
    visit = opened(shipped, *CISTERN, *told, e.Passed("seen"), e.Passed("take-along"))
    return press(visit, "n").after(e.RepairDone("clean-foot-valve"))


def test_what_had_been_wrong_is_evidence_of_the_round_before(mended):
    assert mended.turn.title == "What had been wrong?"
    causes = [r.event.cause for r in mended.turn.replies if isinstance(r.event, e.Confirmed)]
    assert "foot-valve-leaks-slowly" in causes
    known = mended.after(e.Confirmed("foot-valve-leaks-slowly", 0))
    found = [a.finding for a in known.at.evidence.rounds[0].answers if a.answer == "yes"]
    assert any(f.startswith("found-") for f in found)
    assert known.at.now.answers == ()
    assert known.turn.kind != "what-was-wrong"
    back = known.after(e.Undone(known.last.id))
    assert back.turn == mended.turn


def test_something_else_may_have_been_wrong(mended):
    other = mended.view("else:0")
    causes = [r.event.cause for r in other.replies if isinstance(r.event, e.Confirmed)]
    assert "foot-valve-leaks-slowly" not in causes
    assert "" not in causes
    listed, page = [], other
    for _ in range(40):
        listed += [r.event.cause for r in page.replies if isinstance(r.event, e.Confirmed)]
        page = mended.view(page.reply("m").view)
        if page == other:
            break
    there = {c for c in mended.talk.subject.causes if found_finding(mended.talk.subject, c)}
    asked = {r.event.cause for r in mended.turn.replies if isinstance(r.event, e.Confirmed)}
    assert len(listed) == len(set(listed))
    assert set(listed) == there - asked
    unseen = mended.after(e.Confirmed("", 0))
    assert unseen.at.evidence.rounds[0].answers == mended.at.evidence.rounds[0].answers


def test_what_is_in_no_file_is_told_in_words(mended):
    words = mended.view(mended.view("else:0").reply("n").view)
    assert words.typed is not None
    assert "no addresses" in text(words)
    assert mended.typed(words.typed.what, "") == mended.turn
    told = mended.typed(words.typed.what, " a snail in the jet ")
    assert told == e.Confirmed("", 0, unlisted=True, text="a snail in the jet")
    visit = mended.after(told)
    assert visit.turn.kind != "what-was-wrong"
    assert visit.at.evidence.rounds[0].answers == mended.at.evidence.rounds[0].answers
    said = "Had been wrong, and is not in the files: a snail in the jet"
    assert event_said(visit.talk.subject, told) == said
    wordless = mended.after(words.reply("n").event)
    assert wordless.entries[-1].event == e.Confirmed("", 0, unlisted=True)
    assert wordless.turn.title == visit.turn.title


def test_a_cause_that_was_found_before_is_not_asked_about(shipped):
    visit = opened(shipped, *CISTERN, e.Passed("seen"), e.Passed("take-along"))
    visit = press(visit, "n")
    found = next(
        f
        for f in shipped.findings
        if shipped.knowledge.findings[f].found_cause == "foot-valve-leaks-slowly"
    )
    visit = visit.after(e.Told(found, "yes")).after(e.RepairDone("clean-foot-valve"))
    assert visit.turn.kind != "what-was-wrong"


def test_neighbours_are_looked_for_before_the_visit_ends(mended):
    visit = mended.after(e.Confirmed("foot-valve-leaks-slowly", 0))
    visit = visit.after(e.Told("starts-with-no-use", "no"))
    assert visit.turn.kind == "proof"
    visit = press(visit, "y")
    assert visit.turn.kind == "chain"
    assert "one link back and one link forward" in text(visit.turn)
    near = looked_for(visit.talk, visit.at)
    assert 0 < len(near) <= 4
    visit = press(visit, "y")
    assert visit.turn.title.startswith("Found: ")
    later = press(visit, "n")
    assert isinstance(later.entries[-1].event, e.Watch)
    assert visit.talk.subject.title(near[0]) in later.entries[-1].event.text
    while later.turn.kind == "chain":
        later = press(later, "n")
    assert later.turn.kind == "sheet"
    going_on = press(visit, "y")
    assert going_on.at.step == visit.talk.subject.knowledge.causes[near[0]].repair
    assert going_on.turn.kind in {"set-up", "do", "consent"}


def test_neighbours_can_be_skipped(mended):
    visit = mended.after(e.Confirmed("foot-valve-leaks-slowly", 0))
    visit = press(visit.after(e.Told("starts-with-no-use", "no")), "y", "s")
    assert visit.turn.kind == "sheet"


def test_numbers_can_be_written_down_as_proof(mended):
    visit = mended.after(e.Confirmed("", 0)).after(e.Told("starts-with-no-use", "no"))
    readings = visit.view("readings:")
    title = visit.talk.subject.knowledge.readings["hold"].title
    asked = visit.view(readings.reply(key_of(readings, title)).view)
    assert asked.typed is not None
    event = visit.typed("reading:hold", "50 49 15")
    assert isinstance(event, e.Measured)
    assert visit.after(event).turn.kind == "proof"
