"""Two people on one case: no event is lost, and what they tell differently is shown."""

import subprocess
import sys

from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.advice.dangers import dangers_met, withheld
from faultnet.advice.observe import counted
from faultnet.cases import events as e
from faultnet.cases.fold import fold
from faultnet.model.evidence import Answer
from tests.cases.people import Clock, Person, both, together
from tests.cases.test_order import MOVES, history, seen_by

OPENED = e.Opened("small-pump")


def voices(conflict):
    return {(voice.author, voice.value) for voice in conflict.said}


def test_what_is_told_after_seeing_it_takes_its_place(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("clicks", "yes"))
    berta.hears(anna)
    berta.writes(e.Told("clicks", "no"))
    case = fold(small, together(anna, berta))
    assert case.conflicts == ()
    assert case.evidence.now.answers == (Answer("clicks", "no"),)


def test_what_is_told_without_seeing_it_is_a_conflict_until_it_is_settled(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("clicks", "yes"))
    berta.writes(e.Told("clicks", "no"))
    case = fold(small, together(anna, berta))
    (conflict,) = case.conflicts
    assert (conflict.about, conflict.round) == ("clicks", 0)
    assert voices(conflict) == {("anna@phone", "yes"), ("berta@phone", "no")}
    assert len(case.evidence.now.answers) == 2
    anna.hears(berta)
    anna.writes(e.Told("clicks", "yes"))
    settled = fold(small, together(anna, berta))
    assert settled.conflicts == ()
    assert settled.evidence.now.answers == (Answer("clicks", "yes"),)


def test_the_surer_word_counts_while_it_is_not_settled(small):
    anna, berta = both(OPENED)
    berta.writes(e.Told("clicks", "no"), e.NotKnown("tank"))
    anna.writes(e.Told("clicks", "yes", speaker="caller"))
    case = fold(small, together(anna, berta))
    assert len(case.conflicts) == 1
    assert counted(case.evidence.now) == [Answer("clicks", "no", "technician")]


def test_a_caller_and_a_technician_who_has_seen_it_are_no_conflict(small):
    anna, berta = both(e.Opened("small-pump", speaker="caller"))
    anna.writes(e.Told("clicks", "yes"))
    berta.hears(anna)
    berta.writes(e.Joined(), e.Told("clicks", "no"))
    case = fold(small, together(anna, berta))
    assert case.conflicts == ()
    assert set(case.evidence.now.answers) == {
        Answer("clicks", "yes", "caller"),
        Answer("clicks", "no", "technician"),
    }


def test_yes_goes_with_every_abnormal_answer(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("prime-falls", "yes"))
    berta.writes(e.Told("prime-falls", "slowly"))
    assert fold(small, together(anna, berta)).conflicts == ()
    berta.writes(e.Told("prime-falls", "no"))
    assert len(fold(small, together(anna, berta)).conflicts) == 1


def test_layout_circumstances_and_readings_are_held_against_each_other_too(small):
    anna, berta = both(OPENED)
    told = ((anna, "foot", "yes", 44.0), (berta, "in-line", "no", 40.0))
    for person, layout, froze, end in told:
        parts = {"start": 50.0, "end": end, "minutes": 15.0}
        person.writes(e.Told("check-valve", layout), e.Told("after-freeze", froze))
        person.writes(e.Measured("hold", parts))
    case = fold(small, together(anna, berta))
    assert [conflict.about for conflict in case.conflicts] == [
        "check-valve",
        "after-freeze",
        "hold",
    ]
    assert len(case.evidence.now.taken) == 2
    assert "end 44" in {v for _, v in voices(case.conflicts[2])}.pop() + str(case.conflicts[2])


def test_taking_back_leaves_what_was_not_seen(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("clicks", "yes"))
    berta.writes(e.Told("clicks", "no"))
    anna.writes(e.TakenBack("clicks", 0))
    case = fold(small, together(anna, berta))
    assert case.conflicts == ()
    assert case.evidence.now.answers == (Answer("clicks", "no"),)


def test_undone_events_are_no_part_of_a_conflict(small):
    anna, berta = both(OPENED)
    told = anna.writes(e.Told("clicks", "yes"))
    berta.writes(e.Told("clicks", "no"))
    anna.writes(e.Undone(told.id))
    assert fold(small, together(anna, berta)).conflicts == ()


def test_none_of_these_never_overwrites_what_was_not_seen(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("tingle", "yes"))
    berta.writes(e.Denied(("tingle",)))
    case = fold(small, together(anna, berta))
    assert [conflict.about for conflict in case.conflicts] == ["tingle"]
    assert withheld(dangers_met(small, case.evidence))


def test_a_danger_is_made_safe_only_for_those_who_had_told_it(small):
    anna, berta = both(OPENED)
    anna.writes(e.Told("tingle", "yes"), e.MadeSafe("tingle"))
    assert not withheld(dangers_met(small, fold(small, anna.seen).evidence))
    berta.writes(e.Told("tingle", "yes"))
    case = fold(small, together(anna, berta))
    assert withheld(dangers_met(small, case.evidence))
    berta.hears(anna)
    berta.writes(e.MadeSafe("tingle"))
    assert not withheld(dangers_met(small, fold(small, together(anna, berta)).evidence))


def test_a_danger_goes_along_into_a_round_whose_maker_had_not_heard_of_it(small):
    anna, berta = both(OPENED)
    berta.writes(e.Told("tingle", "yes"))
    anna.writes(e.RepairDone("renew-valve"))
    case = fold(small, together(anna, berta))
    assert len(case.evidence.rounds) == 2
    assert withheld(dangers_met(small, case.evidence))
    anna, berta = both(OPENED)
    berta.writes(e.Told("tingle", "yes"), e.MadeSafe("tingle"))
    anna.hears(berta)
    anna.writes(e.RepairDone("renew-valve"))
    assert not withheld(dangers_met(small, fold(small, anna.seen).evidence))


def test_a_set_up_made_by_another_is_not_undone_unseen(small):
    anna, berta = both(OPENED)
    anna.writes(e.SetUpMade(("power-locked-out",)))
    berta.hears(anna)
    berta.writes(e.SetUpMade(("power-locked-out",)))
    anna.writes(e.SetUpUndone(("power-locked-out",)))
    case = fold(small, together(anna, berta))
    assert case.evidence.set_ups == ("power-locked-out",)


def test_a_round_is_named_as_its_author_saw_the_rounds(small):
    anna, berta = both(OPENED)
    anna.writes(e.RepairDone("restore-power"))  # berta does not know of it
    berta.writes(e.Told("clicks", "yes"), e.RepairDone("renew-valve"), e.Told("clicks", "no"))
    berta.writes(e.TakenBack("clicks", 1))
    case = fold(small, together(anna, berta))
    assert [len(r.answers) for r in case.evidence.rounds] == [0, 1, 0]
    assert case.evidence.rounds[1].answers == (Answer("clicks", "yes"),)


def test_a_round_begins_without_a_repair(small):
    anna, _ = both(OPENED)
    anna.writes(e.Told("clicks", "yes"), e.RoundBegun(("clicks", "gone"), "pump primed anew"))
    case = fold(small, anna.seen)
    assert case.evidence.rounds[0].redraws == ("clicks",)
    assert case.evidence.now.answers == ()


def test_whoever_takes_it_up_does_not_count_on_who_was_there_before(small):
    anna, berta = both(e.Opened("small-pump", who="qualified"))
    assert fold(small, anna.seen).evidence.set_ups == ("called:qualified",)
    berta.writes(e.Joined())
    assert fold(small, together(anna, berta)).evidence.set_ups == ()


def test_the_layout_of_the_site_is_known_and_can_be_put_right(small):
    person = Person("anna")
    person.opens(e.Opened("small-pump", layout={"check-valve": "foot", "gone": "x"}))
    assert fold(small, person.seen).evidence.layout == {"check-valve": "foot"}
    person.writes(e.TakenBack("check-valve", 0))
    assert fold(small, person.seen).evidence.layout == {}


def test_closed_and_reopened(small):
    anna, _ = both(OPENED)
    anna.writes(e.Ended("part-on-order"))
    assert fold(small, anna.seen).ended == "part-on-order"
    anna.writes(e.Reopened())
    assert fold(small, anna.seen).ended == ""


ABOUTS = ("clicks", "no-water", "motor-silent")
SAID = st.lists(st.tuples(st.sampled_from(ABOUTS), st.booleans()), min_size=40, max_size=40)


@settings(max_examples=60, deadline=None)
@given(
    moves=MOVES,
    said=st.lists(st.tuples(st.sampled_from(ABOUTS), st.booleans()), min_size=40, max_size=40),
)
def test_conflicts_are_those_of_the_plain_definition(small, moves, said):
    """A conflict: two answers that differ, and nobody answered anew having seen either."""
    told = iter(said)

    def answered(_):
        about, answer = next(told)
        return e.Told(about, "yes" if answer else "no")

    people = history(moves, answered)
    entries = {entry.id: entry for entry in together(*people)}
    expected = {}
    for about in ABOUTS:
        mine = [n for n, entry in entries.items() if getattr(entry.event, "about", "") == about]
        last = [n for n in mine if not any(n in seen_by(entries, other) for other in mine)]
        values = {entries[n].event.answer for n in last}
        if len(values) > 1:
            expected[about] = set(last)
    found = fold(small, reversed(entries.values())).conflicts
    assert {c.about: {voice.entry for voice in c.said} for c in found} == expected


EVENTS = st.sampled_from(
    [
        e.Told("clicks", "yes"),
        e.Told("clicks", "no"),
        e.Told("prime-falls", "slowly", "caller"),
        e.Told("check-valve", "foot"),
        e.Told("after-freeze", "yes"),
        e.Told("tingle", "yes"),
        e.Told("gone", "yes"),
        e.Denied(("tingle", "someone-in-pit")),
        e.MadeSafe("tingle"),
        e.Measured("hold", {"start": 50.0, "end": 44.0, "minutes": 15.0}),
        e.SetUpMade(("power-locked-out",)),
        e.SetUpUndone(("power-locked-out",)),
        e.StepDone("look-at-prime"),
        e.RepairDone("renew-valve"),
        e.RoundBegun(("clicks",)),
        e.TakenBack("clicks", 1),
        e.Joined("qualified", "caller"),
        e.Ended("temporary"),
        e.Reopened(),
        e.Note("the owner was not at home"),
    ]
)


@settings(max_examples=100, deadline=None)
@given(data=st.data(), moves=MOVES)
def test_any_order_duplicates_and_partitions_give_one_state(small, data, moves):
    def drawn(person):
        event = data.draw(EVENTS)
        if data.draw(st.integers(0, 5)) == 0:
            event = e.Undone(data.draw(st.sampled_from(person.seen)).id)
        return event

    people = history(moves, drawn)
    entries = list(together(*people))
    case = fold(small, entries)
    mixed = data.draw(st.permutations(entries + entries[: len(entries) // 2]))
    assert fold(small, mixed) == case
    chosen = data.draw(st.sets(st.sampled_from([entry.id for entry in entries])))
    here = [entry for entry in entries if entry.id in chosen]
    there = [entry for entry in entries if entry.id not in chosen]
    assert fold(small, [*there, *here, *there]) == case
    assert len(case.entries) + case.unfit <= len(entries)


def test_a_clock_far_off_loses_nothing(small):
    anna, berta = Person("anna", Clock()), Person("berta", Clock(0.0))
    anna.opens(OPENED)
    berta.hears(anna)
    berta.writes(e.Told("clicks", "yes"), e.RepairDone("renew-valve"), e.Told("clicks", "no"))
    anna.hears(berta)
    anna.writes(e.Told("no-water", "yes"))
    case = fold(small, together(anna, berta))
    assert [len(r.answers) for r in case.evidence.rounds] == [1, 2]


WITHOUT_A_STORE = """
import sys
import faultnet.cases.fold, faultnet.cases.site, faultnet.cases.casefile, faultnet.visit.visit
print([name for name in ("sqlalchemy", "psycopg", "sqlite3") if name in sys.modules])
"""


def test_what_follows_from_events_needs_no_store():
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_A_STORE], capture_output=True, text=True, check=True
    )
    assert done.stdout == "[]\n"
