"""A case: the turn that is due, and what a reply to it leads to."""

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from math import ceil
from typing import Any, TypeVar
from urllib.parse import urlencode

from msgspec.structs import asdict
from starlette.datastructures import FormData, QueryParams
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from faultnet.advice.dangers import dangers_met
from faultnet.cases.entry import time_text
from faultnet.cases.events import AnyEvent
from faultnet.cases.store.trouble import OvertakenError
from faultnet.inference.engine import TooLargeError
from faultnet.visit.glance import Glance, led_to, turn_at
from faultnet.visit.history import history
from faultnet.visit.own_view import hidden
from faultnet.visit.steps import best, first_of
from faultnet.visit.told import answer_said, title_of
from faultnet.visit.trouble import ConflictError
from faultnet.visit.visit import Visit
from faultnet.web.office import Office
from faultnet.web.pages.manner import Manner
from faultnet.web.pages.paper import page
from faultnet.web.pages.who import remember
from faultnet.web.safe.guard import POLICY
from faultnet.web.safe.visitor import note as look
from faultnet.web.safe.visitor import thinking_of
from faultnet.web.wording import wording

T = TypeVar("T")

NOTES = ("late", "unknown")
"""What may be told of a reply that was not taken."""

PRICED = ("step", "why")
"""Turns that show prices."""

SCRIPTED = POLICY.format(style="'self'") + "; script-src 'self'; connect-src 'self'"
"""The policy of a case: our own script may run and ask this server, and nothing else."""


LATE = {"note": "late"}
"""What is asked for where somebody else wrote meanwhile."""

UNKNOWN = {"note": "unknown"}
"""What is asked for where a reply is not offered."""

VISIT = Manner("technician", "case", lambda office, *given: office.visit(*given))
"""A case at the pump."""


async def show(request: Request) -> Response:
    """Show the turn that is due, or the view that is asked for."""
    return await look_at(request, VISIT)


async def look_at(request: Request, manner: Manner) -> Response:
    """Return the page of a case that is held in a manner."""
    return await thinking_of(request).about(_looked, request, manner)


def _looked(request: Request, manner: Manner) -> Response:
    asked = request.query_params
    office, kept, place = manner.read(request)
    look(request, "case looked at", kept.id)
    visit = manner.seen(office, kept)
    fields = _fields(visit, asked, manner) | manner.more(office, visit)
    fields |= {"last": kept.entries[-1].id, "page": manner.page, "place": place}
    fields["history"] = tuple(history(kept.talk.subject, kept.at.case))
    response = page(request, f"{manner.page}.html", fields)
    response.headers["content-security-policy"] = SCRIPTED
    return remember(request, response)


def _fields(visit: Visit, asked: QueryParams, manner: Manner) -> dict[str, Any]:
    """Return what the page of a case shows."""
    turn, subject = turn_at(visit, _glance(asked)), visit.talk.subject
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
        if hidden(visit.at) or (manner.speaker == "caller" and turn.kind != "outcome")
        else _reckoned(lambda: visit.talk.counsel.ranking(visit.at.evidence)),
        "step": offer[0] if offer else None,
        "advice": offer[1] if offer else None,
        "left": max(0, ceil(turn.until - visit.writer.clock())) if turn.until else None,
        "until": time_text(turn.until),
        "title": partial(title_of, subject),
        "titles": lambda names: "; ".join(title_of(subject, name) for name in names),
        "first_of": first_of,
        "answer": partial(answer_said, subject),
    }


async def reply(request: Request) -> Response:
    """Take a reply, then lead back to the case."""
    return await replied(request, VISIT)


async def replied(request: Request, manner: Manner) -> Response:
    """Take a reply to a case that is held in a manner, then lead back to it."""
    async with request.form() as form:
        return await thinking_of(request).about(_replied, request, form, manner)


def _replied(request: Request, form: FormData, manner: Manner) -> Response:
    office, visit, place = manner.read(request)
    if form.get("last") != visit.entries[-1].id:
        return to_page(request, visit, manner, LATE)
    key = form.get("key")
    outcome = led_to(
        manner.seen(office, visit),
        _glance(form),
        None if key is None else str(key),
        str(form.get("typed", "")),
    )
    if outcome is None:
        return to_page(request, visit, manner, UNKNOWN)
    if isinstance(outcome, Glance):
        if outcome.leaves:
            manner.after(office, visit, None)
            return RedirectResponse(request.url_for("board"), 303)
        return to_page(request, visit, manner, asdict(outcome))
    try:
        keep(office, visit, manner, outcome, place)
    except OvertakenError:
        return to_page(request, visit, manner, LATE)
    return to_page(request, visit, manner, {})


def keep(office: Office, visit: Visit, manner: Manner, event: AnyEvent, place: int) -> Visit:
    """Keep an event, with who takes the case up before it, and what is worth noting after it.

    ``place`` is that of the last entry that was seen. Raises ``OvertakenError`` and
    ``StoreError``.
    """
    after = office.keep(visit, manner.replied(office, visit, event), place)
    manner.after(office, after, event)
    if after.to_note:
        place += len(after.entries) - len(visit.entries)
        with suppress(OvertakenError):  # whoever writes next has another turn to note
            return office.keep(after, after.after(after.to_note), place)
    return after


def _glance(asked: FormData | QueryParams) -> Glance:
    """Return what an address or a form says is looked at."""
    view, what, text = (str(asked.get(name, "")) for name in ("view", "what", "text"))
    return Glance(view, what, text)


def _reckoned(make: Callable[[], T]) -> T | None:
    """Return what was reckoned; nothing where the turn itself tells what is in the way."""
    try:
        return make()
    except (ConflictError, TooLargeError):
        return None


def to_page(request: Request, visit: Visit, manner: Manner, asked: dict[str, str]) -> Response:
    """Lead back to the page of a case."""
    place = str(request.url_for(manner.page, id=visit.id))
    told = {name: text for name, text in asked.items() if text}
    query = f"?{urlencode(told)}" if told else ""
    return remember(request, RedirectResponse(place + query, 303))


ROUTES = [
    Route("/cases/{id}", show, name="case"),
    Route("/cases/{id}/reply", reply, methods=["POST"], name="case-reply"),
]
