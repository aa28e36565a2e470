"""Numbers typed in a visit: in order, by name, in any unit, and refused with the reason."""

import pytest

from faultnet.cases import events as e
from faultnet.cases.fits import fits
from faultnet.visit.question import question
from faultnet.visit.said import said
from faultnet.visit.turn import Turn
from tests.visit.press import labels, opened, text


@pytest.fixture(scope="session")
def visit(shipped):
    return opened(shipped, e.Opened("jet-pump-cistern", layout={"supply": "230"}))


def typed(visit, name, numbers):
    return visit.typed(f"reading:{name}", numbers)


def test_what_may_be_left_out_is_told_apart(visit):
    turn = visit.view("reading:vacuum")
    assert "In this order: vacuum in inHg, lift in ft." in text(turn)
    assert "If known, after them: friction in ft, bore in in" in text(turn)


def test_metric_and_further_parts_are_turned_into_the_readings_own(visit):
    event = typed(visit, "vacuum", "30kPa 3m bore=26.6mm length=15m flow=30L/min")
    assert event.parts == pytest.approx(
        {"vacuum": 8.859, "lift": 9.843, "bore": 1.047, "length": 49.21, "flow": 7.925}, rel=1e-3
    )


def test_a_plain_number_has_no_unit(visit):
    event = typed(visit, "running-amps", "8.2 9.8 service-factor=1.25")
    assert event == e.Measured("running-amps", {"amps": 8.2, "plate": 9.8, "service-factor": 1.25})


def test_what_the_layout_says_is_not_asked(visit):
    event = typed(visit, "running-volts", "221")
    assert event == e.Measured("running-volts", {"volts": 221.0})


WRONG = [
    ("hold", "50 44", "3 numbers are needed."),
    ("hold", "50 44psi 15psi", "minutes: psi measures pressure"),
    ("hold", "50 44 15 tonk=20", "Write one of tank, precharge, air once"),
    ("hold", "50 44 15 tank=20 tank=30", "is not understood"),
    ("hold", "50 44 15 tank=", "is not understood"),
    ("hold", "50 44 15 tank=5000", "between 1 and 500 gal. Read the instrument again"),
    ("precharge", "30 x", "precharge: `x` is no number"),
    ("precharge", "30 28 start=20", "is not understood"),
    ("switch-settings", "50 30 30 50", "Give the lower number first"),
    ("leak", "40 48 15 44 28", "The gauge rose"),
    ("running-amps", "8 9.8 service-factor=1.25A", "A measures current"),
]


@pytest.mark.parametrize(("name", "numbers", "reason"), WRONG)
def test_a_wrong_number_is_asked_again_with_the_reason(visit, name, numbers, reason):
    turn = typed(visit, name, numbers)
    assert isinstance(turn, Turn)
    assert turn.typed is not None
    assert reason in text(turn)


def test_of_several_readings_one_is_chosen(visit):
    turn = question(visit.talk, visit.at, "gauge-falls-isolated", "")
    listed = visit.view(turn.reply("m").view)
    assert labels(listed)[:2] == [
        "Hold test, gauge read twice with the house valve shut",
        "Leak from a hold test, with the air charge of the tank measured",
    ]
    assert visit.view(listed.reply("2").view).typed.what == "reading:leak"


@pytest.fixture(scope="session")
def at_a_site(shipped):
    settings = {"tank": "166.6L", "plate": "9.8A", "service-factor": "1.25", "lift": "12psi"}
    return opened(shipped, e.Opened("jet-pump-cistern", settings=settings))


def test_what_the_site_knows_is_not_asked_and_said(at_a_site):
    turn = at_a_site.view("reading:leak")
    assert "start in psi, end in psi, minutes in min, precharge in psi." in text(turn)
    assert "Taken from the site unless given: tank 44.0" in text(turn)
    event = typed(at_a_site, "leak", "50 47 15 28")
    assert event.parts["tank"] == pytest.approx(44.01, abs=0.01)
    assert typed(at_a_site, "leak", "50 47 15 28 tank=20").parts["tank"] == 20.0


def test_a_setting_of_another_kind_is_passed_over(at_a_site):
    assert typed(at_a_site, "running-volts", "221").parts == {"volts": 221.0}
    assert "vacuum in inHg, lift in ft." in text(at_a_site.view("reading:vacuum"))
    amps = typed(at_a_site, "running-amps", "8").parts
    assert amps == {"amps": 8.0, "plate": 9.8, "service-factor": 1.25}


def test_a_walked_procedure_takes_the_site_too(at_a_site):
    known = at_a_site.talk.subject.knowledge.findings
    visit = at_a_site.after(e.Denied(tuple(f for f in known if known[f].dangers)))
    visit = visit.after(e.ProcedureBegun("hold-test-step-by-step"))
    for _ in range(3):
        visit = visit.after(visit.turn.reply("").event)
    visit = visit.after(visit.typed("part", "50"))
    visit = visit.after(visit.turn.reply("").event)
    event = visit.typed("part", "44 15 precharge=28")
    assert isinstance(event, e.Measured)
    assert event.parts == pytest.approx(
        {"start": 50, "end": 44, "minutes": 15, "precharge": 28, "tank": 44.01}, abs=0.01
    )
    asked = visit.typed("part", "44 15 tonk=28")
    assert "is not understood" in text(asked)


def test_a_reading_of_a_family_answers_for_each_of_its_findings(visit):
    for about in ("precharge-low", "precharge-high"):
        turn = question(visit.talk, visit.at, about, "")
        assert turn.reply("m").view == "reading:precharge"
    after = visit.after(typed(visit, "precharge", "30 12"))
    assert {"precharge-low", "precharge-high"} <= after.at.unknown


def test_what_is_worked_out_is_told(shipped):
    parts = {"start": 50.0, "end": 45.0, "minutes": 10.0, "tank": 20.0, "precharge": 28.0}
    told = said(shipped, e.Measured("hold", parts))
    assert told.endswith(
        "start 50 psi, end 45 psi, 10 min, tank 20 gal, precharge 28 psi, a fall of 5 psi, "
        "leak 0.111 gpm"
    )


@pytest.mark.parametrize(
    ("reading", "parts"),
    [
        ("vacuum", {"vacuum": 8.0}),
        ("switch-settings", {"cut-in": 50.0, "cut-out": 30.0, "set-in": 30.0, "set-out": 50.0}),
        ("precharge", {"start": 30.0, "end": 28.0}),
    ],
)
def test_a_reading_of_other_knowledge_is_passed_over(shipped, reading, parts):
    assert not fits(shipped, e.Measured(reading, parts))
