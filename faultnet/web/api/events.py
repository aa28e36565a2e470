"""Calls about events: entries are taken in, each once, and handed out since a cursor."""

from typing import Annotated

import msgspec

from faultnet.advice.subject import UnknownNameError
from faultnet.cases.case import Case
from faultnet.cases.entry import Entry, Id, flaws, is_site
from faultnet.cases.fold import fold
from faultnet.cases.order import order_of
from faultnet.cases.site import site_of
from faultnet.cases.standing import standing_of
from faultnet.cases.store.listing import named, with_ids
from faultnet.cases.store.store import Log
from faultnet.shapes.cases import DifferingShape, conflicts_shape
from faultnet.web.api.call import JSON, Call
from faultnet.web.api.cases import FARTHEST, MOST
from faultnet.web.api.problem import PREFIX, RefusedError
from faultnet.web.office import Office


class EventsSent(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Entries of one or more cases and sites, each with the id that its writer made."""

    entries: Annotated[tuple[Entry, ...], msgspec.Meta(min_length=1)]


class ReachedAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Which cases and sites: their ids, parted by commas."""

    logs: str


class ReachedLog(msgspec.Struct, frozen=True):
    """How far a case or a site has come: ``cursor`` stands behind its last entry.

    ``purged`` is when what tells of the customer was taken out of it.
    """

    id: str
    cursor: int
    purged: str | None


class Reached(msgspec.Struct, frozen=True):
    """Those of them that there are."""

    logs: tuple[ReachedLog, ...]


class EventsAsked(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A case or a site, and the cursor after which its entries are wanted."""

    log: Id
    since: Annotated[int, msgspec.Meta(ge=0, le=FARTHEST)] = 0


class KeptLog(msgspec.Struct, frozen=True):
    """A case or a site after entries were taken in; ``cursor`` stands behind its last entry.

    ``understood`` is whether this server knows the system; else it cannot tell conflicts.
    ``missing`` counts entries that somebody had seen and that have not arrived, ``unfit``
    those that do not fit the knowledge of this server.
    """

    id: str
    cursor: int
    understood: bool
    ended: str | None
    unfit: int
    missing: int
    conflicts: tuple[DifferingShape, ...]


class EventsKept(msgspec.Struct, frozen=True):
    """The ids of entries that were new; those not among them were kept before."""

    new: tuple[str, ...]
    logs: tuple[KeptLog, ...]


class Events(msgspec.Struct, frozen=True):
    """Entries in the order they were kept; ``cursor`` is where to go on from.

    ``unread`` counts those that are damaged or of a newer faultnet.
    """

    log: str
    cursor: int
    unread: int
    entries: tuple[Entry, ...]


def send(office: Office, asked: EventsSent) -> EventsKept:
    """Keep entries: all of them or none, and each once however often it is sent.

    Whoever writes makes the ids, so sending again after a lost answer does no harm. They
    merge with what others wrote; `conflicts` tells what people said differently without
    having seen each other's.
    """
    beside: dict[str, Entry] = {}
    for number, wrong in flaws(asked.entries, beside):
        place = f"$.entries[{number}]"
        raise RefusedError("unfit-entry", place, f"{wrong}.", "Nothing was kept.")
    new = office.store.append(asked.entries)
    logs = dict.fromkeys(entry.log for entry in asked.entries)
    return EventsKept(tuple(entry.id for entry in new), tuple(_kept(office, log) for log in logs))


def since(office: Office, asked: EventsAsked) -> Events:
    """Hand out the entries of a case or a site that were kept after a cursor.

    Begin with 0 and go on with the `cursor` of the last answer.
    """
    found = office.read(asked.log, asked.since)
    if not found.entries and not found.unread and not _is_there(office, asked.log):
        reason = f"There is no case or site `{asked.log[:80]}`."
        mend = f"{PREFIX}/cases?state=all lists the cases."
        raise RefusedError("no-such-case", "query log", reason, mend)
    return Events(asked.log, found.place, found.unread, found.entries)


def reached(office: Office, asked: ReachedAsked) -> Reached:
    """Tell how far cases and sites have come, many at one look.

    Where `cursor` is greater than that of your last GET /events, there is something new.
    What was deleted is not among them.
    """
    found = with_ids(office.store, asked.logs.split(",")[:MOST])
    return Reached(tuple(ReachedLog(x.id, x.entries, x.purged or None) for x in found))


def _is_there(office: Office, log: str) -> bool:
    return any(each.id == log for each in named(office.store, log))


def _kept(office: Office, name: str) -> KeptLog:
    log = office.read(name)
    order = order_of(log.entries)
    ended, missing = standing_of(order).ended or None, len(order.missing)
    if is_site(name):
        conflicts = conflicts_shape(site_of(name, log.entries).conflicts)
        understood, unfit = True, 0
    else:
        case = _case(office, log)
        understood, unfit = case is not None, case.unfit if case else 0
        conflicts = conflicts_shape(case.conflicts) if case else ()
    return KeptLog(name, log.place, understood, ended, unfit, missing, conflicts)


def _case(office: Office, log: Log) -> Case | None:
    try:
        return fold(office.subject(standing_of(order_of(log.entries)).system), log.entries)
    except UnknownNameError:
        return None


EXAMPLE = {
    "entries": [
        {
            "id": "019cb767-7a69-7c3a-8e5f-2d1b4c6a9e10",
            "log": "20260304-0731-k7m2p",
            "author": "dispatch@orquay",
            "at": "2026-03-04T07:31:05.123Z",
            "number": 1,
            "after": [],
            "event": {"what": "opened", "system": "jet-pump-cistern", "speaker": "caller"},
        },
        {
            "id": "019cb767-b1f0-7d42-9a0c-6e8f7b5d3c21",
            "log": "20260304-0731-k7m2p",
            "author": "dispatch@orquay",
            "at": "2026-03-04T07:31:19.500Z",
            "number": 2,
            "after": ["019cb767-7a69-7c3a-8e5f-2d1b4c6a9e10"],
            "event": {"what": "told", "about": "no-water", "answer": "yes"},
        },
    ]
}

CALLS = (
    Call(
        "POST",
        "/events",
        "send",
        EventsSent,
        send,
        {JSON: EventsKept},
        ("unfit-entry", "kept-otherwise", "deleted", "store"),
        EXAMPLE,
    ),
    Call("GET", "/reached", "reached", ReachedAsked, reached, {JSON: Reached}, ("store",)),
    Call("GET", "/events", "since", EventsAsked, since, {JSON: Events}, ("no-such-case", "store")),
)
