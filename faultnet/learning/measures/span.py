"""Cases by when they were closed: which were learnt from, which are looked at."""

import msgspec
from msgspec.structs import replace

from faultnet.learning.closed import ClosedCase
from faultnet.learning.source import Batch, Part, Source
from faultnet.model.knowledge import Knowledge


class Span(msgspec.Struct, frozen=True):
    """Cases closed from one day to another, both counted; of one system, or of all.

    Days are as ISO 8601; an empty one leaves that end open.
    """

    since: str = ""
    until: str = ""
    system: str = ""

    def holds(self, case: ClosedCase) -> bool:
        """Whether a case is one of them."""
        day = case.closed[:10]
        return (
            self.system in {"", case.system}
            and self.since <= day
            and (not self.until or day <= self.until)
        )


class PartWithin(msgspec.Struct, frozen=True):
    """A part of a source as far as it lies within a span."""

    part: Part
    span: Span

    def read(self) -> Batch:
        """Return those cases; what could not be read is told as it is."""
        batch = self.part.read()
        kept = [k for k, case in enumerate(batch.cases) if self.span.holds(case)]
        places = tuple(batch.places[k] for k in kept) if batch.places else ()
        return replace(batch, cases=tuple(batch.cases[k] for k in kept), places=places)


class Within(msgspec.Struct, frozen=True):
    """A source as far as it lies within a span."""

    source: Source
    span: Span

    def parts(self) -> tuple[PartWithin, ...]:
        """Return the parts in their order."""
        return tuple(PartWithin(part, self.span) for part in self.source.parts())


def learnt_from(_knowledge: Knowledge) -> tuple[Span, ...]:
    """Return which cases the files were learnt from."""
    return ()
