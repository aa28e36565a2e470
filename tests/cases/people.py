"""People who write to one case, each with what they have seen so far."""

from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AnyEvent

NOON = 1_772_600_400.0
"""A time on a day in March 2026, in seconds since 1970."""


class Clock:
    """A clock that goes on by a second whenever somebody looks."""

    def __init__(self, now: float = NOON) -> None:
        self.now = now

    def __call__(self) -> float:
        self.now += 1.0
        return self.now


class Person:
    """Somebody with a phone of their own: what they wrote, and what reached them."""

    def __init__(self, name: str, clock: Clock | None = None) -> None:
        self.writer = Writer(f"{name}@phone", clock or Clock())
        self.seen: tuple[Entry, ...] = ()

    def opens(self, event: AnyEvent) -> Entry:
        """Begin a case or a site."""
        entry = self.writer.begin(event)
        self.seen = (entry,)
        return entry

    def writes(self, *events: AnyEvent) -> Entry:
        """Write events; the last entry is returned."""
        for event in events:
            self.seen = (*self.seen, self.writer.entry(self.seen[0].log, event, self.seen))
        return self.seen[-1]

    def hears(self, other: "Person") -> None:
        """See what another has seen."""
        known = {entry.id for entry in self.seen}
        self.seen = (*self.seen, *(e for e in other.seen if e.id not in known))


def both(opened: AnyEvent) -> tuple[Person, Person]:
    """Return two people who have seen how a case was opened and nothing else."""
    clock = Clock()
    anna, berta = Person("anna", clock), Person("berta", clock)
    anna.opens(opened)
    berta.hears(anna)
    return anna, berta


def together(*people: Person) -> tuple[Entry, ...]:
    """Return all that these people have written."""
    return tuple({e.id: e for person in people for e in person.seen}.values())
