"""Which entries count: not those that were undone, and not the undoing itself."""

from faultnet.cases.entry import Entry
from faultnet.cases.events import PASSED_OVER, Opened, SiteBegun, Undone
from faultnet.cases.order import Order

BEGINNINGS = (Opened, SiteBegun)
"""Events that cannot be undone."""


def counting(order: Order) -> tuple[int, ...]:
    """Return the places of the entries that count, in order.

    An undoing counts for entries that stand before it, unless it was undone itself.
    """
    return _parted(order)[0]


def undoings(order: Order) -> tuple[int, ...]:
    """Return the places of the undoings that were not undone themselves, in order."""
    return _parted(order)[1]


def _parted(order: Order) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the places of what counts, and of the undoings that hold."""
    undone: set[str] = set()
    kept: list[int] = []
    undoing: list[int] = []
    for place in range(len(order.entries) - 1, -1, -1):
        entry = order.entries[place]
        if entry.id in undone and not isinstance(entry.event, BEGINNINGS):
            continue
        if isinstance(entry.event, Undone):
            undone.add(entry.event.event)
            undoing.append(place)
        else:
            kept.append(place)
    return tuple(reversed(kept)), tuple(reversed(undoing))


def last_undoable(counted: tuple[Entry, ...], author: str) -> Entry | None:
    """Return what an author means by undo: the last of their own, else the last of all."""
    undoable = [entry for entry in counted if not isinstance(entry.event, PASSED_OVER)]
    own = [entry for entry in undoable if entry.author == author]
    return next(iter(reversed(own or undoable)), None)
