"""Where a case stands after its events."""

from typing import Literal

import msgspec

from faultnet.cases.entry import Entry
from faultnet.model.evidence import Evidence


class Voice(msgspec.Struct, frozen=True):
    """One of several things said: the value in words of the files, who, whose word, when."""

    author: str
    speaker: str
    value: str
    at: str
    entry: str


class Conflict(msgspec.Struct, frozen=True):
    """What people said differently about one thing without having seen each other's.

    ``round`` counts from 0; it is None for what holds in every round. All of it counts as
    said, the surer speaker first, until somebody who has seen it says how it is.
    """

    about: str
    round: int | None
    said: tuple[Voice, ...]


Kind = Literal["closed", "mended", "undone"]
"""How what people did apart does not go together."""


class Apart(msgspec.Struct, frozen=True):
    """What people did without having seen each other's, where it does not go together.

    ``closed``: one closed the case while others went on, or closed it in another way;
    ``mended``: each of them ended the round; ``undone``: one undid an entry (``of``) that
    others had seen and went on from. ``done`` holds what each of them did, in order. All
    of it counts, in the order of the case, until somebody who has seen it says how it is.
    """

    kind: Kind
    done: tuple[Entry, ...]
    of: Entry | None = None


class Sitting(msgspec.Struct, frozen=True):
    """Who is there to do the work, and whose word an author writes down."""

    who: str = "technician"
    speaker: str = "technician"


class Counted(msgspec.Struct, frozen=True):
    """An entry that counts, and the round (from 0) in which it stands."""

    entry: Entry
    round: int


class Case(msgspec.Struct, frozen=True):
    """What follows from the events of a case.

    ``entries`` are those that count and fit the knowledge, in order. ``unfit`` counts
    those that no longer fit it, ``missing`` those that somebody had seen and that have not
    arrived. ``sittings`` is by author; ``last`` is the author who wrote last. ``settings``
    are those that were known of the site when the case began.
    """

    id: str
    system: str = ""
    site: str = ""
    follows: tuple[str, ...] = ()
    knowledge: str = ""
    evidence: Evidence = Evidence()
    conflicts: tuple[Conflict, ...] = ()
    apart: tuple[Apart, ...] = ()
    entries: tuple[Counted, ...] = ()
    sittings: dict[str, Sitting] = {}
    settings: dict[str, str] = {}
    begun: str = ""
    touched: str = ""
    last: str = ""
    ended: str = ""
    unfit: int = 0
    missing: int = 0

    def sitting(self, author: str) -> Sitting:
        """Return the sitting of an author, or of whoever wrote last."""
        return self.sittings.get(author) or self.sittings.get(self.last) or Sitting()
