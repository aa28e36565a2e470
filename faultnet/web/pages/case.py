"""A case: the turn that is due, and what a reply to it leads to."""

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from math import ceil
from typing import Any, TypeVar
from urllib.parse import urlencode

from starlette.datastructures import FormData, QueryParams
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.advice.dangers import dangers_met
from faultnet.cases.entry import time_text
from faultnet.cases.events import AnyEvent, Joined
from faultnet.cases.store.trouble import OvertakenError
from faultnet.inference.engine import TooLargeError
from faultnet.visit.history import history
from faultnet.visit.own_view import hidden
from faultnet.visit.steps import best, first_of
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.trouble import ConflictError
from faultnet.visit.turn import Turn
from faultnet.visit.visit import Visit
from faultnet.web.office import NoSuchCaseError
from faultnet.web.pages.paper import page, trouble
from faultnet.web.pages.who import remember, writer_of
from faultnet.web.safe.guard import POLICY
from faultnet.web.safe.visitor import note as look
from faultnet.web.safe.visitor import office_of, thinking_of
from faultnet.web.wording import wording

T = TypeVar("T")

NOTES = ("late", "unknown")
"""What may be told of a reply that was not taken."""

PRICED = ("step", "why")
"""Turns that show prices."""

SCRIPTED = POLICY.format(style="'self'") + "; script-src 'self'"
"""The policy of a page with a timer: our own script, and nothing else, may run."""


async def show(request: Request) -> Response:
    """Show the turn that is due, or the view that is asked for."""
    return await thinking_of(request).about(_show, request)


def _show(request: Request) -> Response:
    office = office_of(request)
    asked = request.query_params
    try:
        visit, _ = office.visit(request.path_params["id"], writer_of(request))
    except NoSuchCaseError:
        return trouble(request, wording()("trouble.no-case"), 404)
    look(request, "case looked at", visit.id)
    fields = _fields(visit, asked)
    response = page(request, "case.html", fields)
    if fields["left"]:
        response.headers["content-security-policy"] = SCRIPTED
    return remember(request, response)


def _fields(visit: Visit, asked: QueryParams) -> dict[str, Any]:
    """Return what the page of a case shows."""
    turn, subject = _shown(visit, asked), visit.talk.subject
    note = asked.get("note", "")
    offer = _reckoned(lambda: best(visit.talk, visit.at)) if turn.kind in PRICED else None
    return {
        "visit": visit,
        "turn": turn,
        "known": subject.knowledge,
        "asked": asked,
        "open": [d for d in dangers_met(subject, visit.at.evidence) if not d.made_safe],
        "note": wording()(f"case.{note}") if note in NOTES else "",
        "ranking": None
        if hidden(visit.at)
        else _reckoned(lambda: visit.talk.counsel.ranking(visit.at.evidence)),
        "step": offer[0] if offer else None,
        "advice": offer[1] if offer else None,
        "left": max(0, ceil(turn.until - visit.writer.clock())) if turn.until else None,
        "until": time_text(turn.until),
        "history": tuple(history(subject, visit.at.case)),
        "title": partial(title_of, subject),
        "titles": lambda names: "; ".join(title_of(subject, name) for name in names),
        "first_of": first_of,
        "answer": partial(answer_said, subject),
    }


async def reply(request: Request) -> Response:
    """Take a reply, then lead back to the case."""
    async with request.form() as form:
        return await thinking_of(request).about(_replied, request, form)


def _replied(request: Request, form: FormData) -> Response:
    office = office_of(request)
    try:
        visit, place = office.visit(request.path_params["id"], writer_of(request))
    except NoSuchCaseError:
        return trouble(request, wording()("trouble.no-case"), 404)
    if form.get("last") != visit.entries[-1].id:
        return _to(request, visit, {"note": "late"})
    outcome = _outcome(visit, form)
    if isinstance(outcome, dict):
        return _to(request, visit, outcome)
    events: list[AnyEvent] = [outcome]
    if visit.writer.author not in visit.at.case.sittings:
        events.insert(0, Joined(knowledge=visit.talk.subject.knowledge.version))
    try:
        after = office.keep(visit, place, *events)
    except OvertakenError:
        return _to(request, visit, {"note": "late"})
    with suppress(OvertakenError):  # whoever writes next has another turn to note
        if after.to_note:
            office.keep(after, place + len(events), after.to_note)
    return _to(request, after, {})


def _outcome(visit: Visit, form: FormData) -> AnyEvent | dict[str, str]:
    """Return the event that a reply is, or what to show instead."""
    turn, key = _shown(visit, form), form.get("key")
    if key is not None:
        chosen = turn.reply(str(key))
        if chosen is None:
            return {"note": "unknown"}
        return chosen.event if chosen.event is not None else {"view": chosen.view}
    if turn.typed is None:
        return {"note": "unknown"}
    what, text = turn.typed.what, str(form.get("typed", ""))
    event = visit.typed(what, text)
    return {"what": what, "text": text} if isinstance(event, Turn) else event


def _shown(visit: Visit, asked: FormData | QueryParams) -> Turn:
    """Return the turn that a page shows: a view, what typed text led to, or what is due."""
    try:
        if asked.get("what"):
            turn = visit.typed(str(asked["what"]), str(asked.get("text", "")))
            return turn if isinstance(turn, Turn) else visit.turn
        return visit.view(str(asked.get("view", "")))
    except (KeyError, ValueError, IndexError):
        return visit.turn  # an address made by hand names something that is not there


def _reckoned(make: Callable[[], T]) -> T | None:
    """Return what was reckoned; nothing where the turn itself tells what is in the way."""
    try:
        return make()
    except (ConflictError, TooLargeError):
        return None


def _to(request: Request, visit: Visit, asked: dict[str, str]) -> Response:
    if asked.get("view") == "stop":
        return RedirectResponse(request.url_for("board"), 303)
    place = str(request.url_for("case", id=visit.id))
    query = f"?{urlencode(asked)}" if asked else ""
    return remember(request, RedirectResponse(place + query, 303))


ROUTES = [
    Route("/cases/{id}", show, name="case"),
    Route("/cases/{id}/reply", reply, methods=["POST"], name="reply"),
]
