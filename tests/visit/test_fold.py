"""Events become evidence; what no longer fits the knowledge is passed over."""

import msgspec
import pytest

from faultnet.cases import events as e
from faultnet.cases.fits import fits
from faultnet.model.evidence import Answer, Taken
from tests.visit.press import opened

OPENED = e.Opened("small-pump")


def at(subject, *events):
    return opened(subject, OPENED, *events).at


def test_answers_layout_and_circumstances_each_find_their_place(small):
    where = at(
        small,
        e.Told("no-water", "yes"),
        e.Told("check-valve", "foot"),
        e.Told("after-freeze", "yes"),
    )
    assert where.now.answers == (Answer("no-water", "yes"),)
    assert where.evidence.layout == {"check-valve": "foot"}
    assert where.evidence.circumstances == {"after-freeze": True}


def test_a_later_answer_takes_the_place_of_the_former(small):
    where = at(small, e.Told("clicks", "yes"), e.Told("clicks", "no"))
    assert where.now.answers == (Answer("clicks", "no"),)


def test_the_speaker_is_whoever_opened_it(small):
    where = opened(small, e.Opened("small-pump", speaker="caller"), e.Told("clicks", "yes")).at
    assert where.now.answers == (Answer("clicks", "yes", "caller"),)


def test_only_what_is_told_by_itself_is_a_complaint(small):
    where = at(
        small,
        e.Told("no-water", "yes"),
        e.StepDone("listen"),
        e.Told("clicks", "yes"),
        e.Picked("prime-falls"),
        e.Told("prime-falls", "slowly"),
    )
    assert where.complaints == ("no-water", "prime-falls")


def test_a_step_spoils_what_it_does_not_show_itself(small):
    assert at(small, e.StepDone("look-at-prime")).now.spoiled == ("gauge-falls",)


def test_a_repair_ends_the_round_and_what_belongs_to_it(small):
    where = at(
        small,
        e.Told("never-stops", "yes"),
        e.MadeSafe("never-stops"),
        e.NotKnown("clicks"),
        e.NotKnown("after-freeze"),
        e.StepSkipped("listen"),
        e.RepairDone("renew-valve"),
    )
    first, second = where.evidence.rounds
    assert first.repairs == ("renew-valve",)
    assert second.answers == ()
    assert where.evidence.made_safe == ()
    assert where.unknown == {"after-freeze"}
    assert where.put_off == ()


def test_set_ups_are_kept_until_undone(small):
    made = at(small, e.SetUpMade(("power-locked-out",)), e.SetUpMade(("pressure-bled",)))
    assert made.evidence.set_ups == ("power-locked-out", "pressure-bled")
    where = at(
        small,
        e.SetUpMade(("power-locked-out", "pressure-bled")),
        e.SetUpUndone(("pressure-bled",)),
    )
    assert where.evidence.set_ups == ("power-locked-out",)


def test_a_qualified_person_need_not_be_called(small):
    where = opened(small, e.Opened("small-pump", who="qualified")).at
    assert where.evidence.set_ups == ("called:qualified",)
    assert where.made == ()


def test_a_danger_that_no_fault_makes_is_forgotten_once_it_is_dealt_with(small):
    safe = at(small, e.Told("someone-in-pit", "yes"), e.MadeSafe("someone-in-pit"))
    assert safe.now.answers == ()
    assert safe.complaints == ()
    kept = at(small, e.Told("tingle", "yes"), e.MadeSafe("tingle"))
    assert kept.now.answers == (Answer("tingle", "yes"),)


def test_taking_back_removes_answers_readings_and_layout(small):
    hold = e.Measured("hold", {"start": 50, "end": 40, "minutes": 15})
    said = (e.Told("no-water", "yes"), hold, e.Told("supply", "115"))
    where = at(
        small,
        *said,
        e.TakenBack("no-water", 0),
        e.TakenBack("gauge-falls", 0),
        e.TakenBack("supply", 0),
    )
    assert where.now.answers == ()
    assert where.now.taken == ()
    assert where.evidence.layout == {}
    assert where.complaints == ()
    assert at(small, *said).now.taken == (Taken("hold", hold.parts),)


def stripped(where):
    """Return where a visit stands without ids and times."""
    case = msgspec.structs.replace(where.case, id="", entries=(), begun="", touched="")
    return msgspec.structs.replace(where, case=case)


@pytest.mark.parametrize(
    "event",
    [
        e.Told("gone", "yes"),
        e.Told("clicks", "purple"),
        e.Told("check-valve", "nowhere"),
        e.NotKnown("gone"),
        e.Picked("gone"),
        e.Measured("gone", {"start": 1.0}),
        e.Measured("hold", {"start": 1.0}),
        e.Measured("hold", {"start": 1e9, "end": 0.0, "minutes": 15.0}),
        e.MadeSafe("gone"),
        e.StepBegun("gone"),
        e.StepDone("renew-valve"),
        e.RepairDone("gone"),
    ],
)
def test_what_does_not_fit_changes_nothing(small, event):
    assert not fits(small, event)
    where = at(small, event)
    assert where.case.unfit == 1
    unfit = msgspec.structs.replace(where.case, unfit=0)
    nothing = msgspec.structs.replace(where, case=unfit)
    assert stripped(nothing) == stripped(at(small))


def test_denied_never_overwrites_an_answer(small):
    where = at(small, e.Told("tingle", "yes"), e.Denied(("tingle", "someone-in-pit", "gone")))
    assert where.said("tingle") == "yes"
    assert where.said("someone-in-pit") == "no"
