"""Where closed cases are read from, part by part, and what of it could not be used."""

from collections.abc import Sequence
from typing import Protocol

import msgspec

from faultnet.learning.closed import ClosedCase


class SetAside(msgspec.Struct, frozen=True):
    """A case that is not used: where it stands, a code that is counted by, and the reason.

    ``rows`` is how many cases it stands for: more than one where a whole part is damaged.
    """

    place: str
    code: str
    reason: str
    case: str = ""
    rows: int = 1


class Batch(msgspec.Struct, frozen=True):
    """What a part holds: the cases that can be used, in their order, and those that cannot.

    ``places`` tells of each case where it stands; it may be empty.
    """

    cases: tuple[ClosedCase, ...]
    set_aside: tuple[SetAside, ...] = ()
    places: tuple[str, ...] = ()


class Part(Protocol):
    """A part of a source; small enough to be sent to another machine, and read there."""

    def read(self) -> Batch:
        """Return the cases of this part. Never raises for what a row holds."""
        ...


class Source(Protocol):
    """Closed cases in parts that are the same whoever reads them, and however many do."""

    def parts(self) -> Sequence[Part]:
        """Return the parts in their order."""
        ...


class CasesAtHand(msgspec.Struct, frozen=True):
    """Cases that are in memory already; a part of a source, and a source of one part."""

    cases: tuple[ClosedCase, ...]

    def parts(self) -> tuple["CasesAtHand", ...]:
        """Return the one part."""
        return (self,)

    def read(self) -> Batch:
        """Return the cases."""
        return Batch(self.cases)
