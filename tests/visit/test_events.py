"""Undo is an event, and takes back the one reply before it."""

from faultnet.visit.events import Opened, Paused, Resumed, Told, Undone, counting

OPENED = Opened("small-pump")
FIRST = Told("no-water", "yes")
SECOND = Told("clicks", "no")


def test_undo_takes_back_the_last():
    assert counting((OPENED, FIRST, SECOND, Undone())) == (OPENED, FIRST)


def test_undo_twice_takes_back_two():
    assert counting((OPENED, FIRST, SECOND, Undone(), Undone())) == (OPENED,)


def test_undo_never_takes_back_the_beginning():
    assert counting((OPENED, Undone(), Undone(), FIRST)) == (OPENED, FIRST)


def test_undo_passes_over_a_pause():
    paused = (OPENED, FIRST, Paused(), Resumed(), Undone())
    assert counting(paused) == (OPENED, Paused(), Resumed())
