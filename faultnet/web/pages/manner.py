"""How a case is held on a page: as a visit at the pump, or as a call on the phone."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from starlette.requests import Request

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AnyEvent, Speaker
from faultnet.visit.taken_up import replied, taken_up
from faultnet.visit.visit import Visit
from faultnet.web.office import Office
from faultnet.web.pages.who import writer_of
from faultnet.web.safe.visitor import office_of

Make = Callable[[Office, Subject, tuple[Entry, ...], Writer], Visit]
"""What makes the conversation of a case."""


def _nothing(_office: Office, _visit: Visit) -> dict[str, Any]:
    return {}


def _no_more(_office: Office, _visit: Visit, _event: AnyEvent | None) -> None:
    """Do nothing more."""


@dataclass(frozen=True)
class Manner:
    """Whose word it is, the page and its template, and what else the page shows.

    ``page`` is the name of its route; that of its replies ends with ``-reply``. ``after`` is
    done when a reply has been kept, and with no event when somebody leaves.
    """

    speaker: Speaker
    page: str
    make: Make
    more: Callable[[Office, Visit], dict[str, Any]] = _nothing
    after: Callable[[Office, Visit, AnyEvent | None], None] = _no_more

    def read(self, request: Request) -> tuple[Office, Visit, int]:
        """Return the case that a request names as it is kept, and the place it was read to.

        Raises ``NoSuchCaseError``, ``UnknownNameError`` and ``StoreError``.
        """
        office = office_of(request)
        subject, log = office.kept(request.path_params["id"])
        visit = self.make(office, subject, log.entries, writer_of(request))
        return office, visit, log.place

    def seen(self, office: Office, visit: Visit) -> Visit:
        """Return a case as whoever takes it up is going to have it; nothing is kept by looking."""
        return taken_up(visit, self.speaker, partial(self.remade, office))

    def replied(self, office: Office, visit: Visit, event: AnyEvent) -> Visit:
        """Return the case after an event, with who takes it up before it."""
        return replied(visit, event, self.speaker, partial(self.remade, office))

    def remade(self, office: Office, visit: Visit) -> Visit:
        """Return the conversation made anew of its entries."""
        return self.make(office, visit.talk.subject, visit.entries, visit.writer)
