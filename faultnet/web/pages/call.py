"""A call: the turn that is due, and the call sheet that fills along the way."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from faultnet.advice.subject import Subject
from faultnet.cases.entry import Entry, Writer
from faultnet.cases.events import AnyEvent, Ended, Named
from faultnet.cases.site import site_of
from faultnet.cases.store.settle import settle
from faultnet.desk import sheet
from faultnet.desk.call import Call, call_of
from faultnet.desk.handing_over import handed_over
from faultnet.desk.urgency import urgency_of
from faultnet.visit.visit import Visit
from faultnet.web.office import Office
from faultnet.web.pages.case import look_at, replied
from faultnet.web.pages.manner import Manner


def _made(office: Office, subject: Subject, entries: tuple[Entry, ...], writer: Writer) -> Call:
    return call_of(subject, entries, writer, office.trucks(), brief=True)


def _sheet(office: Office, call: Visit) -> dict[str, Any]:
    """Return what stands beside the turn."""
    site = call.at.case.site
    return {
        "fields": sheet.FIELDS,
        "filled": sheet.told(call.at),
        "to_ask": sheet.open_fields(call.talk, call.at),
        "urgency": urgency_of(call.talk, call.at),
        "site": site_of(site, office.read(site).entries) if site else None,
        "handed": handed_over(call.at),
    }


def _settled(office: Office, call: Visit, event: AnyEvent | None) -> None:
    """Keep who and where with the site, once all of it was asked or somebody hangs up.

    Until then the site can still be found among those that are known.
    """
    left = {field.id for field in sheet.open_fields(call.talk, call.at)}
    whole = not left.intersection(sheet.OF_SITE)
    if event is None or isinstance(event, Ended) or (isinstance(event, Named) and whole):
        settle(office.store, call.id, call.writer)


CALL = Manner("caller", "call", _made, _sheet, _settled)
"""A case on the phone."""


async def show(request: Request) -> Response:
    """Show the turn that is due, with the call sheet."""
    return await look_at(request, CALL)


async def reply(request: Request) -> Response:
    """Take a reply, then lead back to the call."""
    return await replied(request, CALL)


ROUTES = [
    Route("/calls/{id}", show, name="call"),
    Route("/calls/{id}/reply", reply, methods=["POST"], name="call-reply"),
]
"""The page of a call."""
