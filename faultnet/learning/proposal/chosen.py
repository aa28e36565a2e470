"""What a source holds: which closed cases are learnt from, and which come after them."""

from collections import Counter
from collections.abc import Iterable

import msgspec

from faultnet.advice.subject import Subject
from faultnet.learning.aside import Aside, aside
from faultnet.learning.closed import ClosedCase
from faultnet.learning.proposal.looked import Looked, looked_at, spread
from faultnet.learning.source import Batch, Part, Source
from faultnet.learning.span import Span
from faultnet.sharing.sharing import Sharing


class PartWithin(msgspec.Struct, frozen=True):
    """A part of a source as far as it is about a system and lies within a span."""

    part: Part
    system: str
    span: Span

    def read(self) -> Batch:
        """Return those cases, and what could not be used."""
        batch = self.part.read()
        kept = [k for k, case in enumerate(batch.cases) if self._wanted(case)]
        places = tuple(batch.places[k] for k in kept) if batch.places else ()
        return Batch(tuple(batch.cases[k] for k in kept), batch.set_aside, places)

    def _wanted(self, case: ClosedCase) -> bool:
        return case.system == self.system and self.span.place(case) == "within"


class Within(msgspec.Struct, frozen=True):
    """A source as far as it is about a system and lies within a span."""

    source: Source
    system: str
    span: Span

    def parts(self) -> tuple[PartWithin, ...]:
        """Return the parts in their order."""
        return tuple(PartWithin(part, self.system, self.span) for part in self.source.parts())


class Seen(msgspec.Struct, frozen=True):
    """What a source holds: cases by system, by where they lie, those set aside.

    ``used`` are the cases that are learnt from, each by its id and the time it was closed;
    ``within`` and ``after`` are some of those and of later ones, as they stood.
    """

    systems: dict[str, int] = {}
    places: dict[str, int] = {}
    aside: Aside = Aside()
    used: tuple[tuple[str, str], ...] = ()
    within: tuple[Looked, ...] = ()
    after: tuple[Looked, ...] = ()


class Seeing:
    """Looks through parts of a source; it can be sent to a process of its own."""

    def __init__(self, subject: Subject | None, span: Span, look: int) -> None:
        """Keep what is wanted; without a system, cases are only counted by theirs."""
        self.subject, self.span, self.look = subject, span, look

    def __call__(self, part: Part) -> Seen:
        """Return what a part holds."""
        batch = part.read()
        systems = Counter(case.system for case in batch.cases)
        not_used = aside(batch.set_aside)
        if self.subject is None:
            return Seen(systems, {}, not_used)
        mine = [case for case in batch.cases if case.system == self.subject.system.id]
        by: dict[str, list[ClosedCase]] = {}
        for case in mine:
            by.setdefault(self.span.place(case), []).append(case)
        return Seen(
            systems,
            {place: len(cases) for place, cases in by.items()},
            not_used,
            tuple((case.id, case.closed) for case in by.get("within", ())),
            self._looked(by.get("within", ())),
            self._looked(by.get("after", ())),
        )

    def _looked(self, cases: Iterable[ClosedCase]) -> tuple[Looked, ...]:
        assert self.subject is not None
        told = [each for case in cases if (each := looked_at(self.subject, case)) is not None]
        return tuple(spread(told, self.look))


def seen(subject: Subject | None, source: Source, span: Span, look: int, sharing: Sharing) -> Seen:
    """Return what a source holds, parts added in their order."""
    found = list(sharing.each(Seeing(subject, span, look), source.parts()))
    within = [each for part in found for each in part.within]
    after = [each for part in found for each in part.after]
    return Seen(
        _sum(part.systems for part in found),
        _sum(part.places for part in found),
        sum((part.aside for part in found), Aside()),
        tuple(each for part in found for each in part.used),
        tuple(spread(within, look)),
        tuple(spread(after, look)),
    )


def _sum(counts: Iterable[dict[str, int]]) -> dict[str, int]:
    total: Counter[str] = Counter()
    for each in counts:
        total.update(each)
    return dict(sorted(total.items()))
