"""What of a visit is looked at, and what a reply to that leads to."""

import msgspec

from faultnet.cases.events import AnyEvent
from faultnet.visit.turn import Turn
from faultnet.visit.visit import STOP, Visit


class Glance(msgspec.Struct, frozen=True):
    """A view, or what typed text led to; with neither it is the turn that is due.

    ``what`` and ``text`` are as in ``Visit.typed``.
    """

    view: str = ""
    what: str = ""
    text: str = ""

    @property
    def leaves(self) -> bool:
        """Whether the case is left as it is."""
        return self.view == STOP.view


def turn_at(visit: Visit, glance: Glance) -> Turn:
    """Return the turn that is looked at; the one that is due where there is nothing such."""
    try:
        if glance.what:
            turn = visit.typed(glance.what, glance.text)
            return turn if isinstance(turn, Turn) else visit.turn
        return visit.view(glance.view)
    except (KeyError, ValueError, IndexError):
        return visit.turn  # an address made by hand names something that is not there


def led_to(visit: Visit, glance: Glance, key: str | None, text: str) -> AnyEvent | Glance | None:
    """Return the event that a reply is, or what to look at; None where it is not offered.

    Without a ``key`` it is typed text.
    """
    turn = turn_at(visit, glance)
    if key is not None:
        chosen = turn.reply(key)
        if chosen is None:
            return None
        return chosen.event if chosen.event is not None else Glance(chosen.view)
    if turn.typed is None:
        return None
    event = visit.typed(turn.typed.what, text)
    return Glance(what=turn.typed.what, text=text) if isinstance(event, Turn) else event
