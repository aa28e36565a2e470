"""What is carried along: the knowledge, its systems made ready, what was worked out."""

import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import TypeVar

import msgspec

from faultnet.advice.recent import Recent
from faultnet.advice.step import Outcome
from faultnet.advice.subject import Subject, UnknownNameError
from faultnet.advice.subjects import Subjects
from faultnet.cases.entry import LONGEST, Entry, Writer
from faultnet.cases.order import order_of
from faultnet.cases.site import Site, site_of
from faultnet.cases.standing import standing_of
from faultnet.model.knowledge import Knowledge
from faultnet.pocket.talk.logs import NONE, Log, case_log, site_log
from faultnet.pocket.talk.trouble import TroubleError
from faultnet.visit.counsels import Counsels
from faultnet.visit.taken_up import taken_up
from faultnet.visit.visit import Visit

T = TypeVar("T")

VISITS = 16
"""Visits whose entries are kept folded, and what is ahead of them."""

MOST_WORK = 2**21
"""Cells that one ranking may pass through; beyond them a phone takes too long (judgement)."""


class OfCase(msgspec.Struct, frozen=True):
    """A case as the page keeps it, and who is at the page."""

    author: str
    entries: msgspec.Raw
    site_entries: msgspec.Raw = NONE


@dataclass(frozen=True)
class Held:
    """A case that is held: as it is kept, and as whoever takes it up is going to have it."""

    log: Log
    kept: Visit
    seen: Visit


class Carried:
    """One version of the knowledge, and what was worked out with it.

    ``clock`` tells seconds since 1970.
    """

    def __init__(self, knowledge: Knowledge, clock: Callable[[], float]) -> None:
        self.knowledge = knowledge
        self.clock = clock
        self._subjects = Subjects(knowledge)
        self.counsels = Counsels(MOST_WORK)
        self.offered: dict[tuple[str, str], tuple[Outcome, ...]] = {}
        """The joint answers of steps that were offered, by case and step."""
        self._recent = Recent(VISITS)

    def subject(self, system: str, place: str) -> Subject:
        """Return a system made ready; raise ``TroubleError`` for one that is not there."""
        try:
            return self._subjects[system]
        except UnknownNameError as error:
            known = ", ".join(self.knowledge.systems)
            mend = error.hint or f"The knowledge here holds: {known}. Another page may hold more."
            raise TroubleError(place, str(error).split(". ")[0] + ".", mend) from None

    def of_case(self, entries: tuple[Entry, ...]) -> Subject:
        """Return the system that a case is about; raise ``TroubleError``."""
        system = standing_of(order_of(entries)).system
        if not system:
            mend = "Its first entry is missing. Take the case from the office again."
            raise TroubleError("$.entries", "It is not known how this case was opened.", mend)
        return self.subject(system, "$.entries")

    def writer(self, author: str) -> Writer:
        """Return who writes; raise ``TroubleError`` for what is no name."""
        if not author or len(author) > LONGEST or not author.isprintable():
            mend = "A name, `@`, and what tells one phone from another."
            raise TroubleError("$.author", "This is no author.", mend)
        return Writer(author, self.clock)

    def held(self, asked: OfCase) -> Held:
        """Return a case as it stands; what was folded before is at hand.

        Raises ``TroubleError``.
        """
        writer = self.writer(asked.author)
        key = ("held", asked.author, bytes(asked.entries))
        return self.once(key, lambda: self._made(asked, writer))

    def once(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what was made under a key, made once; so much of it is kept."""
        return self._recent.once(key, make)

    def _made(self, asked: OfCase, writer: Writer) -> Held:
        log = case_log(asked.entries)
        subject = self.of_case(log.entries)
        kept = self.counsels.visit(subject, log.entries, writer)
        return Held(log, kept, taken_up(kept, "technician", self.remade))

    def remade(self, visit: Visit) -> Visit:
        """Return the conversation made anew of its entries."""
        return self.counsels.visit(visit.talk.subject, visit.entries, visit.writer)


def site_in(asked: msgspec.Raw) -> Site | None:
    """Return where the site stands whose entries came along; None where none did."""
    entries = site_log(asked).entries
    return site_of(entries[0].log, entries) if entries else None


NOW = time.time
"""The clock of the phone, in seconds since 1970."""
