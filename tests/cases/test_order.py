"""One order, whatever order entries arrive in; nothing before what its author had seen."""

import random

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from faultnet.cases.entry import Entry, Writer, flaw, new_case_id, new_id
from faultnet.cases.events import Note, Opened
from faultnet.cases.order import order_of
from tests.cases.people import NOON, Clock, Person, together

MOVES = st.lists(st.tuples(st.integers(0, 3), st.integers(0, 4)), max_size=40)
"""Somebody (of four) writes (0), or hears somebody else (1 to 4)."""

SKEW = st.lists(st.floats(-9e5, 9e5), min_size=4, max_size=4)
"""By how many seconds each clock is wrong."""


def note(person):
    """Return an event that says who wrote it."""
    return Note(f"by {person.writer.author}")


def history(moves, writes=note, *, skew=(0.0, 0.0, 0.0, 0.0)):
    """Return people after some writing and hearing, with clocks that go wrong.

    ``writes`` returns what somebody writes next.
    """
    people = [Person(f"p{n}", Clock(NOON + skew[n])) for n in range(4)]
    people[0].opens(Opened("small-pump"))
    for who, what in moves:
        person = people[who]
        if what and people[what - 1] is not person:
            person.hears(people[what - 1])
        elif not what and person.seen:
            person.writes(writes(person))
    return people


def seen_by(entries: dict[str, Entry], name: str) -> set[str]:
    """Return all that stands before an entry, step by step back: the plain definition."""
    found: set[str] = set()
    waiting = list(entries[name].after)
    while waiting:
        each = waiting.pop()
        if each in entries and each not in found:
            found.add(each)
            waiting += entries[each].after
    return found


@given(
    moves=MOVES, seed=st.integers(0, 9), skew=st.lists(st.floats(-9e5, 9e5), min_size=4, max_size=4)
)
def test_any_order_of_arrival_gives_one_order(moves, seed, skew):
    entries = list(together(*history(moves, skew=skew)))
    order = order_of(entries)
    mixed = [*entries, *entries[::2]]
    random.Random(seed).shuffle(mixed)
    assert order_of(mixed) == order
    assert order.missing == ()
    by_id = {entry.id: entry for entry in entries}
    for later, entry in enumerate(order.entries):
        seen = seen_by(by_id, entry.id)
        assert {e.id for k, e in enumerate(order.entries) if order.saw(later, k)} == seen
        assert seen <= {e.id for e in order.entries[:later]}


@given(moves=MOVES)
def test_what_one_has_seen_keeps_its_order_when_more_arrives(moves):
    people = history(moves)
    whole = order_of(together(*people)).entries
    for person in people:
        own = {entry.id for entry in person.seen}
        part = [entry for entry in whole if entry.id in own]
        assert list(order_of(person.seen).entries) == part


def test_clocks_decide_only_what_nobody_had_seen():
    slow, fast = Person("slow", Clock(NOON - 86400.0)), Person("fast")
    fast.opens(Opened("small-pump"))
    fast.writes(Note("first"))
    slow.hears(fast)
    slow.writes(Note("second, by a clock that is a day slow"))
    texts = [getattr(e.event, "text", "") for e in order_of(reversed(slow.seen)).entries]
    assert texts == ["", "first", "second, by a clock that is a day slow"]


def test_what_has_not_arrived_is_named():
    person = Person("anna")
    person.opens(Opened("small-pump"))
    lost, last = person.writes(Note("lost")), person.writes(Note("last"))
    order = order_of([person.seen[0], last])
    assert order.missing == (lost.id,)
    assert len(order.entries) == 2


def test_entries_that_wait_for_each_other_are_all_kept():
    person = Person("anna")
    person.opens(Opened("small-pump"))
    one, two = person.writes(Note("one")), person.writes(Note("two"))
    one = replace(one, after=(two.id,))
    assert order_of([two, one]) == order_of([one, two])
    assert len(order_of([two, one]).entries) == 2


def test_two_contents_of_one_id_give_the_same_order_either_way():
    person = Person("anna")
    first = person.opens(Opened("small-pump"))
    other = replace(first, event=Opened("another"))
    assert order_of([first, other]) == order_of([other, first])


def test_ids_are_in_order_of_time_and_of_the_usual_shape():
    ids = [new_id(NOON + n) for n in range(200)]
    assert ids == sorted(ids)
    assert len(set(ids)) == 200
    for each in ids:
        assert (each[14], each[19] in "89ab", len(each)) == ("7", True, 36)
    # RFC 9562, appendix A.6: the example's time is 0x017F22E279B0 ms.
    assert new_id(1645557742.0).startswith("017f22e2-79b0-7")


def test_cases_of_one_minute_get_ids_of_their_own():
    ids = {new_case_id(NOON) for _ in range(500)}
    assert len(ids) == 500
    assert len({each[:13] for each in ids}) == 1


def test_what_a_writer_makes_has_no_flaw():
    writer = Writer("Änne Müller@k3m9pq")
    entry = writer.begin(Opened("small-pump"))
    assert flaw(entry) == ""
    assert entry.number == 1
    assert writer.entry(entry.log, Note("x"), (entry,)).number == 2
