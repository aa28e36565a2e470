"""The office: the store and the knowledge that every page and call works with."""

import time
from collections.abc import Callable, Collection
from copy import copy
from functools import cached_property
from threading import Lock
from typing import Self

import msgspec
from msgspec.structs import replace

from faultnet.accounts import register, trail
from faultnet.advice.recent import Recent
from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.store import load
from faultnet.cases.anonymous import anonymous
from faultnet.cases.entry import Entry, Writer, is_site
from faultnet.cases.events import AnyEvent
from faultnet.cases.order import order_of
from faultnet.cases.site import site_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store import listing
from faultnet.cases.store.listing import Listed
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Log, Store
from faultnet.desk.board import Waiting
from faultnet.desk.call import Call
from faultnet.desk.desk import Truck
from faultnet.desk.outcome import Outcome
from faultnet.desk.trucks import trucks_of
from faultnet.handbook.teller import Teller
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.report.report import service_report
from faultnet.report.words import Audience
from faultnet.visit.counsels import Counsels
from faultnet.visit.search import Index, knowledge_index
from faultnet.visit.visit import Visit
from faultnet.web.cellar import Cellar
from faultnet.web.settings import Settings
from faultnet.web.thinking import Thinking
from faultnet.writing.document import Document

AWHILE = 600.0
"""Seconds within which the same deed of the same person is noted once."""

OUTCOMES = 32
"""Outcomes that are kept."""


class NoSuchCaseError(Exception):
    """A case that is not kept here."""


class Office:
    """One store and one version of the knowledge, shared by all threads of a server.

    ``customer`` is whether what it hands out tells of customers.
    """

    def __init__(self, settings: Settings) -> None:
        """Open the store; raise ``StoreError``, and ``KnowledgeError`` as ``load`` does."""
        self.settings = settings
        self.customer = True
        self.clock: Callable[[], float] = time.time
        """Seconds since 1970, for sessions and the trail."""
        self.knowledge: Knowledge = load(settings.knowledge)
        self.thinking = Thinking()
        self._making = Lock()
        self._subjects: dict[str, Subject] = {}
        self._counsels = Counsels()
        self.standings: dict[tuple[str, bool], tuple[str, Waiting | None]] = {}
        """Where cases stood on the board, as of a state of the log; with customers or without."""
        self._outcomes = Recent(OUTCOMES)
        self.trucks()
        self.cellar = Cellar(self.knowledge, settings.core)
        self.teller = Teller(NamedBy(self.knowledge))
        self.store = Store(place_of(settings.store or None, settings.data))

    def close(self) -> None:
        """Let go of the threads and the store."""
        self.thinking.close()
        self.store.close()

    @cached_property
    def index(self) -> Index[tuple[str, str]]:
        """What can be read about, by the words for it."""
        return knowledge_index(self.knowledge)

    def subject(self, system: str) -> Subject:
        """Return a system made ready; raise ``UnknownNameError``."""
        with self._making:
            if system not in self._subjects:
                self._subjects[system] = make_subject(self.knowledge, system)
            return self._subjects[system]

    def trucks(self) -> tuple[Truck, ...]:
        """Return what is on the trucks by now; raise ``KnowledgeError``."""
        return trucks_of(self.settings.trucks, self.knowledge)

    def outcome(self, call: Call) -> Outcome | None:
        """Return what a call comes to, worked out once for all that was told; None as there."""
        key = msgspec.json.encode(
            (call.entries, sorted((t.name, *t.load) for t in call.talk.trucks))
        )
        return self._outcomes.once(key, lambda: call.outcome)

    def needs_log_in(self) -> bool:
        """Whether nobody comes in without an account; raise ``StoreError``."""
        return self.settings.reach.beyond or register.there_are(self.store)

    def without_customers(self) -> Self:
        """Return the same office for somebody who may not see customers."""
        other = copy(self)
        other.customer = False
        return other

    def cases(
        self, ended: str | bool | None, site: str = "", system: str = "", author: str = ""
    ) -> list[Listed]:
        """Return cases as ``listing.cases`` does; raise ``StoreError``."""
        if site and not self.customer:
            return []
        found = listing.cases(self.store, ended=ended, site=site, system=system, author=author)
        return found if self.customer else [replace(each, site="", name="") for each in found]

    def reached(self, logs: Collection[str]) -> dict[str, int]:
        """Return how far cases and sites have come, as ``listing.reached`` does."""
        return listing.reached(self.store, logs)

    def read(self, log: str, since: int = 0) -> Log:
        """Return what was kept of a case or site after a place; raise ``StoreError``."""
        found = self.store.read(log, since)
        if self.customer:
            return found
        return replace(found, entries=tuple(map(anonymous, found.entries)))

    def kept(self, case: str) -> tuple[Subject, Log]:
        """Return the system of a case and what is kept of it.

        Raises ``NoSuchCaseError`` and ``UnknownNameError``.
        """
        log = self.read(case)
        if is_site(case) or not log.entries:
            raise NoSuchCaseError(case)
        return self.subject(standing_of(order_of(log.entries)).system), log

    def visit(self, subject: Subject, entries: tuple[Entry, ...], writer: Writer) -> Visit:
        """Return the visit of whoever replies; what was worked out for others is at hand."""
        return self._counsels.visit(subject, entries, writer)

    def keep(self, before: Visit, after: Visit, behind: int | None = None) -> Visit:
        """Keep what was added to a case and return it; all of it or nothing.

        With ``behind`` it is kept only where that is the place of the last entry: else
        somebody wrote meanwhile, and ``OvertakenError`` is raised. Raises ``StoreError``.
        """
        self.store.append(after.entries[len(before.entries) :], behind=behind)
        self.note(trail.person(after.writer.author), "case written", after.id)
        return after

    def report(self, case: str, audience: Audience) -> Document:
        """Return the service report of a case; raise as ``kept`` does."""
        subject, log = self.kept(case)
        name = standing_of(order_of(log.entries)).site
        kept = self.read(name) if name else Log()
        site = site_of(name, kept.entries) if name else None
        return service_report(subject, log.entries, site, audience, log.unread + kept.unread)

    def begin(self, event: AnyEvent, writer: Writer) -> str:
        """Keep the first event of a new case and return its id."""
        entry = writer.begin(event)
        self.store.append((entry,))
        self.note(trail.person(writer.author), "case opened", entry.log)
        return entry.log

    def note(self, who: str, deed: trail.Deed, about: str, address: str = "") -> None:
        """Note what somebody did, once in a while where it is the same; raise ``StoreError``."""
        at = self.clock()
        trail.note(self.store, who, deed, about, address=address, at=at, apart=AWHILE)
