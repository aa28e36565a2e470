"""Undo is an event that names another; one key takes back the one reply before it."""

from faultnet.cases.counting import counting
from faultnet.cases.events import Opened, Paused, Resumed, Told, Undone
from faultnet.cases.order import order_of
from tests.visit.press import ANNA, written

OPENED = Opened("small-pump")
FIRST = Told("no-water", "yes")
SECOND = Told("clicks", "no")


def counted(entries):
    order = order_of(entries)
    return tuple(order.entries[place].event for place in counting(order))


def undoing(entries, *which):
    """Return entries, and others that undo those at some places."""
    for place in which:
        undone = Undone(entries[place].id)
        entries = (*entries, ANNA.entry(entries[0].log, undone, entries))
    return entries


def test_undo_takes_back_what_it_names():
    entries = written(OPENED, FIRST, SECOND)
    assert counted(undoing(entries, 2)) == (OPENED, FIRST)
    assert counted(undoing(entries, 1)) == (OPENED, SECOND)
    assert counted(undoing(entries, 2, 1)) == (OPENED,)
    assert counted(undoing(entries, 2, 2)) == (OPENED, FIRST)


def test_an_undo_that_is_undone_does_not_count():
    assert counted(undoing(written(OPENED, FIRST), 1, 2)) == (OPENED, FIRST)
    assert counted(undoing(written(OPENED, FIRST), 1, 2, 3)) == (OPENED,)


def test_the_beginning_cannot_be_undone_and_what_is_not_there_neither():
    assert counted(undoing(written(OPENED, FIRST), 0)) == (OPENED, FIRST)
    entries = written(OPENED, Undone("nowhere"), FIRST)
    assert counted(entries) == (OPENED, FIRST)


def test_the_key_takes_back_the_last_again_and_again(fresh):
    visit = fresh.after(FIRST).after(SECOND)
    for told in ((OPENED, FIRST), (OPENED,)):
        visit = visit.after(visit.turn.reply("u").event)
        assert counted(visit.entries) == told
    assert visit.turn.reply("u") is None
    assert visit.turn == fresh.turn


def test_the_key_passes_over_a_pause(fresh):
    visit = fresh.after(FIRST).after(Paused()).after(Resumed())
    visit = visit.after(visit.turn.reply("u").event)
    assert counted(visit.entries) == (OPENED, Paused(), Resumed())
