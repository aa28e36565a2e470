"""Two people on one case who did not see each other's: what does not go together is told."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from faultnet.cases import events as e
from faultnet.cases.apart import WORK, apart
from faultnet.cases.fold import fold
from faultnet.cases.order import order_of
from tests.cases.people import both, together
from tests.cases.test_order import MOVES, history, seen_by

OPENED = e.Opened("small-pump")
VALVE, POWER = e.RepairDone("renew-valve"), e.RepairDone("restore-power")


def found(*people):
    """Return kind and authors of what was done apart."""
    told = apart(order_of(together(*people)))
    return [(each.kind, [entry.author[0] for entry in each.done]) for each in told]


def settled(anna, berta, *events):
    """Have anna see all and write; return what is left."""
    anna.hears(berta)
    anna.writes(*events)
    return found(anna, berta)


@pytest.mark.parametrize("other", [POWER, VALVE, e.RoundBegun((), "primed anew")])
def test_both_mended(small, other):
    anna, berta = both(OPENED)
    anna.writes(VALVE)
    berta.writes(other)
    assert found(anna, berta) == [("mended", ["a", "b"])]
    assert len(fold(small, together(anna, berta)).apart) == 1
    assert settled(anna, berta, e.Told("clicks", "no")) == [("mended", ["a", "b"])]
    assert settled(anna, berta, e.Passed("apart-closed")) == [("mended", ["a", "b"])]
    assert settled(anna, berta, e.Passed("apart-mended")) == []


def test_one_of_two_repairs_was_not_done(small):
    anna, berta = both(OPENED)
    anna.writes(VALVE)
    other = berta.writes(POWER)
    assert settled(anna, berta, e.Undone(other.id)) == []
    assert len(fold(small, together(anna, berta)).evidence.rounds) == 2


def test_what_was_seen_is_not_apart():
    anna, berta = both(OPENED)
    anna.writes(VALVE, e.Ended("mended"))
    berta.hears(anna)
    berta.writes(e.Reopened(), POWER)
    assert found(anna, berta) == []


@pytest.mark.parametrize("went_on", [e.Told("clicks", "yes"), POWER, e.Ended("no-access")])
def test_one_closed_it_while_the_other_went_on(went_on):
    anna, berta = both(OPENED)
    anna.writes(e.Ended("declined"))
    berta.writes(went_on)
    assert found(anna, berta) == [("closed", ["a", "b"])] * (1 + isinstance(went_on, e.Ended))
    assert settled(anna, berta, e.Reopened()) == []


def test_closed_in_the_same_way_or_with_a_note_is_no_question():
    anna, berta = both(OPENED)
    anna.writes(e.Ended("declined"))
    berta.writes(e.Note("the neighbour has the key"), e.Ended("declined"))
    assert found(anna, berta) == []


def test_it_stays_closed_until_more_comes_that_had_not_seen_it():
    anna, berta = both(OPENED)
    anna.writes(e.Ended("declined"))
    berta.writes(e.Told("clicks", "yes"))
    assert settled(anna, berta, e.Passed("apart-closed")) == []
    berta.writes(e.Told("no-water", "yes"))
    assert found(anna, berta) == [("closed", ["a", "b"])]


def test_one_took_back_what_the_other_went_on_from(small):
    anna, berta = both(OPENED)
    told = anna.writes(e.Told("clicks", "yes"))
    berta.hears(anna)
    berta.writes(e.StepDone("look-at-prime"))
    undoing = anna.writes(e.Undone(told.id))
    (only,) = fold(small, together(anna, berta)).apart
    assert (only.kind, only.of) == ("undone", told)
    assert settled(anna, berta, e.Undone(undoing.id)) == []
    assert fold(small, together(anna, berta)).evidence.now.answers


def test_whoever_had_not_seen_it_relied_on_nothing():
    anna, berta = both(OPENED)
    told = anna.writes(e.Told("clicks", "yes"))
    anna.writes(e.Undone(told.id))
    berta.writes(e.StepDone("look-at-prime"))
    assert found(anna, berta) == []


@settings(max_examples=100, deadline=None)
@given(data=st.data(), moves=MOVES)
def test_it_is_what_the_plain_definition_says(data, moves):
    """Both mended: two ends of rounds by two people, neither before the other, unsettled."""
    events = st.sampled_from([VALVE, e.Told("clicks", "yes"), e.Passed("apart-mended")])
    people = history(moves, lambda _: data.draw(events))
    entries = {entry.id: entry for entry in together(*people)}
    seen = {name: seen_by(entries, name) for name in entries}
    ends = [n for n, entry in entries.items() if isinstance(entry.event, e.RepairDone)]
    passed = [n for n, entry in entries.items() if isinstance(entry.event, e.Passed)]

    def is_open(*names):
        return not any(seen[p].issuperset(names) for p in passed)

    expected = {
        one
        for one in ends
        for other in ends
        if entries[one].author != entries[other].author
        and one not in seen[other]
        and other not in seen[one]
        and is_open(one, other)
    }
    told = apart(order_of(entries.values()))
    mended = {entry.id for each in told if each.kind == "mended" for entry in each.done}
    assert mended == expected
    assert VALVE.__class__ in WORK
