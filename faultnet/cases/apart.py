"""What people did on one case without having seen each other's, where it does not go together."""

from collections.abc import Iterable, Iterator

from faultnet.cases import events as e
from faultnet.cases.case import Apart, Kind
from faultnet.cases.counting import counting, undoings
from faultnet.cases.order import Order
from faultnet.cases.standing import standing_of

SETTLED = "apart-"
"""How the stage begins that is passed once somebody has seen it and leaves it as it is."""

ROUND_ENDS = (e.RepairDone, e.RoundBegun)

WORK = (
    *ROUND_ENDS,
    *(e.Told, e.Measured, e.AsFound, e.MadeSafe, e.StepDone, e.SetUpMade, e.SetUpUndone),
    *(e.Works, e.Proved, e.Confirmed, e.Reopened),
)
"""Events by which somebody goes on with a case."""


def apart(order: Order) -> tuple[Apart, ...]:
    """Return what people did apart and nobody has settled, in the order of the case."""
    if len({entry.author for entry in order.entries}) < 2:
        return ()
    looking = _Looking(order)
    return (*looking.closed(), *looking.mended(), *looking.undone())


class _Looking:
    """Entries of a case, by their places in the order."""

    def __init__(self, order: Order) -> None:
        self._order = order
        self._counted = counting(order)

    def closed(self) -> Iterator[Apart]:
        """Yield a closing while which others, who had not seen it, went on."""
        if not standing_of(self._order).ended:
            return
        for end in self._those((e.Ended,)):
            on = [p for p in self._beside(end) if self._goes_on(p, end)]
            yield from self._told("closed", end, *self._last(on))

    def mended(self) -> Iterator[Apart]:
        """Yield what ended a round on both sides."""
        ends = self._those(ROUND_ENDS)
        both = [
            place
            for place in ends
            if any(
                other in ends and self._open("mended", (place, other))
                for other in self._beside(place)
            )
        ]
        yield from self._told("mended", *both)

    def undone(self) -> Iterator[Apart]:
        """Yield an undoing of what others, who had not seen that, had seen and gone on from."""
        places = {entry.id: place for place, entry in enumerate(self._order.entries)}
        for undoing in undoings(self._order):
            event = self._event(undoing)
            target = places.get(event.event) if isinstance(event, e.Undone) else None
            if target is None or not isinstance(self._event(target), WORK):
                continue
            on = [
                place
                for place in self._beside(undoing)
                if isinstance(self._event(place), WORK) and self._order.saw(place, target)
            ]
            yield from self._told("undone", undoing, *self._last(on), about=target)

    def _told(self, kind: Kind, *places: int, about: int | None = None) -> Iterator[Apart]:
        """Yield what was done at these places, if it is two at least and not settled."""
        if len(places) > 1 and self._open(kind, places):
            done = tuple(self._order.entries[place] for place in sorted(places))
            of = None if about is None else self._order.entries[about]
            yield Apart(kind, done, of)

    def _event(self, place: int) -> e.Event:
        return self._order.entries[place].event

    def _those(self, kinds: tuple[type[e.Event], ...]) -> list[int]:
        return [place for place in self._counted if isinstance(self._event(place), kinds)]

    def _beside(self, one: int) -> Iterator[int]:
        """Yield the places of others that had not seen one, and that one had not seen."""
        author = self._order.entries[one].author
        for place in self._counted:
            apart = not (self._order.saw(place, one) or self._order.saw(one, place))
            if apart and self._order.entries[place].author != author:
                yield place

    def _goes_on(self, place: int, end: int) -> bool:
        """Whether an entry is more than closing the case in the same way."""
        event, ended = self._event(place), self._event(end)
        return isinstance(event, WORK) or (isinstance(event, e.Ended) and event != ended)

    def _last(self, places: Iterable[int]) -> tuple[int, ...]:
        """Return the last place of each author."""
        return tuple({self._order.entries[place].author: place for place in places}.values())

    def _open(self, kind: Kind, places: Iterable[int]) -> bool:
        """Whether nobody who had seen all of these has said how it is."""
        return not any(
            _settles(self._event(later), kind) and all(self._order.saw(later, p) for p in places)
            for later in self._counted
        )


def _settles(event: e.Event, kind: Kind) -> bool:
    """Whether an event says how a case stands, after what people did apart."""
    if isinstance(event, e.Passed):
        return event.stage == SETTLED + kind
    return isinstance(event, e.Ended) or (kind == "closed" and isinstance(event, e.Reopened))
