"""The office: the store and the knowledge that every page and call works with."""

from functools import cached_property
from threading import RLock

from faultnet.advice.subject import Subject, make_subject
from faultnet.authoring.store import load
from faultnet.cases.entry import Writer, is_site
from faultnet.cases.events import AnyEvent
from faultnet.cases.order import order_of
from faultnet.cases.site import site_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store.place import place_of
from faultnet.cases.store.store import Log, Store
from faultnet.model.knowledge import Knowledge
from faultnet.model.named_by import NamedBy
from faultnet.network.build import members
from faultnet.report.document import Document
from faultnet.report.report import service_report
from faultnet.report.words import Audience
from faultnet.visit.search import Index, knowledge_index
from faultnet.visit.visit import Visit, visit_of
from faultnet.web.settings import Settings


class NoSuchCaseError(Exception):
    """A case that is not kept here."""


class Office:
    """One store and one version of the knowledge, shared by all threads of a server."""

    def __init__(self, settings: Settings) -> None:
        """Open the store; raise ``StoreError``, and what ``load`` raises."""
        self.knowledge: Knowledge = load(settings.knowledge)
        self.thinking = RLock()
        """Held while a case is read, thought about and written to: one thread at a time."""
        self._subjects: dict[str, Subject] = {}
        self.named_by = NamedBy(self.knowledge)
        self.store = Store(place_of(settings.store or None, settings.data))

    def close(self) -> None:
        """Let go of the store."""
        self.store.close()

    @cached_property
    def index(self) -> Index[tuple[str, str]]:
        """What can be read about, by the words for it."""
        return knowledge_index(self.knowledge)

    @cached_property
    def causes_of(self) -> dict[str, frozenset[str]]:
        """System to the causes that it can have."""
        systems = self.knowledge.systems.values()
        return {each.id: frozenset(members(self.knowledge, each).causes) for each in systems}

    def subject(self, system: str) -> Subject:
        """Return a system made ready; raise ``UnknownNameError``."""
        if system not in self._subjects:
            self._subjects[system] = make_subject(self.knowledge, system)
        return self._subjects[system]

    def kept(self, case: str) -> tuple[Subject, Log]:
        """Return the system of a case and what is kept of it.

        Raises ``NoSuchCaseError`` and ``UnknownNameError``.
        """
        log = self.store.read(case)
        if is_site(case) or not log.entries:
            raise NoSuchCaseError(case)
        return self.subject(standing_of(order_of(log.entries)).system), log

    def visit(self, case: str, writer: Writer) -> Visit:
        """Return a case as a visit of whoever replies; raise as ``kept`` does."""
        subject, log = self.kept(case)
        return visit_of(subject, log.entries, writer)

    def keep(self, visit: Visit, event: AnyEvent) -> Visit:
        """Keep an event and return the visit after it; raise ``StoreError``."""
        visit = visit.after(event)
        self.store.append((visit.entries[-1],))
        return visit

    def report(self, case: str, audience: Audience) -> Document:
        """Return the service report of a case; raise as ``kept`` does."""
        subject, log = self.kept(case)
        name = standing_of(order_of(log.entries)).site
        kept = self.store.read(name) if name else Log()
        site = site_of(name, kept.entries) if name else None
        return service_report(subject, log.entries, site, audience, log.unread + kept.unread)

    def begin(self, event: AnyEvent, writer: Writer) -> str:
        """Keep the first event of a new case and return its id."""
        entry = writer.begin(event)
        self.store.append((entry,))
        return entry.log
