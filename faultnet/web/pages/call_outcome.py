"""What a call comes to, on a sheet of its own; and handing it over."""

from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.cases.site import site_of
from faultnet.cases.store.settle import settle
from faultnet.cases.store.trouble import OvertakenError
from faultnet.desk.call import Call
from faultnet.desk.handing_over import HANDED_OVER, handed_over
from faultnet.desk.outcome import LEAST, forecast
from faultnet.desk.outcome_lines import (
    HOW_LONG,
    HOW_SURE,
    ROUGH,
    WORTH_ARRANGING,
    WORTH_TELLING,
    water_said,
)
from faultnet.desk.sheet import FIELDS
from faultnet.desk.spoken import span_said
from faultnet.desk.urgency import urgency_of
from faultnet.web.office import Office
from faultnet.web.pages.call import CALL
from faultnet.web.pages.case import LATE, keep, to_page
from faultnet.web.pages.paper import page
from faultnet.web.safe.visitor import note, thinking_of


async def show(request: Request) -> Response:
    """Show what the call comes to as it stands, or why that cannot be told."""
    return await thinking_of(request).about(_shown, request)


def _shown(request: Request) -> Response:
    office, call, _ = _read(request)
    note(request, "case looked at", call.id)
    return page(request, "call_outcome.html", {"call": call, **_fields(office, call)})


def _fields(office: Office, call: Call) -> dict[str, Any]:
    """Return what the sheet shows."""
    outcome, site = office.outcome(call), call.at.case.site
    return {
        "outcome": outcome,
        "urgency": urgency_of(call.talk, call.at),
        "site": site_of(site, office.read(site).entries) if site else None,
        "known": call.talk.subject.knowledge,
        "handed": handed_over(call.at),
        "how": (HOW_LONG, HOW_SURE),
        "rough": ROUGH,
        "least": LEAST,
        "telling": WORTH_TELLING,
        "arranging": WORTH_ARRANGING,
        "call_fields": FIELDS,
        "water": water_said(outcome.water) if outcome else [],
        "span": span_said(outcome.site.usual, outcome.site.long) if outcome else "",
    }


async def hand_over(request: Request) -> Response:
    """Hand the call over, then lead to the board, where it waits for a technician."""
    async with request.form() as form:
        return await thinking_of(request).about(_handed_over, request, form)


def _handed_over(request: Request, form: FormData) -> Response:
    office, call, place = _read(request)
    if form.get("last") != call.entries[-1].id:
        return to_page(request, call, CALL, LATE)
    if not (call.over or handed_over(call.at)):
        outcome = office.outcome(call)
        try:
            visit = keep(office, call, CALL, HANDED_OVER, place)
        except OvertakenError:
            return to_page(request, call, CALL, LATE)
        if outcome is not None:
            office.keep(visit, visit.after(forecast(outcome)))
        settle(office.store, call.id, call.writer)
    return RedirectResponse(request.url_for("board"), 303)


def _read(request: Request) -> tuple[Office, Call, int]:
    office, call, place = CALL.read(request)
    assert isinstance(call, Call)
    return office, call, place


ROUTES = [
    Route("/calls/{id}/outcome", show, name="call-outcome"),
    Route("/calls/{id}/hand-over", hand_over, methods=["POST"], name="hand-over"),
]
"""The outcome sheet of a call."""
