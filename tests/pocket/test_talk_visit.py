"""Whole visits in the pocket, all through JSON."""

import msgspec
import pytest

from faultnet.advice.subject import make_subject
from faultnet.cases.entry import Entry
from faultnet.cases.fold import fold
from tests.pocket.phone import Phone

ANNA, BEN = "anna@0123456789ab", "ben@ba9876543210"
PUMP = "small-pump"


@pytest.fixture
def phone(ask):
    return Phone(ask, ANNA, PUMP)


def folded(knowledge, phone):
    entries = msgspec.json.decode(msgspec.json.encode(phone.entries), type=tuple[Entry, ...])
    return fold(make_subject(knowledge, PUMP), entries)


def whats(phone):
    return [entry["event"]["what"] for entry in phone.entries]


def told_no_water(phone):
    """No danger, a foot valve, no water at the taps, everything is at hand."""
    return phone.press("n", "1", "s").pick("No water").press("y", "", "")


def first_repair_in_vain(phone):
    phone.press("y", "?", "y")
    assert phone.turn["title"] == "Restore the power"
    return phone.press("s").pick("looked at it: it was not that")


def procedure_walked(phone):
    phone.press("h", "1", "w", "", "m")
    assert [part["part"] for part in phone.shown["pad"]["parts"] if part["needed"]] == ["start"]
    phone.send(typed="50 psi")
    phone.press("t")
    assert 0 < phone.shown["left"] < 15 * 60
    assert phone.shown["until"] > 1.0e9
    phone.press("", "m")
    phone.send(typed="42 psi 16 min")
    return phone.press("")


def second_repair_done(phone):
    phone.press("", "d", "d")
    assert phone.turn["kind"] == "do"
    phone.press("y", "d", "n")
    assert phone.turn["kind"] == "proof"
    return phone.press("y")


def sheet_filled(phone):
    phone.press("1", "1", "2").pick("work out the dose: how much water?")
    assert phone.shown["pad"]["unit"] == "gal"
    phone.send(typed="1200 gal")
    phone.press("1", "1", "y", "6", "1")
    assert phone.shown["pad"] is None
    phone.send(typed="Invented Customer")
    return phone.press("", "d")


def test_two_rounds_from_the_first_answer_to_the_closed_case(phone, small):
    told_no_water(phone)
    assert phone.shown["step"]["kind"] == "repair"
    assert phone.shown["ranking"]["causes"][0]["probability"] > 0.1
    first_repair_in_vain(phone)
    procedure_walked(phone)
    second_repair_done(phone)
    sheet_filled(phone)
    assert phone.shown["over"]
    assert phone.turn["title"] == "Mended and proved"
    case = folded(small, phone)
    assert case.ended == "mended"
    assert [r.repairs for r in case.evidence.rounds] == [("restore-power",), ("renew-valve",), ()]
    assert case.evidence.layout == {"check-valve": "foot"}
    assert case.evidence.rounds[1].taken[0].parts == {"start": 50.0, "end": 42.0, "minutes": 16.0}
    assert case.evidence.set_ups == ()
    assert (case.unfit, case.missing, case.conflicts) == (0, 0, ())
    assert {e.entry.author for e in case.entries} == {ANNA}
    sheet = [w for w in whats(phone) if w in {"fitted", "disinfected", "signed"}]
    assert sheet == ["fitted", "disinfected", "signed"]
    shown = [e["event"]["step"] for e in phone.entries if e["event"]["what"] == "advice-shown"]
    assert shown == ["restore-power", "restore-power", "renew-valve"]


def test_a_full_stop_goes_on_by_the_typed_word_only(phone, small):
    phone.press("2")
    assert phone.turn["kind"] == "danger"
    assert phone.shown["dangers"][0]["say"] == "Nobody touches anything."
    assert phone.shown["step"] is None
    assert whats(phone) == ["opened", "told", "danger-met"]
    phone.send(typed="yes")
    assert "Only the word safe" in phone.turn["lines"][-1]["text"]
    phone.send(typed=" Safe")
    assert folded(small, phone).evidence.made_safe == ("tingle",)
    assert phone.shown["dangers"] == []


def test_a_danger_that_is_made_safe_by_a_key(phone, small):
    phone.press("n", "1", "s").pick("The pump never stops").press("y")
    assert phone.turn["kind"] == "danger"
    phone.press("y")
    assert folded(small, phone).evidence.made_safe == ("never-stops",)


def test_undo_pause_and_going_on(phone):
    before = phone.turn
    phone.press("n", "u")
    assert phone.turn["title"] == before["title"]
    phone.press("p")
    assert phone.turn["kind"] == "paused"
    phone.press("")
    assert phone.turn == before
    assert whats(phone) == ["opened", "denied", "undone", "paused", "resumed"]


def test_looking_back_and_correcting(phone, small):
    told_no_water(phone).press("l").pick("No water: yes").press("n")
    assert phone.turn["kind"] == "change"
    assert phone.turn["lines"]
    phone.press("y")
    assert folded(small, phone).evidence.now.answers[-1].answer == "no"


def test_what_was_tried_before_in_words(phone):
    phone.press("n", "1", "s", "b", "t", "t")
    assert phone.turn["typed"]["what"] == "tried"
    phone.send(typed="switched it off and on")
    assert phone.entries[-1]["event"] == {"what": "tried", "text": "switched it off and on"}


def test_a_case_is_left_and_ended_early(phone):
    told_no_water(phone)
    led = phone.ask("reply", **phone.given(), last=phone.shown["last"], key="q")
    assert led == {"leave": True}
    phone.press("e").pick("No access").press("", "d")
    assert phone.shown["over"]
    assert phone.entries[-1]["event"] == {"what": "ended", "how": "no-access"}


def test_who_takes_a_case_up_is_told_before_their_first_reply(phone, ask):
    told_no_water(phone)
    other = Phone(ask, BEN, entries=phone.entries)
    assert other.shown["note"] is None
    assert len(other.entries) == len(phone.entries)
    other.press("y")
    assert [e["author"] for e in other.entries[-2:]] == [BEN, BEN]
    assert whats(other)[-2:] == ["joined", "repair-done"]


def test_two_people_who_answer_differently_are_asked_again(phone, ask, small):
    phone.press("n")
    other = Phone(ask, BEN, entries=phone.entries)
    other.press("2")
    phone.press("1")
    new = [e for e in other.entries if e["id"] not in {each["id"] for each in phone.entries}]
    both = Phone(ask, ANNA, entries=(*phone.entries, *new))
    assert both.shown["conflicts"] == 1
    assert both.turn["heading"] == "Two people say different things"
    both.press("1")
    assert folded(small, both).conflicts == ()
    assert folded(small, both).evidence.layout["check-valve"] == "foot"


def test_a_reply_to_what_is_no_longer_the_last_is_not_taken(phone):
    late = phone.given() | {"last": phone.shown["last"], "key": "s"}
    phone.press("n")
    assert phone.ask("reply", **late | {"entries": phone.entries}) == {"unknown": True}
    led = phone.ask("reply", **phone.given(), last=phone.shown["last"], key="no such key")
    assert led == {"unknown": True}
    assert phone.ask("reply", **phone.given(), last="x", key="1") == {"unknown": True}
    assert phone.ask("reply", **phone.given(), last=phone.shown["last"], typed="x") == {
        "unknown": True
    }


def test_a_note_is_not_a_change_of_the_turn(phone):
    told_no_water(phone)
    assert whats(phone)[-1] == "advice-shown"
    before_the_note = phone.entries[-2]["id"]
    led = phone.ask("reply", **phone.given(), last=before_the_note, key="y")
    assert led["entries"][0]["event"]["what"] == "repair-done"


def test_a_case_at_a_known_site_knows_its_layout(ask):
    site = [
        _site(1, [], {"what": "site-begun", "system": PUMP}),
        _site(2, ["site-1"], {"what": "named", "name": "Weir Lane 4 (invented)"}),
        _site(3, ["site-2"], {"what": "told", "about": "check-valve", "answer": "in-line"}),
    ]
    entries = ask("begin", author=ANNA, site_entries=site)["entries"]
    assert entries[0]["event"]["layout"] == {"check-valve": "in-line"}
    shown = ask("show", author=ANNA, entries=entries, site_entries=site)
    assert (shown["site"], shown["system"]) == ("Weir Lane 4 (invented)", PUMP)


def _site(number, after, event):
    return {
        "id": f"site-{number}",
        "log": "site-h3k9mp",
        "author": ANNA,
        "at": f"2026-03-04T07:31:0{number}.000Z",
        "number": number,
        "after": after,
        "event": event,
    }
